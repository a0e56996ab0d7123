"""What the lift page shows of an answer: blocks of words, the drawing, and its twin in figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from slingwright.choose.offer import Offer
from slingwright.desk.bench import Look
from slingwright.desk.pages.figure import FigureView, figure_of
from slingwright.desk.pages.next import AskView, Choice, asked_next, changed_choices
from slingwright.shop import Shop
from slingwright.sling import SlingSpec
from slingwright.usecases.choose_sling import Chosen
from slingwright.words import Block, Row, answer_blocks, offer_headline, read_catalogue
from slingwright.words.comparing import Comparison, compare_offers
from slingwright.words.explaining import explain_blocks, supplies_text

__all__ = ["AnswerView", "sheets_of", "view_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerView:
    """One answer, made ready for the page; the template adds nothing to a figure."""

    stop: bool
    before: tuple[Block, ...]  # the lift as taken, and the stops
    offers: tuple[Block, ...]
    after: tuple[Block, ...]  # why not others, what was searched
    question: AskView | None
    no_question: str  # that no answer would change the choice; "" where that is not known
    changes: tuple[Choice, ...]  # what would change it
    curve: tuple[Block, ...]  # what trades off
    supplies: str  # stock against made in a line; "" where one of them has no answer
    comparison: Comparison | None  # None where there is one offer
    may_be_explained: bool  # where a search can say what would change the answer; not where the lift stops
    cut_short: bool  # the explanation did not come to its end
    proved: bool
    cautions: tuple[Block, ...]
    figure: FigureView | None  # None = nothing hangs
    kinds: tuple[int, ...]  # of each offer: how many different slings it has
    sheets: tuple[tuple[int, ...], ...]  # of each offer: which of them, from 1, have a data sheet
    in_short: str  # the best offer, or the stop, in a line
    headline: str  # the offer that is drawn, in a line; "" for a stop
    wary: tuple[Row, ...]  # its cautions that are read with it: how far it may hang out of level
    cautioned: int  # how many cautions it has of its own
    units: str
    shown: int  # which offer the figure shows


_BEFORE, _AFTER = ("lift", "stop"), ("offer", "cautions", "question")


def view_of(
    chosen: Chosen, tables: Mapping[str, Any], look: Look, *, offer: int = 0, pose: str = "told",
    drawn: bool = True,
) -> AnswerView:  # fmt: skip
    """Make an answer to a lift's tables ready; `offer` is the one shown, in the `pose` "told" or "worst".

    Not `drawn`: without its figure, for what follows it.
    """
    language, units, answer = chosen.language, chosen.units, chosen.answer
    blocks = answer_blocks(chosen.lift, answer, units, every_check=True, language=language)
    explained = answer.explained
    more: tuple[Block, ...] = ()
    if explained is not None:
        told = replace(explained, supplies=None)  # told beside the offers
        more = explain_blocks(told, units, chosen.setting.book.currency, language=language)
    asks = asked_next(chosen, tables, look)
    shown = max(0, min(offer, len(answer.offers) - 1))
    offers = tuple(b for b in blocks if b.kind == "offer")
    rows = offers[shown].rows if offers else ()
    return AnswerView(
        stop=chosen.is_stop,
        # what stops a lift is read before how it was taken
        before=tuple(b for kind in ("stop", "lift") for b in blocks if b.kind == kind),
        offers=offers,
        after=tuple(b for b in blocks if b.kind not in (*_BEFORE, *_AFTER)),
        question=asks,
        no_question="" if asks else " ".join(r.text for b in more if b.kind == "question" for r in b.rows),
        changes=changed_choices(chosen, tables, look),
        curve=tuple(b for b in more if b.kind == "curve"),
        supplies=_supplies(chosen),
        comparison=compare_offers(answer.offers, units, language=language) if answer.offers[1:] else None,
        may_be_explained=answer.search.space > 0,
        cut_short=explained is not None and not explained.proved,
        proved=answer.search.proved,
        cautions=tuple(b for b in blocks if b.kind == "cautions"),
        figure=figure_of(chosen, offer=offer, pose=pose) if drawn else None,
        kinds=tuple(len(_kinds(one)) for one in answer.offers),
        sheets=tuple(sheets_of(one, chosen.setting.shop) for one in answer.offers),
        in_short=_in_short(chosen),
        headline=offer_headline(answer.offers[shown], units, language=language) if answer.offers else "",
        wary=tuple(row for row in rows if row.about == "tilt" and row.mark == "caution"),
        cautioned=sum(row.mark == "caution" for row in rows),
        units=str(units),
        shown=shown,
    )


def _kinds(offer: Offer) -> list[SlingSpec]:
    """As a quote counts them: slings that are alike in all that is ordered are one item."""
    kinds: dict[tuple[object, ...], SlingSpec] = {}
    for s in offer.slings:
        kinds.setdefault((s.spec, s.supply, s.stock_id, s.protection, s.matched_set, s.printed), s.spec)
    return list(kinds.values())


def sheets_of(offer: Offer, shop: Shop) -> tuple[int, ...]:
    """The items with a data sheet: one from the shelf may be of a kind that the shop no longer lays out."""
    from slingwright.make.pattern import Pattern, pattern

    laid = (pattern(spec, shop) for spec in _kinds(offer))
    return tuple(number for number, one in enumerate(laid, start=1) if isinstance(one, Pattern))


def _supplies(chosen: Chosen) -> str:
    explained = chosen.answer.explained
    if explained is None or explained.supplies is None:
        return ""
    currency = chosen.setting.book.currency
    return supplies_text(explained.supplies, chosen.units, currency, language=chosen.language)


def _in_short(chosen: Chosen) -> str:
    words = read_catalogue(chosen.language)
    if chosen.answer.offers:
        return offer_headline(chosen.answer.offers[0], chosen.units, language=chosen.language)
    key = "stop-in-short" if chosen.answer.search.proved else "nothing-yet"
    return words.word("desk-live", key)
