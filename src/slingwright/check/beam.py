"""The spreader beam: its load against its own rating, its top legs against its own least top angle.

Pass: both within. Stop: over (a tie fails), too flat, or either figure not stated: no offer with a beam
of which these are not known. A caution cannot be: the beam's maker gives limits, not bands.
"""

from __future__ import annotations

from slingwright.check.facts import BeamFacts, Facts
from slingwright.check.finding import Finding, Outcome, report, stays_below
from slingwright.check.sources import BEAM_PLATE
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "beam"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """Two findings where there is a beam: load [N], top legs' flattest angle [deg from the horizontal]."""
    return () if facts.beam is None else (_load(facts.beam), _top_angle(facts.beam))


def _load(beam: BeamFacts) -> Finding:
    outcome, detail, cure = Outcome.PASS, "load-within", ""
    if beam.rated_n is None:
        outcome, detail, cure = Outcome.STOP, "no-rating", "ask-beam"
    elif not stays_below(beam.load_n, beam.rated_n):
        outcome, detail, cure = Outcome.STOP, "over", "another-arrangement"
    return report(
        RULE,
        outcome,
        detail,
        BEAM_PLATE,
        figure=beam.load_n,
        limit=beam.rated_n,
        unit="N",
        cure=cure,
        subject=beam.name,
    )


def _top_angle(beam: BeamFacts) -> Finding:
    outcome, detail, cure = Outcome.PASS, "top-angle-within", ""
    if beam.least_top_angle_deg is None:
        outcome, detail, cure = Outcome.STOP, "no-least-top-angle", "ask-beam"
    elif not beam.top_angle_from_horizontal_deg >= beam.least_top_angle_deg:
        outcome, detail, cure = Outcome.STOP, "top-legs-too-flat", "longer-slings"
    return report(
        RULE,
        outcome,
        detail,
        BEAM_PLATE,
        figure=beam.top_angle_from_horizontal_deg,
        limit=beam.least_top_angle_deg,
        unit="deg",
        cure=cure,
        subject=beam.name,
    )
