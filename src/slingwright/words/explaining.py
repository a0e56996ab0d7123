"""What explains an answer, in sentences: stock against made, the next question, changes, the curve."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from slingwright.choose.explained import Change, Explained, Piece, Question, Standing, Supplies, TradePoint
from slingwright.units import Rounding, Units
from slingwright.words.answer import Block, Row
from slingwright.words.catalogue import read_catalogue
from slingwright.words.cautions import next_question_text
from slingwright.words.figures import (
    show_angle,
    show_length,
    show_load,
    show_mass,
    show_money,
    show_ratio,
    show_temperature,
    show_weight,
)
from slingwright.words.names import arrangement_name, spec_text
from slingwright.words.offers import ready_text

__all__ = [
    "change_text",
    "explain_blocks",
    "piece_text",
    "question_block",
    "standing_text",
    "supplies_text",
    "unweighed_text",
]


def explain_blocks(
    explained: Explained, units: Units, currency: str, *, language: str = "en"
) -> tuple[Block, ...]:
    """The question, the changes and the curve, as far as they were found."""
    words = read_catalogue(language)
    blocks = []
    if explained.question is not None:
        block = question_block(explained.question, units, currency, language=language)
        left = (
            [Row(label="", text=unweighed_text(explained, language=language))] if explained.unweighed else []
        )
        blocks.append(replace(block, rows=(*block.rows, *left)))
    elif explained.unweighed:
        blocks.append(_block("question", [unweighed_text(explained, language=language)], language))
    elif explained.proved or explained.changes:
        blocks.append(_block("question", [words.word("explain", "no-question")], language))
    changed = list(_change_rows(explained.changes, units, currency, language))
    if changed:
        blocks.append(_block("changes", changed, language))
    curve = list(_curve_rows(explained, units, currency, language))
    if curve:
        blocks.append(_block("curve", curve, language))
    if not explained.proved:
        blocks.append(_block("search", [words.word("explain", "cut-short")], language))
    return tuple(blocks)


def unweighed_text(explained: Explained, *, language: str = "en") -> str:
    """That the time ran out, and what was not weighed by then; nothing where all was."""
    if not explained.unweighed:
        return ""
    words = read_catalogue(language)
    points = "; ".join(words.word("open-points", code) for code in explained.unweighed)
    if explained.question is not None:
        key = "unweighed-others"
    else:
        key = "unweighed-rest" if explained.weighed else "unweighed-all"
    return words.fill("explain", key, points=points)


def question_block(question: Question, units: Units, currency: str, *, language: str = "en") -> Block:
    """The question and what each answer leads to."""
    rows = [next_question_text(question.code, language=language)]
    rows += [piece_text(question, piece, units, currency, language=language) for piece in question.pieces]
    return _block("question", rows, language)


def piece_text(question: Question, piece: Piece, units: Units, currency: str, *, language: str = "en") -> str:
    """One answer and what it leads to."""
    words = read_catalogue(language)
    if piece.choice:
        answer = words.word("question-answers", piece.choice)
    else:
        # the border between two answers is found by halving: only the ends of the range are exact
        exact = (question.pieces[0].low, question.pieces[-1].high)
        low, high = (
            _figure(x, question.unit, units, language, rounding)
            if x in exact
            else words.fill("explain", "about", figure=_figure(x, question.unit, units, language))
            for x, rounding in ((piece.low, Rounding.DOWN), (piece.high, Rounding.UP))
        )
        answer = words.fill("explain", "range", low=low, high=high)
    then = standing_text(piece.then, units, currency, language=language)
    return words.fill("explain", "leads", answer=answer, then=then)


def standing_text(standing: Standing, units: Units, currency: str, *, language: str = "en") -> str:
    """The best of a search in one line."""
    words = read_catalogue(language)
    if standing.price_minor is None:
        return words.word("explain", "then-nothing")
    text = words.fill(
        "explain",
        "then" if standing.grade == 0 else "then-grade-1",
        slings=_slings(standing, units, language),
        arrangement=arrangement_name(standing.family, language=language),
        price=show_money(standing.price_minor, currency, language=language),
    )
    return text if standing.proved else words.fill("explain", "then-cut-short", then=text)


def change_text(change: Change, units: Units, currency: str, *, language: str = "en") -> str:
    """One thing that would help, and by how much."""
    words = read_catalogue(language)
    saved = change.saved_minor
    key = "possible" if saved is None else "saves" if saved > 0 else "costs-clean" if saved < 0 else "better"
    text = words.fill(
        "explain",
        key,
        what=_what(change, units, language),
        then=standing_text(change.then, units, currency, language=language),
        saved=show_money(abs(saved or 0), currency, language=language),
    )
    return text[:1].upper() + text[1:]


def supplies_text(supplies: Supplies, units: Units, currency: str, *, language: str = "en") -> str:
    """Stock against made to order, in one line."""
    return read_catalogue(language).fill(
        "explain",
        "supplies",
        stock_price=show_money(supplies.stock_price_minor, currency, language=language),
        made_price=show_money(supplies.made_price_minor, currency, language=language),
        stock_days=ready_text(supplies.stock_days, language=language),
        made_days=ready_text(supplies.made_days, language=language),
        stock_tilt=show_angle(supplies.stock_tilt_deg, rounding=Rounding.UP, language=language),
        made_tilt=show_angle(supplies.made_tilt_deg, rounding=Rounding.UP, language=language),
        stock_tension=show_load(supplies.stock_tension_n, units, rounding=Rounding.UP, language=language),
        made_tension=show_load(supplies.made_tension_n, units, rounding=Rounding.UP, language=language),
    )


def _block(kind: str, rows: list[str], language: str) -> Block:
    title = read_catalogue(language).word("blocks", kind)
    return Block(kind=kind, title=title, rows=tuple(Row(label="", text=text) for text in rows))


def _change_rows(changes: tuple[Change, ...], units: Units, currency: str, language: str) -> Iterator[str]:
    for change in changes:
        if change.helps:
            yield change_text(change, units, currency, language=language)
    idle = [_what(c, units, language) for c in changes if not c.helps]
    if idle:
        yield read_catalogue(language).fill("explain", "no-help", what="; ".join(idle))


def _curve_rows(explained: Explained, units: Units, currency: str, language: str) -> Iterator[str]:
    if explained.supplies is not None:
        yield supplies_text(explained.supplies, units, currency, language=language)
    for point in explained.curve:
        yield _point_text(point, units, currency, language)
    if explained.curve:
        yield read_catalogue(language).word("explain", "curve-claim")


def _point_text(point: TradePoint, units: Units, currency: str, language: str) -> str:
    then = Standing(
        grade=0, price_minor=point.price_minor, family=point.family, specs=point.specs, key=point.key
    )
    return read_catalogue(language).fill(
        "explain",
        "curve-point",
        then=standing_text(then, units, currency, language=language),
        height=show_length(point.hook_height_m, units, rounding=Rounding.UP, language=language),
        mass=show_mass(point.mass_kg, units, language=language),
        reserve=show_ratio(1 - point.utilisation, rounding=Rounding.DOWN, language=language),
    )


def _what(change: Change, units: Units, language: str) -> str:
    rounding = Rounding.DOWN if change.unit == "N" else Rounding.UP
    figure = "" if change.figure is None else _figure(change.figure, change.unit, units, language, rounding)
    return read_catalogue(language).fill("change", change.code, figure=figure)


def _figure(
    value: float | None, unit: str, units: Units, language: str, rounding: Rounding = Rounding.NEAREST
) -> str:
    if value is None:
        return ""
    if unit == "N":
        return show_weight(value, units, rounding=rounding, language=language)
    if unit == "K":
        return show_temperature(value, units, rounding=rounding, language=language)
    if unit == "deg":
        return show_angle(value, rounding=rounding, language=language)
    return show_length(value, units, rounding=rounding, language=language)


def _slings(standing: Standing, units: Units, language: str) -> str:
    counts: dict[str, int] = {}
    for spec in standing.specs:
        text = spec_text(spec, units, language=language)
        counts[text] = counts.get(text, 0) + 1
    return "; ".join(f"{count} × {text}" for text, count in counts.items())
