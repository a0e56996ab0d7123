"""A sling's data sheet from the same question as a quote's: a specification, an offer or an order's lines."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from slingwright.errors import fail

if TYPE_CHECKING:
    from slingwright.usecases.quote import Quoted

__all__ = ["print_data_sheet"]


def print_data_sheet(quoted: Quoted, item: int = 1) -> bytes:
    """The data sheet (PDF) of an item, counted from 1.

    Raises
    ------
    InputFault
        There is no such item.
    LookupError
        Nothing is quoted: what cannot be built has no data sheet.
    """
    from slingwright.make.pattern import Pattern, pattern
    from slingwright.papers.data_sheet import data_sheet

    if quoted.quote is None:
        msg = "nothing is quoted"
        raise LookupError(msg)
    items = quoted.quote.items
    if not 1 <= item <= len(items):
        raise fail("--item", f"there is no item {item}", f"1 to {len(items)}")
    chosen = items[item - 1]
    laid = pattern(chosen.asked.spec, quoted.shop)
    if not isinstance(laid, Pattern):
        raise fail(
            "--item", "is a sling from the shelf that the shop has no pattern for now", "quote one made new"
        )
    made_by = quoted.head["made_by"]
    assert isinstance(made_by, Mapping)
    return data_sheet(
        chosen,
        laid,
        rulebook=quoted.rulebook,
        shop=quoted.shop,
        made_by=made_by,
        on=quoted.quote.on,
        units=quoted.units,
        language=quoted.language,
    )
