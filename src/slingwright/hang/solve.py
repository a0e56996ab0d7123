"""The front door of the statics: one problem in, its equilibrium out."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from slingwright.hang._flat import Flat, base_of, load_index
from slingwright.hang._kernel_batch import model_at, upper_end
from slingwright.hang._kernel_energy import Model, Work, new_work, path_gradient, place_points, stiffness
from slingwright.hang.batch import Out, Variations, run
from slingwright.hang.problem import Problem
from slingwright.hang.result import BodyPose, Hang, PathHang, Stability, Status, Support

__all__ = ["solve"]

Floats = NDArray[np.float64]
RANK = 0.05  # of the largest singular value (own study): tells determinate from indeterminate
LEVEL = 1e-12  # sine of a tilt below which a low side has no meaning
_STATUS = (Status.STABLE, Status.CAPSIZES, Status.UNREACHABLE)


def solve(problem: Problem) -> Hang:
    """Find how the load hangs: the stable equilibrium that it flows to from the upright pose.

    The problem must have been checked (`document.problem_from_document` does). Never returns a figure that
    has not converged.
    """
    flat, given, out = run(problem, Variations(), poses=True)
    if not out.todo[0]:
        _pose_from_hook(flat, out)
    work = new_work(len(flat.weight_n), len(flat.length_m), len(flat.on))
    arm, rest = np.empty_like(flat.point_m), np.empty_like(flat.length_m)
    model = model_at(
        base_of(flat), given.weight_n[0], given.centre_m[0], given.point_m[0], flat.lies_m, flat.lies_given,
        given.length_m[0], np.array([stiffness(given, 0, p) for p in range(len(rest))]), arm, rest,
    )  # fmt: skip
    place_points(model, out.c[0], out.turn[0], work)
    work.pull[:] = out.tension_n[0]
    return _hang(problem, model, work, out)


def _hang(problem: Problem, model: Model, work: Work, out: Out) -> Hang:
    load = load_index(problem)
    ux, uy, _ = out.turn[0, load, 2]
    level = math.hypot(ux, uy) <= LEVEL
    return Hang(
        status=_STATUS[out.status[0]],
        determinate=_determinate(model, work),
        null_modes=("yaw",) * bool(model.hooked or out.spin[0]) + ("roll",) * bool(out.roll[0]),
        paths=tuple(_path(problem, model, work, out, p) for p in range(len(problem.paths))),
        bodies=tuple(_pose(problem, out.c[0], out.turn[0], b) for b in range(len(problem.bodies))),
        tilt_deg=float(out.tilt_deg[0]),
        tilt_direction_deg=None if level else math.degrees(math.atan2(-uy, -ux)),
        hook_above_cg_m=float(out.hook_above_cg_m[0]),
        supports=_supports(problem, model, work),
        stability=Stability(centre_may_rise_m=None, push_deg=None),
        reach_margin_m=0.0,
        residual=float(out.residual[0]),
    )


def _pose_from_hook(flat: Flat, out: Out) -> None:
    """Stand the load under its hook: the least turn that brings the plumb line upright (the heading is free)."""
    x, y, z = out.h[0]
    rho = math.sqrt(x * x + y * y + z * z)
    x, y, z = x / rho, y / rho, z / rho
    f = 1.0 / (1.0 + z)
    out.turn[0, 0] = ((1.0 - f * x * x, -f * x * y, -x), (-f * x * y, 1.0 - f * y * y, -y), (x, y, z))
    hook = flat.point_m[flat.on < 0][0]
    out.c[0, 0] = (hook[0], hook[1], hook[2] - rho)


def _pose(problem: Problem, c: Floats, turn: Floats, b: int) -> BodyPose:
    r = turn[b]
    origin = c[b] - r @ np.array(problem.bodies[b].centre_of_gravity_m)
    rows = tuple((float(x), float(y), float(z)) for x, y, z in r)
    x, y, z = (float(v) for v in origin)
    return BodyPose(name=problem.bodies[b].name, origin_m=(x, y, z), rotation=(rows[0], rows[1], rows[2]))


def _rise(work: Work, q: int, into: int) -> float:
    """Angle of the segment from point q to its neighbour `into`, its steepness above the horizontal [deg]."""
    x, y, z = work.x[q] - work.x[into]
    return math.degrees(math.atan2(z, math.hypot(x, y)))


def _path(problem: Problem, model: Model, work: Work, out: Out, p: int) -> PathHang:
    path = problem.paths[p]
    upper, lower = float(out.angle_deg[0, p]), None
    if len(path.points) > 2:
        first, last = int(model.first[p]), int(model.first[p + 1]) - 1
        top, _ = upper_end(model, work.x, p)
        other = _rise(work, last, last - 1) if top == first else _rise(work, first, first + 1)
        # both ends on hooks: each rises to its own; else the lower end rises from the body below
        lower = other if path.points[0].on == path.points[-1].on else -other
    pull = float(out.tension_n[0, p])
    return PathHang(
        name=path.name, tension_n=pull, slack=pull <= 0.0, angle_from_horizontal_deg=upper,
        angle_from_vertical_deg=90.0 - upper, lower_angle_from_horizontal_deg=lower,
        lower_angle_from_vertical_deg=None if lower is None else 90.0 - lower,
        stretch_m=pull / float(model.stiff[p]),
    )  # fmt: skip


def _supports(problem: Problem, model: Model, work: Work) -> tuple[Support, ...]:
    """What each distinct world point carries, in the order in which the paths name them."""
    force: dict[tuple[float, float, float], Floats] = {}
    for q, point in enumerate(q for p in problem.paths for q in p.points):
        if point.on != "world":
            continue
        total = force.setdefault(point.at_m, np.zeros(3))
        p = int(np.searchsorted(model.first, q, side="right")) - 1
        for other in (q - 1, q + 1):
            if model.first[p] <= other < model.first[p + 1]:
                d = work.x[other] - work.x[q]
                length = math.sqrt(float(d @ d))
                if length > 1e-12:
                    total += work.pull[p] * d / length
    return tuple(Support(at_m=at, force_n=(float(f[0]), float(f[1]), float(f[2]))) for at, f in force.items())


def _determinate(model: Model, work: Work) -> bool:
    """Whether statics alone fixes the tensions: the taut paths' unit pulls are independent (rank tolerance 0.05)."""
    rows = []
    plain = model.hooked == 1 and len(model.weight) == 1
    for p in range(len(model.rest)):
        if work.pull[p] > 0.0:
            path_gradient(model, work, p)
            # one hook: the moment follows from the forces' meeting there
            rows.append((work.j[:3] if plain else work.j).copy())
    if not rows:
        return True
    values = np.linalg.svd(np.array(rows), compute_uv=False)
    return len(rows) <= int((values > RANK * values[0]).sum())
