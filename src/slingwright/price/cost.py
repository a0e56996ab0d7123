"""The price of one sling, line by line, from its bill: exact fractions, rounded half up once a line."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction

from slingwright.make.bill import SECONDS_AN_HOUR, Bill, bill
from slingwright.price.book import PriceBook
from slingwright.price.money import MoneyLine, Price, half_up
from slingwright.shop import Protection, Refusal, Shop
from slingwright.sling import SlingSpec

__all__ = ["Supply", "price_bill", "price_quantity", "price_sling"]


class Supply(StrEnum):
    """Where a sling comes from."""

    MADE = "made"
    STOCK = "stock"


def price_sling(
    spec: SlingSpec,
    supply: Supply | str,
    protection: Protection,
    book: PriceBook,
    shop: Shop,
    *,
    guard_pieces: int | None = None,
) -> Price | Refusal:
    """Price one sling with its protection, or say what is missing.

    Parameters
    ----------
    spec, supply, protection
        The sling, whether it is made or from the shelf, what protects it.
    book, shop
        The rates and the practice that says what it takes.
    guard_pieces
        How many pieces of protection; the shop's usual number where left out.
    """
    supply = Supply(supply)
    found = bill(spec, protection, shop, guard_pieces=guard_pieces, made=supply is Supply.MADE)
    return found if isinstance(found, Refusal) else price_bill(found, supply, book)


def price_bill(found: Bill, supply: Supply, book: PriceBook) -> Price | Refusal:
    """Price a bill; the total is the sum of its lines."""
    own = _own_lines(found, book)
    if isinstance(own, Refusal):
        return own
    guards = _guard_lines(found, book)
    if isinstance(guards, Refusal):
        return guards
    lines = [*own, _share_line("markup", book.markup, _sum(own))]
    lacking = max(0, book.minimum_per_sling - _sum(lines))
    lines.append(_line("minimum", "", Fraction(1), "piece", lacking, lacking))
    if supply is Supply.STOCK:
        lines.append(_share_line("stock-discount", -book.stock_discount, _sum(lines)))
    lines = [line for line in (*lines, *guards) if line.minor]
    return Price(price_minor=_sum(lines), currency=book.currency, lines=tuple(lines))


def price_quantity(price: Price, quantity: int, book: PriceBook) -> Price:
    """The price of several equal slings: each line times the quantity, less the book's quantity discount."""
    lines = [
        _line(x.code, x.subject, x.quantity * quantity, x.unit, x.rate_minor, x.minor * quantity)
        for x in price.lines
    ]
    share = book.quantity_discount(quantity)
    if share:
        off = sum(line.minor for line in lines if line.code != "protection")
        lines.append(_share_line("quantity-discount", -share, off))
    return Price(price_minor=_sum(lines), currency=price.currency, lines=tuple(lines))


def _own_lines(found: Bill, book: PriceBook) -> list[MoneyLine] | Refusal:
    """Material and work of the sling itself."""
    web = found.webbing
    rate = book.webbing_per_m.get((web.fibre, web.webbing_class, web.width_m))
    if rate is None:
        return Refusal(code="no-price", subject="webbing", figure=web.width_m, unit="m")
    metres, thread = Fraction(found.webbing_mm, 1000), Fraction(found.thread_mm, 1000)
    hours = Fraction(found.labour_s, SECONDS_AN_HOUR)
    lines = [_exact_line("webbing", "", metres, "m", rate)]
    for fitting in found.fittings:
        each = book.fitting_each.get((fitting.kind, fitting.width_m))
        if each is None:
            return Refusal(code="no-price", subject=str(fitting.kind), figure=fitting.width_m, unit="m")
        lines.append(_exact_line("fitting", str(fitting.kind), Fraction(1), "piece", each))
    lines.append(_exact_line("thread", "", thread, "m", book.thread_per_m))
    lines.append(_exact_line("label", "", Fraction(found.labels), "piece", book.label_each))
    lines.append(_exact_line("labour", "", hours, "h", book.labour_per_hour))
    return lines


def _guard_lines(found: Bill, book: PriceBook) -> list[MoneyLine] | Refusal:
    if found.guard is None:
        return []
    protection = Protection(found.guard.protection)
    each = book.protection_rate(protection, found.webbing.width_m)
    if each is None:
        return Refusal(code="no-price", subject=str(protection), figure=found.webbing.width_m, unit="m")
    return [_exact_line("protection", str(protection), Fraction(found.guard_pieces), "piece", each)]


def _sum(lines: list[MoneyLine]) -> int:
    return sum(line.minor for line in lines)


def _exact_line(code: str, subject: str, quantity: Fraction, unit: str, rate_minor: int) -> MoneyLine:
    return _line(code, subject, quantity, unit, rate_minor, half_up(quantity * rate_minor))


def _share_line(code: str, share: Fraction, of_minor: int) -> MoneyLine:
    """A share of a sum; a discount is rounded as the positive amount it takes off."""
    sign = -1 if share < 0 else 1
    return _line(code, "", share, "1", of_minor, sign * half_up(abs(share) * of_minor))


def _line(code: str, subject: str, quantity: Fraction, unit: str, rate_minor: int, minor: int) -> MoneyLine:
    return MoneyLine(
        code=code, subject=subject, quantity=quantity, unit=unit, rate_minor=rate_minor, minor=minor
    )
