"""Weight and centre of gravity computed from shape, parts or mesh with a density."""

from __future__ import annotations

from dataclasses import dataclass

from slingwright.errors import InputFault
from slingwright.lift import solids
from slingwright.lift.materials import density_of
from slingwright.lift.mesh import MeshFacts
from slingwright.lift.model import Shape, Vector
from slingwright.lift.size import Size, check_sizes, check_wall, part_extents
from slingwright.lift.table import Reader, Values
from slingwright.units.parse import STANDARD_GRAVITY

__all__ = ["Computed", "compute"]

_G = float(STANDARD_GRAVITY)


@dataclass(frozen=True, slots=True, kw_only=True)
class Computed:
    """What could be computed. `weight_n` None: only the centre. `also_at_m`: where else the centre may be."""

    by: str
    weight_n: float | None
    centre_m: Vector
    also_at_m: Vector | None = None


def compute(values: Values, reader: Reader, size: Size, facts: MeshFacts | None) -> Computed | None:
    """Weight and centre from what the file gives; None where it gives nothing to compute from."""
    if values["parts"]:
        for name in ("material", "density", "wall"):
            if values.has(name):
                reader.fault(values.field(name), "belongs to each part where parts are given")
        return _from_parts(values["parts"], reader, size)
    if size.shape is Shape.MESH:
        return _from_mesh(values, reader, facts) if facts else None
    return _from_shape(values, reader, size)


def read_density(values: Values, reader: Reader) -> float | None:
    """Density of a load, part or mesh [kg/m³], from `density` or `material`; None where neither is there."""
    if values.has("density") and values.has("material"):
        reader.fault(values.field("density"), "is given beside a material", "give one of them")
    if values["density"] is not None:
        return float(values["density"])
    if values["material"] is None:
        return None
    try:
        return density_of(values["material"], values.field("material"))
    except InputFault as found:
        reader.fault(found.field, found.problem, found.hint)
        return None


def _asks(values: Values) -> bool:
    return values.has("density") or values.has("material")


def _solid_volume_m3(shape: str, extents: Vector, axis: int, wall_m: float | None) -> float:
    """Volume of one simple solid; `axis` is a cylinder's."""
    diameter = extents[1] if axis == 0 else extents[0]
    if shape == "sphere":
        full = solids.sphere_volume_m3(diameter)
        return full if wall_m is None else solids.shell_sphere_volume_m3(diameter, wall_m)
    if shape == "cylinder":
        if wall_m is None:
            return solids.cylinder_volume_m3(extents[axis], diameter)
        return solids.pipe_volume_m3(extents[axis], diameter, wall_m)
    if wall_m is None:
        return solids.block_volume_m3(*extents)
    return solids.shell_box_volume_m3(*extents, wall_m)


def _middle(extents: Vector, at: Vector = (0.0, 0.0, 0.0)) -> Vector:
    x, y, z = (a + e / 2 for a, e in zip(at, extents, strict=True))
    return x, y, z


def _from_shape(values: Values, reader: Reader, size: Size) -> Computed | None:
    if not _asks(values):
        return None
    if size.shape not in (Shape.BOX, Shape.CYLINDER):
        for name in ("density", "material"):
            if values.has(name):
                hint = "give the weight, or parts, or a mesh"
                reader.fault(values.field(name), f"does not give the weight of a {size.shape}", hint)
        return None
    density = read_density(values, reader)
    if density is None:
        return None
    if size.wall_m is not None:
        reader.note("taken-empty")
    volume = _solid_volume_m3(size.shape, size.extents_m, 0, size.wall_m)
    return Computed(by="shape", weight_n=volume * density * _G, centre_m=_middle(size.extents_m))


def _from_parts(parts: tuple[Values, ...], reader: Reader, size: Size) -> Computed | None:
    weighed = [_part(part, reader, size) for part in parts]
    rows = [row for row in weighed if row is not None]
    if len(rows) < len(parts):
        return None
    total = sum(weight for weight, _ in rows)
    return Computed(by="parts", weight_n=total, centre_m=solids.composite_centre_m(rows))


def _part(part: Values, reader: Reader, size: Size) -> tuple[float, Vector] | None:
    """(weight [N], centre [m]) of one part; None with faults kept."""
    shape = part["shape"]
    if shape is None or not check_sizes(part, reader, shape, f"a {shape}"):
        return None
    extents, at = part_extents(part), part["at"]
    if extents is None or at is None:
        return None
    check_wall(part, reader, part["diameter"] or min(extents))
    if any(a + e > s * (1 + 1e-6) for a, e, s in zip(at, extents, size.extents_m, strict=True)):
        reader.fault(part.field("at"), "puts the part outside the load's own sizes")
    if part.has("weight"):
        if _asks(part):
            reader.fault(part.field("weight"), "is given beside a density", "give one of them")
        return (part["weight"], _middle(extents, at)) if part["weight"] else None
    density = read_density(part, reader)
    if density is None:
        if not _asks(part):
            reader.fault(part.field("density"), "is missing", "a part needs material, density or weight")
        return None
    if part["wall"] is not None:
        reader.note("taken-empty")
    axis = {"x": 0, "y": 1, "z": 2}[part["axis"] or "x"] if shape == "cylinder" else 0
    volume = _solid_volume_m3(shape, extents, axis, part["wall"])
    return volume * density * _G, _middle(extents, at)


def _from_mesh(values: Values, reader: Reader, facts: MeshFacts) -> Computed | None:
    mesh: Values = values["mesh"]
    source = mesh if _asks(mesh) else values
    if _asks(mesh) and _asks(values):
        reader.fault(mesh.field("density"), "is given for the load too", "give one of them")
    density = read_density(source, reader)
    wall_m = mesh["wall"]
    if wall_m is not None and not mesh["hollow"]:
        reader.fault(mesh.field("wall"), "is given for a solid mesh", "hollow = true")
    if mesh["hollow"]:
        return _hollow_mesh(values, reader, facts, density)
    if facts.closed:
        reader.note("mesh-taken-even")
        weight_n = None if density is None else facts.volume_m3 * density * _G
        return Computed(by="mesh", weight_n=weight_n, centre_m=facts.centre_m)
    if density is not None:
        hint = "close it in the drawing program, or state weight and centre_of_gravity"
        reader.fault(mesh.field("file"), facts.why_open, hint)
    return None


def _hollow_mesh(values: Values, reader: Reader, facts: MeshFacts, density: float | None) -> Computed | None:
    """A skin: its weight is area × wall, never less than the true one where the body bulges outward."""
    mesh: Values = values["mesh"]
    wall_m = mesh["wall"]
    weighed = values.has("weight") or mesh.has("weight")
    if not weighed and (wall_m is None or density is None):
        hint = "a hollow mesh needs its weight, or wall and density"
        reader.fault(mesh.field("wall" if wall_m is None else "density"), "is missing", hint)
        return None
    reader.note("taken-empty")
    reader.note("even-wall-assumed")
    known = wall_m is not None and density is not None
    weight_n = facts.area_m2 * wall_m * density * _G if known and density is not None else None
    also = facts.centre_m if facts.closed else None
    return Computed(by="mesh", weight_n=weight_n, centre_m=facts.shell_centre_m, also_at_m=also)
