"""What is read off a solved hang for the checks: where each path pulls, how it leans, what each hook sees."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from slingwright.hang.problem import WORLD, Path, Point, Problem
from slingwright.hang.result import BodyPose, Hang

__all__ = [
    "PathReading",
    "hook_angles",
    "included_angle_deg",
    "lowest_corner_m",
    "read_paths",
    "upper_in_load",
    "world_point",
]

Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class PathReading:
    """One straight end of a path in the hanging pose.

    `up` points from the load (or beam) to the upper end, a unit vector in the world; `up_own` the same in
    the lower body's own axes, so that a lug's lean is measured from the lug. `vertical_n` is what it lifts.
    """

    name: str
    sling: int
    hook: Vector | None  # the world point it hangs on, None = on the beam
    tension_n: float
    slack: bool
    up: Vector
    up_own: Vector
    vertical_n: float

    @property
    def angle_from_horizontal_deg(self) -> float:
        """Lean in the hanging pose."""
        return math.degrees(math.asin(max(-1.0, min(1.0, self.up[2]))))

    @property
    def lean_from_own_vertical_deg(self) -> float:
        """Lean from the lower body's own vertical (what a lug feels)."""
        return math.degrees(math.acos(max(-1.0, min(1.0, self.up_own[2]))))

    @property
    def angle_along_deg(self) -> float:
        """Angle from horizontal seen along the load (its x axis in the picture)."""
        return math.degrees(math.atan2(self.up_own[2], abs(self.up_own[0])))


def world_point(point: Point, poses: dict[str, BodyPose]) -> Vector:
    """Where a path's point is in the world, in the hanging pose."""
    if point.on == WORLD:
        return point.at_m
    pose = poses[point.on]
    x, y, z = point.at_m
    a, b, c = pose.rotation
    o = pose.origin_m
    return (
        o[0] + a[0] * x + a[1] * y + a[2] * z,
        o[1] + b[0] * x + b[1] * y + b[2] * z,
        o[2] + c[0] * x + c[1] * y + c[2] * z,
    )


def upper_in_load(problem: Problem, hang: Hang, load: str) -> dict[int, Vector]:
    """For each sling the place of its upper end in the load's own coordinates, hanging [m]."""
    poses = {b.name: b for b in hang.bodies}
    pose = poses[load]
    rows, o = pose.rotation, pose.origin_m
    out = {}
    for path in problem.paths:
        w = world_point(path.points[0], poses)
        d = (w[0] - o[0], w[1] - o[1], w[2] - o[2])
        x, y, z = (rows[0][i] * d[0] + rows[1][i] * d[1] + rows[2][i] * d[2] for i in range(3))
        out[path.sling] = (x, y, z)
    return out


def read_paths(problem: Problem, hang: Hang) -> tuple[PathReading, ...]:
    """One reading for each straight end: two for a path that renders (its both sides), else one."""
    poses = {b.name: b for b in hang.bodies}
    out: list[PathReading] = []
    for path, result in zip(problem.paths, hang.paths, strict=True):
        for upper, lower in _ends(path):
            out.append(_read(path, upper, lower, poses, tension_n=result.tension_n, slack=result.slack))
    return tuple(out)


def _ends(path: Path) -> tuple[tuple[Point, Point], ...]:
    points = path.points
    if len(points) == 2:  # a straight leg has one end to read
        return ((points[0], points[1]),)
    return ((points[0], points[1]), (points[-1], points[-2]))


def _read(
    path: Path, upper: Point, lower: Point, poses: dict[str, BodyPose], *, tension_n: float, slack: bool
) -> PathReading:
    top, low = world_point(upper, poses), world_point(lower, poses)
    across = (top[0] - low[0], top[1] - low[1], top[2] - low[2])
    far = math.hypot(*across)
    up = (across[0] / far, across[1] / far, across[2] / far)
    rows = poses[lower.on].rotation
    own = (
        rows[0][0] * up[0] + rows[1][0] * up[1] + rows[2][0] * up[2],
        rows[0][1] * up[0] + rows[1][1] * up[1] + rows[2][1] * up[2],
        rows[0][2] * up[0] + rows[1][2] * up[1] + rows[2][2] * up[2],
    )
    return PathReading(
        name=path.name,
        sling=path.sling,
        hook=upper.at_m if upper.on == WORLD else None,
        tension_n=tension_n,
        slack=slack,
        up=up,
        up_own=own,
        vertical_n=tension_n * up[2],
    )


def included_angle_deg(readings: Iterable[PathReading]) -> float:
    """Largest angle between any two loaded ends on one hook [deg]; 0 with fewer than two."""
    loaded = [r.up for r in readings if not r.slack]
    worst = 0.0
    for i, a in enumerate(loaded):
        for b in loaded[i + 1 :]:
            dot = max(-1.0, min(1.0, a[0] * b[0] + a[1] * b[1] + a[2] * b[2]))
            worst = max(worst, math.degrees(math.acos(dot)))
    return worst


def hook_angles(hang: Hang) -> dict[Vector, float]:
    """Lean from vertical of what each world point carries [deg] (a hook's side pull)."""
    out = {}
    for support in hang.supports:
        across = math.hypot(support.force_n[0], support.force_n[1])
        out[support.at_m] = math.degrees(math.atan2(across, abs(support.force_n[2])))
    return out


def lowest_corner_m(hang: Hang, body: str, extents_m: Vector) -> float:
    """Height of the lowest corner of the body's box in the world, hanging [m]."""
    pose = next(b for b in hang.bodies if b.name == body)
    row = pose.rotation[2]
    return pose.origin_m[2] + sum(min(0.0, row[i] * extents_m[i]) for i in range(3))
