"""Whether the shop can build the sling, or has it: its length, its pattern, its lofts.

Pass: long enough for its pattern and some loft builds it or has it. Stop: too short for its pattern, or
no loft. A caution cannot be: a sling is built to its pattern or not at all.
"""

from __future__ import annotations

from slingwright.check.facts import Facts, SlingFacts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import SHOP_PATTERN
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "buildable"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding a sling: its length [m] against the least its pattern allows."""
    return tuple(_built(sling) for sling in facts.slings)


def _built(sling: SlingFacts) -> Finding:
    outcome, detail, cure = Outcome.PASS, "built-by", ""
    if sling.least_length_m is not None and not sling.spec.length_m >= sling.least_length_m:
        outcome, detail, cure = Outcome.STOP, "too-short", "longer-slings"
    elif not sling.buildable_at:
        outcome, detail, cure = Outcome.STOP, "no-loft", "another-form"
    return report(
        RULE,
        outcome,
        detail,
        SHOP_PATTERN,
        figure=sling.spec.length_m,
        limit=sling.least_length_m,
        unit="m",
        cure=cure,
        subject=sling.id,
    )
