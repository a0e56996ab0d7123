"""Whether the slings reach from hook to load at all.

Pass: they do. Stop: they do not. A caution cannot be: a leg reaches or it does not.
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import STATICS
from slingwright.hang.result import Status
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "reach"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding: the status the hang found, with its margin [m] of the slings over the distance."""
    reaches = facts.status != Status.UNREACHABLE
    return (
        report(
            RULE,
            Outcome.PASS if reaches else Outcome.STOP,
            "reaches" if reaches else "unreachable",
            STATICS,
            figure=facts.reach_margin_m,
            unit="m",
            cure="" if reaches else "longer-slings",
        ),
    )
