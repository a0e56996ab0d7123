"""Edges of the load against the sling: radius r, thickness t of the whole stack in contact, protection.

r of three t or more: pass with any protection, caution (grades) without. r from t to three t: pass with
a cut-rated sleeve tested at that radius or a former that gives three t, else stop. r below t: pass with
such a former, else stop. Radius unknown: as below t, and a caution of the lift (planning only). A wear
sleeve clears no edge. A protected edge carries the caution of the lift that nothing is cut-proof; an
end on a pick point carries the one that a lug takes a shackle, never web.
"""

from __future__ import annotations

from collections.abc import Sequence

from slingwright.check.facts import Facts, SlingFacts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import NOT_CUT_PROOF, SHACKLE
from slingwright.citation import Citation, Cited
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check", "protects", "report_cleared"]

RULE = "edge"
_PROTECTIONS = ("wear-sleeve", "cut-sleeve", "radius-former")


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding a sling on an edge: the radius [m] against three thicknesses of the stack."""
    radius_m = facts.lift.load.edge.radius_m
    on_edges = [s for s in facts.slings if s.on_edges > 0]
    unknown = rulebook.limit("edge_former_ratio").citation
    unlisted = [s for s in on_edges if radius_m is None]
    protected = [s for s in on_edges if s.protection in _PROTECTIONS]
    on_pins = [s for s in facts.slings if s.lower_on_pin]
    return (
        *(_edge(sling, radius_m, rulebook) for sling in on_edges),
        *_of_the_lift("radius-unknown", unlisted, unknown, "measure-edge"),
        *_of_the_lift("not-cut-proof", protected, NOT_CUT_PROOF, "trial-lift"),
        *_of_the_lift("shackle-required", on_pins, SHACKLE, "shackle-at-lug"),
    )


def protects(sling: SlingFacts, radius_m: float, rulebook: Rulebook) -> str:
    """What makes a radius below three thicknesses bearable: `cut-sleeve`, `radius-former` or "" for nothing.

    A former must give three thicknesses, whatever is under it; a cut-rated sleeve must be tested at this
    radius or a smaller one, and the radius must be one thickness at least. A stack without a thickness is
    protected by nothing.
    """
    tested_m, stack_m = sling.protection_radius_m, sling.stack_thickness_m
    if tested_m is None or not stack_m > 0:
        return ""
    round_m = rulebook.limit("edge_radius_ratio").value * stack_m
    bent_over_m = rulebook.limit("edge_former_ratio").value * stack_m
    if sling.protection == "radius-former" and tested_m >= round_m:
        return "radius-former"
    if sling.protection == "cut-sleeve" and tested_m <= radius_m and radius_m >= bent_over_m:
        return "cut-sleeve"
    return ""


def report_cleared(
    rule: str, guard: str, sling: SlingFacts, radius_m: float | None, round_: Cited[float]
) -> Finding:
    """Give the pass of a radius that is cleared: what a former gives, or what a sleeve is tested for."""
    by_former = guard == "radius-former"
    return report(
        rule,
        Outcome.PASS,
        "former-rounds-it" if by_former else "cut-sleeve-rated",
        round_,
        figure=sling.protection_radius_m if by_former else radius_m,
        limit=round_.value * sling.stack_thickness_m if by_former else sling.protection_radius_m,
        unit="m",
        subject=sling.id,
    )


def _edge(sling: SlingFacts, radius_m: float | None, rulebook: Rulebook) -> Finding:
    ratio, former = rulebook.limit("edge_radius_ratio"), rulebook.limit("edge_former_ratio")
    stack_m = sling.stack_thickness_m
    guard = protects(sling, 0.0 if radius_m is None else radius_m, rulebook)
    outcome, detail, source, cure = Outcome.PASS, "blunt-and-protected", ratio, ""
    if radius_m is not None and stack_m > 0 and radius_m >= ratio.value * stack_m:
        if sling.protection not in _PROTECTIONS:
            outcome, detail, cure = Outcome.CAUTION, "blunt-unprotected", "wear-sleeve"
    elif guard:
        return report_cleared(RULE, guard, sling, radius_m, ratio)
    elif radius_m is None or not stack_m > 0:
        outcome, detail, source, cure = Outcome.STOP, "unknown-unprotected", former, "radius-former"
    elif radius_m >= former.value * stack_m:
        outcome, detail, cure = Outcome.STOP, "sharp", "cut-rated-sleeve"
    else:
        outcome, detail, source, cure = Outcome.STOP, "very-sharp", former, "radius-former"
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
        grades=outcome is Outcome.CAUTION,
    )


def _of_the_lift(
    detail: str, slings: Sequence[SlingFacts], source: Citation, cure: str
) -> tuple[Finding, ...]:
    """One caution for all the slings it is about, none for none."""
    if not slings:
        return ()
    subject = ", ".join(sling.id for sling in slings)
    return (report(RULE, Outcome.CAUTION, detail, source, cure=cure, subject=subject, of_the_lift=True),)
