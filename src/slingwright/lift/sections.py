"""Cross-sections of a load along its length: what a sling goes round, always convex.

A taut sling bridges hollows, so every outline is taken as its convex hull.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from slingwright.lift.assumptions import HullForm
from slingwright.lift.model import Section

__all__ = ["box_section", "convex_hull", "hull_sections", "round_section"]

YZ = tuple[float, float]


def convex_hull(points: Iterable[YZ]) -> tuple[YZ, ...]:
    """Convex hull of points (y, z) [m], anticlockwise from the lowest leftmost; no three in a line.

    Fewer than three points come back where all lie in one line (Andrew's monotone chain).
    """
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return tuple(ordered)
    lower = _chain(ordered)
    upper = _chain(ordered[::-1])
    return tuple(lower[:-1] + upper[:-1])


def _chain(ordered: Sequence[YZ]) -> list[YZ]:
    chain: list[YZ] = []
    for point in ordered:
        while len(chain) > 1 and _turn(chain[-2], chain[-1], point) <= 0:
            chain.pop()
        chain.append(point)
    return chain


def _turn(a: YZ, b: YZ, c: YZ) -> float:
    """Above zero where a-b-c turns left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def box_section(x_m: float, width_m: float, height_m: float) -> Section:
    """Rectangle with its lower left corner in the origin."""
    points = ((0.0, 0.0), (width_m, 0.0), (width_m, height_m), (0.0, height_m))
    return Section(x_m=x_m, points_m=points)


def round_section(x_m: float, diameter_m: float, *, drawn_points: int) -> Section:
    """Circle that touches y = 0 and z = 0; its polygon is for drawing only."""
    radius = diameter_m / 2
    turns = (2 * math.pi * i / drawn_points for i in range(drawn_points))
    points = tuple((radius + radius * math.cos(t), radius + radius * math.sin(t)) for t in turns)
    return Section(x_m=x_m, points_m=points, radius_m=radius, centre_yz_m=(radius, radius))


def hull_sections(length_m: float, width_m: float, height_m: float, *, form: HullForm) -> tuple[Section, ...]:
    """The tool's own hull where none is given: flat narrow keel, straight turn to upright sides."""
    middle = width_m / 2
    bilge_m = form.bilge * height_m
    found = []
    for share, beam in zip(form.x, form.beam, strict=True):
        half = beam * middle
        keel = form.keel * half
        outline = (
            (middle - keel, 0.0),
            (middle + keel, 0.0),
            (middle + half, bilge_m),
            (middle + half, height_m),
            (middle - half, height_m),
            (middle - half, bilge_m),
        )
        found.append(Section(x_m=share * length_m, points_m=outline))
    return tuple(found)
