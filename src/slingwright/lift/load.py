"""The load: sizes, weight, centre, picks, sections, edges, put together from the file's `load` table."""

from __future__ import annotations

import hashlib
import itertools

from slingwright.errors import InputFault
from slingwright.lift.assumptions import assumptions
from slingwright.lift.computed import compute
from slingwright.lift.mesh import MeshFacts, MeshReader, mesh_kind, read_mesh
from slingwright.lift.model import ChokeStated, EdgeRadius, Load, PickPoint, Section, Shape
from slingwright.lift.sections import box_section, convex_hull, hull_sections, round_section
from slingwright.lift.size import Size, read_size
from slingwright.lift.table import Reader, Values
from slingwright.lift.weight import read_centre, read_weight
from slingwright.units import parse_length_m

__all__ = ["build_load"]

_SAME_PLACE_M = 1e-6


def build_load(values: Values, reader: Reader, mesh_reader: MeshReader | None) -> Load | None:
    """Build the load; None with faults kept where it cannot be."""
    facts, mesh_sha256 = _read_mesh(values["mesh"], reader, mesh_reader)
    size = read_size(values, reader, facts)
    if size is None or (values["mesh"] is not None and facts is None):
        if values.has("weight"):  # what can still be judged is: all faults at once
            read_weight(values, reader, None)
        return None
    computed = compute(values, reader, size, facts)
    weight = read_weight(values, reader, computed)
    centre = read_centre(values, reader, size, computed)
    sections = _sections(values, reader, size, facts)
    picks = tuple(_pick(p, i, reader, size) for i, p in enumerate(values["pick_point"]))
    _check_picks(picks, values, reader)
    bears = _bears(values, reader, size)
    if weight is None or centre is None:
        return None
    choke = values["choke_angle"]
    friction = values["surface"]
    length, width, height = size.extents_m
    return Load(
        shape=size.shape,
        length_m=length,
        width_m=width,
        height_m=height,
        weight=weight,
        centre=centre,
        edge=_edge(values, reader),
        pick_points=tuple(p for p in picks if p is not None),
        sections=sections,
        sections_assumed=size.shape is Shape.HULL and not values["section"],
        diameter_m=size.diameter_m,
        wall_m=size.wall_m,
        loose=_loose(values, reader, size),
        bears_m=bears,
        surface_temperature_k=values["surface_temperature"],
        surface_friction=friction if isinstance(friction, float) else None,
        surface=friction if isinstance(friction, str) else "",
        choke=ChokeStated(choke) if isinstance(choke, str) else ChokeStated.STATED,
        choke_angle_deg=choke if isinstance(choke, float) else None,
        computed_by=computed.by if computed is not None else "",
        mesh_sha256=mesh_sha256,
    )


def _read_mesh(
    mesh: Values | None, reader: Reader, mesh_reader: MeshReader | None
) -> tuple[MeshFacts | None, str]:
    if mesh is None or not mesh["file"] or not mesh["unit"]:
        return None, ""
    if mesh_reader is None:
        reader.fault(mesh.field("file"), "cannot be reached from here", "send the mesh file with the lift")
        return None, ""
    try:
        kind = mesh_kind(mesh["file"])
        data = mesh_reader(mesh["file"])
        up = mesh["up"] or ("y" if kind == "glb" else "z")
        if up == "y" and not mesh["up"]:
            reader.note("mesh-up-is-y")
        metres = parse_length_m(f"1 {mesh['unit']}", mesh.field("unit"))
        facts = read_mesh(data, kind, metres_per_unit=metres, up=up)
    except InputFault as found:
        for one in found.faults:
            reader.fault(one.field, one.problem, one.hint)
        return None, ""
    return facts, hashlib.sha256(data).hexdigest()


def _edge(values: Values, reader: Reader) -> EdgeRadius:
    if values["edge_radius"] is None:
        reader.note("edge-not-stated")
        return EdgeRadius(radius_m=None, stated=False)
    edge: EdgeRadius = values["edge_radius"]
    return edge


def _loose(values: Values, reader: Reader, size: Size) -> bool:
    if values["loose"] and size.shape is not Shape.BUNDLE:
        reader.fault(values.field("loose"), f"has no meaning for a {size.shape}", 'for shape = "bundle"')
    return bool(values["loose"])


def _pick(pick: Values, index: int, reader: Reader, size: Size) -> PickPoint | None:
    at = pick["at"]
    if at is None:
        return None
    reach = assumptions().pick_stands_off
    for axis, (place, extent) in enumerate(zip(at, size.extents_m, strict=True)):
        if not -reach * extent <= place <= (1 + reach) * extent:
            hint = "it is measured from the load's left-front-bottom corner, in the same units as the load"
            reader.fault(f"{pick.field('at')}[{axis}]", "is far outside the load", hint)
    if pick.has("rated") and not pick.has("rated_at"):
        reader.note("lug-angle-not-stated")
    if pick.has("rated_at") and not pick.has("rated"):
        reader.fault(pick.field("rated_at"), "is given without a rating", 'rated = "8 800 lb"')
    return PickPoint(
        name=pick["name"] or chr(ord("A") + index),
        at_m=at,
        pin_m=pick["pin"],
        rated_n=pick["rated"],
        vertical_only=pick["rated_at"] == "vertical only",
        rated_at_stated=pick["rated"] is None or pick["rated_at"] is not None,
    )


def _check_picks(picks: tuple[PickPoint | None, ...], values: Values, reader: Reader) -> None:
    """Two picks of one name or in one place are a slip of the pen."""
    for later, pick in enumerate(picks):
        for earlier in picks[:later]:
            if pick is None or earlier is None:
                continue
            where = f"{values.field('pick_point')}[{later}]"
            if pick.name == earlier.name:
                reader.fault(f"{where}.name", f'"{pick.name[:40]}" is the name of another pick point')
            if all(abs(a - b) < _SAME_PLACE_M for a, b in zip(pick.at_m, earlier.at_m, strict=True)):
                reader.fault(f"{where}.at", "is the place of another pick point")


def _bears(values: Values, reader: Reader, size: Size) -> tuple[tuple[float, float], ...]:
    spans: tuple[tuple[float, float], ...] = values["bears"] or ()
    for index, (start, end) in enumerate(spans):
        where = f"{values.field('bears')}[{index}]"
        if start >= end:
            reader.fault(where, "does not run from a lower to a higher place", "[from, to]")
        elif end > size.extents_m[0] * (1 + 1e-9):
            reader.fault(f"{where}[1]", "lies beyond the load's length")
        elif index and start < spans[index - 1][1]:
            reader.fault(f"{where}[0]", "begins before the span before it ends", "spans in order, apart")
    return spans


def _sections(values: Values, reader: Reader, size: Size, facts: MeshFacts | None) -> tuple[Section, ...]:
    length, width, height = size.extents_m
    if values.has("section") and size.shape is not Shape.HULL:
        reader.fault(values.field("section"), f"has no meaning for a {size.shape}", 'for shape = "hull"')
        return ()
    if facts is not None:
        return facts.sections
    if size.diameter_m is not None:
        points = assumptions().round_points
        return (round_section(length / 2, size.diameter_m, drawn_points=points),)
    if size.shape is not Shape.HULL:
        return (box_section(length / 2, width, height),)
    if not values.has("section"):
        reader.note("hull-section-assumed")
        return hull_sections(length, width, height, form=assumptions().hull)
    found = [_station(station, reader, size) for station in values["section"]]
    _check_order(found, values, reader)
    return tuple(section for section in found if section is not None)


def _station(station: Values, reader: Reader, size: Size) -> Section | None:
    x, points = station["x"], station["points"]
    if x is None or points is None:
        return None
    length, width, height = (extent * (1 + 1e-9) for extent in size.extents_m)
    if x > length:
        reader.fault(station.field("x"), "lies beyond the load's length")
    for index, (y, z) in enumerate(points):
        if y > width or z > height:
            reader.fault(f"{station.field('points')}[{index}]", "lies outside the load's width or height")
    hull = convex_hull(points)
    if len(hull) < 3:
        reader.fault(station.field("points"), "all lie in one line", "at least three corners of an outline")
        return None
    return Section(x_m=x, points_m=hull)


def _check_order(found: list[Section | None], values: Values, reader: Reader) -> None:
    places = [section.x_m for section in found if section is not None]
    if any(b <= a for a, b in itertools.pairwise(places)):
        reader.fault(values.field("section"), "is not in order of x", "each station farther along")
