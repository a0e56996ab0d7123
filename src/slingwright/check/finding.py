"""A finding: one check's outcome, a value. A `stop` is never raised."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from slingwright.citation import Citation

__all__ = ["Finding", "Outcome"]


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
