"""The shop as its files say it: what it builds, keeps and charges, with the hashes that documents carry."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slingwright.errors import Fault, InputFault, fail
from slingwright.usecases.documents import read_tables

if TYPE_CHECKING:
    from slingwright.price import PriceBook
    from slingwright.shop import Shop
    from slingwright.usecases.settings import Settings

__all__ = ["OpenShop", "open_shop", "read_shop_tables"]

_MOST_BYTES = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenShop:
    """The shop and its price book."""

    shop: Shop
    book: PriceBook

    @property
    def price_book_record(self) -> dict[str, object]:
        """What `made_by.price_book` says."""
        return {"version": self.book.version, "sha256": self.book.sha256}


def open_shop(settings: Settings) -> OpenShop:
    """Read shop, stock, rolls and price book as the settings name them.

    Raises
    ------
    InputFault
        A file is missing or at fault; every fault of the shop's files at once.
    """
    shop = _read(settings.need_shop(), "shop")
    stock = _read(settings.stock, "stock") if settings.stock else b""
    rolls = _read(settings.rolls, "rolls") if settings.rolls else b""
    price_path = settings.need_price_book()
    return _opened(shop, stock, rolls, _read(price_path, "price_book"), price_path.name)


@lru_cache(maxsize=4)
def _opened(shop: bytes, stock: bytes, rolls: bytes, priced: bytes, price_name: str) -> OpenShop:
    """The files' contents understood; the desk reads the same ones for every answer."""
    from slingwright.price import read_price_book
    from slingwright.shop import read_shop

    contents = {"shop": shop, "stock": stock, "rolls": rolls}
    tables = {
        name: read_tables(content, f"{name}.toml", what=f"a {name} file") if content else None
        for name, content in contents.items()
    }
    digest = hashlib.sha256(b"".join(hashlib.sha256(c).digest() for c in contents.values())).hexdigest()
    read = read_shop(
        tables["shop"] or {}, stock_doc=tables["stock"], rolls_doc=tables["rolls"], sha256=digest
    )
    book = read_price_book(
        read_tables(priced, price_name, what="a price book"),
        sha256=hashlib.sha256(priced).hexdigest(),
        shop=read,
    )
    return OpenShop(shop=read, book=book)


def read_shop_tables(settings: Settings) -> dict[str, Any]:
    """The shop's own file alone, parsed and not yet judged: what else is read with it is not from its files.

    Raises
    ------
    InputFault
        It is missing, or no such text.
    """
    return read_tables(_read(settings.need_shop(), "shop"), "shop.toml", what="a shop file")


def _read(path: Path, field: str) -> bytes:
    try:
        with path.open("rb") as opened:
            content = opened.read(_MOST_BYTES + 1)
    except OSError as error:
        raise fail(field, f"{str(path)!r} cannot be read: {error.strerror}") from error
    if len(content) > _MOST_BYTES:
        problem = f"{str(path)!r} is larger than {_MOST_BYTES} bytes"
        raise InputFault([Fault(field, problem, "a file of this kind is far smaller")])
    return content
