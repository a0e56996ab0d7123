"""The lift page's form: its fields from a lift's tables, and the tables from what was typed.

A field holds one key of the lift file under its path's name (`load.pick_point.2.at.0`). What has no field
stays as it was: the form is sent together with the lift that it was filled from. A range is shown and typed
as people write it, in the words of any language there is; any other value that is no plain text is shown as
the lift file would write it, and read back so.
"""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from slingwright.errors import Fault, InputFault
from slingwright.usecases.ask import is_not_known
from slingwright.usecases.lift_text import value_text
from slingwright.words import languages, read_catalogue

__all__ = [
    "FIELDS",
    "MOST_PICKS",
    "Field",
    "choke_of",
    "field_id",
    "fields_of",
    "pick_rows",
    "said_in",
    "says_unknown",
    "tables_from_form",
    "typed_rows",
]

MOST_PICKS = 16
_FEWEST_ROWS = 4
_GROUPED = re.compile(r"(?<![\d.,])\d{1,3}(?:,\d{3})+(?![\d.,])")  # 11,800
_UNIT = re.compile(r"[\d\s.,/+-]+?\s*([^\d\s.,/+-][^\d]*)")  # of a figure with one unit, such as 5 1/2 ft


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
        ("load.centre_of_gravity", {"unknown": True, "ranged": True}),
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


def _typed_words(key: str) -> tuple[str, ...]:
    """The words of a kind that are read whatever language a page is in: links go from one to another."""
    told = (read_catalogue(language).word("desk-typed", key) for language in languages())
    return tuple(dict.fromkeys(word.strip() for words in told for word in words.split(";")))


def _ranges() -> re.Pattern[str]:
    between = "|".join(re.escape(word) for word in (*_typed_words("between"), "–", "—"))
    before = "|".join(re.escape(word) for word in _typed_words("before"))
    return re.compile(rf"(?:(?:{before})\s+)?(.+?)\s+(?:{between})\s+(.+)", re.IGNORECASE)


def says_unknown(text: str) -> bool:
    """Whether it says, in any language there is, that nobody knows."""
    return is_not_known(text) or text.strip().casefold() in _typed_words("unknowns")


def choke_of(text: str) -> str:
    """An angle of choke as the core reads it: free and unknown in the words of any language there is."""
    if text.strip() and says_unknown(text):
        return "unknown"
    return "free" if text.strip().casefold() in _typed_words("free") else text


def _range_of(text: str) -> tuple[str, str] | None:
    """Both ends of "low to high"; a unit said once, of plain figures, counts for both."""
    found = _ranges().fullmatch(text)
    if found is None:
        return None
    low, high = found[1].strip(), found[2].strip()
    unit = _UNIT.fullmatch(high)
    return (f"{low} {unit[1]}" if unit and not re.search(r"[^\d\s.,/+-]", low) else low), high


def fields_of(tables: Mapping[str, Any], language: str = "en") -> dict[str, str]:
    """Each field's text."""
    say, found = read_catalogue(language).sections["desk-typed"], {}
    for field in FIELDS:
        value: Any = tables
        for key in field.path.split("."):
            value = value.get(key) if isinstance(value, Mapping) else None
        shown = _shown(value, field.path, say["to"])
        shown = shown if field.path == "title" else _local(shown, language)
        found[field.path] = say["unknown"] if field.unknown and shown == "unknown" else shown
    return found


def _local(text: str, language: str) -> str:
    """A figure whose thousands a comma parts, as a language reads it: to many a comma is the decimal sign."""
    between = read_catalogue(language).word("desk-typed", "thousands")
    return _GROUPED.sub(lambda found: found[0].replace(",", between), text)


def _shown(value: object, path: str, to: str = "to") -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if path in _LISTS and isinstance(value, list) and all(isinstance(one, str) for one in value):
        return "; ".join(value)
    if isinstance(value, Mapping) and set(value) == {"low", "high"}:
        low, high = value["low"], value["high"]
        if isinstance(low, str) and isinstance(high, str):
            return f"{low} {to} {high}"
        ends = (low, high)
        if path in _LISTS and all(_is_place(end) for end in ends):
            return "; ".join(a if a == b else f"{a} {to} {b}" for a, b in zip(*ends, strict=True))
    return value_text(value)


def _is_place(value: object) -> bool:
    """Whether it is three texts: along, across, up."""
    return isinstance(value, list) and len(value) == 3 and all(isinstance(one, str) for one in value)


def pick_rows(tables: Mapping[str, Any], language: str = "en") -> list[dict[str, str]]:
    """The pick points' rows, with empty ones to fill in."""
    load = tables.get("load")
    picks = load.get("pick_point", []) if isinstance(load, Mapping) else []
    rows = []
    for pick in picks if isinstance(picks, list) else []:
        at = pick.get("at", []) if isinstance(pick, Mapping) else []
        row = {f"at.{i}": _local(_shown(at[i], ""), language) if i < len(at) else "" for i in range(3)}
        row |= {key: _local(_shown(pick.get(key), ""), language) for key in ("pin", "rated", "rated_at")}
        row |= {"name": _shown(pick.get("name"), "")}
        rows.append(row)
    more = min(max(_FEWEST_ROWS - len(rows), 2), MOST_PICKS - len(rows))
    return rows + [dict.fromkeys(_PICK_KEYS, "") for _ in range(more)]  # each its own: they are typed into


def said_in(tables: Mapping[str, Any], language: str) -> dict[str, str]:
    """What stands in all fields of a lift's form, pick points and all, as if it had been typed."""
    picks = enumerate(pick_rows(tables, language))
    return fields_of(tables, language) | {
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
    if field.unknown and says_unknown(text):
        return "unknown"
    if field.path in _LISTS:
        parts = [part.strip() for part in text.split(";") if part.strip()]
        ends = [_range_of(part) or (part, part) for part in parts] if field.ranged else []
        if any(low != high for low, high in ends):
            return {"low": [low for low, _ in ends], "high": [high for _, high in ends]}
        return parts
    if field.ranged and (found := _range_of(text)):
        return {"low": found[0], "high": found[1]}
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
