"""Several problems of one make hung by the quick kernel in one go."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from slingwright.hang._flat import Flat, flatten, hook_height
from slingwright.hang._kernel_hook import LANES, LEG_ROWS, ROWS, run_hook
from slingwright.hang.batch import Inputs, Out, new_out, one_hook_of
from slingwright.hang.problem import Path, Problem

__all__ = ["together"]


def together(problems: Sequence[Problem]) -> tuple[Flat, Inputs, Out] | None:
    """What `run` gives of each problem, a row each; `todo` are those that the quick kernel does not answer.

    None where it answers none of them, or where they differ in more than what may vary from sample to sample.
    """
    first = problems[0]
    lots = list({id(problem.paths): problem.paths for problem in problems}.values())
    if not _straight(first) or not all(_alike(first, problem) for problem in problems[1:]):
        return None
    if not all(_vary(lots[0], paths) for paths in lots[1:]):
        return None
    flat = flatten(first)
    given = _figures(flat, problems, lots)
    quick = one_hook_of(flat, given)
    if quick is None:
        return None
    legs, one = quick
    samples, paths = len(problems), len(first.paths)
    out = new_out(samples, 1, paths, poses=True)
    room = np.empty(ROWS * LANES), np.empty(LEG_ROWS * LANES * paths)
    told = np.empty(LANES * paths), np.empty(LANES * paths)
    run_hook(legs, flat.start_m[0], given, hook_height(first), 0, samples, *room, *told, out)
    out.todo[~one] = True
    return flat, given, out


def _straight(problem: Problem) -> bool:
    return len(problem.bodies) == 1 and all(len(path.points) == 2 for path in problem.paths)


def _alike(first: Problem, other: Problem) -> bool:
    """Whether bodies and the hook's mark differ in what may vary alone."""
    if first.bodies is other.bodies:
        return first.hook_m == other.hook_m
    return (
        len(other.bodies) == 1
        and first.bodies[0].start_m == other.bodies[0].start_m
        and first.hook_m == other.hook_m
    )


def _vary(first: tuple[Path, ...], other: tuple[Path, ...]) -> bool:
    """Whether paths differ in lengths, strains and places alone; not in lengths whose stretch is told."""
    return len(first) == len(other) and all(
        a.rated_n == b.rated_n
        and (a.elastic_m, a.lies_m) == (b.elastic_m, b.lies_m)
        and (a.elastic_m is None or a.length_m == b.length_m)
        and [q.on for q in a.points] == [q.on for q in b.points]
        for a, b in zip(first, other, strict=True)
    )


def _figures(flat: Flat, problems: Sequence[Problem], lots: list[tuple[Path, ...]]) -> Inputs:
    """A row of figures for each problem; `lots` are the different paths among them."""
    number = {id(paths): k for k, paths in enumerate(lots)}
    of = [number[id(problem.paths)] for problem in problems]
    points, lengths, strains = (
        np.array(rows, dtype=np.float64)[of]
        for rows in (
            [[q.at_m for path in paths for q in path.points] for paths in lots],
            [[path.length_m for path in paths] for paths in lots],
            [[path.strain_at_rated for path in paths] for paths in lots],
        )
    )
    return Inputs(
        np.array([[p.bodies[0].weight_n] for p in problems], dtype=np.float64),
        np.array([[p.bodies[0].centre_of_gravity_m] for p in problems], dtype=np.float64),
        points, lengths, strains, flat.rated_n, flat.length_m, flat.elastic_m, flat.elastic_given,
    )  # fmt: skip
