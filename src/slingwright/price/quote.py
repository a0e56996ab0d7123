"""A quote's items: each sling rated, made or found on the shelf, and priced for its number."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from slingwright.make.bill import Bill, bill
from slingwright.make.nearest import nearest_buildable
from slingwright.make.ratings import HitchLoad, hitch_loads, weak_fitting
from slingwright.price.book import PriceBook
from slingwright.price.cost import Supply, price_bill, price_quantity
from slingwright.price.money import Price
from slingwright.rulebook import Refusal as NoRating
from slingwright.rulebook import Rulebook
from slingwright.shop import Loft, Protection, Refusal, Shop, StockSling, buildable_spec
from slingwright.sling import SlingSpec

__all__ = ["Asked", "PriceBreak", "Quote", "QuoteItem", "Unquoted", "quote_item"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Equal slings that a quote or an order asks for; `tolerance_m` None = the shop's own."""

    spec: SlingSpec
    quantity: int
    supply: Supply = Supply.MADE
    stock_id: str | None = None
    protection: Protection = Protection.NONE
    matched: bool = False
    tolerance_m: float | None = None
    loft: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBreak:
    """What so many of an item cost."""

    quantity: int
    price_minor: int


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteItem:
    """One item, priced. `each` is one sling, `price` all of them, `tolerance_m` the made length's."""

    asked: Asked
    loads: tuple[HitchLoad, ...]
    bill: Bill
    each: Price
    price: Price
    breaks: tuple[PriceBreak, ...]
    loft: Loft | None
    days: int
    tolerance_m: float

    @property
    def adopted(self) -> bool:
        """Whether the table behind its rating was adopted."""
        return self.loads[0].rating.adopted


@dataclass(frozen=True, slots=True, kw_only=True)
class Unquoted:
    """An item that cannot be quoted: why, and what near it can."""

    asked: Asked
    refusal: Refusal | NoRating
    nearest: tuple[QuoteItem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """A whole quote."""

    number: str
    on: dt.date
    valid_until: dt.date
    customer: str | None
    lifts: tuple[str, ...]  # what the lifts are called that it is for
    items: tuple[QuoteItem, ...]
    currency: str

    @property
    def price_minor(self) -> int:
        """The sum of its items."""
        return sum(item.price.price_minor for item in self.items)

    @property
    def days(self) -> int:
        """Working days until all is ready."""
        return max(item.days for item in self.items)

    @property
    def planning_only(self) -> bool:
        """Whether any table behind it is not adopted."""
        return not all(item.adopted for item in self.items)


def quote_item(asked: Asked, rulebook: Rulebook, shop: Shop, book: PriceBook) -> QuoteItem | Unquoted:
    """Rate, build and price what is asked for, or say why not and what near it could be.

    Parameters
    ----------
    asked
        The slings.
    rulebook, shop, book
        Whose ratings, practice and rates.
    """
    found = _item(asked, rulebook, shop, book)
    if isinstance(found, QuoteItem):
        return found
    near = nearest_buildable(
        shop, asked.spec, lambda spec: isinstance(_item(_plain(spec), rulebook, shop, book), QuoteItem)
    )
    items = (_item(_plain(spec), rulebook, shop, book) for spec in near if spec != asked.spec)
    return Unquoted(asked=asked, refusal=found, nearest=tuple(i for i in items if isinstance(i, QuoteItem)))


def _plain(spec: SlingSpec) -> Asked:
    return Asked(spec=spec, quantity=1)


def _item(asked: Asked, rulebook: Rulebook, shop: Shop, book: PriceBook) -> QuoteItem | Refusal | NoRating:
    where = _from_stock(asked, rulebook, shop) if asked.supply is Supply.STOCK else _made(asked, shop)
    if isinstance(where, Refusal):
        return where
    loads = hitch_loads(rulebook, asked.spec)
    if isinstance(loads, NoRating):
        return loads
    tolerance_m = made_tolerance_m(asked, shop)
    made = bill(asked.spec, asked.protection, shop, made=asked.supply is Supply.MADE)
    refusal = weak_fitting(shop, asked.spec, loads[0].rating.rated_n)
    for step in (refusal, tolerance_m, made):
        if isinstance(step, Refusal):
            return step
    assert isinstance(made, Bill)
    assert isinstance(tolerance_m, float)
    each = price_bill(made, asked.supply, book)
    if isinstance(each, Refusal):
        return each
    counts = [least for least, _ in book.breaks if least > asked.quantity]
    loft, days = where
    return QuoteItem(
        asked=asked,
        loads=loads,
        bill=made,
        each=each,
        price=price_quantity(each, asked.quantity, book),
        breaks=tuple(
            PriceBreak(quantity=n, price_minor=price_quantity(each, n, book).price_minor) for n in counts
        ),
        loft=loft,
        days=days,
        tolerance_m=tolerance_m,
    )


def made_tolerance_m(asked: Asked, shop: Shop) -> float | Refusal:
    """How far the made length may be off [m]: what was asked for, or the shop's own; never closer."""
    practice = shop.practice
    if asked.tolerance_m is None:
        return practice.tolerance_rel * asked.spec.length_m + practice.tolerance_m
    if asked.tolerance_m < practice.matched_tolerance_m:
        return Refusal(
            code="tolerance-too-close",
            figure=asked.tolerance_m,
            limit=practice.matched_tolerance_m,
            unit="m",
            nearest=(practice.matched_tolerance_m,),
        )  # fmt: skip
    return asked.tolerance_m


def _made(asked: Asked, shop: Shop) -> tuple[Loft, int] | Refusal:
    """The loft that makes it: the one named, else the soonest that can."""
    lofts = buildable_spec(shop, asked.spec)
    if isinstance(lofts, Refusal):
        return lofts
    able: Sequence[Loft] = [loft for loft in lofts if asked.loft in (None, loft.id)]
    if not able:
        return Refusal(code="not-at-loft", subject=asked.loft or "")
    return able[0], able[0].days


def _from_stock(asked: Asked, rulebook: Rulebook, shop: Shop) -> tuple[None, int] | Refusal:
    shelf: StockSling | None = next((s for s in shop.stock if s.id == asked.stock_id), None)
    if shelf is None or shelf.spec != asked.spec or shelf.count < asked.quantity:
        there = shelf.count if shelf is not None and shelf.spec == asked.spec else 0
        return Refusal(code="stock-gone", figure=asked.quantity, limit=there, subject=asked.stock_id or "")
    if shelf.rulebook != rulebook.id:
        return Refusal(code="stock-rulebook", subject=shelf.id)
    return None, shelf.days
