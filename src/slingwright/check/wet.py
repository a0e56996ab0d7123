"""Nylon that gets wet loses strength: both checks again with what is left.

Caution (grades): wet nylon, and both checks hold with the loss. Stop: one of them does not; a tie fails.
A pass cannot be: dry nylon and other fibres get no finding, wet nylon always at least the caution.
"""

from __future__ import annotations

from slingwright.check.chemicals import touched
from slingwright.check.facts import Facts, SlingFacts
from slingwright.check.finding import Finding, Outcome, report, stays_below
from slingwright.lift.model import Lift
from slingwright.rulebook import Rulebook
from slingwright.sling import Fibre

__all__ = ["RULE", "check", "gets_wet"]

RULE = "wet"
_WATERS = ("water", "sea-water", "soap", "wet-cement")


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding a wet nylon sling, two where both checks fail: figure and reduced limit [N]."""
    if not gets_wet(facts.lift, rulebook):
        return ()
    nylon = (sling for sling in facts.slings if sling.spec.fibre is Fibre.NYLON)
    return tuple(finding for sling in nylon for finding in _wet(sling, rulebook))


def gets_wet(lift: Lift, rulebook: Rulebook) -> bool:
    """Whether the site is wet or the slings touch water by any of its names."""
    return lift.site.wet or not touched(lift, rulebook).isdisjoint(_WATERS)


def _wet(sling: SlingFacts, rulebook: Rulebook) -> tuple[Finding, ...]:
    loss = rulebook.limit("wet_nylon_loss")
    part_n, hitch_n = ((1 - loss.value) * n for n in (sling.part_limit_n, sling.hitch_rated_n))
    checks = (
        ("wet-part-over", sling.design_tension_n, part_n),
        ("wet-hitch-over", sling.hitch_load_n, hitch_n),
    )
    stops = tuple(
        report(
            RULE,
            Outcome.STOP,
            detail,
            loss,
            figure=figure,
            limit=limit,
            unit="N",
            cure="another-fibre",
            subject=sling.id,
        )
        for detail, figure, limit in checks
        if not stays_below(figure, limit)
    )
    return stops or (
        report(
            RULE,
            Outcome.CAUTION,
            "wet-within",
            loss,
            figure=sling.design_tension_n,
            limit=part_n,
            unit="N",
            cure="another-fibre",
            subject=sling.id,
            grades=True,
        ),
    )
