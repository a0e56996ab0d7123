"""A day's routing in words: which loft makes which order, why, and what deciding together spares."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from slingwright.words.answer import Block, Row
from slingwright.words.catalogue import read_catalogue
from slingwright.words.figures import show_money

__all__ = ["RoutedOrder", "routing_blocks", "routing_cautions", "unroutable_blocks"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoutedOrder:
    """An order, its loft, and every other loft: (name, minor units more, or why it may not)."""

    number: str
    loft: str
    cost_minor: int
    elsewhere: tuple[tuple[str, int | None, str], ...]


def routing_cautions(*, language: str = "en") -> tuple[str, ...]:
    """What the figures leave out."""
    return tuple(read_catalogue(language).sections["routing-cautions"].values())


def routing_blocks(
    orders: Sequence[RoutedOrder],
    lofts: Iterable[tuple[str, int, int]],
    *,
    cost_minor: int,
    bound_minor: int,
    one_by_one_minor: int | None,
    currency: str,
    language: str = "en",
) -> tuple[Block, ...]:
    """The route in reading order; `lofts` = (name, overtime hours, rolls fetched) of those that need any."""
    words = read_catalogue(language)
    label = words.sections["routing"]
    rows = [_order_row(order, currency, language) for order in orders]
    extra = [
        Row(label=name, text=words.fill("routing", "needs", hours=str(hours), rolls=str(rolls)))
        for name, hours, rolls in lofts
        if hours or rolls
    ]
    proved = cost_minor == bound_minor
    figures = {
        "cost": show_money(cost_minor, currency, language=language),
        "bound": show_money(bound_minor, currency, language=language),
    }
    total = [
        Row(label=label["total"], text=words.fill("routing", "proved" if proved else "bounded", **figures))
    ]
    if one_by_one_minor is None:
        total.append(Row(label=label["one-by-one"], text=label["one-by-one-none"]))
    else:
        spared = show_money(one_by_one_minor - cost_minor, currency, language=language)
        text = words.fill(
            "routing", "spared", cost=show_money(one_by_one_minor, currency, language=language), spared=spared
        )
        total.append(Row(label=label["one-by-one"], text=text))
    blocks = [Block(kind="orders", title=label["orders"], rows=tuple(rows))]
    if extra:
        blocks.append(Block(kind="lofts", title=label["lofts"], rows=tuple(extra)))
    blocks.append(Block(kind="total", title=label["cost"], rows=tuple(total)))
    return (*blocks, _cautions(language))


def unroutable_blocks(
    orders: Iterable[tuple[str, Sequence[tuple[str, str]]]], *, language: str = "en"
) -> tuple[Block, ...]:
    """Why there is no route: (order, each loft with why it may not make it); none listed = too few hours."""
    words = read_catalogue(language)
    rows = [
        Row(
            label=number,
            text="; ".join(f"{loft}: {words.word('barred', why)}" for loft, why in barred),
            mark="stop",
        )
        for number, barred in orders
    ] or [Row(label="", text=words.word("routing", "too-few-hours"), mark="stop")]
    return (Block(kind="stop", title=words.word("routing", "none"), rows=tuple(rows)), _cautions(language))


def _order_row(order: RoutedOrder, currency: str, language: str) -> Row:
    words = read_catalogue(language)
    others = []
    for loft, more, why in order.elsewhere:
        if more is None:
            others.append(f"{loft}: {words.word('barred', why)}")
        else:
            others.append(
                words.fill("routing", "more", loft=loft, more=show_money(more, currency, language=language))
            )
    text = words.fill(
        "routing", "order", loft=order.loft, cost=show_money(order.cost_minor, currency, language=language)
    )
    return Row(label=order.number, text=text, detail="; ".join(others))


def _cautions(language: str) -> Block:
    rows = tuple(Row(label="", text=text) for text in routing_cautions(language=language))
    return Block(kind="cautions", title=read_catalogue(language).word("routing", "leaves-out"), rows=rows)
