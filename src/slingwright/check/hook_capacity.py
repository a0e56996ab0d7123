"""Each hook's load against its stated capacity.

Pass: below. Caution of the lift: no capacity stated. Stop: at or over it; a tie fails.
"""

from __future__ import annotations

from slingwright.check.facts import Facts, HookFacts
from slingwright.check.finding import Finding, Outcome, report, stays_below
from slingwright.check.sources import HOOK_PLATE
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "hook-capacity"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding a hook: load on it [N]."""
    return tuple(_capacity(hook) for hook in facts.hooks)


def _capacity(hook: HookFacts) -> Finding:
    outcome, detail, cure = Outcome.PASS, "within", ""
    if hook.capacity_n is None:
        outcome, detail, cure = Outcome.CAUTION, "capacity-unknown", "ask-hook"
    elif not stays_below(hook.load_n, hook.capacity_n):
        outcome, detail, cure = Outcome.STOP, "over", "bigger-hook"
    return report(
        RULE,
        outcome,
        detail,
        HOOK_PLATE,
        figure=hook.load_n,
        limit=hook.capacity_n,
        unit="N",
        cure=cure,
        subject=f"hook {hook.index + 1}",
        of_the_lift=outcome is Outcome.CAUTION,
    )
