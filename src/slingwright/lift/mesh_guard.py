"""Refuse a mesh file that is too large or not what it says, before a parser sees it."""

from __future__ import annotations

import json
import struct
from dataclasses import dataclass
from typing import Any

from slingwright.errors import fail
from slingwright.lift.assumptions import assumptions
from slingwright.lift.mesh_text import check_counts, shape_of_obj, shape_of_stl

__all__ = ["check_bytes"]

_FIELD = "load.mesh.file"
_STL_HEAD = 84  # 80 bytes of text and the count of faces
_STL_FACE = 50
_GLB_HEAD = 20  # file header and the head of its first chunk
# glTF 2.0, 3.6.2 and 3.7.2.1, from memory: components of a value, bytes of a component, kinds of drawing
_WORDS = {"SCALAR": 1, "VEC2": 2, "VEC3": 3, "VEC4": 4, "MAT2": 4, "MAT3": 9, "MAT4": 16}
_BYTES = {5120: 1, 5121: 1, 5122: 2, 5123: 2, 5125: 4, 5126: 4}
_TRIANGLES, _STRIP = 4, 5
_UNPACKED = 2  # times the file's bytes: some share a table between two uses


def check_bytes(data: bytes, kind: str) -> bytes:
    """Check size and counts of a mesh file's bytes; what comes back tells a parser the same shape.

    Raises
    ------
    InputFault
        Empty, too large, more faces than are read, or a GLB that is packed or points outside itself.
    """
    limits = assumptions().mesh
    if not data:
        raise fail(_FIELD, "is empty")
    if len(data) > limits.most_bytes:
        megabytes = limits.most_bytes // 10**6
        raise fail(_FIELD, f"is larger than {megabytes} MB", f"at most {megabytes} MB; simplify the mesh")
    if kind == "glb":
        _check_glb(data)
    elif kind == "obj":
        return shape_of_obj(data)
    elif data.lstrip()[:5].lower() == b"solid":
        return shape_of_stl(data)
    else:
        _check_stl(data)
    return data


def _check_stl(data: bytes) -> None:
    if len(data) < _STL_HEAD:
        raise fail(_FIELD, "is too short for an STL file")
    (count,) = struct.unpack_from("<I", data, _STL_HEAD - 4)
    if count * _STL_FACE != len(data) - _STL_HEAD:
        raise fail(_FIELD, "does not hold as many faces as it says", "it may be cut short")
    check_counts(faces=count, points=3 * count)


def _check_glb(data: bytes) -> None:
    if len(data) < _GLB_HEAD or data[:4] != b"glTF":
        raise fail(_FIELD, "is not a GLB file")
    length, chunk = struct.unpack_from("<I4s", data, 12)
    if chunk != b"JSON" or length > len(data) - _GLB_HEAD:
        raise fail(_FIELD, "is not a GLB file", "it may be cut short")
    limits = assumptions().mesh
    if length > limits.most_head_bytes:
        raise fail(_FIELD, "holds too many points or parts", "simplify the mesh")
    text = data[_GLB_HEAD : _GLB_HEAD + length]
    try:
        counts = _glb_counts(json.loads(text))
    except (LookupError, ValueError, TypeError, AttributeError, RecursionError):
        raise fail(_FIELD, "has a head that cannot be read") from None
    if counts.packed:
        raise fail(_FIELD, "is compressed", "export it without compression")
    if counts.parts > limits.most_nodes or counts.deep > limits.most_deep:
        raise fail(_FIELD, "holds too many points or parts", "simplify the mesh")
    check_counts(faces=counts.faces, points=counts.points)
    if counts.hollow or counts.unpacked_bytes > _UNPACKED * len(data):
        raise fail(_FIELD, "says that it holds more than it does", "export it again")
    if counts.outside:
        raise fail(_FIELD, "points to other files", "export it with everything inside")


@dataclass(frozen=True, slots=True, kw_only=True)
class _GlbCounts:
    """What a GLB's head says a parser would build.

    `deep`: most nodes below one another. `hollow`: tables without bytes. `outside`: parts in other files.
    """

    parts: int
    deep: int
    faces: int
    points: int
    unpacked_bytes: int
    packed: bool
    hollow: bool
    outside: bool


def _glb_counts(head: Any) -> _GlbCounts:
    tables = _rows(head, "accessors")
    counts = [_count(row) for row in tables]
    # every part of every mesh is built anew, and every node is walked to from the top
    parts = [part for row in _rows(head, "meshes") for part in _rows(row, "primitives")]
    points = [counts[part.get("attributes", {}).get("POSITION", 0)] if counts else 0 for part in parts]
    corners = [
        counts[part["indices"]] if "indices" in part else own for part, own in zip(parts, points, strict=True)
    ]
    each = [  # of a strip every point but two ends a face
        count if part.get("mode", _TRIANGLES) == _STRIP else count // 3
        for part, count in zip(parts, corners, strict=True)
    ]
    extensions = [name for key in ("extensionsUsed", "extensionsRequired") for name in _rows(head, key)]
    extensions += [
        name for row in (*parts, *_rows(head, "bufferViews")) for name in row.get("extensions", {})
    ]
    return _GlbCounts(
        parts=len(_rows(head, "nodes")) + len(parts),
        deep=_depth([_rows(row, "children") for row in _rows(head, "nodes")]),
        faces=sum(each),
        points=sum(points),
        unpacked_bytes=sum(
            count * _WORDS[row["type"]] * _BYTES[row["componentType"]]
            for row, count in zip(tables, counts, strict=True)
        ),
        packed=any("compression" in str(name) for name in extensions),
        hollow=any("bufferView" not in row for row in tables),
        outside=any("uri" in row for name in ("buffers", "images") for row in _rows(head, name)),
    )


def _depth(children: list[list[int]]) -> int:
    """Most nodes one below another; each is below one other at most (glTF 2.0, 3.5.2)."""
    below = {child for row in children for child in row}
    if len(below) != sum(len(row) for row in children):
        raise ValueError("a node below two others")
    level = [i for i in range(len(children)) if i not in below]
    deep = seen = 0
    while level:
        deep, seen = deep + 1, seen + len(level)
        level = [child for i in level for child in children[i]]
    if seen != len(children):
        raise ValueError("nodes below themselves")
    return deep


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
