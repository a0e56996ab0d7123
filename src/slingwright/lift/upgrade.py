"""Older editions of the lift file are turned into the newest before they are read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from slingwright.errors import fail
from slingwright.lift.keys import SCHEMA_NAME, SCHEMA_VERSION

__all__ = ["upgrade_lift"]

_HINT = f'schema = "{SCHEMA_NAME}/{SCHEMA_VERSION}", or leave it out'


def upgrade_lift(doc: Mapping[str, Any]) -> dict[str, Any]:
    """Turn a document into the newest edition; a file that names none is read as the first.

    Raises
    ------
    InputFault
        The document is of another kind, or of an edition newer than this program.
    """
    named = doc.get("schema")
    version = _version(named)
    if version > SCHEMA_VERSION:
        raise fail("schema", f"edition {version} is newer than this program reads", _HINT)
    return {**doc, "schema": f"{SCHEMA_NAME}/{SCHEMA_VERSION}"}


def _version(named: object) -> int:
    if named is None:
        return 1
    if not isinstance(named, str):
        raise fail("schema", "is not a text", _HINT)
    name, _, number = named.rpartition("/")
    # at most four digits: a longer number is no edition of anything
    if name != SCHEMA_NAME or not (number.isascii() and number.isdigit()) or len(number) > 4:
        raise fail("schema", f'"{named[:40]}" is not a lift file\'s', _HINT)
    if int(number) < 1:
        raise fail("schema", "has no edition 0", _HINT)
    return int(number)
