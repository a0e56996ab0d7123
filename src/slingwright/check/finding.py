"""A finding: one check's outcome, a value. A `stop` is never raised."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from slingwright.citation import Citation, Cited

__all__ = ["TIE", "Finding", "Outcome", "report", "stays_below"]


class Outcome(StrEnum):
    """What a check says."""

    PASS = "pass"
    CAUTION = "caution"
    STOP = "stop"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One check's outcome with its figure, its limit, its clause and what would cure it.

    Codes and figures only; `slingwright.words` makes the sentence. `rule` is the rule file's name with
    dashes (`least-angle`), `detail` distinguishes its sentences (`below-least`), `unit` is the SI unit
    of `figure` and `limit` (`N`, `m`, `deg`, `K`, `1` for a ratio, "" for none). `of_the_lift` marks a
    caution that every candidate of this lift has (it grades nothing). `subject` names the sling,
    path or pick point meant, "" for the whole lift.
    """

    rule: str
    outcome: Outcome
    detail: str = ""
    figure: float | None = None
    limit: float | None = None
    unit: str = ""
    citation: Citation
    cure: str = ""
    subject: str = ""
    of_the_lift: bool = False
    grades: bool = False


# A figure this close to its limit is a tie, and a tie fails (the last word near a limit is the solver's).
TIE = 1e-6


def stays_below(figure: float, limit: float) -> bool:
    """Whether a load stays below its limit: equality, a tie within 1e-6 and NaN all fail."""
    return figure < limit * (1 - TIE)


def report(
    rule: str,
    outcome: Outcome,
    detail: str,
    source: Cited[float] | Citation,
    *,
    figure: float | None = None,
    limit: float | None = None,
    unit: str = "",
    cure: str = "",
    subject: str = "",
    of_the_lift: bool = False,
    grades: bool = False,
) -> Finding:
    """Make a finding; a `Cited` source gives both the limit (unless another is named) and its citation."""
    if isinstance(source, Cited):
        limit = source.value if limit is None else limit
        citation = source.citation
    else:
        citation = source
    return Finding(
        rule=rule,
        outcome=outcome,
        detail=detail,
        figure=figure,
        limit=limit,
        unit=unit,
        citation=citation,
        cure=cure,
        subject=subject,
        of_the_lift=of_the_lift,
        grades=grades,
    )
