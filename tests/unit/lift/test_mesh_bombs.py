"""Meshes that would unpack to far more than was sent are refused before a parser sees them."""

from __future__ import annotations

import json
import struct
import subprocess
import sys
from typing import Any

import numpy as np
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
    "a chain of nodes": {"nodes": [{"children": [i + 1]} for i in range(51)] + [{"mesh": 0}]},
    "nodes in a ring": {"nodes": [{"children": [1]}, {"children": [0]}]},
    "a node below two": {"nodes": [{"children": [2]}, {"children": [2]}, {"mesh": 0}]},
    "values that share their bytes": {"accessors": [ONE["accessors"][0] | {"type": "MAT4", "count": 90}]},
    "packed parts": {"extensionsRequired": ["KHR_draco_mesh_compression"]},
    "packed views": {
        "bufferViews": [ONE["bufferViews"][0] | {"extensions": {"EXT_meshopt_compression": {}}}]
    },
    "a head of its own size": {"extras": "x" * 2_000_001},
    "indices of many faces": {
        "accessors": [*ONE["accessors"], {"componentType": 5121, "count": 900_003, "type": "SCALAR"}],
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}, "indices": 1}]}],
    },
    "one strip of many": {
        "accessors": [*ONE["accessors"], {"componentType": 5121, "count": 300_001, "type": "SCALAR"}],
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}, "indices": 1, "mode": 5}]}],
    },
}
POINTS = b"".join(b"v %d %d %d\n" % (i & 1, i >> 1 & 1, i >> 2) for i in range(5))
CORNERS = b"facet\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendfacet\n"
TEXTS = {
    "short lines": ("obj", POINTS + b"f 1 2 3\n" * 300_001, "has 300001 faces"),
    "tabs": ("obj", POINTS + b"f\t1\t2\t3\n" * 300_001, "has 300001 faces"),
    "a face of many corners": ("obj", POINTS + b"f" + b" 1 2 3" * 100_001, "has 300001 faces"),
    "faces of many corners": ("obj", POINTS + (b"f" + b" 1 2 3" * 100 + b"\n") * 1_010, "has 300980 faces"),
    "a face over many lines": ("obj", POINTS + b"f" + b" 1 2 \\\n3" * 100_001, "has 300001 faces"),
    "points of no face": ("obj", b"v 0 0 0\n" * 900_001 + b"f 1 2 3\n", "has 900001 points"),
    "a material for each": ("obj", POINTS + b"usemtl a\nf 1 2 3\n" * 201, "has 201 parts"),
    "another alphabet": ("obj", POINTS + b"f 1 2 \xc2\xb3\n", "cannot be read"),
    "two bytes a letter": ("obj", (POINTS + b"f 1 2 3\n").decode().encode("utf-16"), "no surface|be read"),
    "a solid for each": ("stl", b"solid\n" + (CORNERS + b"endsolid\nsolid\n") * 201, "has 201 parts"),
    "corners without facets": ("stl", b"solid a\n" + b"vertex 0 0 0\n" * 9 + b"endsolid", "as many faces"),
    "cut short": ("stl", b"solid a\n" + CORNERS * 4, "as many faces"),
    "small facets": ("stl", b"solid a\n" + b"endfacet\n" * 300_001, "has 300001 faces"),
    "figures of more": ("stl", bytes(80) + struct.pack("<I", 300_001) + bytes(50) * 300_001, "300001 faces"),
}


@pytest.mark.parametrize("name", BOMBS)
def test_a_mesh_that_would_grow_is_refused_unread(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    from slingwright.lift import mesh

    monkeypatch.setattr(mesh, "_load", lambda *_: pytest.fail("the parser saw it"))
    with pytest.raises(InputFault) as refused:
        read_mesh(glb(ONE | BOMBS[name], TRIANGLE), "glb", metres_per_unit=1.0, up="z")
    assert refused.value.field == "load.mesh.file"


@pytest.mark.parametrize("name", TEXTS)
def test_text_that_would_grow_is_refused_unread(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    from slingwright.lift import mesh

    kind, data, told = TEXTS[name]
    if "no surface" not in told:
        monkeypatch.setattr(mesh, "_load", lambda *_: pytest.fail("the parser saw it"))
    with pytest.raises(InputFault, match=told) as refused:
        read_mesh(data, kind, metres_per_unit=1.0, up="z")
    assert refused.value.field == "load.mesh.file"


def test_what_says_nothing_of_the_shape_is_left_out_and_nothing_else() -> None:
    """Names in any alphabet, colours, textures, normals, groups, blank lines, other ends of lines."""
    obj = (
        "# Körper\r\nmtllib a.mtl\r\no Körper\r\nv 0 0 0\r\nv 2 0 0 1 0 0\r\nv 0 1 0\r\nv 0 0 3\r\nvt 0 0\r\n"
        "vn 0 0 1\r\ns off\r\n\r\nusemtl stål\r\nf 1/1/1 3/1/1 2/1/1\r\n"
        "f 1//1 2//1 4//1\r\ng b\r\nf 1 4 3\r\nf 2/1 3/1 \\\r\n4/1"
    )
    stl = (
        "solid Körper vertex 9\n" + "".join(
            f" facet normal 0 0 0\n  outer loop\n{corners}  endloop\n endfacet\n"
            for corners in (
                "".join(f"   vertex {x} {y} {z}\n" for x, y, z in face)
                for face in (
                    ((0, 0, 0), (0, 1, 0), (2, 0, 0)), ((0, 0, 0), (2, 0, 0), (0, 0, 3)),
                    ((0, 0, 0), (0, 0, 3), (0, 1, 0)), ((2, 0, 0), (0, 1, 0), (0, 0, 3)),
                )
            )
        ) + "endsolid Körper\n"
    )  # fmt: skip
    for kind, text in (("obj", obj), ("stl", stl), ("stl", stl.replace("\n", "\r\n").upper())):
        facts = read_mesh(text.encode(), kind, metres_per_unit=1.0, up="z")
        assert facts.closed, facts.why_open
        assert facts.extents_m == (2.0, 1.0, 3.0)
        assert facts.volume_m3 == pytest.approx(1.0)


def test_a_mesh_of_long_faces_is_read_soon_and_in_little_room() -> None:
    """Each face from end to end, so that every slice cuts all, and no point of a cut is inside."""
    run = subprocess.run([sys.executable, "-c", LONGEST], capture_output=True, text=True, check=False)
    assert run.stderr == ""
    seconds, megabytes = (float(word) for word in run.stdout.split())
    assert seconds < 4  # of the processor, 1.5 measured, 14 before it was bounded
    assert megabytes < 200  # beside what the libraries take


LONGEST = """
import resource, struct, time
import numpy as np, trimesh
from slingwright.lift.mesh import read_mesh
n = 60_000
turn = np.linspace(0, 2 * np.pi, n, endpoint=False)
near = np.stack([0 * turn, np.cos(turn), np.sin(turn)], axis=1)
far = near[np.roll(np.arange(n), -n // 20)] + (1, 0, 0)
ring = np.roll(np.arange(n), -1)
points = np.concatenate([near, far])
one, two = np.arange(n), np.arange(n) + n
faces = np.concatenate([np.stack([one, ring, two], axis=1), np.stack([ring, ring + n, two], axis=1)])
rows = np.zeros(len(faces), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("more", "<u2")])
rows["corners"] = points[faces]
data = bytes(80) + struct.pack("<I", len(faces)) + rows.tobytes()
del rows, faces, points, near, far
before, start = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, time.process_time()
assert len(read_mesh(data, "stl", metres_per_unit=1.0, up="z").sections) == 32
print(time.process_time() - start, (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024)
"""


@pytest.mark.parametrize("seed", range(6))
def test_a_first_look_drops_no_corner_of_the_hull(seed: int) -> None:
    from slingwright.lift.mesh_slices import _outer

    draw = np.random.default_rng(seed)
    points = draw.normal(size=(3_000, 2)) if seed % 2 else draw.integers(0, 9, size=(3_000, 2)) / 7.0
    left = _outer(points)
    assert 3 < len(left) < 3_000
    turns = np.linspace(0, 2 * np.pi, 999)
    ways = np.stack([np.cos(turns), np.sin(turns)])
    assert np.array_equal((points @ ways).max(axis=0), (left @ ways).max(axis=0))


def test_an_honest_one_reaches_the_parser() -> None:
    facts = read_mesh(glb(ONE | {"scene": 0}, TRIANGLE), "glb", metres_per_unit=1.0, up="z")
    assert facts.extents_m == (1.0, 1.0, 1.0)
    assert not facts.closed


def test_faces_without_area_have_no_centre() -> None:
    line = struct.pack("<9f", *range(9))
    with pytest.raises(InputFault, match="none of its faces"):
        read_mesh(glb(ONE | {"scene": 0}, line), "glb", metres_per_unit=1.0, up="z")
