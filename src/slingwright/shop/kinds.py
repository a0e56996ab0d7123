"""Kinds of values in a shop's files: each reads a value and says itself as JSON Schema."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
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
    "Kind",
    "Length",
    "ListOf",
    "Ratio",
    "Schema",
    "Switch",
    "Text",
    "Weight",
    "Whole",
    "nearest_hint",
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


def nearest_hint(word: str, names: Sequence[str]) -> str:
    """Name the nearest right word, or all of them where none is near."""
    near = difflib.get_close_matches(word, names, n=1)
    return f"did you mean {near[0]}?" if near else "one of " + ", ".join(names)
