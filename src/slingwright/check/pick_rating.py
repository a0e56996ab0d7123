"""Each pick point's pull against its rating, and its lean where the rating holds for a vertical pull only.

Pass: below the rating; upright within five degrees. Caution (grades): a vertical-only lug pulled between
five and fifteen degrees. Caution of the lift: no rating stated, and then a lean over fifteen degrees too.
Stop: at or over the rating, or a vertical-only lug pulled more than fifteen degrees out of its line (the
conservative of two readings: the trade starts to worry at fifteen, so nothing past it is offered).
"""

from __future__ import annotations

from slingwright.check.facts import Facts, LugFacts
from slingwright.check.finding import Finding, Outcome, report, stays_below
from slingwright.check.sources import LUG_RATING
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "pick-rating"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """Pull [N] and lean [deg from the lug's vertical] of every pick point used."""
    return tuple(f for lug in facts.lugs for f in (_pull(lug), *_lean(lug, rulebook)))


def _pull(lug: LugFacts) -> Finding:
    outcome, detail, cure = Outcome.PASS, "within", ""
    if lug.rated_n is None:
        outcome, detail, cure = Outcome.CAUTION, "rating-unknown", "ask-lug"
    elif not stays_below(lug.tension_n, lug.rated_n):
        outcome, detail, cure = Outcome.STOP, "over", "more-legs"
    return report(
        RULE,
        outcome,
        detail,
        LUG_RATING,
        figure=lug.tension_n,
        limit=lug.rated_n,
        unit="N",
        cure=cure,
        subject=lug.name,
        of_the_lift=outcome is Outcome.CAUTION,
    )


def _lean(lug: LugFacts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """The lean matters to a vertical-only lug, and to one of which nothing is known."""
    upright, most = rulebook.limit("near_vertical_deg"), rulebook.limit("lug_lean_deg")
    outcome, detail, limit, cure = Outcome.PASS, "upright", upright, ""
    steep = lug.lean_from_vertical_deg <= most.value
    if lug.vertical_only and not steep:
        outcome, detail, limit, cure = Outcome.STOP, "leans-too-far", most, "spreader-beam"
    elif lug.vertical_only and lug.lean_from_vertical_deg > upright.value:
        outcome, detail, cure = Outcome.CAUTION, "leans", "spreader-beam"
    elif lug.rated_n is None and not steep:
        outcome, detail, limit, cure = Outcome.CAUTION, "lean-at-unrated", most, "ask-lug"
    elif not lug.vertical_only:
        return ()
    return (
        report(
            RULE,
            outcome,
            detail,
            limit,
            figure=lug.lean_from_vertical_deg,
            unit="deg",
            cure=cure,
            subject=lug.name,
            of_the_lift=detail == "lean-at-unrated",
            grades=detail == "leans",
        ),
    )
