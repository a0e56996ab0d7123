"""Whether the rated-load table behind each sling has been adopted by the shop's qualified person.

Pass: adopted. Caution of the lift: not adopted, planning only. Stop: not adopted and of three or more
plies, whose rows rest on one series alone.
"""

from __future__ import annotations

from slingwright.check.facts import Facts, SlingFacts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import ADOPTION
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "table"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding for slings on adopted tables, one for the rest, one a thick sling [plies]."""
    thick = [s for s in facts.slings if not s.table_adopted and _is_thick(s, rulebook)]
    found = tuple(
        report(
            RULE,
            Outcome.STOP,
            "thick-not-proposable",
            rulebook.limit("plies_from_adoption"),
            figure=float(sling.spec.plies),
            unit="1",
            cure="fewer-plies",
            subject=sling.id,
        )
        for sling in thick
    )
    if all(sling.table_adopted for sling in facts.slings):
        return (report(RULE, Outcome.PASS, "adopted", ADOPTION),)
    return (
        report(RULE, Outcome.CAUTION, "not-adopted", ADOPTION, cure="adopt-table", of_the_lift=True),
        *found,
    )


def _is_thick(sling: SlingFacts, rulebook: Rulebook) -> bool:
    return sling.spec.plies >= rulebook.limit("plies_from_adoption").value
