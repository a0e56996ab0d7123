"""Refuse a mesh file that is too large or not what it says, before a parser sees it."""

from __future__ import annotations

import json
import struct
from typing import Any

from slingwright.errors import fail
from slingwright.lift.assumptions import assumptions

__all__ = ["check_bytes"]

_FIELD = "load.mesh.file"
_STL_HEAD = 84  # 80 bytes of text and the count of faces
_STL_FACE = 50
_GLB_HEAD = 20  # file header and the head of its first chunk


def check_bytes(data: bytes, kind: str) -> None:
    """Check size and counts of a mesh file's bytes.

    Raises
    ------
    InputFault
        Empty, too large, or a GLB that points outside itself.
    """
    limits = assumptions().mesh
    if not data:
        raise fail(_FIELD, "is empty")
    if len(data) > limits.most_bytes:
        megabytes = limits.most_bytes // 10**6
        raise fail(_FIELD, f"is larger than {megabytes} MB", f"at most {megabytes} MB; simplify the mesh")
    if kind == "stl" and data.lstrip()[:5].lower() != b"solid":
        _check_stl(data)
    if kind == "glb":
        _check_glb(data)


def _check_stl(data: bytes) -> None:
    if len(data) < _STL_HEAD:
        raise fail(_FIELD, "is too short for an STL file")
    (count,) = struct.unpack_from("<I", data, _STL_HEAD - 4)
    if count * _STL_FACE != len(data) - _STL_HEAD:
        raise fail(_FIELD, "does not hold as many faces as it says", "it may be cut short")


def _check_glb(data: bytes) -> None:
    if len(data) < _GLB_HEAD or data[:4] != b"glTF":
        raise fail(_FIELD, "is not a GLB file")
    length, chunk = struct.unpack_from("<I4s", data, 12)
    if chunk != b"JSON" or length > len(data) - _GLB_HEAD:
        raise fail(_FIELD, "is not a GLB file", "it may be cut short")
    try:
        head = json.loads(data[_GLB_HEAD : _GLB_HEAD + length])
        values = sum(_count(row) for row in _rows(head, "accessors"))
        # every part of every mesh is built anew, and every node is walked to from the top
        nodes = len(_rows(head, "nodes")) + sum(
            len(_rows(row, "primitives")) for row in _rows(head, "meshes")
        )
        hollow = any("bufferView" not in row for row in _rows(head, "accessors"))
        outside = any("uri" in row for name in ("buffers", "images") for row in _rows(head, name))
    except (ValueError, TypeError, AttributeError, RecursionError):
        raise fail(_FIELD, "has a head that cannot be read") from None
    limits = assumptions().mesh
    if values > limits.most_values or nodes > limits.most_nodes:
        raise fail(_FIELD, "holds too many points or parts", "simplify the mesh")
    if hollow or values > len(data):  # it would be unpacked to far more than was sent
        raise fail(_FIELD, "says that it holds more than it does", "export it again")
    if outside:
        raise fail(_FIELD, "points to other files", "export it with everything inside")


def _rows(head: Any, name: str) -> list[Any]:
    rows = head.get(name, [])
    if not isinstance(rows, list):
        raise TypeError(name)
    return rows


def _count(row: Any) -> int:
    count = row.get("count", 0)
    if not isinstance(count, int) or count < 0:
        raise TypeError("count")
    return count
