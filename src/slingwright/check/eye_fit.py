"""The eye against what it sits on: hook above, pin below.

An eye of inside length E over a bar of thickness d opens to 2 asin((d/2)/(E - d/2)). Pass: E/d and the
angle within the rulebook's rule. Caution: within it, but another regime asks for more. Caution of the
lift: the hook's or pin's thickness is not known. Stop: the eye is too short for the bar. Triangles are
steel: whether the hook goes through is for the crew to see (caution).
"""

from __future__ import annotations

import math

from slingwright.check.facts import Facts, SlingFacts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import TRIANGLES
from slingwright.citation import Cited
from slingwright.rulebook import Rulebook
from slingwright.sling import Form

__all__ = ["RULE", "check", "eye_angle_deg"]

RULE = "eye-fit"
_TRIANGLES = (Form.TRIANGLE_CHOKER, Form.TRIANGLE_TRIANGLE)


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """Upper eye on hook or beam lug; lower eye on a pick point's pin."""
    found: list[Finding] = []
    for sling in facts.slings:
        if sling.spec.form in _TRIANGLES:
            found.append(
                report(RULE, Outcome.CAUTION, "fitting-opening", TRIANGLES, cure="ask-hook", subject=sling.id)
            )
            continue
        found.append(_fit(sling, "hook", sling.upper_thickness_m, rulebook))
        if sling.lower_on_pin:
            found.append(_fit(sling, "pin", sling.lower_pin_m, rulebook))
    return tuple(found)


def eye_angle_deg(eye_m: float, bar_m: float) -> float | None:
    """Included angle of an eye of inside length `eye_m` over a bar; None when the bar does not fit in it."""
    sine = (bar_m / 2) / (eye_m - bar_m / 2) if eye_m > bar_m / 2 else math.inf
    return math.degrees(2 * math.asin(sine)) if sine <= 1 else None


def _fit(sling: SlingFacts, what: str, bar_m: float | None, rulebook: Rulebook) -> Finding:
    """One eye on one bar. An endless sling's whole length is its eye."""
    ratio, widest = rulebook.limit("eye_to_hook_ratio"), _limit(rulebook, "max_eye_angle_deg")
    if bar_m is None:
        return report(
            RULE,
            Outcome.CAUTION,
            f"{what}-unknown",
            ratio,
            unit="1",
            cure=f"ask-{what}",
            subject=sling.id,
            of_the_lift=True,
        )
    eye_m = sling.spec.length_m if sling.spec.form is Form.ENDLESS else sling.spec.eye_m
    others = _limit(rulebook, "elsewhere_eye_to_hook_ratio"), _limit(rulebook, "elsewhere_eye_angle_deg")
    outcome, detail, source, cure = Outcome.PASS, f"fits-{what}", ratio, ""
    if not _holds(eye_m, bar_m, ratio, widest):
        outcome, detail, cure = Outcome.STOP, f"too-short-for-{what}", "longer-eye"
    elif not _holds(eye_m, bar_m, *others):
        outcome, detail, cure = Outcome.CAUTION, f"wide-for-others-{what}", "longer-eye"
        source = others[0] or source
    return report(RULE, outcome, detail, source, figure=eye_m / bar_m, unit="1", cure=cure, subject=sling.id)


def _limit(rulebook: Rulebook, name: str) -> Cited[float] | None:
    """A limit that not every rulebook prints."""
    return rulebook.limit(name) if rulebook.has_limit(name) else None


def _holds(eye_m: float, bar_m: float, ratio: Cited[float] | None, widest: Cited[float] | None) -> bool:
    """Whether an eye on a bar keeps a regime's least ratio and its widest angle."""
    angle = eye_angle_deg(eye_m, bar_m)
    long_enough = ratio is None or eye_m / bar_m >= ratio.value
    return angle is not None and long_enough and (widest is None or angle <= widest.value)
