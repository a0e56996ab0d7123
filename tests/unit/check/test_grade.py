"""Stop before grade, graded cautions alone make grade 1."""

from __future__ import annotations

import pytest

from slingwright.check import Finding, Outcome, grade
from slingwright.check.finding import stays_below
from slingwright.citation import Citation, Known


def _finding(outcome: Outcome, *, grades: bool = False, of_the_lift: bool = False) -> Finding:
    source = Citation(document="a test", known=Known.SHOP)
    return Finding(rule="tilt", outcome=outcome, citation=source, grades=grades, of_the_lift=of_the_lift)


CLEAN = _finding(Outcome.PASS)
OF_THE_LIFT = _finding(Outcome.CAUTION, of_the_lift=True)
TOLD = _finding(Outcome.CAUTION)
GRADED = _finding(Outcome.CAUTION, grades=True)
STOPPED = _finding(Outcome.STOP)


@pytest.mark.parametrize(
    ("findings", "expected"),
    [
        ([], 0),
        ([CLEAN, OF_THE_LIFT, TOLD], 0),
        ([GRADED, CLEAN, OF_THE_LIFT], 1),
        ([GRADED, STOPPED], None),
        ([STOPPED, GRADED, CLEAN], None),
    ],
)
def test_grade(findings: list[Finding], expected: int | None) -> None:
    assert grade(findings) == expected


@pytest.mark.parametrize(
    ("figure", "limit", "below"),
    [
        (1 - 2e-6, 1.0, True),
        (1 - 1e-6, 1.0, False),  # a tie fails
        (1.0, 1.0, False),
        (-1.0, 0.0, True),
        (0.0, 0.0, False),
        (float("nan"), 1.0, False),
        (1.0, float("nan"), False),
    ],
)
def test_a_tie_fails(figure: float, limit: float, below: bool) -> None:
    assert stays_below(figure, limit) is below
