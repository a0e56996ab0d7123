"""Many variations of one problem, each solved on its own figures alone.

A sample's figures are bit-equal alone (`solve(problem_of_sample(...))`), in any batch, in any order, on one
thread or two.
"""

from __future__ import annotations

import os
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from slingwright.errors import fail
from slingwright.hang import _kernel_search as search
from slingwright.hang._flat import Flat, base_of, flatten, hanging_order, hook_height, load_index
from slingwright.hang._kernel_batch import run_general
from slingwright.hang._kernel_bodies import new_room, run_bodies
from slingwright.hang._kernel_energy import Model, new_work
from slingwright.hang._kernel_hook import LANES, LEG_ROWS, ROWS, run_hook
from slingwright.hang.problem import Body, Path, Point, Problem

__all__ = ["Batch", "Variations", "problem_of_sample", "ready", "solve_many", "solve_near", "solve_ready"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
_ALL = np.ones(1, dtype=np.bool_)
_VARIED = ("weight_n", "centre_m", "point_m", "length_m", "strain")  # inputs with a row a sample, or one
_CHUNK = 4096  # samples a task: large enough that handing out costs nothing, small enough to share evenly


@dataclass(frozen=True, slots=True, kw_only=True)
class Variations:
    """What differs from sample to sample; None = as the problem says. All arrays have S rows.

    Attributes
    ----------
    weight_n : (S, B) N, weight of each body.
    centre_of_gravity_m : (S, B, 3) m, in each body's own coordinates.
    length_m : (S, P) m, unstretched length. What stretches follows: where the path's `elastic_m` is None it
        equals the new length, else it changes by the same difference.
    strain_at_rated : (S, P), strain at the rated load (leg-to-leg stiffness).
    points_m : (S, Q, 3) m, added to the points of the paths, path after path.
    """

    weight_n: Floats | None = None
    centre_of_gravity_m: Floats | None = None
    length_m: Floats | None = None
    strain_at_rated: Floats | None = None
    points_m: Floats | None = None

    def count(self) -> int:
        """Number of samples S; 1 where nothing varies."""
        sizes = {len(a) for a in (getattr(self, f) for f in self.__dataclass_fields__) if a is not None}
        if len(sizes) > 1:
            msg = f"variations of different length: {sorted(sizes)}"
            raise ValueError(msg)
        return sizes.pop() if sizes else 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """Answers of `solve_many`, one row a sample. `status`: 0 stable, 1 capsizes, 2 unreachable."""

    status: NDArray[np.int8]
    tension_n: Floats  # (S, P)
    slack: Bools  # (S, P)
    angle_from_horizontal_deg: Floats  # (S, P) at the upper end
    tilt_deg: Floats  # (S,)
    hook_above_cg_m: Floats  # (S,)
    up: Floats  # (S, 3) what is up, in the load's own coordinates: a unit vector
    # (S, B, 12) centre of gravity and rotation in the world, row by row; where none is kept, no rows
    pose: Floats = field(default_factory=lambda: np.empty((0, 0, 12)))


class Out(NamedTuple):
    """Where the kernels write; rows are samples. The poses are kept (else empty) for a single solve only."""

    todo: Bools  # the careful search must answer
    status: NDArray[np.int8]
    residual: Floats
    tilt_deg: Floats
    hook_above_cg_m: Floats
    up: Floats  # (S,3) world's up in the load's coordinates
    tension_n: Floats
    angle_deg: Floats
    roll: Bools
    spin: Bools
    h: Floats  # (S,3) hook from the centre of gravity, load coordinates: the answer where not todo
    pose: Floats  # (S,B,12) centre of gravity and rotation, where todo


class Inputs(NamedTuple):
    """A problem's figures with a leading axis of samples (length 1 where a figure does not vary)."""

    weight_n: Floats
    centre_m: Floats
    point_m: Floats
    length_m: Floats
    strain: Floats
    rated_n: Floats  # (P,)
    own_m: Floats  # (P,) the problem's own length_m
    elastic_m: Floats  # (P,)
    elastic_given: Bools  # (P,)


def _inputs(flat: Flat, v: Variations) -> Inputs:
    def rows(given: Floats | None, base: Floats) -> Floats:
        a = base[None] if given is None else np.ascontiguousarray(given, dtype=np.float64)
        if a.shape[1:] != base.shape:
            msg = f"variations of shape {a.shape} do not fit figures of shape {base.shape}"
            raise ValueError(msg)
        return a

    point = flat.point_m[None] if v.points_m is None else flat.point_m + rows(v.points_m, flat.point_m)
    return Inputs(
        rows(v.weight_n, flat.weight_n), rows(v.centre_of_gravity_m, flat.centre_m), point,
        rows(v.length_m, flat.length_m), rows(v.strain_at_rated, flat.strain), flat.rated_n, flat.length_m,
        flat.elastic_m, flat.elastic_given,
    )  # fmt: skip


def figures_at(given: Inputs, at: NDArray[np.int64] | slice) -> Inputs:
    """The figures of some samples."""
    varied = {name: getattr(given, name) for name in _VARIED}
    return given._replace(**{name: a[at] for name, a in varied.items() if len(a) > 1})


def new_out(samples: int, bodies: int, paths: int, poses: bool) -> Out:
    e = np.empty
    kept = samples if poses else 0
    return Out(
        todo=np.ones(samples, np.bool_), status=e(samples, np.int8), residual=e(samples), tilt_deg=e(samples),
        hook_above_cg_m=e(samples), up=e((samples, 3)), tension_n=e((samples, paths)),
        angle_deg=e((samples, paths)),
        roll=np.zeros(kept, np.bool_), spin=np.zeros(kept, np.bool_), h=e((kept, 3)),
        pose=e((kept, bodies, 12)),
    )  # fmt: skip


def one_hook_of(flat: Flat, given: Inputs) -> tuple[NDArray[np.int64], Bools] | None:
    """Each leg's point on the load, and which samples have one hook: where the quick kernel can answer."""
    if len(flat.weight_n) > 1 or len(flat.on) != 2 * len(flat.length_m):
        return None
    on = flat.on.tolist()
    picks = np.array([q for q, b in enumerate(on) if b >= 0], np.int64)
    if len(given.point_m) == 1:  # a solve alone: plain figures are quicker than arrays
        first, *others = (at for at, b in zip(given.point_m[0].tolist(), on, strict=True) if b < 0)
        one = np.array([all(other == first for other in others)])
    else:
        hooks = given.point_m[:, flat.on < 0]
        one = (hooks == hooks[:, :1]).all(axis=(1, 2))
    return (picks, one) if np.count_nonzero(one) else None


class Ready(NamedTuple):
    """What all samples of a problem share.

    `one_hook`: each leg's point on the load, where all paths of a sample have one hook for sure. `order`: as
    `hanging_order` has it, where samples of several bodies or hooks, and what the quick kernel leaves under
    one hook, are solved to the last bits alone.
    """

    flat: Flat
    base: Model
    hook: Floats
    one_hook: NDArray[np.int64] | None = None
    order: tuple[NDArray[np.int64], Floats] | None = None


def ready(problem: Problem, *, one_hook: bool = False, near: bool = False) -> Ready:
    """Make a problem ready; `one_hook` says that no sample moves one path's upper end from another's.

    `near`: of several bodies or hooks, and what the quick kernel leaves under one hook, its samples are
    solved to the last bits, not to the same ones.
    """
    flat = flatten(problem)
    legs = np.flatnonzero(flat.on >= 0) if one_hook else None
    order = hanging_order(flat) if near else None
    return Ready(flat, base_of(flat, load_index(problem)), hook_height(problem), legs, order)


def unsolved(problem: Problem) -> tuple[Flat, Inputs, Out]:
    """As `run` gives them of one sample whose pose is kept, with nothing solved yet."""
    flat = flatten(problem)
    return flat, _inputs(flat, Variations()), new_out(1, len(flat.weight_n), len(flat.length_m), poses=True)


def run(
    problem: Problem, variations: Variations, threads: int = 1, poses: bool = False, near: bool = False
) -> tuple[Flat, Inputs, Out]:
    """As `run_ready`."""
    made = ready(problem, near=near)
    return made.flat, *run_ready(made, variations, threads, poses)


def run_ready(
    made: Ready,
    variations: Variations,
    threads: int = 1,
    poses: bool = False,
    begin: Floats | None = None,
) -> tuple[Inputs, Out]:
    """Solve every sample into arrays; `begin` as `solve_ready` has it.

    Raises
    ------
    InputFault
        If a path is so short that its points are drawn together, where its pull has no direction.
    RuntimeError
        If a sample did not converge: our fault, never the input's.
    """
    flat, base, hook, legs, order = made
    given = _inputs(flat, variations)
    samples, paths = variations.count(), len(flat.length_m)
    out = new_out(samples, len(flat.weight_n), paths, poses)
    quick = one_hook_of(flat, given) if legs is None else (legs, _ALL)
    lanes = order if quick is None else None
    near = np.empty((0, len(flat.weight_n), 12)) if begin is None else np.ascontiguousarray(begin)

    def task(lo: int) -> None:
        hi = min(lo + _CHUNK, samples)
        if quick is not None:
            acc, legs = np.empty(ROWS * LANES), np.empty(LEG_ROWS * LANES * paths)
            pull, angle = np.empty(LANES * paths), np.empty(LANES * paths)
            run_hook(quick[0], flat.start_m[0], given, hook, lo, hi, acc, legs, pull, angle, out)
            if np.count_nonzero(quick[1]) < len(quick[1]):
                out.todo[lo:hi] |= ~quick[1][lo:hi]
            if order is not None and np.count_nonzero(out.todo[lo:hi]):
                _as_bodies(made, order, given, lo + np.flatnonzero(out.todo[lo:hi]), out)
        if lanes is not None:
            room = new_room(len(flat.weight_n), paths)
            run_bodies(base, flat.start_m, *lanes, near, given, hook, lo, hi, room, out)
        if np.count_nonzero(out.todo[lo:hi]):
            work = new_work(len(flat.weight_n), paths, len(flat.on))
            run_general(base, flat.start_m, flat.lies_given, flat.lies_m, given, hook, lo, hi, work, out)

    _share(task, range(0, samples, _CHUNK), threads)
    _stop_if_unsolved(out)
    return given, out


def _as_bodies(
    made: Ready, order: tuple[NDArray[np.int64], Floats], given: Inputs, at: NDArray[np.int64], out: Out
) -> None:
    """Samples `at` that the quick kernel leaves as lanes of bodies: most go straight home from lower down."""
    mine = figures_at(given, at)
    bodies, paths = len(made.flat.weight_n), len(made.flat.length_m)
    found, room = new_out(len(at), bodies, paths, poses=False), new_room(bodies, paths)
    none = np.empty((0, bodies, 12))
    run_bodies(made.base, made.flat.start_m, *order, none, mine, made.hook, 0, len(at), room, found)
    done = np.flatnonzero(~found.todo)
    for name in Out._fields:
        told, kept = getattr(found, name), getattr(out, name)
        if len(told) and len(kept):  # no poses
            kept[at[done]] = told[done]


def _stop_if_unsolved(out: Out) -> None:
    if not np.count_nonzero(out.todo):  # much quicker than any() on a solve alone
        return
    unsolved = np.flatnonzero(out.todo & (out.status >= search.FAILED))
    if not len(unsolved):
        return
    i = int(unsolved[0])
    if out.status[i] == search.DRAWN_IN:
        raise fail(
            f"paths[{int(out.residual[i])}].length_m",
            "is so short that two of the path's points are drawn together",
            "check length_m, and lies_m where it is given",
        )
    msg = f"sample {i} did not converge (imbalance {out.residual[i]:.1e}): a fault of ours, please report it"
    raise RuntimeError(msg)


def _share(task: Any, parts: range, threads: int) -> None:
    if threads <= 1 or len(parts) <= 1:
        for part in parts:
            task(part)
        return
    with ThreadPoolExecutor(max_workers=threads) as pool:
        list(pool.map(task, parts))


def solve_many(problem: Problem, variations: Variations, *, threads: int | None = None) -> Batch:
    """Solve every variation of a problem.

    Parameters
    ----------
    problem : a checked problem.
    variations : S samples of what differs.
    threads : how many threads share the samples (None: all processors); changes no figure.

    Raises
    ------
    InputFault
        If a path is so short that its points are drawn together, where its pull has no direction.
    RuntimeError
        If a sample did not converge: our fault, never the input's.
    """
    _, _, out = run(problem, variations, _many(threads, variations))
    return _batch(out)


def solve_ready(
    made: Ready,
    variations: Variations,
    *,
    threads: int | None = None,
    begin: Floats | None = None,
    poses: bool = False,
) -> Batch:
    """As `solve_near` of a problem that was made ready for it once.

    `begin`: poses near which the samples hang, (S, B, 12), or (1, B, 12) for all: there the search of several
    bodies begins. A sample's figures are a function of it and of where it begins. `poses`: they are kept.
    """
    return _batch(run_ready(made, variations, _many(threads, variations), poses, begin)[1])


def _many(threads: int | None, variations: Variations) -> int:
    """So many threads; the system, slow to tell, is asked only where there is work for two."""
    if threads is None:
        return 1 if variations.count() <= _CHUNK else os.cpu_count() or 1
    return threads


def solve_near(problem: Problem, variations: Variations, *, threads: int | None = None) -> Batch:
    """As `solve_many`, ten times sooner under a beam or several hooks, and there equal to the last few bits.

    A sample's figures are its own here, too, whatever is solved beside it. For a sieve, never for a figure
    that somebody is told.
    """
    return solve_ready(ready(problem, near=True), variations, threads=threads)


def _batch(out: Out) -> Batch:
    return Batch(
        status=out.status, tension_n=out.tension_n, slack=out.tension_n <= 0.0,
        angle_from_horizontal_deg=out.angle_deg, tilt_deg=out.tilt_deg, hook_above_cg_m=out.hook_above_cg_m,
        up=out.up, pose=out.pose,
    )  # fmt: skip


def problem_of_sample(problem: Problem, variations: Variations, i: int) -> Problem:
    """The problem that row i of `solve_many` answers; `solve` of it gives the same bits."""
    bodies = tuple(_body_of(body, variations, i, b) for b, body in enumerate(problem.bodies))
    paths, q = [], 0
    for p, path in enumerate(problem.paths):
        paths.append(_path_of(path, variations, i, p, q))
        q += len(path.points)
    return replace(problem, bodies=bodies, paths=tuple(paths))


def _body_of(body: Body, v: Variations, i: int, b: int) -> Body:
    weight, centre = body.weight_n, body.centre_of_gravity_m
    if v.weight_n is not None:
        weight = float(v.weight_n[i, b])
    if v.centre_of_gravity_m is not None:
        x, y, z = v.centre_of_gravity_m[i, b].tolist()
        centre = (x, y, z)
    return replace(body, weight_n=weight, centre_of_gravity_m=centre)


def _path_of(path: Path, v: Variations, i: int, p: int, q: int) -> Path:
    """Path p of sample i; its points begin at number q."""
    length, elastic, strain, points = path.length_m, path.elastic_m, path.strain_at_rated, path.points
    if v.length_m is not None:
        length = float(v.length_m[i, p])
        elastic = None if elastic is None else elastic + (length - path.length_m)
    if v.strain_at_rated is not None:
        strain = float(v.strain_at_rated[i, p])
    if v.points_m is not None:
        moved = []
        for k, point in enumerate(points):
            x, y, z = (a + d for a, d in zip(point.at_m, v.points_m[i, q + k].tolist(), strict=True))
            moved.append(Point(point.on, (x, y, z)))
        points = tuple(moved)
    return replace(path, points=points, length_m=length, elastic_m=elastic, strain_at_rated=strain)
