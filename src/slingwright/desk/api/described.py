"""The API's own description: OpenAPI with the published schemas of every document, made when asked."""

from __future__ import annotations

import json
from typing import Any

from fastapi import FastAPI

from slingwright.usecases.print_schema import print_schema

__all__ = ["describe"]

_TEXT = {"type": "string"}
_FAULT = {
    "type": "object",
    "properties": {key: _TEXT for key in ("field", "problem", "hint")},
    "required": ["field", "problem", "hint"],
}
_PROBLEM = {
    "type": "object",
    "description": "RFC 9457; `faults` is an extension: everything wrong with the input, at once.",
    "required": ["type", "title", "status", "detail"],
    "properties": {
        **{key: _TEXT for key in ("type", "title", "detail", "field", "hint")},
        "status": {"type": "integer"},
        "faults": {"type": "array", "items": _FAULT, "minItems": 1},
    },
}
_REFERENCE = '"#/components/schemas/'


def describe(app: FastAPI) -> None:
    """Let an app describe itself with every schema that its routes point to."""
    made = app.openapi

    def openapi() -> dict[str, Any]:
        if app.openapi_schema is None:
            described = made()
            schemas = described.setdefault("components", {}).setdefault("schemas", {})
            schemas["Problem"] = _PROBLEM
            for name in sorted(_named(described) - set(schemas)):
                schemas |= _published(name)
            app.openapi_schema = described
        return app.openapi_schema

    app.openapi = openapi  # type: ignore[method-assign]


def _named(described: dict[str, Any]) -> set[str]:
    """The schemas that a description points to."""
    return {part.partition('"')[0] for part in json.dumps(described).split(_REFERENCE)[1:]}


def _published(name: str) -> dict[str, Any]:
    """A published schema with its parts beside it: a description has one place for all of them."""
    schema = dict(print_schema(name))
    parts = schema.pop("$defs", {})
    for key in ("$schema", "$id"):
        schema.pop(key, None)
    found = {name: schema, **{f"{name}.{part}": table for part, table in parts.items()}}
    text = json.dumps(found).replace('"#/$defs/', f"{_REFERENCE}{name}.")
    moved: dict[str, Any] = json.loads(text)
    return moved
