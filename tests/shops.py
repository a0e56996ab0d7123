"""Harrow Quay as the tests see it: its files as documents, the shop read from them, and an adopted twin."""

from __future__ import annotations

import functools
import tomllib
from pathlib import Path
from typing import Any

from slingwright.price import PriceBook, read_price_book
from slingwright.shop import Shop, read_shop

ROOT = Path(__file__).parents[1]
EXAMPLE = ROOT / "examples" / "harrow_quay"
ADOPTED = ROOT / "tests" / "data" / "shop" / "adopted.toml"
SHA256 = "0" * 64


def document(name: str) -> dict[str, Any]:
    """A fresh copy of one of the example's files, parsed."""
    return tomllib.loads((EXAMPLE / name).read_text(encoding="utf-8"))


@functools.cache
def harrow_quay() -> Shop:
    """The demo shop with its stock and rolls."""
    return read_shop(
        document("shop.toml"),
        stock_doc=document("stock.toml"),
        rolls_doc=document("rolls.toml"),
        sha256=SHA256,
    )


@functools.cache
def harrow_quay_prices() -> PriceBook:
    """The demo shop's price book, without holes."""
    return read_price_book(document("price_book.toml"), sha256=SHA256, shop=harrow_quay())


@functools.cache
def adopted_harrow_quay() -> Shop:
    """The demo shop as if patterns were qualified at Quay and lot certificates on file (tests only)."""
    shop, rolls = document("shop.toml"), document("rolls.toml")
    adopted = tomllib.loads(ADOPTED.read_text(encoding="utf-8"))
    for loft in shop["loft"]:
        loft["qualified"] = adopted["qualified"].get(loft["id"], [])
    for roll in rolls["roll"]:
        roll["certificate"] = adopted["certificates"].get(roll["lot"])
        if roll["certificate"] is None:
            del roll["certificate"]
    return read_shop(shop, stock_doc=document("stock.toml"), rolls_doc=rolls, sha256="a" * 64)
