"""What the lift is for: overhead lifting, and nothing else.

Pass: an overhead lift. Caution of the lift: a marine lift (`dynamic` asks for its factor). Stop: people,
towing, tie-down, offshore, and anything that is not a lift.
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import AT_SEA, PURPOSE
from slingwright.lift.model import Lift
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check", "check_lift"]

RULE = "purpose"
_REFUSED = ("people", "towing", "tie-down", "offshore")


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """See `check_lift`: the same for every candidate."""
    return check_lift(facts.lift, rulebook)


def check_lift(lift: Lift, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding."""
    purpose = lift.site.purpose
    if purpose == "lift":
        return (report(RULE, Outcome.PASS, "lift", PURPOSE),)
    if purpose == "marine":
        return (report(RULE, Outcome.CAUTION, "marine", AT_SEA, cure="qualified-person", of_the_lift=True),)
    detail = purpose if purpose in _REFUSED else "other"
    source = AT_SEA if purpose == "offshore" else PURPOSE
    return (report(RULE, Outcome.STOP, detail, source, cure="not-for-this"),)
