"""Which family of sling suits when a search found nothing: named, never rated."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from slingwright.check import Finding, Outcome, suit_family
from slingwright.citation import Citation, Known

SOURCE = Citation(document="a test", known=Known.SHOP)


def _refusals(*rules: str, outcome: Outcome = Outcome.STOP) -> list[Finding]:
    return [Finding(rule=rule, outcome=outcome, citation=SOURCE) for rule in rules]


@pytest.mark.parametrize(
    ("rules", "detail", "cure"),
    [
        (("temperature",), "too-hot-for-web", "use-chain"),
        (("edge", "bend", "edge"), "no-edge-protection-enough", "use-chain"),
        (("rated-load",), "nothing-strong-enough", "use-round"),
        (("rated-load", "wet"), "nothing-strong-enough", "use-round"),
        (("headroom", "least-angle", "reach"), "nothing-fits-the-room", "another-arrangement"),
    ],
)
def test_one_kind_of_refusal_names_a_family(rules: Sequence[str], detail: str, cure: str) -> None:
    finding = suit_family(_refusals(*rules))
    assert finding is not None
    assert (finding.rule, finding.outcome) == ("wrong-tool", Outcome.STOP)
    assert (finding.detail, finding.cure) == (detail, cure)
    assert finding.figure is None, "the other family is not rated here"
    assert finding.citation.document


@pytest.mark.parametrize(
    "refusals",
    [
        [],
        _refusals("rated-load", "headroom"),
        _refusals("tilt"),
        _refusals("rated-load", outcome=Outcome.CAUTION),
    ],
    ids=["none", "two kinds", "no family helps", "no stop"],
)
def test_mixed_refusals_name_no_family(refusals: list[Finding]) -> None:
    assert suit_family(refusals) is None


def test_cautions_beside_stops_do_not_count() -> None:
    refusals = _refusals("rated-load") + _refusals("tilt", outcome=Outcome.CAUTION)
    finding = suit_family(refusals)
    assert finding is not None
    assert finding.cure == "use-round"
