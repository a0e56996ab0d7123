"""The JSON Schemas of every file that is read and every document that is printed, by their names.

The lift and the shop's files publish their own; all others are made from `data/documents.toml`, the one list
from which the reference page is checked too.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from slingwright.errors import fail

__all__ = ["Key", "Table", "print_schema", "schema_names", "tables"]

Schema = dict[str, Any]
_HEAD = "made_by"
_HEADLESS = "fault"  # the one document that was made from nothing
_SEVERAL = {  # a name that stands for more than one form
    "hang-problem": ("hang-problem", "hang-problem-short"),
    "cut-plan": ("cut-plan", "cut-plans"),
}
_CUT_INSTANCES = ("cut-rolls-only", "cut-instance")
_NUMBER: Schema = {"type": "number"}
_POINT: Schema = {"type": "array", "items": _NUMBER, "minItems": 3, "maxItems": 3}
_KINDS: Mapping[str, Schema] = {
    "text": {"type": "string"},
    "number": _NUMBER,
    "whole": {"type": "integer"},
    "yes-no": {"type": "boolean"},
    "point": _POINT,
    "pair": {**_POINT, "minItems": 2, "maxItems": 2},
    "rotation": {"type": "array", "items": _POINT, "minItems": 3, "maxItems": 3},
    "anything": {},
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """One key of a table; `least` and `most` bound a number, or the entries of a list."""

    name: str
    about: str
    kinds: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    list: bool = False
    map: bool = False
    null: bool = False
    optional: bool = False
    least: float | None = None
    above: float | None = None
    most: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One table of keys: a document that is printed, a file that is read, or a part of one."""

    name: str
    about: str
    prints: str
    reads: str
    keys: tuple[Key, ...]


@cache
def tables() -> Mapping[str, Table]:
    """All tables by name, in the order they are shown."""
    text = files("slingwright.usecases").joinpath("data/documents.toml").read_text(encoding="utf-8")
    found: dict[str, Table] = {}
    entries = tomllib.loads(text)["table"]
    by_name = {entry["name"]: entry for entry in entries}
    for entry in entries:
        rows = (by_name[entry["same_as"]] if "same_as" in entry else entry).get("key", {})
        left_out = entry.get("without", ())
        found[entry["name"]] = Table(
            name=entry["name"],
            about=entry["about"],
            prints=entry.get("prints", ""),
            reads=entry.get("reads", ""),
            keys=tuple(_key(name, row) for name, row in rows.items() if name not in left_out),
        )
    return found


def _key(name: str, row: Mapping[str, Any]) -> Key:
    kinds = row.get("is", ())
    rest = {key: value for key, value in row.items() if key not in ("is", "choices")}
    return Key(
        name=name,
        kinds=(kinds,) if isinstance(kinds, str) else tuple(kinds),
        choices=tuple(row.get("choices", ())),
        **rest,
    )


def _own_schemas() -> Mapping[str, Callable[[], Schema]]:
    """The schemas that other rooms publish themselves."""
    from slingwright.lift import lift_schema
    from slingwright.price import price_book_schema
    from slingwright.shop import rolls_schema, shop_schema, stock_schema
    from slingwright.usecases.making_record import making_record_schema
    from slingwright.usecases.order_file import order_schema
    from slingwright.usecases.routing_day import routing_day_schema

    return {
        "lift": lift_schema,
        "shop": shop_schema,
        "stock": stock_schema,
        "rolls": rolls_schema,
        "price-book": price_book_schema,
        "order": order_schema,
        "making-record": making_record_schema,
        "routing-day": routing_day_schema,
    }


def schema_names() -> tuple[str, ...]:
    """Every name there is a schema for: files first, then documents."""
    found = tables().values()
    reads = tuple(table.name for table in found if table.reads)
    return (*_own_schemas(), *reads, *(table.name for table in found if table.prints))


def print_schema(name: str) -> Schema:
    """The JSON Schema (draft 2020-12) of a file or document.

    Raises
    ------
    InputFault
        There is none of that name.
    """
    import difflib

    if name not in schema_names():
        near = difflib.get_close_matches(name, schema_names(), n=1)
        hint = f"did you mean {near[0]}?" if near else f"there are: {', '.join(schema_names())}"
        raise fail("NAME", f"there is no schema {name!r}", hint)
    own = _own_schemas()
    return own[name]() if name in own else _document_schema(tables()[name])


def _document_schema(table: Table) -> Schema:
    title = table.prints or f"slingwright/{table.name}/1"
    closed = not table.prints  # an answer may gain keys, a file's unknown key is a fault
    names = _SEVERAL.get(table.name, (table.name,))
    forms = [_table_schema(tables()[name], prints=table.prints, closed=closed) for name in names]
    needed = set(names)
    if table.name == "cut-problem":
        instances = [_table_schema(tables()[name], closed=True) for name in _CUT_INSTANCES]
        forms += [*instances, {"type": "array", "items": {"anyOf": instances}, "minItems": 1}]
        needed |= set(_CUT_INSTANCES)
    head = {_HEAD} if table.prints and table.name != _HEADLESS else set()
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:{title.replace('/', ':')}",
        "title": title,
        **(forms[0] if len(forms) == 1 else {"description": table.about, "anyOf": forms}),
        "$defs": {
            part: _table_schema(tables()[part], closed=closed) for part in _parts(needed | head, needed)
        },
    }


def _parts(start: set[str], forms: set[str]) -> Iterator[str]:
    """Every table that these name, and those that they name, in the order of the list."""
    found, fresh = set(start - forms), set(start)
    while fresh:
        named = {kind for one in fresh for key in tables()[one].keys for kind in key.kinds}
        fresh = (named & set(tables())) - found
        found |= fresh
    return (name for name in tables() if name in found)


def _table_schema(table: Table, *, prints: str = "", closed: bool) -> Schema:
    properties: Schema = {}
    if prints:
        properties["schema"] = {"const": prints}
        if table.name != _HEADLESS:
            properties[_HEAD] = {"$ref": f"#/$defs/{_HEAD}"}
    required = [*properties, *(key.name for key in table.keys if not key.optional)]
    properties |= {key.name: {"description": key.about, **_key_schema(key)} for key in table.keys}
    schema: Schema = {
        "type": "object",
        "description": table.about,
        "properties": properties,
        "required": required,
    }
    return schema | ({"additionalProperties": False} if closed else {})


def _key_schema(key: Key) -> Schema:
    options = [_kind_schema(kind, key) for kind in key.kinds] or [{"enum": list(key.choices)}]
    schema = options[0] if len(options) == 1 else {"anyOf": options}
    if key.list:
        bounds = {"minItems": key.least, "maxItems": key.most}
        schema = {"type": "array", "items": schema, **_given(bounds)}
    elif key.map:
        schema = {"type": "object", "additionalProperties": schema}
    return {"anyOf": [schema, {"type": "null"}]} if key.null else schema


def _kind_schema(kind: str, key: Key) -> Schema:
    if kind not in _KINDS:
        return {"$ref": f"#/$defs/{kind}"}
    bounds = _given({"minimum": key.least, "exclusiveMinimum": key.above, "maximum": key.most})
    if kind == "point" and bounds:
        return {**_POINT, "items": {**_NUMBER, **bounds}}
    return {**_KINDS[kind], **(bounds if kind in ("number", "whole") and not key.list else {})}


def _given(bounds: Mapping[str, float | None]) -> Schema:
    return {name: bound for name, bound in bounds.items() if bound is not None}
