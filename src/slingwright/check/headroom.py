"""The hook's height over the load's underside against the room there is.

Pass: it fits. Stop: it does not. A caution cannot be: stretch and length tolerance are in the figure.
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import stated
from slingwright.citation import Cited
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "headroom"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding: the hook's height [m] against the least headroom of all hooks."""
    room = Cited(min(hook.headroom_m for hook in facts.lift.hooks), stated("hook.headroom"))
    fits = facts.hook_height_m <= room.value
    return (
        report(
            RULE,
            Outcome.PASS if fits else Outcome.STOP,
            "fits" if fits else "too-high",
            room,
            figure=facts.hook_height_m,
            unit="m",
            cure="" if fits else "shorter-slings",
        ),
    )
