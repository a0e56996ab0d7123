"""What is wanted, read from a file: the lines of an order or of a quote, each a sling or an offer.

One form serves both (`slingwright/order/1`): a quote reads the lines and leaves what only an order needs.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from slingwright.errors import Fault, InputFault, fail
from slingwright.shop import Protection, Shop
from slingwright.shop.fields import Field, Table, schema_document
from slingwright.shop.kinds import Choice, Const, Length, ListOf, Schema, Switch, Text, Whole, nearest_hint
from slingwright.sling import Fibre, Form, SlingSpec
from slingwright.usecases.offer_lines import OfferLine, offer_lines

__all__ = ["SPEC", "Approval", "Day", "Line", "Order", "line_facts", "order_schema", "read_order", "spec_of"]

Row = Mapping[str, Any]
MOST_QUANTITY = 10_000


@dataclass(frozen=True, slots=True)
class Day:
    """A date, as TOML's own or as text."""

    def read(self, value: object, path: str) -> dt.date:
        """Read the day."""
        if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
            return value
        try:
            return dt.date.fromisoformat(value if isinstance(value, str) else "")
        except ValueError:
            raise fail(path, f"{value!r} is no date", 'write it like "2026-05-31"') from None

    def schema(self) -> Schema:
        """A date as text."""
        return {"type": "string", "format": "date"}


class RulebookName(StrEnum):
    """The regime an order is made and tagged to: one sling, one rulebook."""

    US = "us"
    EN = "en"


SPEC = Table((
    Field("form", Choice(Form), "sling form"),
    Field("fibre", Choice(Fibre), "webbing material"),
    Field("class", Whole(low=1, high=99), "webbing class; left out: the highest kept", None),
    Field("plies", Whole(low=1, high=8), "layers in the body"),
    Field("width", Length(high_m=1.0), "webbing width"),
    Field("length", Length(), "bearing to bearing; endless: half its circumference"),
    Field("eye", Length(high_m=10.0), "inside eye length; left out: the shop's own", None),
))  # fmt: skip
_OFFER = Table((
    Field("file", Text(), "an offers document, its path counted from this file"),
    Field("index", Whole(low=1, high=1000), "which offer, from 1", 1),
))  # fmt: skip
_LINE = Table((
    Field("spec", SPEC, "a sling", None),
    Field("offer", _OFFER, "an offer, in place of a sling", None),
    Field("quantity", Whole(low=1, high=MOST_QUANTITY), "how many slings, or sets of the offer", 1),
    Field("length_tolerance", Length(), "made length within plus or minus this", None),
    Field("matched", Switch(), "a matched set: made lengths alike within the shop's own limit", False),
    Field("protection", Choice(Protection), "what goes with each sling", Protection.NONE),
    Field("loft", Text(longest=40), "which loft makes it; left out: the soonest that can", None),
    Field("lot", Text(longest=60), "which webbing lot; left out: any with a certificate on file", None),
))  # fmt: skip
_APPROVED = Table((
    Field("by", Text(), "who accepted the approval drawing for the customer"),
    Field("on", Day(), "when"),
    Field("drawing_sha256", Text(longest=64), "the drawing's own figure, printed on it"),
))  # fmt: skip
ORDER = Table((
    Field("schema", Const("slingwright/order/1"), "name and version of this file's form"),
    Field("number", Text(longest=20), "the order's number; the slings' serial numbers begin with it", None),
    Field("customer", Text(), "who ordered", None),
    Field("due", Day(), "wanted on", None),
    Field("rulebook", Choice(RulebookName), "made, rated and tagged to; left out: the settings' own", None),
    Field("line", ListOf(kind=_LINE, least=1, most=200), "what is ordered"),
    Field("approved", _APPROVED, "the customer's acceptance of the approval drawing", None),
))  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Approval:
    """The customer's acceptance of the approval drawing."""

    by: str
    on: dt.date
    drawing_sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """Equal slings wanted. `carried` are an offer's cautions in words, with what it was made from."""

    field: str
    spec: SlingSpec
    quantity: int
    supply: str = "made"
    stock_id: str | None = None
    protection: Protection = Protection.NONE
    matched: bool = False
    tolerance_m: float | None = None
    loft: str | None = None
    lot: str | None = None
    class_taken: bool = False
    offer: OfferLine | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """An order, or the lines of a quote; `stops` = a lift's, which has no line then."""

    number: str | None
    customer: str | None
    due: dt.date | None
    rulebook: str | None
    lines: tuple[Line, ...]
    approved: Approval | None
    stops: tuple[str, ...] = ()


def order_schema() -> Schema:
    """The JSON Schema of an order."""
    return schema_document(ORDER, "An order, or the lines of a quote")


def read_order(doc: object, shop: Shop, *, open_offer: Callable[[str, str], Row]) -> Order:
    """Read a parsed order.

    Parameters
    ----------
    doc, shop
        The parsed file, and the shop whose practice fills what it leaves out.
    open_offer
        Reads the offers document of a path; the second argument is the field for its faults.

    Raises
    ------
    InputFault
        Every fault of the file, and of the offers it names.
    """
    row = ORDER.read(doc, "")
    faults: list[Fault] = []
    lines: list[Line] = []
    rulebooks = set()
    for i, line in enumerate(row["line"]):
        try:
            for one in _lines(line, f"line[{i}]", shop, open_offer):
                lines.append(one)
                rulebooks |= {one.offer.rulebook} if one.offer else set()
        except InputFault as fault:
            faults += fault.faults
    faults += _order_faults(row, rulebooks)
    if faults:
        raise InputFault(faults)
    named = None if row["rulebook"] is None else str(row["rulebook"])
    return Order(
        number=row["number"],
        customer=row["customer"],
        due=row["due"],
        rulebook=named or next(iter(rulebooks), None),
        lines=tuple(lines),
        approved=Approval(**row["approved"]) if row["approved"] else None,
    )


def _order_faults(row: Row, rulebooks: set[str]) -> Iterator[Fault]:
    number = row["number"]
    if number is not None and not (number.isascii() and number.replace("-", "").isalnum()):
        yield Fault(
            "number", f"{number!r} is not of letters, digits and dashes", "it stands in the tag's code"
        )
    if len(rulebooks | ({str(row["rulebook"])} if row["rulebook"] else set())) > 1:
        yield Fault("rulebook", "is not that of every offer", "one sling, one rulebook: split the order")


def _lines(row: Row, at: str, shop: Shop, open_offer: Callable[[str, str], Row]) -> Iterator[Line]:
    if (row["spec"] is None) == (row["offer"] is None):
        raise fail(at, "has not just one of spec and offer")
    if row["loft"] is not None and row["loft"] not in (lofts := [loft.id for loft in shop.lofts]):
        raise fail(f"{at}.loft", f"{row['loft']!r} is not a loft", nearest_hint(row["loft"], lofts))
    common: dict[str, Any] = {key: row[key] for key in ("loft", "lot")}
    common |= {"field": at, "tolerance_m": row["length_tolerance"]}
    if row["spec"] is not None:
        spec, taken = spec_of(row["spec"], shop, f"{at}.spec")
        same = {key: row[key] for key in ("quantity", "protection", "matched")}
        yield Line(spec=spec, class_taken=taken, **same, **common)
        return
    document = open_offer(row["offer"]["file"], f"{at}.offer.file")
    for found in offer_lines(document, row["offer"]["index"], f"{at}.offer"):
        quantity, matched = row["quantity"] * found.count, found.matched or row["matched"]
        yield Line(**common, **line_facts(found), quantity=quantity, matched=matched)


def line_facts(found: OfferLine) -> dict[str, Any]:
    """What an offer's slings say of a line, quantity and matching apart."""
    return {
        "spec": found.spec,
        "supply": found.supply,
        "stock_id": found.stock_id,
        "protection": found.protection,
        "offer": found,
    }


def spec_of(row: Row, shop: Shop, at: str) -> tuple[SlingSpec, bool]:
    """The sling of a table, and whether its webbing class was not said and the highest kept was taken.

    Raises
    ------
    InputFault
        Eyes for a form that has none, or longer than the sling.
    """
    form, width_m, plies = row["form"], row["width"], row["plies"]
    if row["eye"] is not None and not form.has_eyes:
        raise fail(f"{at}.eye", f"{form} has no sewn eyes", "leave it out")
    kept = sorted(w.webbing_class for w in shop.webbings if (w.fibre, w.width_m) == (row["fibre"], width_m))
    every = [w.webbing_class for w in shop.webbings if w.fibre == row["fibre"]] or [
        w.webbing_class for w in shop.webbings
    ]
    eyes = shop.eye_row(width_m, plies)
    eye_m = (row["eye"] or (eyes.eye_m if eyes else 0.0)) if form.has_eyes else 0.0
    if eye_m and row["length"] <= 2 * eye_m and row["eye"] is not None:
        raise fail(
            f"{at}.eye", "leaves no body: two eyes are as long as the sling", "a shorter eye, a longer sling"
        )
    spec = SlingSpec(
        form=form,
        fibre=row["fibre"],
        webbing_class=row["class"] or (kept or sorted(every))[-1],
        plies=plies,
        width_m=width_m,
        length_m=row["length"],
        eye_m=eye_m,
    )
    return spec, row["class"] is None
