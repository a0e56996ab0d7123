"""One sling on a long horizontal load: it tips endwise.

Pass: two slings or more, or the load is not over the length. Stop: one sling on a longer load, a single
vertical pick included. A caution cannot be: the source forbids, it does not warn.
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "long-load"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding: the load's longest horizontal measure [m]."""
    most = rulebook.limit("long_load_m")
    figure = max(facts.lift.load.length_m, facts.lift.load.width_m)
    fits = facts.legs > 1 or figure <= most.value
    return (
        report(
            RULE,
            Outcome.PASS if fits else Outcome.STOP,
            "short-or-two-slings" if fits else "one-sling",
            most,
            figure=figure,
            unit="m",
            cure="" if fits else "two-slings",
        ),
    )
