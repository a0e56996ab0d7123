"""A lift as a piece of a link, and back: its tables as JSON, deflated, base64url. No server keeps it."""

from __future__ import annotations

import base64
import binascii
import json
import zlib
from collections.abc import Mapping
from typing import Any

from slingwright.errors import fail

__all__ = ["MOST_LINK", "pack_lift", "unpack_lift"]

MOST_LINK = 60_000  # characters: what servers and browsers pass on without complaint
_MOST_BYTES = 1_000_000  # of the lift file, as everywhere


def pack_lift(tables: Mapping[str, Any]) -> str:
    """The link's piece for a lift; the same tables give the same piece.

    Raises
    ------
    InputFault
        The lift is too long for a link.
    """
    text = json.dumps(tables, ensure_ascii=False, separators=(",", ":"), default=str)
    packed = base64.urlsafe_b64encode(zlib.compress(text.encode(), 9)).decode().rstrip("=")
    if len(packed) > MOST_LINK:
        raise fail("", "the lift is too long for a link", "use the command line for a lift of this size")
    return packed


def unpack_lift(piece: str) -> dict[str, Any]:
    """The lift's tables of a link's piece.

    Raises
    ------
    InputFault
        The link is damaged, or holds more than a lift file may.
    """
    damaged = fail("", "the link is damaged: no lift can be read from it", "ask for the link again")
    if len(piece) > MOST_LINK:
        raise damaged
    try:
        packed = base64.urlsafe_b64decode(piece + "=" * (-len(piece) % 4))
        inflate = zlib.decompressobj()
        text = inflate.decompress(packed, _MOST_BYTES)  # never more, whatever the link promises
        if inflate.unconsumed_tail or not inflate.eof:
            raise damaged
        tables = json.loads(text)
    except (binascii.Error, zlib.error, ValueError, RecursionError) as error:
        raise damaged from error
    if not isinstance(tables, dict):
        raise damaged
    return tables
