"""The dynamic factor: how much more than its weight a load pulls while it moves.

Pass: one or more, and the lift is on land or its factor is over one. Caution of the lift: sea water is
touched and no factor over one is stated (a calm quay may do without; a moving hull may not). Stop: a
marine lift without one, or a factor below one.
"""

from __future__ import annotations

from slingwright.check.chemicals import touched
from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import AT_SEA
from slingwright.lift.model import Lift
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check", "check_lift"]

RULE = "dynamic"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """See `check_lift`: the same for every candidate."""
    return check_lift(facts.lift, rulebook)


def check_lift(lift: Lift, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding: the factor [1]."""
    site = lift.site
    outcome, detail, cure = Outcome.PASS, "stated", ""
    if not site.dynamic_factor >= 1:
        outcome, detail, cure = Outcome.STOP, "below-one", "state-dynamic-factor"
    elif site.dynamic_factor == 1 and site.purpose == "marine":
        outcome, detail, cure = Outcome.STOP, "marine-without-factor", "state-dynamic-factor"
    elif site.dynamic_factor == 1 and "sea-water" in touched(lift, rulebook):
        outcome, detail, cure = Outcome.CAUTION, "no-factor-at-sea", "state-dynamic-factor"
    return (
        report(
            RULE,
            outcome,
            detail,
            AT_SEA,
            figure=site.dynamic_factor,
            limit=1.0,
            unit="1",
            cure=cure,
            of_the_lift=outcome is Outcome.CAUTION,
        ),
    )
