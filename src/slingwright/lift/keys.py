"""Every key a lift file may hold, read from `data/keys.toml`.

One list makes the reader, the published schema and the reference page, so that they cannot differ.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

__all__ = ["SCHEMA_NAME", "SCHEMA_VERSION", "Key", "Table", "tables"]

SCHEMA_NAME = "slingwright/lift"
SCHEMA_VERSION = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """One key: what kind of value, its bounds in SI, its default as a user would write it."""

    name: str
    kind: str
    about: str
    required: bool = False
    default: Any = None
    choices: tuple[str, ...] = ()
    least: float | None = None
    most: float | None = None
    count: int = 0
    table: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """One table of the file and its keys, in the order they are shown."""

    name: str
    about: str
    keys: Mapping[str, Key]


@cache
def tables() -> Mapping[str, Table]:
    """All tables of the lift file by name; `lift` is the file itself."""
    text = files("slingwright.lift").joinpath("data/keys.toml").read_text(encoding="utf-8")
    found = {}
    for row in tomllib.loads(text)["table"]:
        keys = {name: _key(name, entry) for name, entry in row["key"].items()}
        found[row["name"]] = Table(row["name"], row["about"], keys)
    return found


def _key(name: str, entry: dict[str, Any]) -> Key:
    return Key(name=name, **{**entry, "choices": tuple(entry.get("choices", ()))})
