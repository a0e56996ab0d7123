"""Slings that could slip along the load or let it roll: friction needed, and how flat they are pulled.

Baskets. Pass: little friction is needed. Caution (grades): more. Stop: much; more than the surface is
stated to have; a plain basket pulled flatter along the load than slings of a pair stay put at; a figure
that is missing. Chokers. Caution (grades): pulled so flat along the load that they are not recommended.
"""

from __future__ import annotations

from slingwright.check.facts import Facts, SlingFacts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import stated
from slingwright.rulebook import Rulebook
from slingwright.sling import Hitch

__all__ = ["RULE", "check"]

RULE = "slip"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """Friction needed [1] of each basket; angle along the load [deg] of plain baskets and chokers."""
    found: list[Finding] = []
    for sling in facts.slings:
        if sling.hitch is Hitch.BASKET:
            found.append(_friction(sling, facts.lift.load.surface_friction, rulebook))
            if sling.wraps == 1:
                found.extend(_flat_basket(sling, facts.legs, rulebook))
        elif sling.hitch is Hitch.CHOKER:
            found.extend(_flat_choker(sling, rulebook))
    return tuple(found)


def _friction(sling: SlingFacts, surface: float | None, rulebook: Rulebook) -> Finding:
    wary, most = rulebook.limit("friction_caution"), rulebook.limit("friction_stop")
    needed = sling.friction_needed
    cure = "double-wrap" if sling.wraps == 1 else "slings-farther-apart"
    if needed is not None and surface is not None and not needed <= surface:
        return report(
            RULE,
            Outcome.STOP,
            "surface-too-slippery",
            stated("load.surface"),
            figure=needed,
            limit=surface,
            unit="1",
            cure=cure,
            subject=sling.id,
        )
    outcome, detail, source = Outcome.PASS, "holds", wary
    if needed is None:
        outcome, detail, source = Outcome.STOP, "not-figured", most
    elif not needed <= most.value:
        outcome, detail, source = Outcome.STOP, "slips", most
    elif needed > wary.value:
        outcome, detail = Outcome.CAUTION, "needs-grip"
    return report(
        RULE,
        outcome,
        detail,
        source,
        figure=needed,
        unit="1",
        cure="" if outcome is Outcome.PASS else cure,
        subject=sling.id,
        grades=outcome is Outcome.CAUTION,
    )


def _flat_basket(sling: SlingFacts, legs: int, rulebook: Rulebook) -> tuple[Finding, ...]:
    """A plain basket of a pair; a single basket hangs straight and has no angle along the load."""
    least, angle = rulebook.limit("basket_least_angle_along_deg"), sling.angle_along_load_deg
    if angle is None and legs == 1:
        return ()
    if angle is not None and angle >= least.value:
        return ()
    detail = "not-figured" if angle is None else "too-flat-along-load"
    return (
        report(
            RULE,
            Outcome.STOP,
            detail,
            least,
            figure=angle,
            unit="deg",
            cure="longer-slings",
            subject=sling.id,
        ),
    )


def _flat_choker(sling: SlingFacts, rulebook: Rulebook) -> tuple[Finding, ...]:
    least, angle = rulebook.limit("choker_low_pull_deg"), sling.angle_along_load_deg
    if angle is None or angle >= least.value:
        return ()
    return (
        report(
            RULE,
            Outcome.CAUTION,
            "pulled-flat",
            least,
            figure=angle,
            unit="deg",
            cure="longer-slings",
            subject=sling.id,
            grades=True,
        ),
    )
