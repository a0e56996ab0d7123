"""The widest angle between two legs at a hook.

Pass: at most what a hook may take. Caution (grades): more; a collecting link or shackle must take the
legs. Stop: more than a shackle's bow may take.
"""

from __future__ import annotations

from slingwright.check.facts import Facts, HookFacts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "hook-angle"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding a hook that takes more than one eye: included angle [deg]."""
    return tuple(_angle(hook, rulebook) for hook in facts.hooks if hook.eyes > 1)


def _angle(hook: HookFacts, rulebook: Rulebook) -> Finding:
    hook_most, bow_most = rulebook.limit("hook_angle_deg"), rulebook.limit("shackle_angle_deg")
    outcome, detail, limit, cure = Outcome.PASS, "narrow-enough", hook_most, ""
    if not hook.included_angle_deg <= bow_most.value:
        outcome, detail, limit, cure = Outcome.STOP, "too-wide", bow_most, "longer-slings"
    elif hook.included_angle_deg > hook_most.value:
        outcome, detail, cure = Outcome.CAUTION, "wide", "link-or-shackle"
    return report(
        RULE,
        outcome,
        detail,
        limit,
        figure=hook.included_angle_deg,
        unit="deg",
        cure=cure,
        subject=f"hook {hook.index + 1}",
        grades=outcome is Outcome.CAUTION,
    )
