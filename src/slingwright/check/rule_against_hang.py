"""What the rulebook's multi-leg rule gives for the worst leg, beside what the load's hang gives.

Pass: the rule covers the hang. Caution of the lift: the rule falls short; the hang governs. A stop cannot
be: the larger of the two is what `rated-load` checks.
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "rule-against-hang"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding: the hang's worst part against the rule's figure [N]."""
    most = rulebook.legs.counted_most
    covers = facts.hang_n <= facts.rule_floor_n
    return (
        report(
            RULE,
            Outcome.PASS if covers else Outcome.CAUTION,
            "rule-covers" if covers else "rule-short",
            most.citation if facts.legs > most.value else rulebook.legs.statics,
            figure=facts.hang_n,
            limit=facts.rule_floor_n,
            unit="N",
            cure="" if covers else "qualified-person",
            of_the_lift=not covers,
        ),
    )
