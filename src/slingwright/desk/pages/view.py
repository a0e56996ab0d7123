"""What the lift page shows of an answer: blocks of words, the drawing, and its twin in figures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slingwright.draw import drawing_alt, pose_sentence
from slingwright.papers.legs import leg_rows
from slingwright.usecases.choose_sling import Chosen, draw_chosen
from slingwright.words import Block, answer_blocks, read_catalogue
from slingwright.words.explaining import explain_blocks

__all__ = ["AnswerView", "view_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerView:
    """One answer, made ready for the page; the template adds nothing to a figure."""

    stop: bool
    before: tuple[Block, ...]  # the lift as taken, and the stops
    offers: tuple[Block, ...]
    after: tuple[Block, ...]  # why not others, what was searched, what would change it
    cautions: tuple[Block, ...]
    drawing: str | None
    alt: str
    pose: str  # how the load hangs, in one sentence
    legs_head: Sequence[str]
    legs: Sequence[Sequence[str]]
    shown: int  # which offer the drawing and the table show


_BEFORE, _AFTER = ("lift", "stop"), ("offer", "cautions")


def view_of(chosen: Chosen, *, offer: int = 0) -> AnswerView:
    """Make an answer ready; `offer` is the one that is drawn."""
    language, units, answer = chosen.language, chosen.units, chosen.answer
    blocks = answer_blocks(chosen.lift, answer, units, language=language)
    if answer.explained is not None:
        more = explain_blocks(answer.explained, units, chosen.setting.book.currency, language=language)
        blocks = (*(b for b in blocks if b.kind != "question"), *more)
    shown = min(offer, len(answer.offers) - 1)
    drawn = answer.offers[shown] if answer.offers else None
    labels = read_catalogue(language).sections["sheet-legs"]
    return AnswerView(
        stop=chosen.is_stop,
        before=tuple(b for b in blocks if b.kind in _BEFORE),
        offers=tuple(b for b in blocks if b.kind == "offer"),
        after=tuple(b for b in blocks if b.kind not in (*_BEFORE, *_AFTER)),
        cautions=tuple(b for b in blocks if b.kind == "cautions"),
        drawing=None if drawn is None else draw_chosen(chosen, offer_index=shown),
        alt="" if drawn is None else drawing_alt(chosen.lift, drawn, language=language),
        pose="" if drawn is None else pose_sentence(drawn, units=units, language=language),
        legs_head=tuple(labels.values()),
        legs=() if drawn is None else tuple(leg_rows(drawn, units, language=language)),
        shown=shown,
    )
