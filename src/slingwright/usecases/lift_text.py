"""A lift's document as text again: TOML, or JSON where it came as JSON. Comments are not kept."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

__all__ = ["lift_text", "value_text"]

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def lift_text(tables: Mapping[str, Any], *, as_json: bool) -> str:
    """The document as text; read back it gives the same document."""
    if as_json:
        return json.dumps(tables, indent=2, ensure_ascii=False) + "\n"
    return "\n".join(_table((), tables)).lstrip("\n") + "\n"


def _table(path: tuple[str, ...], table: Mapping[str, Any]) -> Iterator[str]:
    """A table's own keys first, then its tables, for TOML cannot go back up."""
    for key, value in table.items():
        if not _is_table(value) and not _is_tables(value):
            yield f"{_key(key)} = {value_text(value)}"
    for key, value in table.items():
        name = ".".join(_key(part) for part in (*path, key))
        if _is_table(value):
            yield f"\n[{name}]"
            yield from _table((*path, key), value)
        elif _is_tables(value):
            for item in value:
                yield f"\n[[{name}]]"
                yield from _table((*path, key), item)


def _is_table(value: object) -> bool:
    return isinstance(value, dict)


def _is_tables(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(item, dict) for item in value)


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else json.dumps(key, ensure_ascii=False)


def value_text(value: object) -> str:
    """A value as TOML writes it, on one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        # JSON's escapes are TOML's too, but for DEL, which TOML wants escaped
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, list):
        return f"[{', '.join(value_text(item) for item in value)}]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(k)} = {value_text(v)}" for k, v in value.items()) + " }"
    if isinstance(value, dt.date | dt.time):
        return value.isoformat()
    return repr(value)  # whole numbers and floats: Python writes them as TOML does, "inf" and "nan" too
