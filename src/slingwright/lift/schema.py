"""The published JSON Schema of the lift file, made from the same list the reader uses."""

from __future__ import annotations

import copy
from typing import Any

from slingwright.lift.keys import SCHEMA_NAME, SCHEMA_VERSION, Key, tables

__all__ = ["lift_schema"]

_TEXT: dict[str, Any] = {"type": "string", "minLength": 1, "maxLength": 80}
_ZERO: dict[str, Any] = {"const": 0}
_LENGTH: dict[str, Any] = {"anyOf": [{**_TEXT, "examples": ["9 ft 2 1/2 in", "2.8 m"]}, _ZERO]}
_WEIGHT: dict[str, Any] = {**_TEXT, "examples": ["11,800 lb", "5.35 tonne", "52 kN"]}
_TOLERANCE: dict[str, Any] = {**_TEXT, "examples": ["5 %", "1 in"]}


def _list(items: dict[str, Any], least: int, most: int) -> dict[str, Any]:
    return {"type": "array", "items": items, "minItems": least, "maxItems": most}


def _low_high(inner: dict[str, Any]) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": {"low": inner, "high": inner},
        "required": ["low", "high"],
        "additionalProperties": False,
    }


def _spread(inner: dict[str, Any]) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": {"sd": inner},
        "required": ["sd"],
        "additionalProperties": False,
    }


def _limit_or_spread(inner: dict[str, Any]) -> dict[str, Any]:
    return {"anyOf": [inner, _spread(inner)]}


_POINT = _list(_LENGTH, 3, 3)
_PAIR = _list(_LENGTH, 2, 2)
_UNKNOWN: dict[str, Any] = {"const": "unknown"}
_KIND_SCHEMAS: dict[str, dict[str, Any]] = {
    "text": {"type": "string", "maxLength": 200},
    "yes-no": {"type": "boolean"},
    "length": _LENGTH,
    "weight": _WEIGHT,
    "density": {**_TEXT, "examples": ["490 lb/ft3", "7850 kg/m3"]},
    "angle": {"anyOf": [{**_TEXT, "examples": ["45°", "45 deg"]}, _ZERO]},
    "temperature": {**_TEXT, "examples": ["110 °F", "43 °C"]},
    "temperatures": {"anyOf": [_TEXT, _list(_TEXT, 2, 2)]},
    "point": _POINT,
    "point-across": _PAIR,
    "edge-radius": {"anyOf": [_UNKNOWN, _LENGTH]},
    "choke": {"anyOf": [{"enum": ["free", "unknown"]}, _TEXT, _ZERO]},
    "surface": {"anyOf": [{"type": "string", "maxLength": 200}, {"type": "number"}]},
    "weight-or-range": {"anyOf": [_UNKNOWN, _WEIGHT, _low_high(_WEIGHT)]},
    "weight-tolerance": {"anyOf": [_TOLERANCE, _low_high(_TOLERANCE), _spread(_TOLERANCE)]},
    "centre": {"anyOf": [_UNKNOWN, _POINT, _low_high(_POINT)]},
    "centre-tolerance": _limit_or_spread({"anyOf": [_TOLERANCE, _POINT]}),
    "length-tolerance": _limit_or_spread({"anyOf": [_TOLERANCE, _list(_TOLERANCE, 1, 2)]}),
}


def lift_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of the lift file, with a default and a description for every key.

    A default of null means "not stated": the description says what then holds. Bounds in SI that a text
    with a unit cannot show stand in the description; the reader holds them.
    """
    found = tables()
    top = _table_schema("lift")
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:{SCHEMA_NAME.replace('/', ':')}:{SCHEMA_VERSION}",
        "title": f"{SCHEMA_NAME}/{SCHEMA_VERSION}",
        **top,
        "$defs": {name: _table_schema(name) for name in found if name != "lift"},
    }


def _table_schema(name: str) -> dict[str, Any]:
    table = tables()[name]
    return {
        "type": "object",
        "description": table.about,
        "properties": {key.name: _key_schema(key) for key in table.keys.values()},
        "required": [key.name for key in table.keys.values() if key.required],
        "additionalProperties": False,
    }


def _key_schema(key: Key) -> dict[str, Any]:
    value = _value_schema(key)
    if not key.required:  # null is read as "left out"
        value = {"anyOf": [value, {"type": "null"}]}
    described = {"description": key.about, **value}
    if not key.required:
        described["default"] = copy.deepcopy(key.default)
    return described


def _value_schema(key: Key) -> dict[str, Any]:
    reference = {"$ref": f"#/$defs/{key.table}"}
    several = {"type": "array", "items": reference, "maxItems": int(key.most or 0)}
    by_kind: dict[str, dict[str, Any]] = {
        "table": reference,
        "several": several,
        "one-or-several": {"anyOf": [reference, {**several, "minItems": 1}]},
        "choice": {"enum": list(key.choices)},
        "known-by": _known_by_schema(key),
        "whole": {"type": "integer", "minimum": key.least, "maximum": key.most},
        "number": {"anyOf": [{"type": "number", "minimum": key.least, "maximum": key.most}, _TEXT]},
        "texts": _list({"type": "string", "minLength": 1, "maxLength": 200}, 0, key.count),
        "spans": _list(_PAIR, 1, key.count),
        "outline": _list(_PAIR, 3, key.count),
    }
    return copy.deepcopy(by_kind.get(key.kind) or _KIND_SCHEMAS[key.kind])


def _known_by_schema(key: Key) -> dict[str, Any]:
    word = {"enum": list(key.choices)}
    both = {
        "type": "object",
        "properties": {"weight": word, "centre_of_gravity": word},
        "minProperties": 1,
        "additionalProperties": False,
    }
    return {"anyOf": [word, both]}
