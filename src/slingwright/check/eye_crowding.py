"""The eyes side by side on a hook against the hook's width.

Pass: they fit beside each other. Caution: they crowd; a link or shackle takes them. Caution of the lift:
the hook's width is not known and more than one eye sits on it. A stop cannot be: a link or shackle is
hardware of the crew, it changes no sling.
"""

from __future__ import annotations

from slingwright.check.facts import Facts, HookFacts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "eye-crowding"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding a hook: widths of the eyes on it, added up [m], against its width."""
    return tuple(_room(hook, rulebook) for hook in facts.hooks)


def _room(hook: HookFacts, rulebook: Rulebook) -> Finding:
    source = rulebook.limit("pin_to_eye_width_ratio").citation
    outcome, detail, cure = Outcome.PASS, "room-enough", ""
    if hook.width_m is None:
        if hook.eyes > 1:
            outcome, detail, cure = Outcome.CAUTION, "width-unknown", "ask-hook"
    elif not hook.eyes_width_m <= hook.width_m:
        outcome, detail, cure = Outcome.CAUTION, "crowded", "link-or-shackle"
    return report(
        RULE,
        outcome,
        detail,
        source,
        figure=hook.eyes_width_m,
        limit=hook.width_m,
        unit="m",
        cure=cure,
        subject=f"hook {hook.index + 1}",
        of_the_lift=detail == "width-unknown",
    )
