"""What a request asks: how to show, which offer, which lift; and the link that says so again."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from starlette.datastructures import FormData
from starlette.datastructures import QueryParams as Query

from slingwright.desk.bench import Look
from slingwright.desk.link import pack_lift

__all__ = ["look_of", "query_of", "whole_of"]

_UNITS = ("us", "si")


def look_of(said: Query | FormData) -> Look:
    """How to show the answer; what is not known is as if it had not been said."""
    units = said.get("units")
    return Look(units=units if units in _UNITS else None)


def whole_of(text: str | None) -> int:
    """Which offer is asked for: "1" is the first, index 0; so is anything that is no number."""
    return (
        int(text) - 1 if text is not None and text.isascii() and text.isdigit() and 0 < int(text) < 100 else 0
    )


def query_of(tables: Mapping[str, Any], look: Look) -> str:
    """The part of a link that says the lift and how it is shown."""
    units = f"&units={look.units}" if look.units else ""
    return f"l={pack_lift(tables)}{units}"
