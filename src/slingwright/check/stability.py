"""Whether the load stays upright, and how far it is from not doing so.

Pass: stable with room. Caution (grades): stable, but a centre a little higher or a small push would turn
it. Caution of the lift: a round load may roll in its slings. Stop: it capsizes, or it is not shown stable.
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import STATICS
from slingwright.hang.result import Status
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "stability"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """How far the centre may rise [share of the load's height] and how far a push may go [deg]."""
    if facts.status == Status.UNREACHABLE:  # the reach rule stops it; an unreached load has no stability
        return ()
    if facts.status == Status.CAPSIZES:
        return (report(RULE, Outcome.STOP, "capsizes", STATICS, cure="raise-picks"),)
    if facts.status != Status.STABLE:
        return (report(RULE, Outcome.STOP, "not-shown-stable", STATICS, cure="another-arrangement"),)
    close = _close(facts, rulebook)
    found = close or (report(RULE, Outcome.PASS, "stable", STATICS, figure=facts.push_deg, unit="deg"),)
    if "roll" in facts.null_modes:
        found += (report(RULE, Outcome.CAUTION, "rolls-freely", STATICS, cure="tag-lines", of_the_lift=True),)
    return found


def _close(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """The margins that are too small, each a caution."""
    rise, push = rulebook.limit("stability_rise_ratio"), rulebook.limit("stability_push_deg")
    found: list[Finding] = []
    rises_m, least_m = facts.centre_may_rise_m, rise.value * facts.lift.load.height_m
    if rises_m is not None and not rises_m >= least_m:
        found.append(
            report(
                RULE,
                Outcome.CAUTION,
                "small-rise",
                rise,
                figure=rises_m,
                limit=least_m,
                unit="m",
                cure="raise-picks",
                grades=True,
            )
        )
    if facts.push_deg is not None and not facts.push_deg >= push.value:
        found.append(
            report(
                RULE,
                Outcome.CAUTION,
                "small-push",
                push,
                figure=facts.push_deg,
                unit="deg",
                cure="raise-picks",
                grades=True,
            )
        )
    return tuple(found)
