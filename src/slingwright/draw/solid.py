"""The load and the beam as faces in space, each body in its own coordinates."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from slingwright.lift.model import Beam, Lift, Load, Section

__all__ = ["Face", "Solid", "beam_solid", "convex_outline", "load_solid", "outline_ring", "round_ring"]

Vector = tuple[float, float, float]
Point = tuple[float, float]

_ROUND_STEPS = 48
_SMOOTH_FROM = 12  # more corners or sections are drawn smooth, without a line at each
_THIN_BEAM_M = 0.1  # a beam of no stated depth is drawn this deep, so that it can be seen


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """A flat face with its corners in order, outward normal by the right hand; `ruled` = edges drawn."""

    corners_m: tuple[Vector, ...]
    ruled: bool = True

    @property
    def normal(self) -> Vector:
        """Outward normal, any length (Newell's sum, so that warped faces have one too)."""
        n = [0.0, 0.0, 0.0]
        ring = self.corners_m
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
            n[0] += (a[1] - b[1]) * (a[2] + b[2])
            n[1] += (a[2] - b[2]) * (a[0] + b[0])
            n[2] += (a[0] - b[0]) * (a[1] + b[1])
        return (n[0], n[1], n[2])


@dataclass(frozen=True, slots=True, kw_only=True)
class Solid:
    """A body's faces, and the slabs (convex pieces) whose union is its outline."""

    faces: tuple[Face, ...]
    slabs: tuple[tuple[Vector, ...], ...]

    @property
    def points_m(self) -> tuple[Vector, ...]:
        """All corners."""
        return tuple(p for slab in self.slabs for p in slab)


def load_solid(lift: Lift) -> Solid:
    """The load from its sections along x, the end ones carried on to its ends."""
    load = lift.load
    stations = _stations(load)
    rings = [tuple((x, y, z) for y, z in ring) for x, ring in stations]
    smooth = max(len(rings), *(len(r) for r in rings)) > _SMOOTH_FROM
    faces = [Face(corners_m=rings[0][::-1]), Face(corners_m=rings[-1])]
    for near, far in pairwise(rings):
        if len(near) != len(far):
            continue
        for i in range(len(near)):
            j = (i + 1) % len(near)
            faces.append(Face(corners_m=(near[i], near[j], far[j], far[i]), ruled=not smooth))
    return Solid(faces=tuple(faces), slabs=tuple(a + b for a, b in pairwise(rings)))


def beam_solid(beam: Beam) -> Solid:
    """The spreader beam: its span between lugs, its depth, in its own coordinates about its middle."""
    half = beam.span_m / 2
    deep = (beam.depth_m or _THIN_BEAM_M) / 2
    ring = ((-deep, -deep), (deep, -deep), (deep, deep), (-deep, deep))
    near = tuple((-half - deep, y, z) for y, z in ring)
    far = tuple((half + deep, y, z) for y, z in ring)
    sides = [Face(corners_m=(near[i], near[(i + 1) % 4], far[(i + 1) % 4], far[i])) for i in range(len(ring))]
    faces = (Face(corners_m=near[::-1]), Face(corners_m=far), *sides)
    return Solid(faces=faces, slabs=(near + far,))


def round_ring(
    centre_yz: Point, radius_m: float, start_rad: float, sweep_rad: float, steps: int
) -> list[Point]:
    """Points along an arc, both ends in it."""
    cy, cz = centre_yz
    angles = (start_rad + sweep_rad * i / steps for i in range(steps + 1))
    return [(cy + radius_m * math.cos(a), cz + radius_m * math.sin(a)) for a in angles]


def outline_ring(section: Section) -> tuple[Point, ...]:
    """A section's outline anticlockwise; a round one as a fine polygon."""
    if section.radius_m is not None and section.centre_yz_m is not None:
        ring = round_ring(section.centre_yz_m, section.radius_m, 0.0, math.tau, _ROUND_STEPS)
        return tuple(ring[:-1])
    return section.points_m


def convex_outline(points: list[Point]) -> list[Point]:
    """The convex hull of points on the sheet (monotone chain)."""
    ordered = sorted(set(points))
    if len(ordered) <= 2:
        return ordered

    def chain(run: list[Point]) -> list[Point]:
        kept: list[Point] = []
        for p in run:
            while len(kept) > 1 and _turn(kept[-2], kept[-1], p) <= 0:
                kept.pop()
            kept.append(p)
        return kept[:-1]

    return chain(ordered) + chain(ordered[::-1])


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _stations(load: Load) -> list[tuple[float, tuple[Point, ...]]]:
    """Outlines along x from end to end: the first and last section reach the load's ends."""
    sections = sorted(load.sections, key=lambda s: s.x_m)
    if not sections:
        w, h = load.width_m, load.height_m
        ring: tuple[Point, ...] = ((0.0, 0.0), (w, 0.0), (w, h), (0.0, h))
        return [(0.0, ring), (load.length_m, ring)]
    rings = [(s.x_m, outline_ring(s)) for s in sections]
    if rings[0][0] > 0:
        rings.insert(0, (0.0, rings[0][1]))
    if rings[-1][0] < load.length_m:
        rings.append((load.length_m, rings[-1][1]))
    # a section like both its neighbours is no edge of the load: no line is drawn there
    inner = [b for a, b, c in zip(rings, rings[1:], rings[2:], strict=False) if not a[1] == b[1] == c[1]]
    return [rings[0], *inner, rings[-1]]
