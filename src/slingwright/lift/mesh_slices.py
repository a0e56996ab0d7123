"""Cross-sections of a mesh: the convex hull of everything within each slice along its length."""

from __future__ import annotations

from typing import Any

from slingwright.lift.assumptions import assumptions
from slingwright.lift.model import Section
from slingwright.lift.sections import YZ, convex_hull

__all__ = ["mesh_sections"]

_COARSE = 8  # directions of the first look, which many points are given
_MANY = 2_000


def mesh_sections(vertices: Any, edges: Any) -> tuple[Section, ...]:
    """Hulls of the slices of a mesh along x, one in the middle of each.

    A slice's hull holds all of the mesh between its two planes, so a section is never smaller than the
    mesh anywhere in it. Slices in which the mesh has no area are left out.

    Parameters
    ----------
    vertices
        Points, shape (n, 3) [m], the least x at 0.
    edges
        Index pairs, shape (m, 2).
    """
    import numpy as np

    limits = assumptions().mesh
    planes = np.linspace(0.0, vertices[:, 0].max(), limits.slices + 1)
    ends_x = vertices[edges, 0]
    cuts = [_outer(_cut(vertices, edges, ends_x, x)) for x in planes]
    found = []
    for i in range(limits.slices):
        low, high = planes[i], planes[i + 1]
        inside = vertices[(vertices[:, 0] >= low) & (vertices[:, 0] <= high), 1:]
        hull = _hull(np.concatenate([inside, cuts[i], cuts[i + 1]]), limits.directions)
        if len(hull) >= 3:
            found.append(Section(x_m=float((low + high) / 2), points_m=hull))
    return tuple(found)


def _cut(vertices: Any, edges: Any, ends_x: Any, x: float) -> Any:
    """Points (y, z) where edges cross the plane at x."""
    crossing = (ends_x[:, 0] - x) * (ends_x[:, 1] - x) < 0
    first, last = vertices[edges[crossing, 0]], vertices[edges[crossing, 1]]
    share = (x - first[:, 0]) / (last[:, 0] - first[:, 0])
    return (first + share[:, None] * (last - first))[:, 1:]


def _hull(points: Any, directions: int) -> tuple[YZ, ...]:
    """Convex hull; of many points, through those farthest out in evenly spread directions."""
    points = _outer(points)
    if len(points) > 10 * directions:
        points = points[sorted(set(_farthest(points, directions)))]
    return convex_hull((float(y), float(z)) for y, z in points)


def _outer(points: Any) -> Any:
    """Of many points, those not inside the polygon of a few that are farthest out: all that a hull needs."""
    import numpy as np

    if len(points) < _MANY:
        return points
    corners = points[_farthest(points, _COARSE)]
    y, z = np.ascontiguousarray(points.T)
    inside = np.ones(len(points), dtype=bool)
    for (y0, z0), (y1, z1) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        if (y0, z0) != (y1, z1):  # else it is no edge
            inside &= (y1 - y0) * z - (z1 - z0) * y > (y1 - y0) * z0 - (z1 - z0) * y0
    return points[~inside]


def _farthest(points: Any, directions: int) -> list[int]:
    import numpy as np

    y, z = np.ascontiguousarray(points.T)  # a product of so few columns takes ten times as long
    turns = 2 * np.pi * np.arange(directions) / directions
    return [int(np.argmax(np.cos(t) * y + np.sin(t) * z)) for t in turns]
