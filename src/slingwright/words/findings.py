"""Findings in plain words: what was looked at, the figure, the limit, and what would cure it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from slingwright.check import Finding, Outcome
from slingwright.units import Rounding, Units
from slingwright.words.catalogue import BESIDE, SOURCE, Sentence, in_both, read_catalogue
from slingwright.words.figures import show_figure
from slingwright.words.names import subject_name, subject_texts

__all__ = ["bare_finding_text", "cure_text", "finding_text", "finding_texts", "outcome_word"]

_ORDER = (Outcome.STOP, Outcome.CAUTION, Outcome.PASS)
# (figure, limit): the shown pair never looks better than it is
_SIDES = {
    "": (Rounding.NEAREST, Rounding.NEAREST),
    "at most": (Rounding.UP, Rounding.DOWN),
    "at least": (Rounding.DOWN, Rounding.UP),
    "both up": (Rounding.UP, Rounding.UP),  # two tensions beside each other, neither of them a limit
}


def finding_text(finding: Finding, units: Units, *, language: str = "en") -> str:
    """One sentence for a finding, figures rounded to the unsafe side so that they never flatter."""
    return in_both(language, lambda one: bare_finding_text(finding, units, language=one))


def bare_finding_text(finding: Finding, units: Units, *, language: str) -> str:
    """The sentence in one language alone, to be put into another one."""
    sentence = read_catalogue(language).sentence(finding.rule, finding.detail)
    return sentence.say.format_map(
        {
            "figure": _figure(finding.figure, finding.unit, sentence, units, language, side=0),
            "limit": _figure(finding.limit, finding.unit, sentence, units, language, side=1),
            **subject_texts(finding.subject, units, language=language),
        }
    )


def finding_texts(
    findings: Iterable[Finding], units: Units, *, language: str = "en"
) -> list[tuple[Finding, str]]:
    """Findings gathered for reading: one sentence for all that say the same, stops first, passes last.

    Of several with figures the one nearest its limit speaks, and it is said of which it is the worst;
    slings without are told together, by all their names; agents and hooks each by itself.
    """
    told = _gathered(findings := list(findings), units, language)
    if read_catalogue(language).beside_english:
        english = _gathered(findings, units, SOURCE)
        told = [(f, f"{text}{BESIDE}{said}") for (f, text), (_, said) in zip(told, english, strict=True)]
    return sorted(told, key=lambda pair: _ORDER.index(pair[0].outcome))


def _gathered(findings: Iterable[Finding], units: Units, language: str) -> list[tuple[Finding, str]]:
    words = read_catalogue(language)
    groups: dict[tuple[Outcome, str, str, str], list[Finding]] = {}
    for f in findings:
        # by the English, so that every language gathers the same
        by_name = "{sling}" not in read_catalogue(SOURCE).sentence(f.rule, f.detail).say
        apart = f.subject if by_name and not f.figure else ""
        groups.setdefault((f.outcome, f.rule, f.detail, apart), []).append(f)
    told = []
    for (_, rule, detail, _), group in groups.items():
        sentence = words.sentence(rule, detail)
        if "{figure}" in read_catalogue(SOURCE).sentence(rule, detail).say:
            worst = max(group, key=lambda f: _nearness(f, at_least=sentence.sense == "at least"))
            text = bare_finding_text(worst, units, language=language)
            if len(group) > 1:
                about = dict.fromkeys(f.subject for f in group if f.subject)
                names = ", ".join(subject_name(one, units, language=language) for one in about)
                text = words.fill("common", "worst-of", text=text, names=names or str(len(group)))
        else:
            worst = _together(group)
            text = bare_finding_text(worst, units, language=language)
        told.append((worst, text))
    return told


def _together(group: list[Finding]) -> Finding:
    """One finding about all the slings that the group is about."""
    subjects = list(dict.fromkeys(f.subject for f in group))
    return group[0] if len(subjects) == 1 else replace(group[0], subject=", ".join(subjects))


def _nearness(finding: Finding, *, at_least: bool) -> float:
    """How near a finding is to its limit; one without figures counts as far."""
    if not finding.figure or not finding.limit:
        return 0.0
    return finding.limit / finding.figure if at_least else finding.figure / finding.limit


def cure_text(finding: Finding | str, *, language: str = "en") -> str:
    """What would cure a finding (or a cure's code); empty where nothing needs curing."""
    code = finding if isinstance(finding, str) else finding.cure
    return read_catalogue(language).word("cures", code) if code else ""


def outcome_word(outcome: Outcome, *, language: str = "en") -> str:
    """The word for an outcome, the same on screen and paper."""
    return read_catalogue(language).word("outcomes", str(outcome))


def _figure(
    value: float | None, unit: str, sentence: Sentence, units: Units, language: str, *, side: int
) -> str:
    rounding = _SIDES[sentence.sense][side]
    return show_figure(value, unit, units, rounding=rounding, ratio=sentence.ratio, language=language)
