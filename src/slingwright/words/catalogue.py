"""The catalogue of a language: every sentence the product can say, keyed by code.

A catalogue is a folder of TOML files under `words/data/<language>/`. A new language is a new folder:
no code changes. A code without words is a bug of ours, never shown as a bare code on a paper.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable

__all__ = ["Catalogue", "MissingWords", "Sentence", "languages", "read_catalogue"]


class MissingWords(LookupError):  # noqa: N818  (names what is missing)
    """A code has no words in the catalogue: our bug, found by the tests before a customer does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sentence:
    """One sentence with the places its figures go.

    `sense` says to which side its figures may stray when rounded: "at most" (figure up, limit down),
    "at least" (figure down, limit up), "both up" or "" (nearest). `ratio` says how a bare ratio reads:
    "percent" or "number".
    """

    say: str
    sense: str = ""
    ratio: str = "percent"


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """Words of one language: `sections[section][key]`, and the findings' sentences by (rule, detail)."""

    language: str
    sections: Mapping[str, Mapping[str, str]]
    findings: Mapping[tuple[str, str], Sentence]

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


@cache
def read_catalogue(language: str = "en") -> Catalogue:
    """Read a language's catalogue (once).

    Raises
    ------
    MissingWords
        There is no such language.
    """
    folder = _data() / language
    if language not in languages():
        msg = f"no catalogue for the language {language!r}; there are: {', '.join(languages())}"
        raise MissingWords(msg)
    sections: dict[str, dict[str, str]] = {}
    findings: dict[tuple[str, str], Sentence] = {}
    for file in sorted(folder.iterdir(), key=lambda f: f.name):
        document = tomllib.loads(file.read_text(encoding="utf-8"))
        for rule, details in document.pop("findings", {}).items():
            findings |= {(rule, detail): Sentence(**entry) for detail, entry in details.items()}
        for section, words in document.items():
            sections.setdefault(section, {}).update(words)
    return Catalogue(language=language, sections=sections, findings=findings)


def _data() -> Traversable:
    return resources.files("slingwright.words") / "data"
