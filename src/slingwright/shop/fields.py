"""Files described as data: one description of a table reads it, finds every fault and prints its JSON Schema.

A file's keys are declared once (`Table`), so the reader and the published schema cannot drift apart.
Faults are gathered, never raised one by one: a person mends a file once, not key by key.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from slingwright.errors import Fault, InputFault, fail
from slingwright.shop.kinds import Kind, Schema, nearest_hint

__all__ = ["Field", "Table", "read_document", "schema_document"]

_REQUIRED = object()


@dataclass(frozen=True, slots=True)
class Field:
    """One key of a table. A key with a `default` may be left out."""

    name: str
    kind: Kind
    about: str
    default: Any = _REQUIRED

    @property
    def required(self) -> bool:
        """Whether the key must be there."""
        return self.default is _REQUIRED


@dataclass(frozen=True, slots=True)
class Table:
    """A table of known keys."""

    fields: tuple[Field, ...]

    def read(self, value: object, path: str) -> dict[str, Any]:
        """Read every key; all faults at once, an unknown key with the nearest right one."""
        if not isinstance(value, Mapping):
            raise fail(path, "is not a table")
        faults = [*self._unknown(value, path)]
        found: dict[str, Any] = {}
        for field in self.fields:
            at = f"{path}.{field.name}" if path else field.name
            if field.name not in value:
                if field.required:
                    faults.append(Fault(at, "is missing", field.about))
                found[field.name] = field.default
                continue
            try:
                found[field.name] = field.kind.read(value[field.name], at)
            except InputFault as fault:
                faults.extend(fault.faults)
        if faults:
            raise InputFault(faults)
        return found

    def _unknown(self, value: Mapping[Any, Any], path: str) -> Iterable[Fault]:
        names = [field.name for field in self.fields]
        for key in value:
            if key not in names:
                at = f"{path}.{key}" if path else str(key)
                yield Fault(at, "is not a key known here", nearest_hint(str(key), names))

    def schema(self) -> Schema:
        """An object without further keys."""
        properties: Schema = {}
        for field in self.fields:
            properties[field.name] = field.kind.schema() | {"description": field.about}
            if not field.required and isinstance(field.default, str | int | float | bool):
                properties[field.name]["default"] = field.default
        required = [field.name for field in self.fields if field.required]
        return {
            "type": "object",
            "additionalProperties": False,
            "properties": properties,
            "required": required,
        }


def read_document(
    table: Table, doc: object, faults: list[Fault], *, prefix: str = ""
) -> dict[str, Any] | None:
    """Read a whole file's table; its faults go into `faults` and None comes back.

    Parameters
    ----------
    table, doc
        What the file may hold, and the parsed file.
    faults
        Gathers the faults of all files of one reading.
    prefix
        The path under which this file's fields are named (`stock`), empty for the main file.
    """
    try:
        return table.read(doc, prefix)
    except InputFault as fault:
        faults.extend(fault.faults)
        return None


def schema_document(table: Table, title: str) -> Schema:
    """The published JSON Schema of a file."""
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": title} | table.schema()
