"""A load measured: weight, centre and sizes from its shape, its parts or a mesh, and a lift without the mesh.

A link holds the whole lift and no file, so what a mesh tells is written out: its sizes, its weight and centre
with how far off they may be, and the outline of every slice, as a hull. A search sees the same load.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import ceil, floor
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slingwright.errors import fail
from slingwright.usecases.documents import hash_input, read_tables
from slingwright.usecases.made_by import head

if TYPE_CHECKING:
    from slingwright.lift.model import Load
    from slingwright.units import Units
    from slingwright.usecases.settings import Settings

__all__ = ["MeasuredLoad", "measure_load", "measure_tables", "measured_document"]

_FROM_MESH = ("mesh", "material", "density", "weight_tolerance", "centre_tolerance")


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredLoad:
    """The load, the codes of what was assumed, and the lift's tables with the mesh written out."""

    load: Load
    notes: tuple[str, ...]
    tables: dict[str, Any]
    units: Units
    language: str
    input_sha256: str


def measure_load(content: bytes, file: str, *, folder: Path, settings: Settings) -> MeasuredLoad:
    """Measure the load of a lift file; it may say nothing but its load.

    Raises
    ------
    InputFault
        Everything wrong with the load.
    """
    tables = read_tables(content, file, what="a lift")
    return measure_tables(tables, folder=folder, settings=settings, input_sha256=hash_input(content))


def measure_tables(
    tables: dict[str, Any], *, folder: Path, settings: Settings, input_sha256: str = ""
) -> MeasuredLoad:
    """The same of a lift's tables; `folder` holds the mesh that it names.

    Raises
    ------
    InputFault
        Everything wrong with the load.
    """
    from slingwright.lift import folder_reader
    from slingwright.lift.parse import read_load
    from slingwright.units import Units

    said = tables.get("load")
    if not isinstance(said, dict):
        raise fail("load", "is missing" if said is None else "is not a table of keys", "what is lifted")
    regime = tables.get("rulebook") or settings.rulebook
    load, notes, units = read_load(
        said, regime="en" if regime == "en" else "us", mesh_reader=folder_reader(folder)
    )
    return MeasuredLoad(
        load=load,
        notes=notes,
        tables=tables if "mesh" not in said else tables | {"load": _written_out(said, load, Units(units))},
        units=Units(settings.units or units),
        language=settings.language,
        input_sha256=input_sha256,
    )


def _written_out(said: dict[str, Any], load: Load, units: Units) -> dict[str, Any]:
    """A load's table with a hull in its mesh's place, in the units that the rest is written in."""
    write = _Written(units)
    written = {key: copy.deepcopy(value) for key, value in said.items() if key not in _FROM_MESH}
    extents = (load.length_m, load.width_m, load.height_m)
    # upwards: a hull's own outline may not stand out of the sizes it is given
    named = zip(("length", "width", "height"), extents, strict=True)
    sizes = {key: write.length(extent, ceil) for key, extent in named}
    sections = [{"x": write.length(s.x_m), "points": write.outline(s.points_m)} for s in load.sections]
    written |= {"shape": "hull", **sizes, "section": sections}
    weight, centre = load.weight, load.centre
    written["weight"] = written["centre_of_gravity"] = "unknown"
    if weight.low_n is not None and weight.high_n is not None:
        written["weight"] = {
            "low": write.weight(weight.low_n, floor), "high": write.weight(weight.high_n, ceil),
        }  # fmt: skip
    if centre.known:
        low, high = ([write.length(x) for x in corner] for corner in (centre.low_m, centre.high_m))
        written["centre_of_gravity"] = {"low": low, "high": high}
    words = {"weight": weight.known_by, "centre_of_gravity": centre.known_by}
    # what this program computed is as good as a drawing: the file has no word for it
    written["known_by"] = {
        key: "drawing" if str(word) == "computed" else str(word) for key, word in words.items()
    }
    return written


class _Written:
    """Figures as a lift file has them, to steps far finer than any load is known."""

    def __init__(self, units: Units) -> None:
        from slingwright.units import Units
        from slingwright.units.parse import INCH_M, POUND_KG, STANDARD_GRAVITY

        us = units is Units.US
        self._unit, self._unit_m = ("in", float(INCH_M)) if us else ("mm", 0.001)
        self._mass, self._mass_n = (
            ("lb", float(POUND_KG * STANDARD_GRAVITY)) if us else ("kg", float(STANDARD_GRAVITY))
        )

    def length(self, length_m: float, whole: Callable[[float], int] = round) -> str:
        """A length to a hundredth of a millimetre or a thousandth of an inch."""
        count = length_m / self._unit_m
        steps = whole(round(count * 1000, 6)) if self._unit == "in" else whole(round(count * 100, 6)) * 10
        return f"{_decimal(steps / 1000)} {self._unit}"

    def outline(self, points_m: Iterable[tuple[float, float]]) -> list[list[str]]:
        """A section's outline; points that come to be the same are one."""
        return [list(p) for p in dict.fromkeys((self.length(y), self.length(z)) for y, z in points_m)]

    def weight(self, weight_n: float, whole: Callable[[float], int]) -> str:
        """A weight to a hundredth of a pound or of a kilogram."""
        return f"{_decimal(whole(round(weight_n / self._mass_n * 100, 6)) / 100)} {self._mass}"


def _decimal(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")


def measured_document(measured: MeasuredLoad) -> dict[str, Any]:
    """The `slingwright/measured/1` document."""
    from slingwright.usecases.ask_document import plain_tables
    from slingwright.words import note_text, standing_cautions
    from slingwright.words.loads import centre_text, size_text, weight_text

    load, units, language = measured.load, measured.units, measured.language
    weight, centre = load.weight, load.centre
    return {
        **head("measured/1", input_sha256=measured.input_sha256),
        "shape": str(load.shape),
        "size": {
            "extents_m": [load.length_m, load.width_m, load.height_m],
            "diameter_m": load.diameter_m,
            "text": size_text(load, units, language=language),
        },
        "weight": {
            "nominal_n": weight.nominal_n,
            "low_n": weight.low_n,
            "high_n": weight.high_n,
            "known_by": str(weight.known_by),
            "text": weight_text(weight, units, notes=measured.notes, language=language),
        },
        "centre": {
            "nominal_m": list(centre.nominal_m),
            "low_m": list(centre.low_m),
            "high_m": list(centre.high_m),
            "known": centre.known,
            "known_by": str(centre.known_by),
            "text": centre_text(centre, units, notes=measured.notes, language=language),
        },
        "computed_by": load.computed_by or None,
        "mesh_sha256": load.mesh_sha256 or None,
        "notes": [{"code": code, "text": note_text(code, language=language)} for code in measured.notes],
        "lift": plain_tables(measured.tables),
        "cautions": list(standing_cautions(language=language)),
    }
