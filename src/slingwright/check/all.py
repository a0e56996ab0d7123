"""Every rule, in the order in which an offer lists them."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from slingwright.check import (
    beam,
    bend,
    buildable,
    chemicals,
    choke,
    dynamic,
    edge,
    eye_crowding,
    eye_fit,
    form_for_use,
    headroom,
    hook_angle,
    hook_capacity,
    hook_load,
    least_angle,
    load_free,
    long_load,
    loose_bundle,
    mixed,
    other_regimes,
    pick_rating,
    purpose,
    rated_load,
    reach,
    rule_against_hang,
    service,
    side_pull,
    slack_leg,
    slip,
    squeeze,
    stability,
    swap,
    table,
    temperature,
    tilt,
    unknowns,
    wet,
    wrong_tool,
)
from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome
from slingwright.lift.model import Lift
from slingwright.rulebook import Rulebook

__all__ = ["HANGLESS", "LIFT_RULES", "RULES", "LiftRule", "Rule", "check_lift", "first_stop", "run_checks"]

Rule = Callable[[Facts, Rulebook], tuple[Finding, ...]]
LiftRule = Callable[[Lift, Rulebook], tuple[Finding, ...]]

# need no candidate: run before any search
LIFT_RULES: tuple[LiftRule, ...] = (
    purpose.check_lift,
    dynamic.check_lift,
    service.check_lift,
    unknowns.check_lift,
    chemicals.check_lift,
    wrong_tool.check_lift,
    load_free.check_lift,
)

# need a candidate, but read no figure of its hang: a search may run them before it solves anything
HANGLESS: tuple[Rule, ...] = (
    purpose.check,
    dynamic.check,
    service.check,
    unknowns.check,
    wrong_tool.check,
    load_free.check,
    table.check,
    temperature.check,
    chemicals.check,
    form_for_use.check,
    choke.check,
    loose_bundle.check,
    long_load.check,
    edge.check,
    bend.check,
    eye_fit.check,
    mixed.check,
    buildable.check,
)

# every rule of a candidate; the lift's own rules among them, so that an offer's findings are complete
RULES: tuple[Rule, ...] = (
    *HANGLESS,
    rated_load.check,
    wet.check,
    rule_against_hang.check,
    other_regimes.check,
    reach.check,
    stability.check,
    slack_leg.check,
    least_angle.check,
    tilt.check,
    headroom.check,
    swap.check,
    slip.check,
    squeeze.check,
    pick_rating.check,
    hook_load.check,
    hook_capacity.check,
    hook_angle.check,
    eye_crowding.check,
    side_pull.check,
    beam.check,
)


def run_checks(facts: Facts, rulebook: Rulebook, rules: Sequence[Rule] = RULES) -> tuple[Finding, ...]:
    """Run the rules over one candidate's facts; findings in the order of the rules."""
    return tuple(finding for rule in rules for finding in rule(facts, rulebook))


def first_stop(facts: Facts, rulebook: Rulebook, rules: Sequence[Rule] = RULES) -> Finding | None:
    """Return the first stop, running no rule after it: for a search that only rejects."""
    for rule in rules:
        for finding in rule(facts, rulebook):
            if finding.outcome is Outcome.STOP:
                return finding
    return None


def check_lift(lift: Lift, rulebook: Rulebook, rules: Sequence[LiftRule] = LIFT_RULES) -> tuple[Finding, ...]:
    """Run the rules that need no candidate; a stop among them answers the lift."""
    return tuple(finding for rule in rules for finding in rule(lift, rulebook))
