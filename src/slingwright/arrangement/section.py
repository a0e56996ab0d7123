"""The taut string round a convex section: where a sling leaves the load, what lies on it, how far it turns.

A basket's path is the taut string round the convex section (PRACTICE): off a box it leaves at the top
corners. All in the section's plane (y across, z up); the lean along the load is added in three dimensions.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from slingwright.lift.model import Section

__all__ = ["TautString", "perimeter", "taut_string", "top_of"]

Point2 = tuple[float, float]
_ARC_STEPS = 6  # points drawn along the arc of a round section; only a drawing needs them


@dataclass(frozen=True, slots=True, kw_only=True)
class TautString:
    """Contact points from the left leaving point (small y) round the underside to the right one.

    `lies_m` is the length between the leaving points along the section, `contact_rad` the angle turned.
    """

    turns_m: tuple[Point2, ...]
    lies_m: float
    contact_rad: float


def perimeter(section: Section) -> float:
    """Length of one turn round the section [m]."""
    if section.radius_m is not None:
        return 2 * math.pi * section.radius_m
    ring = section.points_m
    return sum(math.dist(a, b) for a, b in zip(ring, ring[1:] + ring[:1], strict=True))


def top_of(section: Section, y_m: float) -> float:
    """Height of the section's upper surface at `y_m` (clamped to its breadth) [m]."""
    if section.radius_m is not None and section.centre_yz_m is not None:
        cy, cz = section.centre_yz_m
        across = min(abs(y_m - cy), section.radius_m)
        return cz + math.sqrt(section.radius_m**2 - across**2)
    ring = section.points_m
    y = min(max(y_m, min(p[0] for p in ring)), max(p[0] for p in ring))
    best = -math.inf
    for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
        low, high = min(a[0], b[0]), max(a[0], b[0])
        if low <= y <= high:
            share = 0.0 if a[0] == b[0] else (y - a[0]) / (b[0] - a[0])
            best = max(best, max(a[1], b[1]) if a[0] == b[0] else a[1] + share * (b[1] - a[1]))
    return best


def taut_string(section: Section, hook_yz_m: Point2) -> TautString:
    """The taut string from a hook above, round the section's underside and back to the hook.

    Parameters
    ----------
    section : Section
        Convex section, or a round one.
    hook_yz_m : tuple of float
        Where the hook stands in the section's plane [m]; must lie above and outside the section.

    Returns
    -------
    TautString

    Raises
    ------
    ValueError
        If the hook is not outside the section.
    """
    if section.radius_m is not None and section.centre_yz_m is not None:
        return _round(section.centre_yz_m, section.radius_m, hook_yz_m)
    return _polygon(section.points_m, hook_yz_m)


def _round(centre: Point2, radius: float, hook: Point2) -> TautString:
    dy, dz = hook[0] - centre[0], hook[1] - centre[1]
    far = math.hypot(dy, dz)
    if far <= radius:
        msg = "the hook is inside the section"
        raise ValueError(msg)
    half = math.acos(radius / far)  # angle at the centre between the hook and a leaving point
    to_hook = math.atan2(dz, dy)
    left = to_hook + half
    sweep = 2 * math.pi - 2 * half
    angles = (left + sweep * i / _ARC_STEPS for i in range(_ARC_STEPS + 1))
    turns = tuple((centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles)
    return TautString(turns_m=turns, lies_m=radius * sweep, contact_rad=sweep)


def _polygon(ring: tuple[Point2, ...], hook: Point2) -> TautString:
    """The tangent points are the vertices with the extreme directions seen from the hook."""
    if _inside(ring, hook):
        msg = "the hook is inside the section"
        raise ValueError(msg)
    centre = (sum(p[0] for p in ring) / len(ring), sum(p[1] for p in ring) / len(ring))
    base = math.atan2(centre[1] - hook[1], centre[0] - hook[0])

    def bearing(p: Point2) -> float:
        """Angle of p seen from the hook, from the direction of the section's middle, anticlockwise."""
        return math.remainder(math.atan2(p[1] - hook[1], p[0] - hook[0]) - base, 2 * math.pi)

    # seen from above, anticlockwise is towards larger y; ties go to the nearer point, which is touched first
    key = [(round(bearing(p), 12), -math.dist(p, hook)) for p in ring]
    left = min(range(len(ring)), key=lambda i: (key[i][0], -key[i][1]))
    right = max(range(len(ring)), key=lambda i: key[i])
    turns = [ring[left]]
    i = left
    while i != right:
        i = (i + 1) % len(ring)  # the ring runs anticlockwise: from the left leaving point it goes under
        turns.append(ring[i])
    lies = sum(math.dist(a, b) for a, b in pairwise(turns))
    path = [hook, *turns, hook]
    contact = sum(_turn(path[j - 1], path[j], path[j + 1]) for j in range(1, len(path) - 1))
    return TautString(turns_m=tuple(turns), lies_m=lies, contact_rad=contact)


def _turn(a: Point2, b: Point2, c: Point2) -> float:
    """How far the path turns at b [rad]."""
    into, out = math.atan2(b[1] - a[1], b[0] - a[0]), math.atan2(c[1] - b[1], c[0] - b[0])
    return abs(math.remainder(out - into, 2 * math.pi))


def _inside(ring: tuple[Point2, ...], p: Point2) -> bool:
    for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
        if (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) < 0:
            return False
    return True
