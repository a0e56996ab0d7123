"""Findings in plain words: what was looked at, the figure, the limit, and what would cure it."""

from __future__ import annotations

from slingwright.check import Finding, Outcome
from slingwright.units import Rounding, Units
from slingwright.words.catalogue import Sentence, read_catalogue
from slingwright.words.figures import show_figure
from slingwright.words.names import subject_texts

__all__ = ["cure_text", "finding_text", "outcome_word"]

# (figure, limit): the shown pair never looks better than it is
_SIDES = {
    "": (Rounding.NEAREST, Rounding.NEAREST),
    "at most": (Rounding.UP, Rounding.DOWN),
    "at least": (Rounding.DOWN, Rounding.UP),
}


def finding_text(finding: Finding, units: Units, *, language: str = "en") -> str:
    """One sentence for a finding, figures rounded to the unsafe side so that they never flatter."""
    sentence = read_catalogue(language).sentence(finding.rule, finding.detail)
    return sentence.say.format_map(
        {
            "figure": _figure(finding.figure, finding.unit, sentence, units, language, side=0),
            "limit": _figure(finding.limit, finding.unit, sentence, units, language, side=1),
            **subject_texts(finding.subject, units, language=language),
        }
    )


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
