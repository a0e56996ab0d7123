"""The price book: rates in whole minor units. Every price is reproducible from its version and hash."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from slingwright.errors import Fault, InputFault, fail
from slingwright.shop import FittingKind, Protection, Shop
from slingwright.shop.fields import Field, Table, read_document, schema_document
from slingwright.shop.kinds import Choice, Const, Length, ListOf, Schema, Text, Whole
from slingwright.sling import Fibre
from slingwright.units import parse_ratio

__all__ = ["PriceBook", "book_faults", "price_book_schema", "read_price_book"]

Row = Mapping[str, Any]
_BASIS_POINTS = 100 * 100  # in one


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBook:
    """Rates in whole minor units of `currency`; shares as exact fractions. Tax is not in it."""

    version: str
    sha256: str
    currency: str
    webbing_per_m: Mapping[tuple[Fibre, int, float], int]
    fitting_each: Mapping[tuple[FittingKind, float], int]
    protection_each: tuple[tuple[Protection, float, int], ...]  # kind, up to this width, rate; narrow first
    thread_per_m: int
    label_each: int
    labour_per_hour: int
    minimum_per_sling: int
    markup: Fraction
    stock_discount: Fraction
    breaks: tuple[tuple[int, Fraction], ...]  # from so many equal slings, discount; fewest first

    def protection_rate(self, protection: Protection, width_m: float) -> int | None:
        """Rate of one piece for this webbing width, or None where the book has none."""
        fitting = (
            each for kind, up_to_m, each in self.protection_each if kind == protection and width_m <= up_to_m
        )
        return next(fitting, None)

    def quantity_discount(self, quantity: int) -> Fraction:
        """The discount for so many equal slings."""
        return max((share for least, share in self.breaks if least <= quantity), default=Fraction(0))


@dataclass(frozen=True, slots=True)
class _Share:
    """A share below one with at most two decimals of a percent, kept exact."""

    def read(self, value: object, path: str) -> Fraction:
        """Read the share."""
        points = parse_ratio(value, path, minimum=0.0, maximum=10.0) * _BASIS_POINTS
        if abs(points - round(points)) > 1e-6:  # the float's own rounding is far below this
            raise fail(path, "has more than two decimals of a percent", 'write it like "12.5 %"')
        return Fraction(round(points), _BASIS_POINTS)

    def schema(self) -> Schema:
        """A percentage as text, or a number."""
        return {"type": ["string", "number"], "description": "a percentage such as 12.5 %"}


_MINOR = Whole(high=100 * 1000 * 1000)
_WIDTHS = Field("widths", ListOf(kind=Length(), least=1, most=100, distinct=True), "webbing widths")
_RATES = ListOf(kind=_MINOR, least=1, most=100)
_BOOK = Table((
    Field("schema", Const("slingwright/price-book/1"), "name and version of this file's form"),
    Field("version", Text(longest=100), "the book's own version, printed on every price"),
    Field("known", Text(longest=1000), "where the rates come from"),
    Field("currency", Text(longest=3), "ISO 4217 code; rates are whole minor units of it"),
    Field("labour_per_hour", _MINOR, "per hour of sewing"),
    Field("thread_per_m", _MINOR, "per metre of thread"),
    Field("label_each", _MINOR, "per label"),
    Field("minimum_per_sling", _MINOR, "least price of a sling, protection apart"),
    Field("markup", _Share(), "on material and work"),
    Field("stock_discount", _Share(), "on a sling from the shelf", Fraction(0)),
    Field("webbing", ListOf(kind=Table((
        Field("fibre", Choice(Fibre), "webbing material"),
        Field("class", Whole(low=1, high=100), "webbing class"),
        _WIDTHS,
        Field("per_m", _RATES, "rate per metre, one for each width"),
    )), least=1, most=100), "webbing rates"),
    Field("fitting", ListOf(kind=Table((
        Field("kind", Choice(FittingKind), "triangle or choker-triangle"),
        _WIDTHS,
        Field("each", _RATES, "rate a piece, one for each width"),
    )), most=100), "fitting rates", ()),
    Field("protection", ListOf(kind=Table((
        Field("kind", Choice(Protection), "wear-sleeve, cut-sleeve or radius-former"),
        Field("up_to", Length(), "widest webbing at this rate"),
        Field("each", _MINOR, "rate a piece"),
    )), most=100), "protection rates", ()),
    Field("break", ListOf(kind=Table((
        Field("from", Whole(low=2), "this many equal slings or more"),
        Field("discount", _Share(), "off the sling"),
    )), most=100), "quantity breaks", ()),
))  # fmt: skip


def read_price_book(doc: object, *, sha256: str, shop: Shop | None = None) -> PriceBook:
    """Read a parsed price book (`slingwright/price-book/1`).

    Parameters
    ----------
    doc, sha256
        The parsed file and its hash.
    shop
        Where given, everything this shop sells must have a rate.

    Raises
    ------
    InputFault
        The book at fault or, with `shop`, holes in it; all faults at once.
    """
    faults: list[Fault] = []
    row = read_document(_BOOK, doc, faults)
    if row is None:
        raise InputFault(faults)
    faults += _row_faults(row)
    if faults:
        raise InputFault(faults)
    book = _book(row, sha256)
    if shop is not None and (holes := tuple(book_faults(book, shop))):
        raise InputFault(holes)
    return book


def _book(row: Row, sha256: str) -> PriceBook:
    return PriceBook(
        version=row["version"],
        sha256=sha256,
        currency=row["currency"],
        webbing_per_m={
            (r["fibre"], r["class"], width): rate
            for r in row["webbing"]
            for width, rate in zip(r["widths"], r["per_m"], strict=True)
        },
        fitting_each={
            (r["kind"], width): rate
            for r in row["fitting"]
            for width, rate in zip(r["widths"], r["each"], strict=True)
        },
        protection_each=tuple(
            sorted(
                ((r["kind"], r["up_to"], r["each"]) for r in row["protection"]), key=lambda p: (p[0], p[1])
            )
        ),
        thread_per_m=row["thread_per_m"],
        label_each=row["label_each"],
        labour_per_hour=row["labour_per_hour"],
        minimum_per_sling=row["minimum_per_sling"],
        markup=row["markup"],
        stock_discount=row["stock_discount"],
        breaks=tuple(sorted((r["from"], r["discount"]) for r in row["break"])),
    )


def _row_faults(row: Row) -> Iterator[Fault]:
    """Faults that no single key shows."""
    if not (row["currency"].isascii() and row["currency"].isupper() and len(row["currency"]) == 3):
        yield Fault("currency", "is not a currency code", 'three capital letters, like "USD"')
    for key, rates in (("webbing", "per_m"), ("fitting", "each")):
        seen: set[tuple[object, ...]] = set()
        for i, r in enumerate(row[key]):
            if len(r[rates]) != len(r["widths"]):
                problem = f"has {len(r[rates])} rates for {len(r['widths'])} widths"
                yield Fault(f"{key}[{i}].{rates}", problem, "one rate for each width, in the same order")
            for j, width in enumerate(r["widths"]):
                name = (*(r[k] for k in ("fibre", "class", "kind") if k in r), width)
                if name in seen:
                    yield Fault(f"{key}[{i}].widths[{j}]", "has a rate already")
                seen.add(name)
    for i, r in enumerate(row["break"]):
        if r["discount"] >= 1:
            yield Fault(f"break[{i}].discount", "is not below 100 %")
    if row["stock_discount"] >= 1:
        yield Fault("stock_discount", "is not below 100 %")


def book_faults(book: PriceBook, shop: Shop) -> Iterator[Fault]:
    """Everything the shop sells for which the book has no rate."""
    for webbing in shop.webbings:
        key = (webbing.fibre, webbing.webbing_class, webbing.width_m)
        if key not in book.webbing_per_m:
            what = f"{webbing.fibre} class {webbing.webbing_class}, {webbing.width_m:.4f} m wide"
            yield Fault("webbing", f"no rate for {what}", "the shop keeps this webbing")
    for fitting in shop.sewing.fittings:
        if (fitting.kind, fitting.width_m) not in book.fitting_each:
            what = f"{fitting.kind}, {fitting.width_m:.4f} m wide"
            yield Fault("fitting", f"no rate for {what}", "the shop keeps this fitting")
    for guard in shop.guards:
        if book.protection_rate(Protection(guard.protection), guard.max_width_m) is None:
            what = f"{guard.protection} up to {guard.max_width_m:.4f} m"
            yield Fault("protection", f"no rate for {what}", "the shop sells this protection")


def price_book_schema() -> Schema:
    """The JSON Schema of `price_book.toml`."""
    return schema_document(_BOOK, "A price book: rates in whole minor units")
