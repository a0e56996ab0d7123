"""What is to be drawn, in world metres as it hangs: bodies, free parts of slings, ways round, points.

A picture is data: the sheet only projects it, so that what a reader measures on paper is the solved pose.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from slingwright.arrangement.model import Round
from slingwright.choose.offer import Case, Offer
from slingwright.draw.solid import Face, Solid, beam_solid, load_solid, outline_ring, round_ring
from slingwright.hang.problem import WORLD
from slingwright.hang.result import BodyPose
from slingwright.lift.model import Lift, Section
from slingwright.sling import Hitch

__all__ = ["Band", "LegLine", "Mark", "Picture", "take_picture"]

Vector = tuple[float, float, float]
Place = Callable[[Vector], Vector]
LOAD, BEAM = "load", "beam"
_ARC_STEPS = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class LegLine:
    """A free, straight part of a sling between two bodies, as it hangs."""

    path: str
    part: int
    sling: str
    upper_m: Vector
    lower_m: Vector
    tension_n: float
    slack: bool
    angle_from_horizontal_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """One flat strip of webbing lying on the load, a web's width wide."""

    sling: str
    face: Face
    middle_m: tuple[Vector, Vector]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A named point."""

    name: str
    at_m: Vector


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """Everything the three views show."""

    load: Solid
    beam: Solid | None
    legs: tuple[LegLine, ...]
    bands: tuple[Band, ...]
    hooks: tuple[Mark, ...]
    picks: tuple[Mark, ...]
    centre_m: Vector
    centre_box_m: tuple[Vector, ...]  # corners of where an unknown centre may lie; () when it is known
    protected: tuple[Mark, ...]
    stations: tuple[tuple[str, float], ...]  # slings round the load: (id, distance from the left end)
    axes: tuple[Vector, Vector, Vector]  # the load's length, width and height directions, as it hangs
    size_m: Vector  # its own length, width and height
    corner_m: Vector  # its left-front-bottom corner
    slack: bool

    @property
    def points_m(self) -> tuple[Vector, ...]:
        """Every point that must fall inside a view."""
        beam = self.beam.points_m if self.beam else ()
        ends = tuple(p for leg in self.legs for p in (leg.upper_m, leg.lower_m))
        hooks = tuple(h.at_m for h in self.hooks)
        return (*self.load.points_m, *beam, *ends, *hooks)


def take_picture(lift: Lift, offer: Offer, case: Case) -> Picture:
    """Put a lift, an offer and one of its solved cases into the world, tilted as the load hangs."""
    poses = {pose.name: _placer(pose) for pose in case.result.bodies}
    on_load = poses[LOAD]
    beam = None
    if offer.arrangement.beam is not None and BEAM in poses:
        beam = _moved(beam_solid(offer.arrangement.beam), poses[BEAM])
    body = next(b for b in case.problem.bodies if b.name == LOAD)
    centre = lift.load.centre
    box = () if centre.known else tuple(map(on_load, _corners(centre.low_m, centre.high_m)))
    bands = [
        band
        for sling, holding in zip(offer.slings, offer.arrangement.holdings, strict=True)
        if holding.round is not None
        for band in _bands(lift, sling.id, holding.round, holding.hitch, sling.spec.width_m, on_load)
    ]
    legs = _legs(offer, case, poses)
    origin = on_load((0.0, 0.0, 0.0))
    return Picture(
        load=_moved(load_solid(lift), on_load),
        beam=beam,
        legs=legs,
        bands=tuple(bands),
        hooks=_hooks(case),
        picks=tuple(
            Mark(name=h.pick, at_m=on_load(h.lower_m))
            for h in offer.arrangement.holdings
            if h.pick is not None and h.lower_m is not None
        ),
        centre_m=on_load(body.centre_of_gravity_m),
        centre_box_m=box,
        protected=_protected(lift, offer, on_load),
        stations=tuple((h.id, h.round.x_m) for h in offer.arrangement.holdings if h.round is not None),
        axes=tuple(_minus(on_load(e), origin) for e in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))),  # type: ignore[arg-type]  # three in, three out
        size_m=(lift.load.length_m, lift.load.width_m, lift.load.height_m),
        corner_m=origin,
        slack=any(leg.slack for leg in legs),
    )


def _placer(pose: BodyPose) -> Place:
    """World = origin + rotation @ own."""

    def place(own: Vector) -> Vector:
        x, y, z = (
            o + sum(r * v for r, v in zip(row, own, strict=True))
            for o, row in zip(pose.origin_m, pose.rotation, strict=True)
        )
        return (x, y, z)

    return place


def _moved(solid: Solid, place: Place) -> Solid:
    return Solid(
        faces=tuple(
            Face(corners_m=tuple(map(place, face.corners_m)), ruled=face.ruled) for face in solid.faces
        ),
        slabs=tuple(tuple(map(place, slab)) for slab in solid.slabs),
    )


def _legs(offer: Offer, case: Case, poses: dict[str, Place]) -> tuple[LegLine, ...]:
    lines = []
    for path, hang in zip(case.problem.paths, case.result.paths, strict=True):
        part = 0
        for a, b in pairwise(path.points):
            if a.on == b.on:
                continue  # lies on a body: drawn as a band, where it really runs
            ends = [p.at_m if p.on == WORLD else poses[p.on](p.at_m) for p in (a, b)]
            upper, lower = sorted(ends, key=lambda p: -p[2])
            lines.append(
                LegLine(
                    path=path.name,
                    part=part,
                    sling=offer.slings[path.sling].id,
                    upper_m=upper,
                    lower_m=lower,
                    tension_n=hang.tension_n,
                    slack=hang.slack,
                    angle_from_horizontal_deg=hang.angle_from_horizontal_deg,
                )
            )
            part += 1
    return tuple(lines)


def _hooks(case: Case) -> tuple[Mark, ...]:
    """Each world point once, numbered in the order of the problem."""
    found = dict.fromkeys(p.at_m for path in case.problem.paths for p in path.points if p.on == WORLD)
    return tuple(Mark(name=str(i), at_m=at) for i, at in enumerate(found, start=1))


def _protected(lift: Lift, offer: Offer, on_load: Place) -> tuple[Mark, ...]:
    """Where something lies between sling and load: each edge it turns over, or where it leaves a round."""
    marks = []
    for sling, holding in zip(offer.slings, offer.arrangement.holdings, strict=True):
        if sling.protection == "none" or holding.round is None:
            continue
        marks += [
            Mark(name=sling.id, at_m=on_load(p)) for p in _turned_over(lift, holding.round, holding.hitch)
        ]
    return tuple(marks)


def _turned_over(lift: Lift, way: Round, hitch: Hitch) -> list[Vector]:
    turns = way.turns_m
    if way.curved:
        return list(dict.fromkeys((turns[0], turns[-1])))
    if hitch is Hitch.CHOKER and lift.load.sections:  # its loop turns over every corner
        return [(way.x_m, y, z) for y, z in lift.load.section_at(way.x_m).points_m]
    return list(dict.fromkeys(turns))


def _bands(lift: Lift, sling: str, way: Round, hitch: Hitch, width_m: float, on_load: Place) -> list[Band]:
    """The strips of a sling that lie on the load; a choker's loop goes all the way round."""
    section = lift.load.section_at(way.x_m) if lift.load.sections else None
    line = _lies_along(way, section, loop=hitch is Hitch.CHOKER)
    half = width_m / 2
    bands = []
    for (y0, z0), (y1, z1) in pairwise(line):
        corners = [
            (way.x_m - half, y0, z0),
            (way.x_m + half, y0, z0),
            (way.x_m + half, y1, z1),
            (way.x_m - half, y1, z1),
        ]
        middle = on_load((way.x_m, y0, z0)), on_load((way.x_m, y1, z1))
        face = Face(corners_m=tuple(map(on_load, reversed(corners))))
        bands.append(Band(sling=sling, face=face, middle_m=middle))
    return bands


def _lies_along(way: Round, section: Section | None, *, loop: bool) -> list[tuple[float, float]]:
    """(y, z) along the load: turn to turn, or the true arc of a round section, anticlockwise."""
    turns = [(y, z) for _, y, z in way.turns_m]
    if loop and section is not None:
        ring = list(outline_ring(section))
        return [*ring, ring[0]]
    if section is None or section.radius_m is None or section.centre_yz_m is None:
        return turns
    cy, cz = section.centre_yz_m
    start, end = (math.atan2(z - cz, y - cy) for y, z in (turns[0], turns[-1]))
    return round_ring((cy, cz), section.radius_m, start, (end - start) % math.tau, _ARC_STEPS)


def _corners(low: Vector, high: Vector) -> list[Vector]:
    return [(x, y, z) for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])]


def _minus(a: Vector, b: Vector) -> Vector:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])
