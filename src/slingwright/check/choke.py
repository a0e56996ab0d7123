"""The choke: its form, its place on the sling, and the angle of choke behind its factor.

Pass: an angle of choke stated at 120 degrees or more. Caution of the lift: hangs free round a round
section ("do not beat the choke down"). Caution (grades): a smaller stated angle, one past 135 degrees
(unstable), or an unknown angle with the lowest factor of all. Stop: the form cannot choke, the bite is
not on plain body, the angle is not known and the factor not the lowest, or the factor exceeds its band.
A choke counts as free only round a round section: off a wide flat load its angle is unknown.
"""

from __future__ import annotations

from slingwright.check.facts import Facts, SlingFacts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import CHOKE_ON_BODY, TRIANGLES
from slingwright.citation import Cited
from slingwright.rulebook import ChokeState, Refusal, Rulebook
from slingwright.sling import Hitch

__all__ = ["RULE", "check"]

RULE = "choke"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """Form, place and angle [deg] of every choker."""
    chokers = [sling for sling in facts.slings if sling.hitch is Hitch.CHOKER]
    return tuple(f for sling in chokers for f in (*_form(sling), *_place(sling), _angle(sling, rulebook)))


def _form(sling: SlingFacts) -> tuple[Finding, ...]:
    if sling.spec.form.chokes:
        return ()
    return (report(RULE, Outcome.STOP, "form-cannot", TRIANGLES, cure="another-form", subject=sling.id),)


def _place(sling: SlingFacts) -> tuple[Finding, ...]:
    """Choke on the body: some plain webbing must be left beside the bite [m]."""
    clear = sling.choke_clear_m
    if clear is None:
        return (
            report(
                RULE,
                Outcome.CAUTION,
                "clearance-unknown",
                CHOKE_ON_BODY,
                cure="longer-slings",
                subject=sling.id,
                of_the_lift=True,
            ),
        )
    if clear > 0:
        return ()
    return (
        report(
            RULE,
            Outcome.STOP,
            "on-eye",
            CHOKE_ON_BODY,
            figure=clear,
            limit=0.0,
            unit="m",
            cure="longer-slings",
            subject=sling.id,
        ),
    )


def _angle(sling: SlingFacts, rulebook: Rulebook) -> Finding:
    """The angle of choke [deg] and whether its factor is the rulebook's, never more."""
    state = ChokeState(sling.choke_state or "unknown")
    if state is ChokeState.FREE and sling.on_round_m is None:
        state = ChokeState.UNKNOWN
    band = rulebook.choke_band(state, sling.choke_angle_deg)
    angle = sling.choke_angle_deg if state is ChokeState.STATED else None
    factor, full = sling.choke_factor, rulebook.limit("choke_full_angle_deg")
    if isinstance(band, Refusal) or factor is None:
        return _told(sling, Outcome.STOP, "unknown-angle", full, angle, "state-choke-angle")
    fits = factor <= band.value
    if state is ChokeState.UNKNOWN and not fits:
        return _told(sling, Outcome.STOP, "unknown-angle", full, angle, "state-choke-angle")
    if not fits:
        return report(
            RULE,
            Outcome.STOP,
            "factor-too-high",
            band,
            figure=factor,
            unit="1",
            cure="state-choke-angle",
            subject=sling.id,
        )
    return _good(sling, state, angle, rulebook)


def _good(sling: SlingFacts, state: ChokeState, angle: float | None, rulebook: Rulebook) -> Finding:
    """A choke whose factor is no more than its band's: what the crew must know of it."""
    full, unstable = rulebook.limit("choke_full_angle_deg"), rulebook.limit("choke_unstable_deg")
    if state is ChokeState.FREE:
        return _told(sling, Outcome.CAUTION, "do-not-beat-down", full, None, "keep-choke-up")
    if angle is None:
        return _told(sling, Outcome.CAUTION, "envelope-used", full, None, "state-choke-angle")
    if angle > unstable.value:
        return _told(sling, Outcome.CAUTION, "unstable-wide", unstable, angle, "keep-choke-up")
    if angle < full.value:
        return _told(sling, Outcome.CAUTION, "stated-reduced", full, angle, "another-arrangement")
    return _told(sling, Outcome.PASS, "stated-full", full, angle, "")


def _told(
    sling: SlingFacts, outcome: Outcome, detail: str, limit: Cited[float], angle: float | None, cure: str
) -> Finding:
    free = detail == "do-not-beat-down"
    return report(
        RULE,
        outcome,
        detail,
        limit,
        figure=angle,
        unit="deg",
        cure=cure,
        subject=sling.id,
        of_the_lift=free,
        grades=outcome is Outcome.CAUTION and not free,
    )
