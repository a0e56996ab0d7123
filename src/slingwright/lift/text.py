"""From a lift file's text (TOML or JSON) to its document, whatever the bytes are."""

from __future__ import annotations

import json
import re
import tomllib
from typing import Any, Literal

from slingwright.errors import fail
from slingwright.lift.mesh import MeshReader
from slingwright.lift.model import Lift
from slingwright.lift.parse import read_lift

__all__ = ["document_from_text", "lift_from_text"]

_MOST_BYTES = 1_000_000
_LONGEST_LINE = 20_000
_DEEPEST = 12
_DOTTED = re.compile(rf"""(?<![\w"'-])(?:[\w"'-]++\s*+\.\s*+){{{_DEEPEST}}}""")


def lift_from_text(
    text: str | bytes, form: Literal["toml", "json"], *, mesh_reader: MeshReader | None = None
) -> Lift:
    """Read a lift from a file's text.

    Raises
    ------
    InputFault
        Anything wrong with the text or the lift: all faults at once.
    """
    return read_lift(document_from_text(text, form), mesh_reader=mesh_reader)


def document_from_text(
    text: str | bytes, form: Literal["toml", "json"], *, what: str = "a lift file"
) -> dict[str, Any]:
    """Read TOML or JSON into nested tables; a key given twice is a fault in both.

    `what` names the kind of file in a fault, for other files are read so too.

    Raises
    ------
    InputFault
        Not such a text, too large, too deep, or no table at the top.
    """
    words = _decoded(text)
    try:
        doc = _json(words) if form == "json" else _toml(words)
    except RecursionError:
        raise fail("", "is nested too deeply", f"at most {_DEEPEST} levels") from None
    if not isinstance(doc, dict):
        raise fail("", f"is not {what}: it holds no tables", "a table of keys stands at its top")
    if _depth(doc) > _DEEPEST:
        raise fail("", "is nested too deeply", f"at most {_DEEPEST} levels")
    return doc


def _decoded(text: str | bytes) -> str:
    if len(text) > _MOST_BYTES:
        raise fail("", "is larger than 1 MB", "a lift file is a few kilobytes")
    if isinstance(text, str):
        return text.removeprefix("\ufeff")
    try:
        return text.decode("utf-8-sig")
    except UnicodeDecodeError as found:
        raise fail("", f"is not a text: byte {found.start} is not UTF-8", "save it as UTF-8") from None


def _json(words: str) -> Any:
    try:
        return json.loads(words, object_pairs_hook=_once, parse_constant=_no_constant)
    except json.JSONDecodeError as found:
        raise fail("", f"is not JSON: line {found.lineno}, column {found.colno}: {found.msg}") from None
    except ValueError as found:
        if hasattr(found, "faults"):
            raise
        raise fail("", "is not JSON that can be read: a number is too long") from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, value in pairs:
        if name in found:
            raise fail(name[:60] if name.isprintable() else "", "is given twice", "leave one out")
        found[name] = value
    return found


def _no_constant(name: str) -> float:
    raise fail("", f"holds {name}, which is not a number of JSON")


def _toml(words: str) -> dict[str, Any]:
    # long dotted keys cost the TOML reader minutes (it is quadratic in them), so they never reach it
    for number, line in enumerate(words.splitlines(), 1):
        if len(line) > _LONGEST_LINE:
            raise fail("", f"has a line of more than {_LONGEST_LINE} characters (line {number})")
        if _DOTTED.search(line):
            raise fail("", f"is nested too deeply (line {number})", f"at most {_DEEPEST} levels")
    try:
        return tomllib.loads(words.replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError as found:
        problem = "".join(c if c.isprintable() else "?" for c in str(found)[:200])
        raise fail("", f"is not TOML: {problem}", 'texts stand in quotes: length = "9 ft"') from None
    except ValueError:
        raise fail("", "is not TOML that can be read: a number is too long") from None


def _depth(value: object) -> int:
    """How deep the tables and lists go, without recursion."""
    depth = 0
    level = [value]
    while level and depth <= _DEEPEST:
        level = [
            inner
            for item in level
            if isinstance(item, dict | list)
            for inner in (item.values() if isinstance(item, dict) else item)
        ]
        depth += 1
    return depth
