"""What a hang problem must be to make sense, beyond the range of each figure."""

from __future__ import annotations

import math

from slingwright.hang._limits import LENGTH_LEAST_M, STRETCH_LEAST, STRETCH_MOST
from slingwright.hang._read import Reader
from slingwright.hang.problem import WORLD, Body, Path, Point, Problem

__all__ = ["check_problem"]

Vector = tuple[float, float, float]


def check_problem(problem: Problem, pre: str, read: Reader) -> None:
    """Note every fault of a problem whose figures are each in range."""
    names = [b.name for b in problem.bodies]
    for i, name in enumerate(names):
        if name == WORLD:
            read.fault(
                f"{pre}bodies[{i}].name", '"world" is what does not move', "give the body another name"
            )
        elif name in names[:i]:
            read.fault(f"{pre}bodies[{i}].name", f'a second body is named "{name}"', "names must differ")
    before = len(read.faults)
    for i, path in enumerate(problem.paths):
        _check_points(path, f"{pre}paths[{i}]", names, read)
    if len(read.faults) > before:
        return
    for i, path in enumerate(problem.paths):
        _check_place(problem, path, f"{pre}paths[{i}]", read)
        _check_stretch(problem, path, f"{pre}paths[{i}]", read)
        _check_lies(path, f"{pre}paths[{i}]", read)
    _check_held(problem, pre, read)


def _check_points(path: Path, field: str, names: list[str], read: Reader) -> None:
    for k, point in enumerate(path.points):
        if point.on != WORLD and point.on not in names:
            read.fault(
                f"{field}.points[{k}].on",
                f'there is no body "{point.on}"',
                f"one of: {', '.join([WORLD, *names])}",
            )
    for k, (a, b) in enumerate(zip(path.points, path.points[1:], strict=False)):
        if a == b:
            read.fault(
                f"{field}.points[{k + 1}]", "coincides with the point before it", "leave one of them out"
            )
    if len({q.on for q in path.points}) == 1:
        read.fault(
            f"{field}.points", "lie all on one thing", "a path must join two bodies, or a body and the world"
        )


def _placed(point: Point, bodies: dict[str, Body]) -> Vector:
    """Where the point stands in the world before the lift."""
    if point.on == WORLD:
        return point.at_m
    x, y, z = (a + s for a, s in zip(point.at_m, bodies[point.on].start_m, strict=True))
    return (x, y, z)


def _check_place(problem: Problem, path: Path, field: str, read: Reader) -> None:
    """A pick above its hook hangs on nothing.

    With `hook_m` (the short form) the load's height before the lift means nothing, so that only a leg whose
    pick stands above the hook by more than the leg's length, or a load with all picks above, is refused.
    """
    bodies = {b.name: b for b in problem.bodies}
    ends = [q for q in (path.points[0], path.points[-1]) if q.on == WORLD]
    picks = [q for q in path.points if q.on != WORLD]
    if problem.hook_m is None:
        for a, b in zip(path.points, path.points[1:], strict=False):
            if a.on != b.on and _placed(a, bodies) == _placed(b, bodies):
                read.fault(field, "two of its points coincide before the lift", "check at_m and start_m")
                return
    if not ends or not picks:
        return
    over = max(_placed(q, bodies)[2] for q in picks) - min(q.at_m[2] for q in ends)
    allowed = 0.0 if problem.hook_m is None or _all_above(problem) else path.length_m
    if over > allowed:
        read.fault(field, f"a pick stands {over:.3g} m above its hook", "the hook must be above; z points up")


def _all_above(problem: Problem) -> bool:
    bodies = {b.name: b for b in problem.bodies}
    for path in problem.paths:
        tops = [q.at_m[2] for q in path.points if q.on == WORLD]
        lows = [_placed(q, bodies)[2] for q in path.points if q.on != WORLD]
        if tops and lows and max(lows) <= min(tops):
            return False
    return True


def _check_stretch(problem: Problem, path: Path, field: str, read: Reader) -> None:
    """Weight, rated load and stretch must be of one world."""
    weight = sum(b.weight_n for b in problem.bodies)
    elastic = path.length_m if path.elastic_m is None else path.elastic_m
    share = weight / path.rated_n * path.strain_at_rated * elastic / path.length_m
    if share > STRETCH_MOST:
        problem_text = f"would stretch to {share + 1:.0f} times its length if it held the load alone"
        read.fault(f"{field}.rated_n", problem_text, "check that weight_n and rated_n are both in newtons")
    elif share < STRETCH_LEAST:
        read.fault(
            f"{field}.rated_n",
            "is so stiff for this weight that its stretch is lost in rounding",
            "check that weight_n and rated_n are both in newtons, and strain_at_rated",
        )


def _check_lies(path: Path, field: str, read: Reader) -> None:
    """Something of the path must be left to reach from body to body."""
    lies = 0.0 if path.lies_m is None else path.lies_m
    if path.lies_m is None:
        lies = sum(
            math.dist(a.at_m, b.at_m)
            for a, b in zip(path.points, path.points[1:], strict=False)
            if a.on == b.on and a.on != WORLD
        )
    if path.length_m - lies < LENGTH_LEAST_M:
        read.fault(
            f"{field}.length_m",
            f"{path.length_m:g} m is no longer than the {lies:g} m that lie on the body",
            "length_m runs from end to end, what lies on bodies included",
        )


def _check_held(problem: Problem, pre: str, read: Reader) -> None:
    """Every body must hang, through others or not, on the world."""
    held = {WORLD}
    while True:
        more = {q.on for p in problem.paths if held & {r.on for r in p.points} for q in p.points} - held
        if not more:
            break
        held |= more
    for i, body in enumerate(problem.bodies):
        if body.name not in held:
            read.fault(
                f"{pre}bodies[{i}]", f'"{body.name}" hangs on nothing', "join it to the world by paths"
            )
