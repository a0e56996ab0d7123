"""The figure of an answer: the drawing in one of two poses, its sentence, and its twin leg by leg."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from slingwright.draw import drawing_alt, pose_sentence
from slingwright.papers.leg_figures import LegFigures, leg_anchors, leg_figures, rule_text
from slingwright.usecases.choose_sling import Chosen, draw_chosen

__all__ = ["CASE_OF", "FigureView", "figure_of", "pose_of"]

_NEAR = re.compile(r'data-near="([^"]+)"')
CASE_OF = {"told": "stiff", "worst": "worst"}  # a link's word, and the solved case that is drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureView:
    """One offer drawn in one pose; everything in it comes from that pose's own solved case."""

    drawing: str
    alt: str
    sentence: str
    pose: str  # "told" or "worst"
    poses: tuple[str, ...]  # those that there are
    head: Sequence[str]
    legs: Sequence[LegFigures]
    rule: str  # the rule's figure against the truth; "" where one sling carries all
    shown: int  # which offer
    units: str
    near: str  # the part of the drawing that a telephone shows large: the view from the front


def pose_of(said: str | None) -> str:
    """The pose that a link asks for; what is not known is as if it had not been said."""
    return said if said in CASE_OF else "told"


def figure_of(chosen: Chosen, *, offer: int, pose: str) -> FigureView | None:
    """The figure of an answer's offer (an index past the last means the last); None for a stop."""
    if not chosen.answer.offers:
        return None
    shown = min(offer, len(chosen.answer.offers) - 1)
    drawn, units, language = chosen.answer.offers[shown], chosen.units, chosen.language
    poses = tuple(name for name, case in CASE_OF.items() if drawn.case(case) is not None)
    pose = pose if pose in poses else "told"
    case = CASE_OF[pose]
    drawing = draw_chosen(chosen, offer_index=shown, case=case, anchors=leg_anchors(drawn))
    near = _NEAR.search(drawing)
    head, legs = leg_figures(drawn, units, case=case, language=language)
    return FigureView(
        drawing=drawing,
        alt=drawing_alt(chosen.lift, drawn, case=case, language=language),
        sentence=pose_sentence(drawn, units=units, case=case, language=language),
        pose=pose,
        poses=poses,
        head=head,
        legs=legs,
        rule=rule_text(drawn, units, language=language),
        shown=shown,
        units=str(units),
        near=near[1] if near else "",
    )
