"""Each part's design tension and each sling's hitch load against their rated loads: both must stay below.

Pass: both below with a tenth or more in hand. Caution (grades): less than a tenth in hand. Stop: at or
over the rated load; a tie fails. The angle is in the tension already and is never applied to a part's
limit again.
"""

from __future__ import annotations

from slingwright.check.facts import Facts, SlingFacts
from slingwright.check.finding import Finding, Outcome, report, stays_below
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "rated-load"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """Two findings a sling: its worst part, and the load it carries in its hitch [N]."""
    least_reserve = rulebook.limit("reserve_ratio").value
    return tuple(
        _against(sling, what, figure, limit, least_reserve)
        for sling in facts.slings
        for what, figure, limit in (
            ("part", sling.design_tension_n, sling.part_limit_n),
            ("hitch", sling.hitch_load_n, sling.hitch_rated_n),
        )
    )


def _against(sling: SlingFacts, what: str, figure_n: float, limit_n: float, least_reserve: float) -> Finding:
    """One figure against one rated load."""
    outcome, detail, cure, grades = Outcome.PASS, f"{what}-within", "", False
    if not stays_below(figure_n, limit_n):
        outcome, detail, cure = Outcome.STOP, f"{what}-over", "stronger-sling"
    elif figure_n > (1 - least_reserve) * limit_n:
        outcome, detail, cure, grades = Outcome.CAUTION, f"{what}-thin-reserve", "stronger-sling", True
    return report(
        RULE,
        outcome,
        detail,
        sling.rated_citation,
        figure=figure_n,
        limit=limit_n,
        unit="N",
        cure=cure,
        subject=sling.id,
        grades=grades,
    )
