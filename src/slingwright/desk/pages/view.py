"""What the lift page shows of an answer: blocks of words, the drawing, and its twin in figures."""

from __future__ import annotations

from dataclasses import dataclass

from slingwright.desk.pages.figure import FigureView, figure_of
from slingwright.usecases.choose_sling import Chosen
from slingwright.words import Block, answer_blocks, offer_headline, read_catalogue
from slingwright.words.explaining import explain_blocks

__all__ = ["AnswerView", "view_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerView:
    """One answer, made ready for the page; the template adds nothing to a figure."""

    stop: bool
    before: tuple[Block, ...]  # the lift as taken, and the stops
    offers: tuple[Block, ...]
    after: tuple[Block, ...]  # why not others, what was searched
    question: tuple[Block, ...]
    changes: tuple[Block, ...]  # what would change it, what trades off
    may_be_explained: bool  # where a search can say what would change the answer; not where the lift stops
    cut_short: bool  # the explanation did not come to its end
    proved: bool
    cautions: tuple[Block, ...]
    figure: FigureView | None  # None = nothing hangs
    in_short: str  # the best offer, or the stop, in a line
    shown: int  # which offer the figure shows


_BEFORE, _AFTER = ("lift", "stop"), ("offer", "cautions", "question")
_CHANGES = ("changes", "curve")


def view_of(chosen: Chosen, *, offer: int = 0, pose: str = "told") -> AnswerView:
    """Make an answer ready; `offer` is the one that is drawn, in the `pose` "told" or "worst"."""
    language, units, answer = chosen.language, chosen.units, chosen.answer
    blocks = answer_blocks(chosen.lift, answer, units, language=language)
    explained = answer.explained
    more: tuple[Block, ...] = ()
    if explained is not None:
        more = explain_blocks(explained, units, chosen.setting.book.currency, language=language)
    figure = figure_of(chosen, offer=offer, pose=pose)
    return AnswerView(
        stop=chosen.is_stop,
        before=tuple(b for b in blocks if b.kind in _BEFORE),
        offers=tuple(b for b in blocks if b.kind == "offer"),
        after=tuple(b for b in blocks if b.kind not in (*_BEFORE, *_AFTER)),
        question=tuple(b for b in more or blocks if b.kind == "question"),
        changes=tuple(b for b in more if b.kind in _CHANGES),
        may_be_explained=answer.search.space > 0,
        cut_short=explained is not None and not explained.proved,
        proved=answer.search.proved,
        cautions=tuple(b for b in blocks if b.kind == "cautions"),
        figure=figure,
        in_short=_in_short(chosen),
        shown=0 if figure is None else figure.shown,
    )


def _in_short(chosen: Chosen) -> str:
    words = read_catalogue(chosen.language)
    if chosen.answer.offers:
        return offer_headline(chosen.answer.offers[0], chosen.units, language=chosen.language)
    key = "stop-in-short" if chosen.answer.search.proved else "nothing-yet"
    return words.word("desk-live", key)
