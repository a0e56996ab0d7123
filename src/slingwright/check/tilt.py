"""How far the load tilts against how level the buyer wants it.

Pass: at most what is wanted. Stop: more. Caution: level enough with every sling as long as it should be,
but not with legs as uneven as their tolerances allow. It does not grade: the figure belongs to the draw with
the worst tension, and what is missed is a wish, not a limit.
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
    """One finding: the worst tilt [deg], or a second beside a pass, with legs uneven within tolerance."""
    wanted = Cited(facts.lift.want.level_within_deg, WANTED_LEVEL)
    level, uneven = facts.tilt_deg <= wanted.value, facts.uneven_tilt_deg
    found = report(
        RULE,
        Outcome.PASS if level else Outcome.STOP,
        "level-enough" if level else "past-wanted",
        wanted,
        figure=facts.tilt_deg,
        unit="deg",
        cure="" if level else "same-length-legs" if facts.lengths == "made" else "another-arrangement",
    )
    if not level or uneven is None or uneven <= wanted.value:
        return (found,)
    caution = report(
        RULE, Outcome.CAUTION, "uneven-past-wanted", wanted, figure=uneven, unit="deg", cure="matched-set"
    )
    return found, caution
