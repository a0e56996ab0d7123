"""The lift page's form: its fields from a lift's tables, and the tables from what was typed.

A field holds one key of the lift file under its path's name (`load.pick_point.2.at.0`). What has no field
stays as it was: the form is sent together with the lift that it was filled from. A value that is no plain
text is shown as the lift file would write it, and read back so: ranges can be typed everywhere.
"""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from slingwright.errors import Fault, InputFault
from slingwright.usecases.lift_text import value_text

__all__ = [
    "FIELDS",
    "MOST_PICKS",
    "Field",
    "field_id",
    "fields_of",
    "pick_rows",
    "said_in",
    "tables_from_form",
    "typed_rows",
]

MOST_PICKS = 16
_FEWEST_ROWS = 4
_RANGE = re.compile(r"^(.+?)\s+(?:to|–)\s+(.+)$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One field: the lift file's key, and the words it may take (else any text)."""

    path: str
    choices: tuple[str, ...] = ()
    unknown: bool = False  # "unknown" is an answer here
    ranged: bool = False  # so is "low to high"
    number: bool = False
    needed: bool = False  # without it nothing can hang
    group: str


def _fields(group: str, *fields: tuple[str, dict[str, Any]]) -> tuple[Field, ...]:
    return tuple(Field(path=path, group=group, **more) for path, more in fields)


_SHAPES = ("box", "cylinder", "bundle", "hull", "frame")
FIELDS = (
    *_fields(
        "load",
        ("title", {}),
        ("load.weight", {"unknown": True, "ranged": True, "needed": True}),
        ("load.known_by", {"choices": ("scale", "plate", "drawing", "estimate")}),
        ("load.shape", {"choices": _SHAPES, "needed": True}),
        ("load.length", {"needed": True}),
        ("load.width", {"needed": True}),
        ("load.height", {"needed": True}),
        ("load.diameter", {"needed": True}),
        ("load.centre_of_gravity", {"unknown": True}),
        ("load.edge_radius", {"unknown": True}),
        ("load.surface_temperature", {}),
        ("load.surface", {"number": True}),
    ),
    *_fields(
        "hook",
        ("hook.headroom", {"needed": True}),
        ("hook.thickness", {}),
        ("hook.width", {}),
        ("hook.capacity", {}),
    ),
    *_fields(
        "site",
        ("site.temperature", {}),
        ("site.touches", {}),
        ("site.service", {"choices": ("normal", "severe", "special")}),
        ("rulebook", {"choices": ("us", "en")}),
    ),
    *_fields(
        "want",
        ("want.by", {"choices": ("price", "delivery", "reserve", "weight")}),
        ("want.level_within", {}),
        ("want.least_angle", {}),
    ),
)
_BY_PATH = {field.path: field for field in FIELDS}
_LISTS = frozenset({"load.centre_of_gravity", "site.temperature", "site.touches"})
_PICK_KEYS = ("name", "at.0", "at.1", "at.2", "pin", "rated", "rated_at")


def field_id(path: str) -> str:
    """The field that a fault's path means: of `load.pick_point[2].at[0]`, `load.pick_point.2.at.0`."""
    name = re.sub(r"\[(\d+)\]", r".\1", path)
    while name and name not in _BY_PATH and not name.startswith("load.pick_point."):
        name = name.rpartition(".")[0]
    return name


def fields_of(tables: Mapping[str, Any]) -> dict[str, str]:
    """Each field's text."""
    found = {}
    for field in FIELDS:
        value: Any = tables
        for key in field.path.split("."):
            value = value.get(key) if isinstance(value, Mapping) else None
        found[field.path] = _shown(value, field.path)
    return found


def _shown(value: object, path: str) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if path in _LISTS and isinstance(value, list) and all(isinstance(one, str) for one in value):
        return "; ".join(value)
    if isinstance(value, Mapping) and set(value) == {"low", "high"}:
        low, high = value["low"], value["high"]
        if isinstance(low, str) and isinstance(high, str):
            return f"{low} to {high}"
    return value_text(value)


def pick_rows(tables: Mapping[str, Any]) -> list[dict[str, str]]:
    """The pick points' rows, with empty ones to fill in."""
    load = tables.get("load")
    picks = load.get("pick_point", []) if isinstance(load, Mapping) else []
    rows = []
    for pick in picks if isinstance(picks, list) else []:
        at = pick.get("at", []) if isinstance(pick, Mapping) else []
        row = {f"at.{i}": _shown(at[i], "") if i < len(at) else "" for i in range(3)}
        row |= {key: _shown(pick.get(key), "") for key in ("name", "pin", "rated", "rated_at")}
        rows.append(row)
    more = min(max(_FEWEST_ROWS - len(rows), 2), MOST_PICKS - len(rows))
    return rows + [dict.fromkeys(_PICK_KEYS, "") for _ in range(more)]  # each its own: they are typed into


def said_in(tables: Mapping[str, Any]) -> dict[str, str]:
    """What stands in all fields of a lift's form, pick points and all, as if it had been typed."""
    picks = enumerate(pick_rows(tables))
    return fields_of(tables) | {
        f"load.pick_point.{row}.{key}": text for row, said in picks for key, text in said.items()
    }


def typed_rows(rows: list[dict[str, str]], typed: Mapping[str, str]) -> list[dict[str, str]]:
    """The pick points' rows with what was typed in them, and as many as were typed."""
    found = [dict(row) for row in rows]
    for at in range(MOST_PICKS):
        said = {key: typed.get(f"load.pick_point.{at}.{key}") for key in _PICK_KEYS}
        if all(value is None for value in said.values()):
            continue
        while len(found) <= at:
            found.append(dict.fromkeys(_PICK_KEYS, ""))
        found[at] |= {key: value for key, value in said.items() if value is not None}
    return found


def tables_from_form(base: Mapping[str, Any], form: Mapping[str, str]) -> dict[str, Any]:
    """The lift's tables: `base` with what was typed put in; an empty field takes its key out.

    Raises
    ------
    InputFault
        A value that begins like the lift file's own notation and is not.
    """
    tables, faults = copy.deepcopy(dict(base)), list[Fault]()
    for field in FIELDS:
        if field.path in form and not (field.group == "hook" and isinstance(tables.get("hook"), list)):
            _put(tables, field.path, _read(form[field.path].strip(), field, faults))
    if "load.pick_point.0.name" in form:
        load = tables["load"] if isinstance(tables.get("load"), dict) else {}
        tables["load"] = load
        picks = _picks(load.get("pick_point", []), form, faults)
        load.pop("pick_point", None)
        if picks:
            load["pick_point"] = picks
    if faults:
        raise InputFault(faults)
    return tables


def _put(tables: dict[str, Any], path: str, value: object) -> None:
    *above, last = path.split(".")
    for key in above:
        if not isinstance(tables.get(key), dict):
            if value is None:
                return
            tables[key] = {}
        tables = tables[key]
    if value is None:
        tables.pop(last, None)
    else:
        tables[last] = value


def _read(text: str, field: Field, faults: list[Fault]) -> object:
    if not text:
        return None
    if text[0] in "[{":
        try:
            return tomllib.loads(f"v = {text}")["v"]
        except tomllib.TOMLDecodeError:
            hint = 'write it as the lift file does, such as { low = "11 000 lb", high = "12 500 lb" }'
            faults.append(Fault(field.path, f"{text!r} cannot be read", hint))
            return None
    if field.unknown and text.lower() == "unknown":
        return "unknown"
    if field.path in _LISTS:
        return [part.strip() for part in text.split(";") if part.strip()]
    if field.ranged and (found := _RANGE.match(text)):
        return {"low": found[1], "high": found[2]}
    if field.number:
        try:
            return float(text)
        except ValueError:
            return text
    return text


def _picks(before: object, form: Mapping[str, str], faults: list[Fault]) -> list[dict[str, Any]]:
    kept = before if isinstance(before, list) else []
    picks = []
    for row in range(MOST_PICKS):
        typed = {key: form.get(f"load.pick_point.{row}.{key}", "").strip() for key in _PICK_KEYS}
        at = [typed[f"at.{i}"] for i in range(3)]
        if not any(typed.values()):
            continue
        pick = dict(kept[row]) if row < len(kept) and isinstance(kept[row], dict) else {}
        if not all(at):
            hint = "a pick point needs all three: along the load, across it, and up; or empty its whole row"
            faults.append(Fault(f"load.pick_point[{row}].at", "is not complete", hint))
        pick["at"] = at
        for key in ("name", "pin", "rated", "rated_at"):
            if typed[key]:
                pick[key] = typed[key]
            else:
                pick.pop(key, None)
        picks.append(pick)
    return picks
