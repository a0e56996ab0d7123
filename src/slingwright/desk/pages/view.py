"""What the lift page shows of an answer: blocks of words, the drawing, and its twin in figures."""

from __future__ import annotations

from dataclasses import dataclass

from slingwright.desk.pages.figure import FigureView, figure_of
from slingwright.usecases.choose_sling import Chosen
from slingwright.words import Block, answer_blocks
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
    figure: FigureView | None  # None = nothing hangs
    shown: int  # which offer the figure shows


_BEFORE, _AFTER = ("lift", "stop"), ("offer", "cautions")


def view_of(chosen: Chosen, *, offer: int = 0, pose: str = "told") -> AnswerView:
    """Make an answer ready; `offer` is the one that is drawn, in the `pose` "told" or "worst"."""
    language, units, answer = chosen.language, chosen.units, chosen.answer
    blocks = answer_blocks(chosen.lift, answer, units, language=language)
    if answer.explained is not None:
        more = explain_blocks(answer.explained, units, chosen.setting.book.currency, language=language)
        blocks = (*(b for b in blocks if b.kind != "question"), *more)
    figure = figure_of(chosen, offer=offer, pose=pose)
    return AnswerView(
        stop=chosen.is_stop,
        before=tuple(b for b in blocks if b.kind in _BEFORE),
        offers=tuple(b for b in blocks if b.kind == "offer"),
        after=tuple(b for b in blocks if b.kind not in (*_BEFORE, *_AFTER)),
        cautions=tuple(b for b in blocks if b.kind == "cautions"),
        figure=figure,
        shown=0 if figure is None else figure.shown,
    )
