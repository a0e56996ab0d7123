"""Spreadsheets both ways: stock, rolls and orders in; stock, rolls, cut lists and price lists out."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from slingwright.errors import Fault, InputFault, fail
from slingwright.usecases.documents import hash_input, read_tables
from slingwright.usecases.made_by import head
from slingwright.usecases.spreadsheet_files import Value, read_rows, write_rows

if TYPE_CHECKING:
    from slingwright.shop import Shop
    from slingwright.usecases.settings import Settings

__all__ = [
    "Coming",
    "ExportRequest",
    "Going",
    "export_document",
    "export_rows",
    "load_document",
    "load_rows_of",
]

_KNOWN = "read from the shop's spreadsheet"
_SPEC = ("form", "fibre", "class", "plies", "width", "length", "eye")
_LINE = ("quantity", "length_tolerance", "matched", "protection", "loft", "lot")
_HEAD = ("number", "customer", "due", "rulebook")
_YES_NO = {"true": True, "yes": True, "false": False, "no": False}


class Coming(StrEnum):
    """What may come in."""

    STOCK = "stock"
    ROLLS = "rolls"
    ORDER = "order"


class Going(StrEnum):
    """What may go out."""

    STOCK = "stock"
    ROLLS = "rolls"
    PRICE_LIST = "price-list"
    CUT_LIST = "cut-list"


@dataclass(frozen=True, slots=True, kw_only=True)
class ExportRequest:
    """What is exported: lengths of a price list, the plan of a cut list (bytes and file name)."""

    kind: Going
    settings: Settings
    workbook: bool
    on: dt.date
    lengths: str | None = None
    plan: tuple[bytes, str] | None = None


def load_rows_of(kind: Coming, content: bytes, settings: Settings) -> str:
    """Turn a spreadsheet into the shop's own file (TOML), read by that file's own reader first.

    Raises
    ------
    InputFault
        Every fault, by its row and column.
    """
    rows = read_rows(content)
    if not rows:
        raise fail("", "holds no rows under its heads")
    numbers = [row.pop("") for row in rows]
    document = _order(rows) if kind is Coming.ORDER else _list(kind, rows)
    try:
        _read_back(kind, document, settings)
    except InputFault as fault:
        raise InputFault([_by_row(one, numbers) for one in fault.faults]) from None
    return "\n".join(_toml(document)) + "\n"


def _list(kind: Coming, rows: list[dict[str, Value]]) -> dict[str, Any]:
    entry = {Coming.STOCK: "sling", Coming.ROLLS: "roll"}[kind]
    found = [{key: _said(key, value) for key, value in row.items()} for row in rows]
    return {"schema": f"slingwright/{kind}/1", "known": _KNOWN, entry: found}


def _said(key: str, value: Value) -> Value:
    """A cell as the file's own reader takes it: yes and no, and whole numbers written as text."""
    if isinstance(value, str):
        if key == "matched":
            return _YES_NO.get(value.lower(), value)
        if key in ("class", "plies", "count", "days", "quantity") and value.isascii() and value.isdigit():
            return int(value)
        return value
    plain = key in ("class", "plies", "count", "days", "quantity", "matched")
    return value if plain or value is None else str(value)


def _order(rows: list[dict[str, Value]]) -> dict[str, Any]:
    """One order: its own columns must be alike in every row that fills them."""
    document: dict[str, Any] = {"schema": "slingwright/order/1"}
    for key in _HEAD:
        said = {str(row.pop(key)) for row in rows if key in row}
        if len(said) > 1:
            raise fail(key, f"is not alike in every row: {', '.join(sorted(said))}", "one order a file")
        if said:
            document[key] = said.pop()
    lines = []
    for row in rows:
        spec = {key: _said(key, row.pop(key)) for key in _SPEC if key in row}
        line = {key: _said(key, row.pop(key)) for key in _LINE if key in row}
        lines.append(
            {**line, "spec": spec, **row}
        )  # what is left is no column known here: the reader says so
    return document | {"line": lines}


def _read_back(kind: Coming, document: dict[str, Any], settings: Settings) -> None:
    from slingwright.usecases.order_file import read_order
    from slingwright.usecases.quote import open_offer_in
    from slingwright.usecases.shop_files import open_shop, read_shop_tables

    if kind is Coming.ORDER:
        shop = open_shop(settings).shop
        read_order(document, shop, open_offer=open_offer_in(settings.need_shop().parent))
        return
    from slingwright.shop import read_shop

    tables = read_shop_tables(replace(settings, stock=None, rolls=None))
    read_shop(tables, sha256="", **{f"{kind}_doc": document})


def _by_row(fault: Fault, numbers: list[Value]) -> Fault:
    """A fault by the spreadsheet's row and column instead of the file's path."""
    path = fault.field
    for entry in ("stock.sling", "rolls.roll", "line"):
        if path.startswith(f"{entry}["):
            index, _, column = path.removeprefix(f"{entry}[").partition("]")
            column = column.removeprefix(".").removeprefix("spec").removeprefix(".")
            where = f"row {numbers[int(index)]}" + (f", {column}" if column else "")
            return Fault(where, fault.problem, fault.hint)
    return fault


def _toml(document: Mapping[str, Any]) -> Iterator[str]:
    """Flat keys first, then each list of tables; JSON's strings are TOML's too."""
    for key, value in document.items():
        if not isinstance(value, list):
            yield f"{key} = {_toml_value(value)}"
    for key, value in document.items():
        for row in value if isinstance(value, list) else ():
            yield ""
            yield f"[[{key}]]"
            yield from (f"{name} = {_toml_value(cell)}" for name, cell in row.items())


def _toml_value(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_toml_value(inner)}" for key, inner in value.items()) + " }"
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def load_document(kind: Coming, text: str, content: bytes) -> dict[str, Any]:
    """The `slingwright/load/1` document: the file that a spreadsheet became."""
    return {**head("load/1", input_sha256=hash_input(content)), "kind": str(kind), "text": text}


def export_document(kind: Going, rows: int) -> dict[str, Any]:
    """The `slingwright/export/1` document: what was written."""
    return {**head("export/1"), "kind": str(kind), "rows": rows}


def export_rows(request: ExportRequest) -> tuple[bytes, int]:
    """Write a list of the shop's as CSV or XLSX; give it with its number of rows.

    Raises
    ------
    InputFault
        The shop's files, the lengths or the plan are at fault.
    """
    heads, rows = _EXPORTS[request.kind](request)
    content = write_rows(heads, rows, name=str(request.kind), workbook=request.workbook, on=request.on)
    return content, len(rows)


_STOCK_COLUMNS = (
    "id", "form", "fibre", "class", "plies", "width", "length", "eye", "loft", "count", "matched", "rulebook",
    "days",
)  # fmt: skip
Table = tuple[tuple[str, ...], list[dict[str, Value]]]


def _kept(request: ExportRequest) -> Table:
    """Stock or rolls as their file has them, in the words of its reader."""
    path = request.settings.stock if request.kind is Going.STOCK else request.settings.rolls
    if path is None:
        hint = f"give --{request.kind} FILE, or keep it beside the shop's"
        raise fail(str(request.kind), "is not known", hint)
    from slingwright.usecases.shop_files import open_shop

    open_shop(request.settings)  # whatever is at fault in it is told
    document = read_tables(path.read_bytes(), path.name, what=f"a {request.kind} file")
    rows = document["sling" if request.kind is Going.STOCK else "roll"]
    columns = {
        Going.STOCK: _STOCK_COLUMNS,
        Going.ROLLS: ("id", "fibre", "class", "width", "length", "lot", "loft", "certificate"),
    }
    return columns[request.kind], rows


_PRICES = (
    "code", "form", "fibre", "class", "plies", "width_m", "length_m", "rated_straight", "rated_choker",
    "rated_basket", "planning_only", "price_minor", "currency", "price", "mass_kg", "ready_in_days",
)  # fmt: skip


def _price_list(request: ExportRequest) -> Table:
    from slingwright.price.quote import Asked, QuoteItem, quote_item
    from slingwright.units import parse_length_m
    from slingwright.usecases.rulebooks import open_rulebook
    from slingwright.usecases.shop_files import open_shop

    opened, rulebook = open_shop(request.settings), open_rulebook(request.settings)
    if request.lengths is None:
        raise fail("--lengths", "is missing", 'the lengths to price: --lengths "6 ft, 10 ft, 20 ft"')
    lengths = [parse_length_m(text, "--lengths", above=0.0) for text in request.lengths.split(",")]
    asked = (Asked(spec=spec, quantity=1) for spec in _makes(opened.shop, lengths))
    items = (quote_item(one, rulebook, opened.shop, opened.book) for one in asked)
    return _PRICES, [_priced(item) for item in items if isinstance(item, QuoteItem)]


def _makes(shop: Shop, lengths: Iterable[float]) -> Iterator[Any]:
    from slingwright.shop import Refusal, buildable, spec_for
    from slingwright.sling import Form

    every = sorted({(w.fibre, w.webbing_class, w.width_m) for w in shop.webbings})
    lengths = list(lengths)
    for form in Form:
        for fibre, webbing_class, width_m in every:
            for plies in shop.plies:
                make = (form, fibre, webbing_class, plies, width_m)
                for length_m in lengths:
                    if not isinstance(buildable(shop, *make, length_m), Refusal):
                        yield spec_for(shop, *make, length_m)


def _priced(item: Any) -> dict[str, Value]:
    from slingwright.words.figures import show_money
    from slingwright.words.making import sling_code

    spec = item.asked.spec
    rated: dict[str, str] = {}
    for load in item.loads:
        rated.setdefault(str(load.hitch), load.rating.printed)  # the basket's first is upright
    return {
        "code": sling_code(spec),
        "form": str(spec.form),
        "fibre": str(spec.fibre),
        "class": spec.webbing_class,
        "plies": spec.plies,
        "width_m": spec.width_m,
        "length_m": spec.length_m,
        "rated_straight": rated["vertical"],
        "rated_choker": rated.get("choker"),
        "rated_basket": rated.get("basket"),
        "planning_only": not item.adopted,
        "price_minor": item.each.price_minor,
        "currency": item.each.currency,
        "price": show_money(item.each.price_minor, item.each.currency, language="en"),
        "mass_kg": round(item.bill.mass_kg, 3),
        "ready_in_days": item.days,
    }


_CUTS = (
    "webbing", "roll", "lot", "roll_length_mm", "times", "order", "due", "piece_mm", "pieces_a_roll",
    "leftover_mm",
)  # fmt: skip


def _cut_list(request: ExportRequest) -> Table:
    if request.plan is None:
        raise fail("--plan", "is missing", "what slingwright cut JOB --json printed")
    content, file = request.plan
    document = read_tables(content, file, what="a cut plan")
    if document.get("schema") != "slingwright/cut-plan/1":
        raise fail("--plan", "is not slingwright/cut-plan/1", "what slingwright cut JOB --json printed")
    try:
        plans = document.get("plans", [document])
        return _CUTS, [row for plan in plans for row in _cuts(plan)]
    except (KeyError, TypeError, AttributeError) as error:
        raise fail("--plan", f"cannot be read: {type(error).__name__} {error}") from None


def _cuts(plan: Mapping[str, Any]) -> Iterator[dict[str, Value]]:
    for roll in plan["plan"]:
        for piece in roll["pieces"]:
            yield {
                "webbing": plan["name"],
                "roll": roll["roll"],
                "lot": roll["lot"],
                "roll_length_mm": roll["stock_length"],
                "times": roll["times"],
                "order": piece["order"],
                "due": piece["due"],
                "piece_mm": piece["length"],
                "pieces_a_roll": piece["count"],
                "leftover_mm": roll["leftover"],
            }


_EXPORTS = {
    Going.STOCK: _kept,
    Going.ROLLS: _kept,
    Going.PRICE_LIST: _price_list,
    Going.CUT_LIST: _cut_list,
}
