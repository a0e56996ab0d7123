"""Meshes: figures equal a solid's own formulas, and files that are wrong, open or outside are refused."""

from __future__ import annotations

import io
import json
import math
import struct
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from slingwright.errors import InputFault
from slingwright.lift import folder_reader, read_lift
from slingwright.lift.assumptions import assumptions
from slingwright.lift.mesh import MeshFacts, read_mesh
from slingwright.lift.mesh_guard import check_bytes
from slingwright.lift.model import KnownBy, Lift
from tests.lifts import EXAMPLES

LB = 4.4482216152605


def bytes_of(mesh: trimesh.Trimesh, kind: str) -> bytes:
    data = mesh.export(file_type=kind)
    return data.encode() if isinstance(data, str) else bytes(data)


def box(*size: float) -> trimesh.Trimesh:
    return trimesh.creation.box(size)


def facts_of(mesh: trimesh.Trimesh, *, kind: str = "stl", unit: float = 1.0, up: str = "z") -> MeshFacts:
    return read_mesh(bytes_of(mesh, kind), kind, metres_per_unit=unit, up=up)


def lift_of(
    mesh: trimesh.Trimesh, *, kind: str = "stl", load: dict[str, Any] | None = None, **keys: Any
) -> Lift:
    """A lift whose load is this mesh, in metres."""
    doc = {
        "load": {"mesh": {"file": f"a.{kind}", "unit": "m", **keys}, **(load or {})},
        "hook": {"headroom": "20 m"},
    }
    return read_lift(doc, mesh_reader=lambda _name: bytes_of(mesh, kind))


def faults_of(mesh: trimesh.Trimesh, **keys: Any) -> dict[str, str]:
    with pytest.raises(InputFault) as caught:
        lift_of(mesh, **keys)
    return {fault.field: fault.problem for fault in caught.value.faults}


@pytest.mark.parametrize("kind", ["stl", "obj", "glb"])
def test_box_of_every_format_has_a_boxs_figures(kind: str) -> None:
    facts = facts_of(box(1000, 2000, 500), kind=kind, unit=0.001)
    assert facts.closed
    assert facts.extents_m == pytest.approx((1.0, 2.0, 0.5))
    assert facts.volume_m3 == pytest.approx(1.0)
    assert facts.centre_m == pytest.approx((0.5, 1.0, 0.25))
    assert facts.area_m2 == pytest.approx(2 * (2 + 1 + 0.5))


def test_text_stl_reads_like_binary() -> None:
    assert facts_of(box(1, 2, 3)) == read_mesh(
        bytes_of(box(1, 2, 3), "stl_ascii"), "stl", metres_per_unit=1.0, up="z"
    )


def test_up_turns_the_load_upright_and_not_over() -> None:
    """A pyramid on the floor of a y-up file: its centre stays a quarter up, its x stays x."""
    tip = trimesh.creation.cone(radius=1.0, height=4.0, sections=64)  # stands on z = 0
    lying = tip.copy()
    lying.apply_transform(trimesh.transformations.rotation_matrix(-math.pi / 2, [1, 0, 0]))  # z up -> y up
    facts = facts_of(lying, up="y")
    assert facts.extents_m == pytest.approx((2, 2, 4), rel=1e-3)
    assert facts.centre_m == pytest.approx((1.0, 1.0, 1.0), abs=5e-3)  # cone: a quarter of its height
    assert facts.volume_m3 > 0


def test_glb_is_y_up_by_its_format_and_that_is_noted() -> None:
    """glTF 2.0, section 3.4: +Y is up."""
    lift = lift_of(box(1, 3, 2), kind="glb", density="1000 kg/m3")
    assert (lift.load.length_m, lift.load.width_m, lift.load.height_m) == pytest.approx((1, 2, 3))
    assert "mesh-up-is-y" in lift.notes
    assert "mesh-up-is-y" not in lift_of(box(1, 3, 2), kind="glb", density="1000 kg/m3", up="z").notes


def test_weight_and_centre_come_from_the_mesh() -> None:
    load = lift_of(box(2, 1, 1), density="1000 kg/m3").load
    assert load.weight.nominal_n == pytest.approx(2000 * 9.80665)
    assert load.weight.known_by is KnownBy.COMPUTED
    assert load.centre.nominal_m == pytest.approx((1, 0.5, 0.5))
    assert load.computed_by == "mesh"


def test_a_stated_weight_needs_no_density() -> None:
    load = lift_of(box(2, 1, 1), weight="900 lb").load
    assert load.weight.nominal_n == pytest.approx(900 * LB)
    assert load.centre.known
    assert lift_of(box(2, 1, 1), load={"weight": "900 lb"}).load.weight == load.weight
    assert (
        "given for the load too"
        in faults_of(box(2, 1, 1), load={"weight": "9 lb"}, weight="9 lb")["load.mesh.weight"]
    )


def test_hollow_box_weighs_its_skin_and_spans_both_centres() -> None:
    """Area × wall × density: 10 m² × 10 mm × 7850; bends of a real wall only make it lighter."""
    load = lift_of(box(2, 1, 1), hollow=True, wall="10 mm", density="7850 kg/m3").load
    assert load.weight.nominal_n == pytest.approx(10 * 0.010 * 7850 * 9.80665)
    assert load.centre.known_by is KnownBy.ESTIMATE


def test_hollow_body_reaches_from_skin_centre_to_solid_centre() -> None:
    """A cube and a thin plate behind it: as a solid its centre lies near the cube, as a skin far out.

    Solid: (1 · 0.5 + 0.18 · 6.5) / 1.18 = 1.415 m; skin: (6 · 0.5 + 18.4 · 6.5) / 24.4 = 5.025 m.
    """
    plate = box(9, 1, 0.02)
    plate.apply_translation([6.0, 0, 0])
    both = trimesh.util.concatenate([box(1, 1, 1), plate])
    lift = lift_of(both, hollow=True, weight="1000 kg")
    centre = lift.load.centre
    assert centre.nominal_m[0] == pytest.approx((6 * 0.5 + 18.4 * 6.5) / 24.4, rel=1e-6)
    assert centre.low_m[0] == pytest.approx((0.5 + 0.18 * 6.5) / 1.18, rel=1e-6)
    assert centre.high_m[0] == pytest.approx(centre.nominal_m[0] + 1.1)  # an estimate: a tenth of 11 m
    assert "even-wall-assumed" in lift.notes
    assert {"load.mesh.wall"} == set(faults_of(both, hollow=True, density="7850 kg/m3")) - {"load.weight"}


def open_box() -> trimesh.Trimesh:
    whole = box(1, 1, 1)
    return trimesh.Trimesh(whole.vertices, whole.faces[:-1])


def test_open_mesh_is_refused_with_why_where_its_volume_is_needed() -> None:
    assert "not closed" in faults_of(open_box(), density="1000 kg/m3")["load.mesh.file"]
    stated = {"weight": "900 lb", "centre_of_gravity": ["0.5 m", "0.5 m", "0.4 m"]}
    assert lift_of(open_box(), load=stated).load.weight.nominal_n == pytest.approx(900 * LB)
    assert not lift_of(open_box(), weight="900 lb").load.centre.known


def test_inside_out_and_mixed_faces_are_refused_with_why() -> None:
    whole = box(1, 1, 1)
    inside_out = trimesh.Trimesh(whole.vertices, whole.faces[:, ::-1])
    assert "inside out" in faults_of(inside_out, density="1000 kg/m3")["load.mesh.file"]
    faces = whole.faces.copy()
    faces[0] = faces[0][::-1]
    mixed = trimesh.Trimesh(whole.vertices, faces, process=False)
    assert "both ways" in faults_of(mixed, density="1000 kg/m3")["load.mesh.file"]


def test_sections_of_a_mesh_hold_the_mesh() -> None:
    """A cylinder along x: every slice's hull is its circle to 0.3 %, and never leaves it."""
    bar = trimesh.creation.cylinder(radius=0.5, height=4.0, sections=96)
    bar.apply_transform(trimesh.transformations.rotation_matrix(math.pi / 2, [0, 1, 0]))
    sections = facts_of(bar).sections
    assert len(sections) == assumptions().mesh.slices
    for section in sections:
        radii = [math.hypot(y - 0.5, z - 0.5) for y, z in section.points_m]
        assert min(radii) == pytest.approx(0.5, rel=3e-3)
        assert max(radii) <= 0.5 * (1 + 1e-6)


def test_slices_of_a_ball_follow_it() -> None:
    """Half-way to the end of a ball the section's radius is that of the slice's wider side (a fine mesh)."""
    ball = trimesh.creation.icosphere(subdivisions=5, radius=1.0)
    sections = facts_of(ball).sections
    slices = assumptions().mesh.slices
    width = 2 / slices
    for section in sections[: slices // 2]:
        inner = abs(section.x_m + width / 2 - 1)  # of the slice's two planes the one nearer the middle
        widest = max(y for y, _ in section.points_m) - 1
        assert widest == pytest.approx(math.sqrt(1 - inner**2), abs=4e-3)


def test_a_corner_between_two_planes_is_in_its_slice() -> None:
    """Two pyramids base to base, their rim within a slice: that slice's hull reaches all four corners."""
    rim = 0.97
    corners = [[0, 1, 1], [2, 1, 1], [rim, 0, 1], [rim, 1, 0], [rim, 2, 1], [rim, 1, 2]]
    faces = [[end, 2 + i, 2 + (i + 1) % 4][:: 1 if end else -1] for end in (0, 1) for i in range(4)]
    both = trimesh.Trimesh(corners, faces)
    both.fix_normals()
    section = min(facts_of(both).sections, key=lambda one: abs(one.x_m - rim))
    assert set(section.points_m) >= {(0.0, 1.0), (1.0, 0.0), (2.0, 1.0), (1.0, 2.0)}


@pytest.mark.parametrize("kind", ["stl", "obj", "glb"])
def test_any_bytes_are_a_fault_never_anything_else(kind: str) -> None:
    rng = np.random.default_rng(5)
    good = bytes_of(box(1, 2, 3), kind)
    for trial in range(60):
        data = bytearray(good if trial % 3 else rng.bytes(int(rng.integers(0, 400))))
        for _ in range(1 + trial % 7):
            if data:
                data[int(rng.integers(len(data)))] = int(rng.integers(256))
        try:
            read_mesh(bytes(data[: len(data) - trial % 5]), kind, metres_per_unit=1.0, up="z")
        except InputFault as fault:
            fields = {one.field for one in fault.faults}
        else:
            fields = {"load.mesh.file"}  # still a mesh: a coordinate moved
        assert fields == {"load.mesh.file"}


def stl_with_count(count: int) -> bytes:
    return b"\0" * 80 + struct.pack("<I", count) + b"\0" * 50


def glb_with(head: dict[str, Any]) -> bytes:
    text = json.dumps(head).encode()
    text += b" " * (-len(text) % 4)
    return struct.pack("<4sII", b"glTF", 2, 20 + len(text)) + struct.pack("<I4s", len(text), b"JSON") + text


@pytest.mark.parametrize(
    ("data", "kind", "words"),
    [
        (b"", "stl", "empty"),
        (b"\0" * 50, "stl", "too short"),
        (stl_with_count(4_000_000_000), "stl", "as many faces"),
        (b"\0" * 50_000_001, "stl", "50 MB"),
        (b"not a glb file at all", "glb", "not a GLB"),
        (
            glb_with({"accessors": [{"count": 10**12, "type": "VEC3", "componentType": 5126}]}),
            "glb",
            "more than it does",
        ),
        (glb_with({"nodes": [{}] * 100_001}), "glb", "too many"),
        (glb_with({"accessors": [{"count": -5}]}), "glb", "cannot be read"),
        (glb_with({"buffers": [{"uri": "file:///etc/hosts"}]}), "glb", "other files"),
        (glb_with({"accessors": {"count": 1}}), "glb", "cannot be read"),
    ],
)
def test_what_is_too_large_or_reaches_outside_is_refused_unread(data: bytes, kind: str, words: str) -> None:
    with pytest.raises(InputFault, match=words):
        check_bytes(data, kind)


def test_one_mesh_placed_again_and_again_is_refused_unbuilt(monkeypatch: pytest.MonkeyPatch) -> None:
    """A small GLB may place one part many times; faces are counted as placed, before they are made."""
    monkeypatch.setattr(trimesh.Scene, "to_mesh", lambda _scene: pytest.fail("was built"))
    scene = trimesh.Scene()
    scene.add_geometry(trimesh.creation.icosphere(subdivisions=5), geom_name="ball")
    for i in range(110):
        matrix = trimesh.transformations.translation_matrix([3.0 * i, 0, 0])
        scene.graph.update(frame_to=f"n{i}", matrix=matrix, geometry="ball")
    data = scene.export(file_type="glb")
    with pytest.raises(InputFault, match="faces"):
        read_mesh(data, "glb", metres_per_unit=1.0, up="y")


@pytest.mark.parametrize(
    "name",
    ["../secret.stl", "/etc/hosts.stl", "a/../../secret.stl", "C:\\secret.stl", "..\\secret.stl", "a\0.stl",
     "link.stl", "missing.stl", "sub/../fine.stl", "sub", "", ".", "x" * 150 + ".stl"],
)  # fmt: skip
def test_a_name_that_leaves_the_folder_is_refused(tmp_path: Path, name: str) -> None:
    (tmp_path / "secret.stl").write_bytes(bytes_of(box(1, 1, 1), "stl"))
    here = tmp_path / "here"
    (here / "sub").mkdir(parents=True)
    (here / "fine.stl").write_bytes(b"x")
    (here / "link.stl").symlink_to(tmp_path / "secret.stl")
    with pytest.raises(InputFault) as caught:
        folder_reader(here)(name)
    assert caught.value.field == "load.mesh.file"


def test_a_file_below_the_folder_is_read(tmp_path: Path) -> None:
    (tmp_path / "sub").mkdir()
    (tmp_path / "sub" / "a.stl").write_bytes(b"x")
    assert folder_reader(tmp_path)("sub/a.stl") == b"x"


def test_faults_of_the_mesh_table() -> None:
    assert "none of the choices" in faults_of(box(1, 1, 1), load={}, unit="yd")["load.mesh.unit"]
    assert (
        "measured from the mesh"
        in faults_of(box(1, 1, 1), load={"length": "1 m"}, weight="1 lb")["load.length"]
    )
    assert "solid mesh" in faults_of(box(1, 1, 1), wall="1 mm", weight="9 lb")["load.mesh.wall"]
    assert "missing" in faults_of(box(1, 1, 1))["load.weight"]
    with pytest.raises(InputFault, match="STL, OBJ or GLB"):
        read_lift(
            {"load": {"mesh": {"file": "a.step", "unit": "mm"}}, "hook": {"headroom": "9 ft"}},
            mesh_reader=lambda _name: b"",
        )
    with pytest.raises(InputFault, match="cannot be reached"):
        read_lift({"load": {"mesh": {"file": "a.stl", "unit": "mm"}}, "hook": {"headroom": "9 ft"}})


ALONE = """
import sys
class Bare:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in ("scipy", "networkx", "shapely", "lxml", "PIL", "rtree", "jsonschema"):
            raise ModuleNotFoundError(name)
sys.meta_path.insert(0, Bare())
from pathlib import Path
from slingwright.lift import folder_reader, lift_from_text
assert "trimesh" not in sys.modules and "numpy" not in sys.modules
folder = Path(sys.argv[1])
lift = lift_from_text((folder / "barrier_mesh.toml").read_text(), "toml", mesh_reader=folder_reader(folder))
print(len(lift.load.sections))
"""


def test_a_mesh_is_read_with_the_products_own_packages_alone() -> None:
    """The mesh library needs none of the test tools' packages; nothing heavy loads before a mesh is met."""
    run = subprocess.run(
        [sys.executable, "-W", "error", "-c", ALONE, str(EXAMPLES)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.stderr == ""
    assert int(run.stdout) == assumptions().mesh.slices


def test_the_examples_mesh_is_a_small_closed_stl() -> None:
    data = (EXAMPLES / "barrier.stl").read_bytes()
    assert len(data) < 10_000
    assert trimesh.load(io.BytesIO(data), file_type="stl").is_watertight
