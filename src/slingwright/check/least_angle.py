"""The flattest leg's angle from the horizontal, as the load hangs, against rulebook and buyer.

Pass: at or above what the buyer wants, not below the normal limit of the trade. Caution: below that
normal limit, where web can tear at an eye's edge. Stop: below the buyer's least angle or the rulebook's.
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import WANTED_ANGLE
from slingwright.citation import Cited
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "least-angle"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding: the flattest leg [deg from the horizontal]."""
    figure = facts.least_angle_from_horizontal_deg
    least = rulebook.limit("least_angle_deg")
    normal = rulebook.limit("normal_angle_deg")
    wanted = Cited(facts.lift.want.least_angle_deg, WANTED_ANGLE)
    outcome, detail, source, cure = Outcome.PASS, "steep-enough", wanted, ""
    if not figure >= least.value:
        outcome, detail, source, cure = Outcome.STOP, "below-rulebook", least, "longer-slings"
    elif not figure >= wanted.value:
        outcome, detail, cure = Outcome.STOP, "below-wanted", "longer-slings"
    elif figure < normal.value:
        outcome, detail, source, cure = Outcome.CAUTION, "shallow", normal, "longer-slings"
    return (report(RULE, outcome, detail, source, figure=figure, unit="deg", cure=cure),)
