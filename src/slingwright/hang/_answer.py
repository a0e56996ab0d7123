"""A solved sample's arrays as a `Hang`."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from slingwright.hang._flat import load_index
from slingwright.hang._kernel_dense import RANK
from slingwright.hang.batch import Out
from slingwright.hang.problem import WORLD, Path, Problem
from slingwright.hang.result import BodyPose, Hang, PathHang, Stability, Status, Support

__all__ = ["answer", "rank_of"]

Floats = NDArray[np.float64]
LEVEL = 1e-12  # sine of a tilt below which a low side has no meaning
NO_SEGMENT = 1e-12  # m
_STATUS = (Status.STABLE, Status.CAPSIZES, Status.UNREACHABLE)


def answer(
    problem: Problem, out: Out, place: Floats, margins: tuple[float, float, float], rank: int, row: int = 0
) -> Hang:
    """The `Hang` of a row of `out`, its points at `place`; `rank` of its taut paths pull independently."""
    load = load_index(problem)
    pose = out.pose[row]
    ux, uy = float(pose[load, 9]), float(pose[load, 10])
    rise, push, reach = margins
    status = _STATUS[out.status[row]]
    unreachable = status is Status.UNREACHABLE
    x = place.tolist()
    pulls = out.tension_n[row].tolist()
    free = _one_axis(problem, pulls)
    return Hang(
        status=status,
        determinate=sum(pull > 0.0 for pull in pulls) <= rank,  # statics alone fixes the tensions
        null_modes=("yaw",) * bool(free or out.spin[row]) + ("roll",) * bool(out.roll[row]),
        paths=_paths(problem, out.angle_deg[row].tolist(), x, pulls),
        bodies=tuple(_pose(problem, pose, b) for b in range(len(problem.bodies))),
        tilt_deg=float(out.tilt_deg[row]),
        tilt_direction_deg=None if math.hypot(ux, uy) <= LEVEL else math.degrees(math.atan2(-uy, -ux)),
        hook_above_cg_m=float(out.hook_above_cg_m[row]),
        supports=_supports(problem, x, pulls),
        stability=Stability(
            centre_may_rise_m=None if unreachable or math.isinf(rise) else float(rise),
            push_deg=None if status is not Status.STABLE or math.isinf(push) else float(push),
        ),
        # the search that decides the status is the sharper one
        reach_margin_m=min(float(reach), 0.0) if unreachable else max(float(reach), 0.0),
        residual=float(out.residual[row]),
    )


def _one_axis(problem: Problem, pulls: list[float]) -> bool:
    """Whether one vertical holds all world points that carry anything: then the heading is free."""
    held = {
        q.at_m: None
        for path, pull in zip(problem.paths, pulls, strict=True)
        if pull > 0.0
        for q in path.points
        if q.on == WORLD
    }
    if len(held) < 2:
        return True
    first, *others = held
    return all(abs(a[i] - first[i]) <= NO_SEGMENT for a in others for i in range(2))


def _pose(problem: Problem, pose: Floats, b: int) -> BodyPose:
    body = problem.bodies[b]
    c, r = pose[b, :3].tolist(), pose[b, 3:].tolist()
    g = body.centre_of_gravity_m
    rows = ((r[0], r[1], r[2]), (r[3], r[4], r[5]), (r[6], r[7], r[8]))
    x, y, z = (c[i] - (rows[i][0] * g[0] + rows[i][1] * g[1] + rows[i][2] * g[2]) for i in range(3))
    return BodyPose(name=body.name, origin_m=(x, y, z), rotation=rows)


def _rise(x: list[list[float]], q: int, into: int) -> float:
    """Steepness above the horizontal of the segment that rises from point `into` to point q [deg]."""
    u, v, w = (x[q][i] - x[into][i] for i in range(3))
    return math.degrees(math.atan2(w, math.hypot(u, v)))


def _paths(
    problem: Problem, angles_deg: list[float], x: list[list[float]], pulls: list[float]
) -> tuple[PathHang, ...]:
    answers, first = [], 0
    for path, pull, upper in zip(problem.paths, pulls, angles_deg, strict=True):
        lower = _lower(path, x, first)
        elastic = path.length_m if path.elastic_m is None else path.elastic_m
        answers.append(
            PathHang(
                name=path.name,
                tension_n=pull,
                slack=pull <= 0.0,
                angle_from_horizontal_deg=upper,
                angle_from_vertical_deg=90.0 - upper,
                lower_angle_from_horizontal_deg=lower,
                lower_angle_from_vertical_deg=None if lower is None else 90.0 - lower,
                stretch_m=pull * (path.strain_at_rated * elastic) / path.rated_n,
            )
        )
        first += len(path.points)
    return tuple(answers)


def _lower(path: Path, x: list[list[float]], first: int) -> float | None:
    """The angle at the other end, which differs on a path of more than two points."""
    if len(path.points) == 2:
        return None
    last = first + len(path.points) - 1
    swap = x[last][2] > x[first][2] + NO_SEGMENT
    other = _rise(x, first, first + 1) if swap else _rise(x, last, last - 1)
    # both ends held by the same thing: each rises to its own; else the lower end's part rises from it
    return other if path.points[0].on == path.points[-1].on else -other


def _supports(problem: Problem, x: list[list[float]], pulls: list[float]) -> tuple[Support, ...]:
    """What each distinct world point carries, in the order in which the paths name them."""
    force: dict[tuple[float, float, float], list[float]] = {}
    q = 0
    for path, pull in zip(problem.paths, pulls, strict=True):
        last = q + len(path.points) - 1
        for here, point in enumerate(path.points, q):
            if point.on == WORLD:
                total = force.setdefault(point.at_m, [0.0, 0.0, 0.0])
                if here > q:
                    _add_pull(total, pull, x[here], x[here - 1])
                if here < last:
                    _add_pull(total, pull, x[here], x[here + 1])
        q = last + 1
    return tuple(Support(at_m=at, force_n=(f[0], f[1], f[2])) for at, f in force.items())


def _add_pull(total: list[float], pull: float, at: list[float], to: list[float]) -> None:
    """Add the pull of a segment at one end towards the other."""
    u, v, w = to[0] - at[0], to[1] - at[1], to[2] - at[2]
    length = math.sqrt(u * u + v * v + w * w)
    if length > NO_SEGMENT:
        share = pull / length
        total[0] += share * u
        total[1] += share * v
        total[2] += share * w


def rank_of(problem: Problem, out: Out, slopes: Floats) -> int:
    """How many of the taut paths pull independently, from the paths' length gradients (P,n)."""
    taut = np.flatnonzero(out.tension_n[0] > 0.0)
    if not len(taut):
        return 0
    # one hook, straight legs: the moments follow from the forces' meeting there
    plain = len(problem.bodies) == 1 and all(len(p.points) == 2 for p in problem.paths)
    hooks = {q.at_m for p in problem.paths for q in p.points if q.on == WORLD}
    rows = slopes[taut, :3] if plain and len(hooks) == 1 else slopes[taut]
    values = np.linalg.svd(rows, compute_uv=False)
    return int((values > RANK * values[0]).sum())
