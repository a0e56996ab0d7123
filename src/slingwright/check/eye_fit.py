"""The eye against what it sits on: hook above, pin below.

An eye of inside length E over a bar of thickness d opens to 2 asin((d/2)/(E - d/2)). Pass: E is as long
as the rulebook's ratio asks, and its angle where it has one. Caution: so long, but another regime asks
for more. Caution of the lift: the hook's or pin's thickness is not known. Stop: the eye is too short for
the bar, or for its own width where the rulebook asks for a length by width. Triangles are steel: whether
the hook goes through is for the crew to see (caution).
"""

from __future__ import annotations

import math

from slingwright.check.facts import Facts, SlingFacts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import TRIANGLES
from slingwright.rulebook import Rulebook
from slingwright.sling import Form, SlingSpec

__all__ = ["RULE", "check", "least_eye_m", "looks_at"]

RULE = "eye-fit"
_TRIANGLES = (Form.TRIANGLE_CHOKER, Form.TRIANGLE_TRIANGLE)
_BY_WIDTH, _BY_WIDTH_WIDE = "eye_to_width_ratio", "eye_to_width_ratio_wide"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """Upper eye on hook or beam lug; lower eye on a pick point's pin."""
    found: list[Finding] = []
    for sling in facts.slings:
        if sling.spec.form in _TRIANGLES:
            found.append(
                report(RULE, Outcome.CAUTION, "fitting-opening", TRIANGLES, cure="ask-hook", subject=sling.id)
            )
            continue
        found.extend(_eye(sling, rulebook))
        found.append(_fit(sling, "hook", sling.upper_thickness_m, rulebook))
        if sling.lower_on_pin:
            found.append(_fit(sling, "pin", sling.lower_pin_m, rulebook))
    return tuple(found)


def looks_at(spec: SlingSpec, rulebook: Rulebook) -> tuple[object, ...]:
    """What `check` reads of a sling beside what it sits on and what of it stands free: alike for many."""
    if spec.form in _TRIANGLES:
        return (spec.form,)
    by_width = rulebook.has_limit(_BY_WIDTH) or rulebook.has_limit(_BY_WIDTH_WIDE)
    width_m = spec.width_m if by_width and spec.form.has_eyes else 0.0
    # an endless sling opens over its free end, which the length alone tells
    eye_m = 0.0 if spec.form is Form.ENDLESS and not spec.form.has_eyes else spec.eye_m
    return (spec.form is Form.ENDLESS, spec.form.has_eyes, width_m, eye_m)


def least_eye_m(bar_m: float, ratio: float, widest_deg: float | None) -> float:
    """Return the least inside length of an eye over a bar: by the ratio, and by the angle where one is set.

    An eye of inside length E over a bar d opens to 2 asin((d/2) / (E - d/2)); solved here for E.
    """
    by_ratio_m = ratio * bar_m
    if widest_deg is None:
        return by_ratio_m
    return max(by_ratio_m, bar_m / 2 * (1 + 1 / math.sin(math.radians(widest_deg / 2))))


def _eye(sling: SlingFacts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """The eye for itself, where a rulebook asks for a length by the web's width, or of any eye [m]."""
    spec, found = sling.spec, []
    wide_from_m = _value(rulebook, "eye_wide_from_m")
    is_wide = wide_from_m is not None and spec.width_m > wide_from_m
    by_width = _BY_WIDTH_WIDE if is_wide else _BY_WIDTH
    for name, unit_m in ((by_width, spec.width_m), ("least_eye_length_m", 1.0)):
        least = rulebook.limit(name) if spec.form.has_eyes and rulebook.has_limit(name) else None
        if least is None or spec.eye_m >= least.value * unit_m:
            continue
        found.append(
            report(
                RULE,
                Outcome.STOP,
                "too-short-for-width",
                least,
                figure=spec.eye_m,
                limit=least.value * unit_m,
                unit="m",
                cure="longer-eye",
                subject=sling.id,
            )
        )
    return tuple(found)


def _fit(sling: SlingFacts, what: str, bar_m: float | None, rulebook: Rulebook) -> Finding:
    """One eye on one bar. An endless sling opens over what stands free between hook and load."""
    ratio = rulebook.limit("eye_to_hook_ratio")
    if bar_m is None:
        return report(
            RULE,
            Outcome.CAUTION,
            f"{what}-unknown",
            ratio.citation,
            unit="m",
            cure=f"ask-{what}",
            subject=sling.id,
            of_the_lift=True,
        )
    eye_m = sling.spec.eye_m
    if sling.spec.form is Form.ENDLESS:
        eye_m = sling.spec.length_m if sling.free_end_m is None else sling.free_end_m
    outcome, detail, source, cure = Outcome.PASS, f"fits-{what}", ratio, ""
    limit_m = least_eye_m(bar_m, ratio.value, _value(rulebook, "max_eye_angle_deg"))
    wanted_m = _wanted_elsewhere_m(bar_m, rulebook)
    if not eye_m >= limit_m:
        outcome, detail, cure = Outcome.STOP, f"too-short-for-{what}", "longer-eye"
    elif eye_m < wanted_m:
        source, limit_m = rulebook.limit("elsewhere_eye_to_hook_ratio"), wanted_m
        outcome, detail, cure = Outcome.CAUTION, f"wide-for-others-{what}", "longer-eye"
    return report(
        RULE, outcome, detail, source, figure=eye_m, limit=limit_m, unit="m", cure=cure, subject=sling.id
    )


def _wanted_elsewhere_m(bar_m: float, rulebook: Rulebook) -> float:
    """The eye another regime asks for over this bar; 0 where this rulebook's data names none."""
    ratio = _value(rulebook, "elsewhere_eye_to_hook_ratio")
    return 0.0 if ratio is None else least_eye_m(bar_m, ratio, _value(rulebook, "elsewhere_eye_angle_deg"))


def _value(rulebook: Rulebook, name: str) -> float | None:
    """A limit that not every rulebook prints."""
    return rulebook.limit(name).value if rulebook.has_limit(name) else None
