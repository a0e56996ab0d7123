"""How far the load tilts against how level the buyer wants it.

Pass: at most what is wanted. Stop: more. A caution cannot be: a tilt within the buyer's wish is wanted.
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import WANTED_LEVEL
from slingwright.citation import Cited
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "tilt"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding: the worst tilt [deg]."""
    wanted = Cited(facts.lift.want.level_within_deg, WANTED_LEVEL)
    level = facts.tilt_deg <= wanted.value
    return (
        report(
            RULE,
            Outcome.PASS if level else Outcome.STOP,
            "level-enough" if level else "past-wanted",
            wanted,
            figure=facts.tilt_deg,
            unit="deg",
            cure="" if level else "same-length-legs" if facts.lengths == "made" else "another-arrangement",
        ),
    )
