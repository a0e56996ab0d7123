"""What hangs on each hook: load, slings, hardware and beam together.

Always a pass with the figure: the crane's own chart and the crew judge it; a stated capacity is checked
by `hook-capacity`. Caution and stop cannot be.
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import HOOK_LOAD
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "hook-load"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding a hook: its load [N]."""
    return tuple(
        report(
            RULE,
            Outcome.PASS,
            "on-the-hook",
            HOOK_LOAD,
            figure=hook.load_n,
            unit="N",
            subject=f"hook {hook.index + 1}",
        )
        for hook in facts.hooks
    )
