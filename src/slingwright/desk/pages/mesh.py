"""A mesh sent to the lift page: measured, and written into the lift as fields, for a link holds no file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from slingwright.desk.bench import Bench, Look
from slingwright.desk.beside import beside_folder

__all__ = ["is_mesh", "tables_with_mesh"]

_ENDINGS = (".stl", ".obj", ".glb")
_SIZES = ("shape", "length", "width", "height", "diameter", "wall", "section", "parts", "material", "density")


def is_mesh(name: str) -> bool:
    """Whether a file's name says that it is a mesh."""
    return name.lower().endswith(_ENDINGS)


def tables_with_mesh(
    bench: Bench, tables: Mapping[str, Any], content: bytes, name: str, words: Mapping[str, str], look: Look
) -> dict[str, Any]:
    """A lift's tables with a mesh's sizes, weight, centre and outline in its load.

    Parameters
    ----------
    tables
        The lift so far; what it says of the load's weight or centre stays.
    content, name
        The mesh and the name it was sent under.
    words
        What was said of it: `mesh.unit`, `mesh.up`, `mesh.material` (a name, or a density with its unit),
        `mesh.weight`.

    Raises
    ------
    InputFault
        The mesh, or what was said of it, is at fault.
    Busy
        Too many searches wait already.
    """
    from slingwright.usecases.measure_load import measure_tables

    ours = f"mesh{name[-4:].lower()}"  # the name is a stranger's
    said = {key: words.get(f"mesh.{key}", "").strip() for key in ("unit", "up", "material", "weight")}
    mesh: dict[str, Any] = {"file": ours, "unit": said["unit"]}
    mesh |= {key: said[key] for key in ("up", "weight") if said[key]}
    if said["material"]:
        mesh["density" if said["material"][0].isdigit() else "material"] = said["material"]
    so_far = tables.get("load")
    load = dict(so_far) if isinstance(so_far, dict) else {}
    for key in (*_SIZES, *(("weight", "weight_tolerance") if said["weight"] else ())):
        load.pop(key, None)
    settings = replace(bench.settings, language=look.language)
    with bench.turn(), beside_folder({ours: content}) as folder:
        measured = measure_tables({**tables, "load": load | {"mesh": mesh}}, folder=folder, settings=settings)
    return measured.tables
