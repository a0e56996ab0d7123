"""How far each hook is pulled out of plumb (two hooks; a single hook hangs over the centre).

Pass: within the limit. Stop: past it. A caution cannot be: the trade gives one figure.
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "side-pull"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding a hook: lean of its force from the vertical [deg]."""
    most = rulebook.limit("side_pull_stop_deg")
    found: list[Finding] = []
    for hook in facts.hooks:
        plumb = hook.side_pull_deg <= most.value
        found.append(
            report(
                RULE,
                Outcome.PASS if plumb else Outcome.STOP,
                "upright" if plumb else "pulled-sideways",
                most,
                figure=hook.side_pull_deg,
                unit="deg",
                cure="" if plumb else "move-hooks",
                subject=f"hook {hook.index + 1}",
            )
        )
    return tuple(found)
