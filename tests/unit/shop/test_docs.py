"""The reference page lists every key of the shop's files with its meaning, and no other."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest

from slingwright.price import price_book_schema
from slingwright.shop import rolls_schema, shop_schema, stock_schema
from tests.shops import ROOT

PAGE = (ROOT / "docs" / "reference" / "shop-files.md").read_text(encoding="utf-8")
FILES = {
    "shop.toml": shop_schema(),
    "stock.toml": stock_schema(),
    "rolls.toml": rolls_schema(),
    "price_book.toml": price_book_schema(),
}


def keys_of(schema: dict[str, Any], prefix: str = "") -> Iterator[tuple[str, str]]:
    """Each key's path with its meaning."""
    for key, part in schema["properties"].items():
        yield prefix + key, part["description"]
        inner, mark = (part, ".") if part.get("type") == "object" else (part.get("items", {}), "[].")
        if inner.get("type") == "object":
            yield from keys_of(inner, prefix + key + mark)


@pytest.mark.parametrize("name", FILES)
def test_the_page_lists_every_key(name: str) -> None:
    section = PAGE.split(f"## `{name}`")[1].split("\n## ")[0]
    listed = re.findall(r"^\| `([^`]+)` \|.*\| ([^|]+) \|$", section, flags=re.MULTILINE)
    assert listed == list(keys_of(FILES[name]))
