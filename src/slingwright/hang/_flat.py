"""A `Problem` as the arrays that the kernels take, and one sample's model from them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slingwright.hang._kernel_energy import LOAD, Model
from slingwright.hang.problem import WORLD, Problem

__all__ = ["Flat", "base_of", "flatten", "hanging_order", "hook_height", "load_index"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Flat:
    """B bodies, P paths, Q points; every figure as the problem gives it, so that a sample can change it."""

    weight_n: Floats
    centre_m: Floats
    start_m: Floats
    point_m: Floats
    on: Ints
    first: Ints
    length_m: Floats
    lies_m: Floats
    lies_given: NDArray[np.bool_]
    elastic_m: Floats
    elastic_given: NDArray[np.bool_]
    rated_n: Floats
    strain: Floats


def load_index(problem: Problem) -> int:
    """Which body is the load: the one of that name, else the first."""
    for i, body in enumerate(problem.bodies):
        if body.name == "load":
            return i
    return 0


def hook_height(problem: Problem) -> Floats:
    """Height that `hook_above_cg_m` is measured from [m], where it is given (else empty)."""
    return np.array([] if problem.hook_m is None else [problem.hook_m[2]], dtype=np.float64)


def flatten(problem: Problem) -> Flat:
    """Arrays of a problem that has been checked."""
    number = {body.name: i for i, body in enumerate(problem.bodies)} | {WORLD: -1}
    paths, bodies = problem.paths, problem.bodies
    points = [q for p in paths for q in p.points]
    first = [0]
    for p in paths:
        first.append(first[-1] + len(p.points))
    # in rows, so that each is a plain array of its own
    length, lies, elastic, rated, strain = np.array(
        [
            [p.length_m for p in paths],
            [0.0 if p.lies_m is None else p.lies_m for p in paths],
            [p.length_m if p.elastic_m is None else p.elastic_m for p in paths],
            [p.rated_n for p in paths],
            [p.strain_at_rated for p in paths],
        ],
        dtype=np.float64,
    )
    lies_given, elastic_given = np.array(
        [[p.lies_m is not None for p in paths], [p.elastic_m is not None for p in paths]]
    )
    return Flat(
        weight_n=np.array([b.weight_n for b in bodies], dtype=np.float64),
        centre_m=np.array([b.centre_of_gravity_m for b in bodies], dtype=np.float64),
        start_m=np.array([b.start_m for b in bodies], dtype=np.float64),
        point_m=np.array([q.at_m for q in points], dtype=np.float64),
        on=np.array([number[q.on] for q in points], dtype=np.int64),
        first=np.array(first, dtype=np.int64),
        length_m=length,
        lies_m=lies,
        lies_given=lies_given,
        elastic_m=elastic,
        elastic_given=elastic_given,
        rated_n=rated,
        strain=strain,
    )


def base_of(flat: Flat, load: int) -> Model:
    """The part of the kernel's model that no sample changes (the rest is filled in by `model_at`)."""
    figure = np.zeros(4)
    figure[LOAD] = load
    return Model(flat.weight_n, flat.point_m, flat.on, flat.first, flat.length_m, flat.rated_n, figure)


def hanging_order(flat: Flat) -> tuple[NDArray[np.int64], Floats] | None:
    """The bodies from the topmost down, and what of the whole weight each path that holds one carries, about.

    None where a path has more than two points, or lies on something, or a body hangs from none above it.
    """
    if len(flat.on) != 2 * len(flat.length_m) or flat.lies_given.any():
        return None
    ends, left = flat.on.reshape(-1, 2), dict.fromkeys(range(len(flat.weight_n)))
    order: list[int] = []
    shares: list[float] = []
    while left:
        above = {-1, *order}
        held = {b: sum(1 for e in ends.tolist() if b in e and (set(e) - {b}) <= above) for b in left}
        b = max(left, key=lambda k: held[k])
        if not held[b]:
            return None
        shares.append(float(flat.weight_n[list(left)].sum() / flat.weight_n.sum()) / held[b])
        order.append(b)
        del left[b]
    return np.array(order, dtype=np.int64), np.array(shares)
