"""A figure that gets worse never gets a better outcome (what is true of figures, not of whole lifts)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slingwright.check import RULES, Outcome, run_checks
from slingwright.rulebook import load_rulebook
from tests.unit.check.rule_cases import changed

US = load_rulebook("us")
RANK = {Outcome.PASS: 0, Outcome.CAUTION: 1, Outcome.STOP: 2}
# rule, what changes, the range of the figure, whether more of it is worse
FIGURES = [
    ("rated-load", "sling", "design_tension_n", 1.0, 50000.0, True),
    ("rated-load", "sling", "hitch_load_n", 1.0, 50000.0, True),
    ("rated-load", "sling", "part_limit_n", 1.0, 50000.0, False),
    ("least-angle", "facts", "least_angle_from_horizontal_deg", 0.0, 90.0, False),
    ("tilt", "facts", "tilt_deg", 0.0, 10.0, True),
    ("headroom", "facts", "hook_height_m", 0.0, 12.0, True),
    ("stability", "facts", "push_deg", 0.0, 20.0, False),
    ("slip", "basket", "friction_needed", 0.0, 0.5, True),
    ("slip", "basket", "angle_along_load_deg", 0.0, 90.0, False),
    ("hook-angle", "hook", "included_angle_deg", 0.0, 180.0, True),
    ("hook-capacity", "hook", "load_n", 1.0, 120000.0, True),
    ("squeeze", "facts", "squeeze_n", 0.0, 10000.0, True),
    ("eye-fit", "sling", "upper_thickness_m", 0.001, 0.5, True),
    ("pick-rating", "lug", "tension_n", 1.0, 60000.0, True),
    ("beam", "beam", "load_n", 1.0, 120000.0, True),
]


@pytest.mark.parametrize(("rule", "kind", "field", "low", "high", "more_is_worse"), FIGURES)
def test_worse_figure_never_has_the_better_outcome(
    rule: str, kind: str, field: str, low: float, high: float, more_is_worse: bool
) -> None:
    rules = [r for r in RULES if r.__module__.endswith("." + rule.replace("-", "_"))]
    seen = set()

    def outcome(figure: float) -> int:
        found = run_checks(changed([{kind: {field: figure}}]), US, rules)
        seen.add(worst := max(RANK[f.outcome] for f in found))
        return worst

    @given(st.floats(low, high), st.floats(low, high))
    def check(a: float, b: float) -> None:
        better, worse = sorted((a, b), reverse=not more_is_worse)
        assert outcome(better) <= outcome(worse)

    check()
    assert len(seen) > 1, "the range must cross a limit"
