"""How hard the slings squeeze the load inwards.

Pass: no more than legs give that count as vertical (half the weight times the tangent of five degrees).
Caution: more; the load must bear that figure. A stop cannot be: what the load bears is not told.
"""

from __future__ import annotations

import math

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "squeeze"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding: the largest inward pull [N]."""
    upright = rulebook.limit("near_vertical_deg")
    weight_n = facts.lift.load.weight.high_n or 0.0
    limit_n = weight_n / 2 * math.tan(math.radians(upright.value))
    hardly = facts.squeeze_n <= limit_n
    return (
        report(
            RULE,
            Outcome.PASS if hardly else Outcome.CAUTION,
            "hardly-any" if hardly else "squeezes",
            upright,
            figure=facts.squeeze_n,
            limit=limit_n,
            unit="N",
            cure="" if hardly else "spreader-beam",
        ),
    )
