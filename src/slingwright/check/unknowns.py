"""What is not known of the load: planning only until it is, and a trial lift.

Pass: weight and centre known. Caution of the lift: weight or centre by estimate, centre unknown, the
tool's own section assumed. Stop: weight unknown.
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import LOAD_KNOWN
from slingwright.lift.model import KnownBy, Lift
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check", "check_lift"]

RULE = "unknowns"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """See `check_lift`: the same for every candidate."""
    return check_lift(facts.lift, rulebook)


def check_lift(lift: Lift, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding for each thing not known, or one pass: weight's upper bound [N]."""
    load = lift.load
    if load.weight.nominal_n is None or load.weight.high_n is None:
        return (report(RULE, Outcome.STOP, "weight-unknown", LOAD_KNOWN, cure="find-weight"),)
    open_points = (
        ("weight-estimated", "find-weight", load.weight.known_by is KnownBy.ESTIMATE),
        ("centre-unknown", "find-centre", not load.centre.known),
        ("centre-estimated", "find-centre", load.centre.known and load.centre.known_by is KnownBy.ESTIMATE),
        ("section-assumed", "measure-section", load.sections_assumed),
    )
    found = tuple(
        report(RULE, Outcome.CAUTION, detail, LOAD_KNOWN, cure=cure, of_the_lift=True)
        for detail, cure, is_open in open_points
        if is_open
    )
    return found or (report(RULE, Outcome.PASS, "known", LOAD_KNOWN, figure=load.weight.high_n, unit="N"),)
