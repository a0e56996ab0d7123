"""The load's shape and outer sizes, and whether the file gives the sizes its shape needs."""

from __future__ import annotations

from dataclasses import dataclass

from slingwright.lift.mesh import MeshFacts
from slingwright.lift.model import Shape, Vector
from slingwright.lift.table import Reader, Values

__all__ = ["Size", "needed_sizes", "read_size"]

_SIZES = ("length", "width", "height", "diameter")
_BOX = ("length", "width", "height")
_ROUND = ("length", "diameter")


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """Shape and outer sizes [m]; `diameter_m` where the load is round."""

    shape: Shape
    extents_m: Vector
    diameter_m: float | None = None
    wall_m: float | None = None


def read_size(values: Values, reader: Reader, facts: MeshFacts | None) -> Size | None:
    """Shape and sizes of the load; None with faults kept where they are missing or do not fit."""
    shape = _shape(values, reader)
    if shape is Shape.MESH:
        _refuse(values, reader, (*_SIZES, "wall"), "is measured from the mesh; leave it out")
        return Size(shape=shape, extents_m=facts.extents_m) if facts else None
    if shape is None:
        return None
    if values["parts"] and not any(values.has(name) for name in _SIZES):
        extents = parts_extents(values["parts"])
        if extents is None:
            return None
        round_m = extents[1] if shape is Shape.CYLINDER else None
        return Size(shape=shape, extents_m=extents, diameter_m=round_m)
    return _sized(values, reader, shape)


def _shape(values: Values, reader: Reader) -> Shape | None:
    if not values.has("shape"):
        if values.has("mesh"):
            return Shape.MESH
        reader.fault(values.field("shape"), "is missing", "box | cylinder | bundle | hull | frame | mesh")
        return None
    shape = Shape(values["shape"]) if values["shape"] else None
    if shape is Shape.MESH and not values.has("mesh"):
        reader.fault(values.field("mesh"), "is missing", '{ file = "pump.stl", unit = "mm", ... }')
    elif shape not in (Shape.MESH, None) and values.has("mesh"):
        reader.fault(values.field("shape"), "must be mesh where a mesh is given", 'shape = "mesh"')
    return shape


def needed_sizes(shape: str, *, has_diameter: bool) -> tuple[str, ...]:
    """The sizes a shape is given by."""
    if shape == "sphere":
        return ("diameter",)
    if shape == "cylinder" or (shape == "bundle" and has_diameter):
        return _ROUND
    return _BOX


def check_sizes(values: Values, reader: Reader, shape: str, what: str) -> bool:
    """Keep a fault for every size missing or out of place; whether all needed ones are there and read."""
    needed = needed_sizes(shape, has_diameter=values.has("diameter"))
    for name in needed:
        if not values.has(name):
            reader.fault(values.field(name), "is missing", f"{what} needs {' and '.join(needed)}")
    spare = tuple(name for name in _SIZES if name not in needed)
    _refuse(values, reader, spare, f"is no size of {what}; it has {' and '.join(needed)}")
    return all(values[name] is not None for name in needed)


def _refuse(values: Values, reader: Reader, names: tuple[str, ...], problem: str) -> None:
    for name in names:
        if values.has(name):
            reader.fault(values.field(name), problem)


def check_wall(values: Values, reader: Reader, least_size_m: float) -> None:
    """Keep a fault for a wall that fills the whole body."""
    wall_m = values["wall"]
    if wall_m is not None and wall_m >= least_size_m / 2:
        reader.fault(values.field("wall"), "is half the body or more", "leave it out if the load is solid")


def _sized(values: Values, reader: Reader, shape: Shape) -> Size | None:
    if values.has("wall") and shape not in (Shape.BOX, Shape.CYLINDER):
        reader.fault(values.field("wall"), f"has no meaning for a {shape}", "for a box or a cylinder")
    if not check_sizes(values, reader, shape, f"a {shape}"):
        return None
    if "diameter" in needed_sizes(shape, has_diameter=values.has("diameter")):
        diameter = values["diameter"]
        check_wall(values, reader, diameter)
        extents = (values["length"], diameter, diameter)
        return Size(shape=shape, extents_m=extents, diameter_m=diameter, wall_m=values["wall"])
    extents = (values["length"], values["width"], values["height"])
    check_wall(values, reader, min(extents))
    return Size(shape=shape, extents_m=extents, wall_m=values["wall"])


def part_extents(part: Values) -> Vector | None:
    """Sizes of the box round one part [m]; None where they are missing."""
    length, diameter = part["length"], part["diameter"]
    if part["shape"] == "sphere":
        return (diameter, diameter, diameter) if diameter else None
    if part["shape"] == "cylinder":
        if not (length and diameter):
            return None
        along = {"x": 0, "y": 1, "z": 2}[part["axis"] or "x"]
        x, y, z = (length if axis == along else diameter for axis in range(3))
        return x, y, z
    sizes = (length, part["width"], part["height"])
    return sizes if all(sizes) else None


def parts_extents(parts: tuple[Values, ...]) -> Vector | None:
    """Sizes of the box from the origin round all parts [m]; None where a part is at fault."""
    corners = []
    for part in parts:
        sizes, at = part_extents(part), part["at"]
        if sizes is None or at is None:
            return None
        corners.append([a + s for a, s in zip(at, sizes, strict=True)])
    x, y, z = (max(corner[axis] for corner in corners) for axis in range(3))
    return x, y, z
