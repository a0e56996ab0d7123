"""From findings to a grade: no stop, then clean before less than clean."""

from __future__ import annotations

from collections.abc import Iterable

from slingwright.check.finding import Finding, Outcome

__all__ = ["grade"]


def grade(findings: Iterable[Finding]) -> int | None:
    """Grade a candidate: None with a stop, 1 with a caution that grades, else 0.

    A caution of the lift itself grades nothing: every candidate has it.
    """
    worst = 0
    for finding in findings:
        if finding.outcome is Outcome.STOP:
            return None
        if finding.outcome is Outcome.CAUTION and finding.grades:
            worst = 1
    return worst
