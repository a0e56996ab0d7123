"""A finding is a frozen value; what is not said is empty, never zero."""

from __future__ import annotations

from dataclasses import FrozenInstanceError

import pytest

from slingwright.check.finding import Finding, Outcome, report
from slingwright.citation import Citation, Cited, Known

SOURCE = Citation(document="a test", known=Known.SHOP)


@pytest.mark.parametrize(
    "finding",
    [
        Finding(rule="tilt", outcome=Outcome.PASS, citation=SOURCE),
        report("tilt", Outcome.PASS, "", SOURCE),
    ],
    ids=["made", "reported"],
)
def test_what_is_not_said_is_empty(finding: Finding) -> None:
    assert (finding.detail, finding.unit, finding.cure, finding.subject) == ("", "", "", "")
    assert (finding.figure, finding.limit) == (None, None)
    assert (finding.of_the_lift, finding.grades) == (False, False)
    assert finding.citation is SOURCE


def test_a_finding_cannot_be_changed() -> None:
    finding = report("tilt", Outcome.PASS, "level-enough", SOURCE)
    with pytest.raises(FrozenInstanceError):
        finding.outcome = Outcome.STOP  # type: ignore[misc]
    with pytest.raises((AttributeError, TypeError)):
        finding.more = 1  # type: ignore[attr-defined]


def test_a_cited_limit_gives_limit_and_citation_unless_another_limit_is_named() -> None:
    cited = Cited(3.0, SOURCE)
    assert report("edge", Outcome.PASS, "", cited).limit == 3.0
    assert report("edge", Outcome.PASS, "", cited).citation is SOURCE
    assert report("edge", Outcome.PASS, "", cited, limit=0.015).limit == 0.015
