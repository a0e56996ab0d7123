"""The catalogue of a language: every sentence the product can say, keyed by code.

A catalogue is a folder of TOML files under `words/data/<language>/`. A new language is a new folder:
no code changes. English is the source: what another language has not yet is said in English. A code
without words in English is a bug of ours, never shown as a bare code on a paper.

A language whose cautions and findings nobody has reviewed says each of them in English, too, right behind
its own sentence (`BESIDE` stands between): a wrong word there could hurt someone.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable

__all__ = [
    "BESIDE",
    "SOURCE",
    "Catalogue",
    "MissingWords",
    "Sentence",
    "in_both",
    "join_both",
    "languages",
    "own_words",
    "read_catalogue",
]

SOURCE = "en"
BESIDE = " [en] "  # between a sentence that nobody has reviewed and the English one

# sections that hold cautions, refusals, stops and rules of use; what has places gets the same figures in both
_BESIDE_SECTIONS = (
    "standing", "standing-page", "standing-drawing", "standing-sheet", "cautions", "cures",
    "rating-cautions", "rating-refusals", "hang-cautions",
    "cutting-cautions", "routing-cautions", "making-cautions", "adopting-cautions",
    "learn-care", "learn-unknown", "learn-protections", "learn-hitches", "learn-forms", "learn-heat",
    "learn-verdicts", "learn-angles",
)  # fmt: skip
_BESIDE_WORDS = (
    ("hang-status", "capsizes"), ("hang-status", "unreachable"), ("hang-status", "yaw"),
    ("hang-status", "roll"), ("desk", "stop-do"), ("desk", "footer"),
    ("desk-sling", "refused-do"), ("desk-sling", "does"), ("desk-sling", "does-not"),
    ("desk-sling", "may-do"), ("desk-live", "nothing-yet-do"), ("desk-live", "stop-in-short"),
    ("desk-live", "halted"), ("desk-so-far", "what"), ("desk-so-far", "unproved"),
    ("learn", "tag-governs"), ("learn", "tag-gone"),
    ("learn", "not-adopted"), ("learn", "two-checks"), ("learn", "choke-free"), ("learn", "choke-where"),
    ("learn", "choke-edge"), ("learn", "wraps-say"), ("learn", "wet-say"), ("learn", "known-guess"),
    ("learn", "lug-aslant"), ("learn", "lug-upright"), ("learn", "lug-lean"), ("learn", "lug-unknown"),
    ("learn", "grip-lost"), ("learn", "grip-wary"), ("learn", "grip-most"), ("learn", "grip-stated"),
    ("learn", "grip-flat"),
    ("learn", "edge-sharp"), ("learn", "edge-knife"), ("learn", "edge-unlisted"), ("learn", "heat-say"),
    ("learn", "chemicals-say"),
    ("learn", "any-one-say"), ("learn", "no-judging"), ("learn-leads", "removal"), ("learn-leads", "care"),
    ("learn-leads", "angles"), ("learn-leads", "edges"),
    ("sheet", "checks-note"), ("quote", "planning-because"), ("sheet-of-sling", "planning-because"),
    ("quote-assumed", "no-lift"), ("quote-assumed", "angles"), ("quote-assumed", "choke"),
    ("quote-assumed", "edges"), ("quote-assumed", "temperature"), ("tag", "caution"),
    ("sheet-of-sling", "choke"), ("sheet-of-sling", "edge"), ("sheet-of-sling", "double-wrap"),
)  # fmt: skip


class MissingWords(LookupError):  # noqa: N818  (names what is missing)
    """A code has no words in the catalogue: our bug, found by the tests before a customer does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sentence:
    """One sentence with the places its figures go.

    `sense` says to which side its figures may stray when rounded: "at most" (figure up, limit down),
    "at least" (figure down, limit up), "both up" or "" (nearest). `ratio` says how a bare ratio reads:
    "percent" or "number". Both belong to the rule, not to the language: English alone says them.
    """

    say: str
    sense: str = ""
    ratio: str = "percent"


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """Words of one language: `sections[section][key]`, and the findings' sentences by (rule, detail).

    `name` is the language's own, `locale` whose decimal sign and plurals it has, `beside_english` whether
    its cautions and findings are still said in English, too.
    """

    language: str
    sections: Mapping[str, Mapping[str, str]]
    findings: Mapping[tuple[str, str], Sentence]
    name: str = ""
    locale: str = SOURCE
    beside_english: bool = False

    def word(self, section: str, key: str) -> str:
        """The words for a key; `MissingWords` if there are none."""
        try:
            return self.sections[section][key]
        except KeyError:
            msg = f"no words for {section} {key!r} in the catalogue {self.language!r}"
            raise MissingWords(msg) from None

    def fill(self, section: str, key: str, **figures: str) -> str:
        """The words for a key with its places filled in."""
        return self.word(section, key).format_map(figures)

    def sentence(self, rule: str, detail: str) -> Sentence:
        """The sentence of a finding; `MissingWords` if there is none."""
        try:
            return self.findings[rule, detail]
        except KeyError:
            msg = f"no sentence for finding {rule!r}, {detail!r} in the catalogue {self.language!r}"
            raise MissingWords(msg) from None


def languages() -> tuple[str, ...]:
    """The languages there is a catalogue for."""
    return tuple(sorted(d.name for d in _data().iterdir() if d.is_dir()))


def in_both(language: str, say: Callable[[str], str]) -> str:
    """What `say` says in a language, with the English behind it where nobody has reviewed that language."""
    text = say(language)
    return f"{text}{BESIDE}{say(SOURCE)}" if read_catalogue(language).beside_english else text


def join_both(texts: Iterable[str], between: str) -> str:
    """Several sentences as one text; what stands beside them in English is joined behind them all."""
    pairs = [text.partition(BESIDE) for text in texts]
    english = [said for _, _, said in pairs if said]
    return between.join(own for own, _, _ in pairs) + (BESIDE + between.join(english) if english else "")


@cache
def read_catalogue(language: str = SOURCE) -> Catalogue:
    """Read a language's catalogue (once).

    Raises
    ------
    MissingWords
        There is no such language.
    """
    if language not in languages():
        msg = f"no catalogue for the language {language!r}; there are: {', '.join(languages())}"
        raise MissingWords(msg)
    own = own_words(language)
    about = own.sections["about"]
    if language == SOURCE:
        return own
    source = read_catalogue(SOURCE)
    sections = {  # a rulebook's lists are English in its own data: another language alone has them here
        name: {**source.sections.get(name, {}), **own.sections.get(name, {})}
        for name in {**source.sections, **own.sections}
    }
    findings = {
        key: Sentence(
            say=own.findings[key].say if key in own.findings else said.say, sense=said.sense, ratio=said.ratio
        )
        for key, said in source.findings.items()
    }
    beside = not about["reviewed_by"]
    if beside:
        _put_english_beside(sections, source.sections)
    return Catalogue(
        language=language,
        sections=sections,
        findings=findings,
        name=about["name"],
        locale=about["locale"],
        beside_english=beside,
    )


def own_words(language: str) -> Catalogue:
    """What a language's own files say, and nothing else; for those who count what is missing."""
    sections: dict[str, dict[str, str]] = {}
    findings: dict[tuple[str, str], Sentence] = {}
    for file in sorted((_data() / language).iterdir(), key=lambda f: f.name):
        document = tomllib.loads(file.read_text(encoding="utf-8"))
        for rule, details in document.pop("findings", {}).items():
            findings |= {(rule, detail): Sentence(**entry) for detail, entry in details.items()}
        for section, words in document.items():
            sections.setdefault(section, {}).update(words)
    about = sections["about"]
    return Catalogue(
        language=language, sections=sections, findings=findings, name=about["name"], locale=about["locale"]
    )


def _put_english_beside(sections: dict[str, dict[str, str]], source: Mapping[str, Mapping[str, str]]) -> None:
    whole = [(name, key) for name in _BESIDE_SECTIONS for key in source.get(name, {})]
    for name, key in (*whole, *_BESIDE_WORDS):
        english = source.get(name, {}).get(key)
        if english is not None and sections[name][key] != english:
            sections[name][key] += BESIDE + english


def _data() -> Traversable:
    return resources.files("slingwright.words") / "data"
