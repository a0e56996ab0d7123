"""What another regime would say of the same lift: information, it decides nothing here.

Caution: a choker loaded past the older, lower choker factor; a rigid load's bridle of four that would not
hold on two legs. A pass and a stop cannot be: nothing is said where the other regime agrees, and no other
regime's number stops a lift (the `strictest` profile does that, by its own limits).
"""

from __future__ import annotations

import math

from slingwright.check.facts import Facts, SlingFacts
from slingwright.check.finding import Finding, Outcome, report, stays_below
from slingwright.rulebook import Rulebook
from slingwright.sling import Hitch

__all__ = ["RULE", "check"]

RULE = "other-regimes"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """At most one finding a choker (both factors [1]) and one a bridle (tension on two legs [N])."""
    found = [f for s in facts.slings if s.hitch is Hitch.CHOKER for f in _choker(s, rulebook)]
    return (*found, *_two_legs(facts, rulebook))


def _choker(sling: SlingFacts, rulebook: Rulebook) -> tuple[Finding, ...]:
    older = rulebook.hitch.factors.get("choker_older")
    if older is None:
        return ()
    own = rulebook.choker_factor().value
    if stays_below(sling.hitch_load_n, sling.hitch_rated_n * older.value / own):
        return ()
    return (
        report(
            RULE,
            Outcome.CAUTION,
            "choker-lower-elsewhere",
            older,
            figure=own,
            unit="1",
            cure="stronger-sling",
            subject=sling.id,
        ),
    )


def _two_legs(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """Four legs or more on a rigid load: the weight on two of them at the flattest leg's angle."""
    main = [s for s in facts.slings if s.role == "main" and s.hitch is Hitch.VERTICAL]
    two, weight_n = rulebook.legs.two_carry_all, facts.lift.load.weight.high_n
    sine = math.sin(math.radians(facts.least_angle_from_horizontal_deg))
    if len(main) <= rulebook.legs.counted_most.value or weight_n is None or not sine > 0:
        return ()
    tension_n, limit_n = weight_n / (two.value * sine), min(s.part_limit_n for s in main)
    if stays_below(tension_n, limit_n):
        return ()
    return (
        report(
            RULE,
            Outcome.CAUTION,
            "two-legs-elsewhere",
            two,
            figure=tension_n,
            limit=limit_n,
            unit="N",
            cure="stronger-sling",
        ),
    )
