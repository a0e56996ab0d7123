"""The service the slings are in: it decides how often they are inspected.

Pass: normal. Caution of the lift: severe (inspected monthly to quarterly) or special (as a qualified
person says, before the first use). Stop: a service nobody defined.
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import SERVICE
from slingwright.lift.model import Lift
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check", "check_lift"]

RULE = "service"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """See `check_lift`: the same for every candidate."""
    return check_lift(facts.lift, rulebook)


def check_lift(lift: Lift, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding."""
    outcome, detail, cure = {
        "normal": (Outcome.PASS, "normal", ""),
        "severe": (Outcome.CAUTION, "severe", "qualified-person"),
        "special": (Outcome.CAUTION, "special", "qualified-person"),
    }.get(lift.site.service, (Outcome.STOP, "unknown-service", "ask-service"))
    return (report(RULE, outcome, detail, SERVICE, cure=cure, of_the_lift=outcome is Outcome.CAUTION),)
