"""Volume, centre, extents and cross-sections of a closed mesh (STL, OBJ, GLB), through trimesh.

Bytes in, figures out: reading the file is the caller's, by `folder_reader` or from an upload. numpy and
trimesh are imported when a mesh is met, never before.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import TYPE_CHECKING, Any

from slingwright.errors import fail
from slingwright.lift.assumptions import assumptions
from slingwright.lift.mesh_guard import check_bytes
from slingwright.lift.mesh_slices import mesh_sections
from slingwright.lift.mesh_text import check_counts
from slingwright.lift.model import Section, Vector

if TYPE_CHECKING:
    import trimesh

__all__ = ["MESH_KINDS", "MeshFacts", "MeshReader", "folder_reader", "read_mesh"]

MESH_KINDS = ("stl", "obj", "glb")
MeshReader = Callable[[str], bytes]


@dataclass(frozen=True, slots=True, kw_only=True)
class MeshFacts:
    """What a mesh tells, in load coordinates (its box's left-front-bottom corner is the origin), SI.

    `closed` = watertight with faces all turned one way; `volume_m3` and `centre_m` mean nothing else.
    `why_open` says what is wrong where it is not. `shell_centre_m` is that of a skin of even thickness.
    """

    extents_m: Vector
    closed: bool
    why_open: str
    volume_m3: float
    centre_m: Vector
    area_m2: float
    shell_centre_m: Vector
    sections: tuple[Section, ...]


def folder_reader(folder: Path) -> MeshReader:
    """A reader of mesh files in one folder or below it, and from nowhere else."""
    root = folder.resolve()

    def read(name: str) -> bytes:
        field = "load.mesh.file"
        parts = PurePosixPath(name).parts
        outside = PurePosixPath(name).is_absolute() or PureWindowsPath(name).drive or "\\" in name
        if not parts or outside or ".." in parts:
            raise fail(field, "is not a file beside the lift file", "a name in its folder or below")
        try:
            path = (root / name).resolve()
            if not path.is_relative_to(root) or not path.is_file():
                raise fail(field, f'"{name[:60]}" is not found beside the lift file')
            with path.open("rb") as file:
                return file.read(assumptions().mesh.most_bytes + 1)
        except (OSError, ValueError):
            raise fail(field, f'"{name[:60]}" cannot be read') from None

    return read


def mesh_kind(name: str) -> str:
    """Format of a mesh file by the end of its name.

    Raises
    ------
    InputFault
        It is none of `MESH_KINDS`.
    """
    kind = name.rpartition(".")[2].lower()
    if kind not in MESH_KINDS:
        raise fail("load.mesh.file", "is not an STL, OBJ or GLB file", "export it as STL from the drawing")
    return kind


def read_mesh(data: bytes, kind: str, *, metres_per_unit: float, up: str) -> MeshFacts:
    """Read a mesh's figures.

    Parameters
    ----------
    data
        The file's bytes.
    kind
        "stl", "obj" or "glb".
    metres_per_unit
        Metres in one unit of the file.
    up
        "z" or "y": the file's axis that points up.

    Raises
    ------
    InputFault
        Not such a file, too large, empty or flat.
    """
    mesh = _load(check_bytes(data, kind), kind)
    if not len(mesh.faces):
        raise fail("load.mesh.file", "holds no faces")
    if up == "y":  # turn about x: the file's y becomes z, its -z becomes y
        vertices = mesh.vertices[:, [0, 2, 1]].copy()
        vertices[:, 1] *= -1
        mesh.vertices = vertices
    mesh.vertices = (mesh.vertices - mesh.bounds[0]) * metres_per_unit
    return _facts(mesh)


def _load(data: bytes, kind: str) -> trimesh.Trimesh:
    """Let trimesh parse bytes; no file beside it is ever opened (no resolver, no materials)."""
    import trimesh

    try:
        loaded: Any = trimesh.load(io.BytesIO(data), file_type=kind, skip_materials=True, process=True)
        if isinstance(loaded, trimesh.Scene):
            faces = sum(_faces_of(loaded, node) for node in loaded.graph.nodes_geometry)
            check_counts(faces=faces, points=0)
            loaded = loaded.to_mesh()
        vertices = getattr(loaded, "vertices", None)
    except ValueError as found:
        if hasattr(found, "faults"):
            raise
        raise fail("load.mesh.file", f"cannot be read as {kind.upper()}") from None
    except Exception:  # noqa: BLE001  (a foreign parser on a stranger's bytes: any failure is the file's)
        raise fail("load.mesh.file", f"cannot be read as {kind.upper()}") from None
    if not isinstance(loaded, trimesh.Trimesh) or vertices is None or not len(vertices):
        raise fail("load.mesh.file", "holds no surface")
    check_counts(faces=len(loaded.faces), points=len(vertices))
    return loaded


def _faces_of(scene: Any, node: str) -> int:
    geometry = scene.geometry[scene.graph[node][1]]
    return len(getattr(geometry, "faces", ()))


def _facts(mesh: trimesh.Trimesh) -> MeshFacts:
    import numpy as np

    extents = _vector(mesh.extents)
    if not np.isfinite(mesh.vertices).all():
        raise fail("load.mesh.file", "holds coordinates that are not finite numbers")
    if min(extents) <= 0:
        raise fail("load.mesh.file", "is flat: it has no thickness in one direction")
    why_open = _why_open(mesh)
    areas = mesh.area_faces
    if not areas.sum() > 0:
        raise fail("load.mesh.file", "is flat: none of its faces has an area")
    shell = (mesh.triangles_center * areas[:, None]).sum(axis=0) / areas.sum()
    volume = 0.0 if why_open else float(mesh.volume)
    return MeshFacts(
        extents_m=extents,
        closed=not why_open,
        why_open=why_open,
        volume_m3=volume,
        centre_m=_vector(shell if why_open else mesh.center_mass),
        area_m2=float(areas.sum()),
        shell_centre_m=_vector(shell),
        sections=mesh_sections(mesh.vertices, mesh.edges_unique),
    )


def _why_open(mesh: trimesh.Trimesh) -> str:
    if not mesh.is_watertight:
        return "is not closed: some edges belong to one face only"
    if not mesh.is_winding_consistent:
        return "has faces turned both ways"
    if not mesh.volume > 0:
        return "is turned inside out"
    return ""


def _vector(values: Any) -> Vector:
    x, y, z = (float(v) for v in values)
    return x, y, z
