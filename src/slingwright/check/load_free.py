"""What no figure can tell: that the load is free, complete and drained, and is lifted without shock.

Always a caution of the lift: the crew sees to it. Pass and stop cannot be.
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import LOAD_FREE
from slingwright.lift.model import Lift
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check", "check_lift"]

RULE = "load-free"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """See `check_lift`: the same for every candidate."""
    return check_lift(facts.lift, rulebook)


def check_lift(lift: Lift, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding: stuck, suction, contents, ice, shock."""
    return (
        report(RULE, Outcome.CAUTION, "free-and-complete", LOAD_FREE, cure="free-the-load", of_the_lift=True),
    )
