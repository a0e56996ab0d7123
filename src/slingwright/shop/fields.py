"""Files described as data: one description of a table reads it, finds every fault and prints its JSON Schema.

A file's keys are declared once (`Table`), so the reader and the published schema cannot drift apart.
Faults are gathered, never raised one by one: a person mends a file once, not key by key.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Any, Protocol

from slingwright.errors import Fault, InputFault, fail
from slingwright.units import parse_length_m, parse_ratio, parse_weight_n

__all__ = [
    "Choice",
    "Const",
    "Decimal",
    "Field",
    "Kind",
    "Length",
    "ListOf",
    "Ratio",
    "Switch",
    "Table",
    "Text",
    "Weight",
    "Whole",
    "nearest_hint",
    "read_document",
    "schema_document",
]

Schema = dict[str, Any]


class Kind(Protocol):
    """A kind of value: how it is read and how a schema says it."""

    def read(self, value: object, path: str) -> Any:
        """Read a value or raise `InputFault` with every fault in it."""

    def schema(self) -> Schema:
        """The JSON Schema of such a value."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """A short text; `pattern` is for people, not checked."""

    longest: int = 200

    def read(self, value: object, path: str) -> str:
        """Read the text."""
        if not isinstance(value, str) or not value.strip():
            raise fail(path, "is not a text")
        if len(value) > self.longest:
            raise fail(path, f"is longer than {self.longest} characters")
        if not value.isprintable():
            raise fail(path, "holds characters that cannot be printed")
        return value

    def schema(self) -> Schema:
        """A string."""
        return {"type": "string", "minLength": 1, "maxLength": self.longest}


@dataclass(frozen=True, slots=True)
class Const:
    """One fixed text: a file's schema and version."""

    text: str

    def read(self, value: object, path: str) -> str:
        """Read it, or say which version is read here."""
        if value != self.text:
            raise fail(path, f"is not {self.text}", f'write {path} = "{self.text}"')
        return self.text

    def schema(self) -> Schema:
        """The constant."""
        return {"const": self.text}


@dataclass(frozen=True, slots=True)
class Choice:
    """One of the words of an enumeration."""

    words: type[StrEnum]

    def read(self, value: object, path: str) -> StrEnum:
        """Read the word, or name the nearest."""
        names = [str(word) for word in self.words]
        if not isinstance(value, str) or value not in names:
            raise fail(path, f"{value!r} is not one of {', '.join(names)}", nearest_hint(str(value), names))
        return self.words(value)

    def schema(self) -> Schema:
        """An enumeration."""
        return {"enum": [str(word) for word in self.words]}


@dataclass(frozen=True, slots=True, kw_only=True)
class Whole:
    """A whole number between bounds."""

    low: int = 0
    high: int = 1_000_000

    def read(self, value: object, path: str) -> int:
        """Read the number."""
        hint = f"a whole number from {self.low} to {self.high}"
        if isinstance(value, bool) or not isinstance(value, int):
            raise fail(path, "is not a whole number", hint)
        if not self.low <= value <= self.high:
            raise fail(path, f"{value} is not between {self.low} and {self.high}", hint)
        return value

    def schema(self) -> Schema:
        """An integer."""
        return {"type": "integer", "minimum": self.low, "maximum": self.high}


@dataclass(frozen=True, slots=True, kw_only=True)
class Decimal:
    """A plain number as written (its unit is in the key), kept exact as a fraction of its decimal text."""

    low: float = 0.0
    high: float = 1e6

    def read(self, value: object, path: str) -> Fraction:
        """Read the number."""
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise fail(path, "is not a number", "write a plain number; its unit is in the key")
        if not self.low <= value <= self.high:  # NaN fails this too
            raise fail(path, f"{value} is not between {self.low:g} and {self.high:g}")
        return Fraction(str(value))

    def schema(self) -> Schema:
        """A number."""
        return {"type": "number", "minimum": self.low, "maximum": self.high}


@dataclass(frozen=True, slots=True)
class Switch:
    """True or false."""

    def read(self, value: object, path: str) -> bool:
        """Read the switch."""
        if not isinstance(value, bool):
            raise fail(path, "is not true or false", "write true or false, without quotes")
        return value

    def schema(self) -> Schema:
        """A boolean."""
        return {"type": "boolean"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Length:
    """A length with its unit [m]; above zero unless `zero`."""

    zero: bool = False
    high_m: float = 1000.0

    def read(self, value: object, path: str) -> float:
        """Read the length."""
        above = None if self.zero else 0.0
        return parse_length_m(value, path, minimum=0.0, above=above, maximum=self.high_m)

    def schema(self) -> Schema:
        """A string with a unit."""
        return {"type": ["string", "number"], "description": "a length with its unit"}


@dataclass(frozen=True, slots=True)
class Weight:
    """A weight or force with its unit [N]."""

    def read(self, value: object, path: str) -> float:
        """Read the weight."""
        return parse_weight_n(value, path, above=0.0)

    def schema(self) -> Schema:
        """A string with a unit."""
        return {"type": "string", "description": "a weight or force with its unit"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratio:
    """A share [1], as a percentage or a number."""

    high: float = 1.0

    def read(self, value: object, path: str) -> float:
        """Read the ratio."""
        return parse_ratio(value, path, minimum=0.0, maximum=self.high)

    def schema(self) -> Schema:
        """A percentage as text, or a number."""
        return {"type": ["string", "number"], "description": "a percentage such as 5 %, or a plain ratio"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ListOf:
    """A list of values of one kind."""

    kind: Kind
    least: int = 0
    most: int = 5000
    distinct: bool = False

    def read(self, value: object, path: str) -> tuple[Any, ...]:
        """Read every item; all faults at once."""
        if not isinstance(value, list | tuple):
            raise fail(path, "is not a list")
        if not self.least <= len(value) <= self.most:
            raise fail(path, f"has {len(value)} items", f"between {self.least} and {self.most}")
        items: list[Any] = []
        faults: list[Fault] = []
        for index, item in enumerate(value):
            try:
                items.append(self.kind.read(item, f"{path}[{index}]"))
            except InputFault as fault:
                faults.extend(fault.faults)
        if self.distinct and not faults:
            faults += [
                Fault(f"{path}[{i}]", "is listed twice") for i, x in enumerate(items) if x in items[:i]
            ]
        if faults:
            raise InputFault(faults)
        return tuple(items)

    def schema(self) -> Schema:
        """An array."""
        found: Schema = {"type": "array", "items": self.kind.schema(), "minItems": self.least}
        return found | {"maxItems": self.most} | ({"uniqueItems": True} if self.distinct else {})


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


def nearest_hint(word: str, names: Sequence[str]) -> str:
    """Name the nearest right word, or all of them where none is near."""
    near = difflib.get_close_matches(word, names, n=1, cutoff=0.6)  # difflib's own default
    return f"did you mean {near[0]}?" if near else "one of " + ", ".join(names)


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
