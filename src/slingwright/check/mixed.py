"""Slings that share a load must be of one kind; unequal lengths only as a marked bridle.

Pass: one form, fibre, class, ply count and width, equal lengths. Caution: made lengths, supplied only as
a permanently marked bridle. Stop: mixed kinds; lengths that differ in what is offered as equal; made
lengths that differ by less than a made length's tolerance. Slings above a beam are a group of their own.
"""

from __future__ import annotations

from itertools import pairwise

from slingwright.check.facts import Facts, SlingFacts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import ONE_KIND
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "mixed"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding a group of slings: spread of their lengths [m]."""
    roles = dict.fromkeys(sling.role for sling in facts.slings)
    return tuple(_group(role, facts) for role in roles)


def _group(role: str, facts: Facts) -> Finding:
    slings = [sling for sling in facts.slings if sling.role == role]
    lengths = [sling.spec.length_m for sling in slings]
    spread_m = max(lengths) - min(lengths)
    distinct = sorted(set(lengths))
    closest_m = min((b - a for a, b in pairwise(distinct)), default=0.0)
    tolerance_m = facts.length_tolerance_m or 0.0
    outcome, detail, cure = Outcome.PASS, "all-alike", ""
    if len({_kind(sling) for sling in slings}) > 1:
        outcome, detail, cure = Outcome.STOP, "mixed-slings", "one-size-all-legs"
    elif spread_m > 0 and facts.lengths != "made":
        outcome, detail, cure = Outcome.STOP, "unequal-unmarked", "same-length-legs"
    elif spread_m > 0 and not closest_m > tolerance_m:  # two legs that nobody could tell apart
        outcome, detail, cure = Outcome.STOP, "below-tolerance", "same-length-legs"
    elif spread_m > 0:
        outcome, detail, cure = Outcome.CAUTION, "marked-bridle", "mark-the-bridle"
    return report(
        RULE,
        outcome,
        detail,
        ONE_KIND,
        figure=spread_m,
        limit=facts.length_tolerance_m,
        unit="m",
        cure=cure,
        subject=role,
    )


def _kind(sling: SlingFacts) -> tuple[object, ...]:
    spec = sling.spec
    return (spec.form, spec.fibre, spec.webbing_class, spec.plies, spec.width_m)
