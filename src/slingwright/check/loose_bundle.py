"""A loose bundle must be gripped all round, or pieces slide out of it.

Pass: two double-wrap chokers or more. Caution (grades): a single one, a single-wrap choker, a double-wrap
basket. Stop: a plain basket, or legs on pick points (they hold one piece, not the bundle).
"""

from __future__ import annotations

from slingwright.check.facts import Facts, SlingFacts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import LOOSE_BUNDLE
from slingwright.rulebook import Rulebook
from slingwright.sling import Hitch

__all__ = ["RULE", "check"]

RULE = "loose-bundle"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding a main sling on a load said to be loose: its wraps [1]."""
    if not facts.lift.load.loose:
        return ()
    return tuple(_grip(sling, facts.legs) for sling in facts.slings if sling.role == "main")


def _grip(sling: SlingFacts, slings: int) -> Finding:
    twice = sling.wraps > 1
    outcome, detail = {
        (Hitch.CHOKER, True): (Outcome.PASS, "gripped-all-round"),
        (Hitch.CHOKER, False): (Outcome.CAUTION, "single-wrap"),
        (Hitch.BASKET, True): (Outcome.CAUTION, "double-wrap-basket"),
        (Hitch.BASKET, False): (Outcome.STOP, "plain-basket"),
    }.get((sling.hitch, twice), (Outcome.STOP, "not-gripped"))
    if outcome is Outcome.PASS and slings < 2:
        outcome, detail = Outcome.CAUTION, "one-choker"
    return report(
        RULE,
        outcome,
        detail,
        LOOSE_BUNDLE,
        figure=float(sling.wraps),
        unit="1",
        cure="" if outcome is Outcome.PASS else "double-wrap-chokers",
        subject=sling.id,
        grades=outcome is Outcome.CAUTION,
    )
