"""Edges of the load against the sling: radius r, thickness t of the whole stack in contact, protection.

r of three t or more: pass with any protection, caution (grades) without. r from t to three t: pass with
a cut-rated sleeve tested at that radius or a former that gives three t, else stop. r below t: pass with
such a former, else stop. Radius unknown: as below t, and a caution of the lift (planning only). A wear
sleeve clears no edge. A protected edge carries the caution of the lift that nothing is cut-proof; an
end on a pick point carries the one that a lug takes a shackle, never web.
"""

from __future__ import annotations

from slingwright.check.facts import Facts, SlingFacts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import NOT_CUT_PROOF, SHACKLE
from slingwright.rulebook import Rulebook

__all__ = ["CLEARED_BY", "RULE", "check", "protects"]

RULE = "edge"
_PROTECTIONS = ("wear-sleeve", "cut-sleeve", "radius-former")
CLEARED_BY = {"radius-former": "former-rounds-it", "cut-sleeve": "cut-sleeve-rated"}


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding a sling on an edge: the radius [m] against three thicknesses of the stack."""
    radius_m = facts.lift.load.edge.radius_m
    on_edges = [s for s in facts.slings if s.on_edges > 0]
    found = [_edge(sling, radius_m, rulebook) for sling in on_edges]
    if on_edges and radius_m is None:
        found.append(_of_the_lift("radius-unknown", rulebook, "measure-edge"))
    if any(s.protection in _PROTECTIONS for s in on_edges):
        found.append(_of_the_lift("not-cut-proof", rulebook, "trial-lift"))
    if any(s.lower_on_pin for s in facts.slings):
        found.append(_of_the_lift("shackle-required", rulebook, "shackle-at-lug"))
    return tuple(found)


def protects(sling: SlingFacts, radius_m: float, rulebook: Rulebook) -> str:
    """What makes a radius below three thicknesses bearable: `cut-sleeve`, `radius-former` or "" for nothing.

    A former must give three thicknesses, whatever is under it; a cut-rated sleeve must be tested at this
    radius or a smaller one, and the radius must be one thickness at least.
    """
    tested_m, stack_m = sling.protection_radius_m, sling.stack_thickness_m
    if tested_m is None:
        return ""
    if (
        sling.protection == "radius-former"
        and tested_m >= rulebook.limit("edge_radius_ratio").value * stack_m
    ):
        return "radius-former"
    bent_over = rulebook.limit("edge_former_ratio").value * stack_m
    if sling.protection == "cut-sleeve" and tested_m <= radius_m and radius_m >= bent_over:
        return "cut-sleeve"
    return ""


def _edge(sling: SlingFacts, radius_m: float | None, rulebook: Rulebook) -> Finding:
    ratio, former = rulebook.limit("edge_radius_ratio"), rulebook.limit("edge_former_ratio")
    blunt_m = ratio.value * sling.stack_thickness_m
    guard = protects(sling, 0.0 if radius_m is None else radius_m, rulebook)
    outcome, source, cure = Outcome.PASS, ratio, ""
    if radius_m is not None and radius_m >= blunt_m:
        detail = "blunt-and-protected"
        if sling.protection not in _PROTECTIONS:
            outcome, detail, cure = Outcome.CAUTION, "blunt-unprotected", "wear-sleeve"
    elif guard:
        detail = CLEARED_BY[guard]
    elif radius_m is None:
        outcome, detail, source, cure = Outcome.STOP, "unknown-unprotected", former, "radius-former"
    elif radius_m >= former.value * sling.stack_thickness_m:
        outcome, detail, cure = Outcome.STOP, "sharp", "cut-rated-sleeve"
    else:
        outcome, detail, source, cure = Outcome.STOP, "very-sharp", former, "radius-former"
    return report(
        RULE,
        outcome,
        detail,
        source,
        figure=radius_m,
        limit=source.value * sling.stack_thickness_m,
        unit="m",
        cure=cure,
        subject=sling.id,
        grades=outcome is Outcome.CAUTION,
    )


def _of_the_lift(detail: str, rulebook: Rulebook, cure: str) -> Finding:
    source = {
        "radius-unknown": rulebook.limit("edge_former_ratio").citation,
        "not-cut-proof": NOT_CUT_PROOF,
        "shackle-required": SHACKLE,
    }[detail]
    return report(RULE, Outcome.CAUTION, detail, source, cure=cure, of_the_lift=True)
