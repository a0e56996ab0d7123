"""The bend round a round section: radius r against the thickness t of the stack in contact.

Pass: three t or more. Below that it is an edge: a cut-rated sleeve tested at that radius or a former
clears it, else stop. A caution cannot be: no derating by bend is published for flat web, so it is
either gentle enough or treated as an edge.
"""

from __future__ import annotations

from slingwright.check.edge import protects, report_cleared
from slingwright.check.facts import Facts, SlingFacts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "bend"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding a sling that lies on a round section: its radius [m]."""
    return tuple(_bend(s, s.on_round_m, rulebook) for s in facts.slings if s.on_round_m is not None)


def _bend(sling: SlingFacts, radius_m: float, rulebook: Rulebook) -> Finding:
    ratio, former = rulebook.limit("edge_radius_ratio"), rulebook.limit("edge_former_ratio")
    stack_m, guard = sling.stack_thickness_m, protects(sling, radius_m, rulebook)
    outcome, detail, source, cure = Outcome.PASS, "round-enough", ratio, ""
    if not stack_m > 0 or radius_m < former.value * stack_m:
        outcome, detail, source, cure = Outcome.STOP, "very-tight", former, "radius-former"
    elif not radius_m >= ratio.value * stack_m:
        outcome, detail, cure = Outcome.STOP, "tight", "fewer-plies"
    if outcome is Outcome.STOP and guard:
        return report_cleared(RULE, guard, sling, radius_m, ratio)
    return report(
        RULE,
        outcome,
        detail,
        source,
        figure=radius_m,
        limit=source.value * stack_m,
        unit="m",
        cure=cure,
        subject=sling.id,
    )
