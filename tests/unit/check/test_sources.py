"""The clause a finding cites is the one that speaks, not its neighbour."""

from __future__ import annotations

import pytest

from slingwright.check import run_checks
from slingwright.rulebook import load_rulebook
from tests.unit.check.rule_cases import CASES, changed

US = load_rulebook("us")
# (rule, detail) -> what the citation's line must name
NAMED = {
    ("purpose", "people"): "people are refused",
    ("purpose", "offshore"): "offshore lifts are refused",
    ("dynamic", "marine-without-factor"): "dynamic factor for marine",
    ("unknowns", "weight-unknown"): "DOE-STD-1090-96",
    ("least-angle", "below-wanted"): "the lift file, want.least_angle",
    ("least-angle", "below-rulebook"): "OSHA Guidance on Safe Sling Use",
    ("least-angle", "shallow"): "extra care",
    ("tilt", "past-wanted"): "the lift file, want.level_within",
    ("headroom", "too-high"): "the lift file, hook.headroom",
    ("slack-leg", "all-tight"): "equilibrium",
    ("slack-leg", "one-slack"): "fewer than three tight legs",
    ("rated-load", "part-over"): "a test's table",
    ("slip", "surface-too-slippery"): "the lift file, load.surface",
    ("slip", "slips"): "slip of a plain basket",
    ("edge", "sharp"): "AS 1353",
    ("edge", "very-sharp"): "DGUV",
    ("edge", "not-cut-proof"): "cut-proof",
    ("edge", "shackle-required"): "takes a shackle",
    ("long-load", "one-sling"): "WAC 296-24-29405",
    ("temperature", "too-hot"): "1926.251",
    ("temperature", "too-cold"): "ASME B30.9",
    ("chemicals", "attacked"): "1926.251",
    ("hook-angle", "wide"): "ASME B30.10",
    ("hook-angle", "too-wide"): "ASME B30.26",
    ("eye-fit", "wide-for-others-hook"): "EN 1492-1",
    ("pick-rating", "leans-too-far"): "vertical pull only",
    ("pick-rating", "upright"): "1910.184",
    ("other-regimes", "choker-lower-elsewhere"): "NAVEDTRA",
    ("other-regimes", "two-legs-elsewhere"): "two legs",
    ("choke", "form-cannot"): "type II",
    ("choke", "on-eye"): "choke on the body",
    ("choke", "unstable-wide"): "called unstable",
}


@pytest.mark.parametrize(("rule", "detail"), sorted(NAMED))
def test_finding_cites_its_own_clause(rule: str, detail: str) -> None:
    case = next(c for c in CASES if (c.rule, c.detail) == (rule, detail))
    found = [f for f in run_checks(case.facts(), US) if (f.rule, f.detail) == (rule, detail)]
    assert NAMED[rule, detail] in str(found[0].citation)


@pytest.mark.parametrize(("legs", "named"), [(3, "equal legs"), (4, "four legs rate as three")])
def test_multi_leg_rule_cites_what_counts_its_legs(legs: int, named: str) -> None:
    found = run_checks(changed([{"facts": {"legs": legs}}]), US)
    (finding,) = [f for f in found if f.rule == "rule-against-hang"]
    assert named in str(finding.citation)
