"""Meshes that would unpack to far more than was sent are refused before a parser sees them."""

from __future__ import annotations

import json
import struct
from typing import Any

import pytest

from slingwright.errors import InputFault
from slingwright.lift.mesh import read_mesh


def glb(head: dict[str, Any], more: bytes = b"") -> bytes:
    text = json.dumps({"asset": {"version": "2.0"}, **head}).encode()
    text += b" " * (-len(text) % 4)
    chunk = struct.pack("<I4s", len(more), b"BIN\0") + more if more else b""
    body = struct.pack("<I4s", len(text), b"JSON") + text + chunk
    return struct.pack("<4sII", b"glTF", 2, 12 + len(body)) + body


TRIANGLE = struct.pack("<9f", 0, 0, 0, 1, 0, 1, 0, 1, 0)
ONE: dict[str, Any] = {
    "buffers": [{"byteLength": 36}],
    "bufferViews": [{"buffer": 0, "byteOffset": 0, "byteLength": 36}],
    "accessors": [{"componentType": 5126, "count": 3, "type": "VEC3", "bufferView": 0}],
    "meshes": [{"primitives": [{"attributes": {"POSITION": 0}}]}],
    "nodes": [{"mesh": 0}],
    "scenes": [{"nodes": [0]}],
}
BOMBS = {
    "zeros that were never sent": {"accessors": [{"componentType": 5126, "count": 9_000, "type": "MAT4"}]},
    "one view read a thousand times": {"accessors": [ONE["accessors"][0] | {"count": 3_000}] * 5_000},
    "one part drawn very often": {"meshes": [{"primitives": ONE["meshes"][0]["primitives"] * 60_000}]},
    "one mesh put very often": {"nodes": ONE["nodes"] * 60_000},
    "a chain of nodes": {"nodes": [{"children": [i + 1]} for i in range(60_000)]},
}


@pytest.mark.parametrize("name", BOMBS)
def test_a_mesh_that_would_grow_is_refused_unread(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    from slingwright.lift import mesh

    monkeypatch.setattr(mesh, "_load", lambda *_: pytest.fail("the parser saw it"))
    with pytest.raises(InputFault) as refused:
        read_mesh(glb(ONE | BOMBS[name], TRIANGLE), "glb", metres_per_unit=1.0, up="z")
    assert refused.value.field == "load.mesh.file"


def test_an_honest_one_reaches_the_parser() -> None:
    facts = read_mesh(glb(ONE | {"scene": 0}, TRIANGLE), "glb", metres_per_unit=1.0, up="z")
    assert facts.extents_m == (1.0, 1.0, 1.0)
    assert not facts.closed


def test_faces_without_area_have_no_centre() -> None:
    line = struct.pack("<9f", *range(9))
    with pytest.raises(InputFault, match="none of its faces"):
        read_mesh(glb(ONE | {"scene": 0}, line), "glb", metres_per_unit=1.0, up="z")
