"""Random samples and corners of what is not known, as `Variations` of a problem."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slingwright.hang._flat import load_index
from slingwright.hang.batch import Variations
from slingwright.hang.problem import WORLD, Problem

__all__ = ["NAMES", "Widths", "corner_steps", "drawn", "vary"]

Floats = NDArray[np.float64]
NAMES = (
    "weight_rel",
    "cg_frac_of_pick_extent_xy",
    "cg_m",
    "length_rel",
    "length_m",
    "stiffness_rel",
    "points_m",
)
LEAST = 0.05  # no factor falls below this: a weight, length or stiffness stays positive


@dataclass(frozen=True, slots=True, kw_only=True)
class Widths:
    """Standard deviations, or half widths of limits; None = not varied. Weight and centre are the load's."""

    weight_rel: float | None = None
    cg_frac_of_pick_extent_xy: float | None = None
    cg_m: tuple[float, float, float] | None = None
    length_rel: float | None = None
    length_m: float | None = None
    stiffness_rel: float | None = None
    points_m: float | None = None


def _places(problem: Problem) -> tuple[NDArray[np.int64], int]:
    """For each point of the paths its place on a body by number (legs may share it), -1 in the world."""
    seen: dict[object, int] = {}
    numbers = []
    for path in problem.paths:
        numbers += [-1 if q.on == WORLD else seen.setdefault(q, len(seen)) for q in path.points]
    return np.array(numbers), len(seen)


def _sizes(problem: Problem, widths: Widths) -> list[tuple[str, int, Floats]]:
    """What varies: name, how many free figures, their widths."""
    paths = len(problem.paths)
    load = problem.bodies[load_index(problem)].name
    picks = np.array([q.at_m for p in problem.paths for q in p.points if q.on == load])
    extent = np.ptp(picks, axis=0)[:2] if len(picks) else np.zeros(2)
    _, places = _places(problem)
    out: list[tuple[str, int, Floats]] = []

    def note(name: str, width: float | None, count: int, scale: Floats | float = 1.0) -> None:
        if width:
            out.append((name, count, width * np.broadcast_to(np.asarray(scale, dtype=np.float64), (count,))))

    note("weight_rel", widths.weight_rel, 1)
    note("cg_frac_of_pick_extent_xy", widths.cg_frac_of_pick_extent_xy, 2, extent)
    if widths.cg_m and any(widths.cg_m):
        note("cg_m", 1.0, 3, np.array(widths.cg_m))
    note("length_rel", widths.length_rel, paths)
    note("length_m", widths.length_m, paths)
    note("stiffness_rel", widths.stiffness_rel, paths)
    note("points_m", widths.points_m, 3 * places)
    return out


def drawn(
    problem: Problem, sd: Widths, limit: Widths, seed: int, block: int, count: int
) -> list[tuple[str, Floats]]:
    """A block of random steps: normal for `sd`, even over the box for `limit`; fixed by seed and block."""
    rng = np.random.default_rng([seed, block])
    steps = [(name, width * rng.standard_normal((count, n))) for name, n, width in _sizes(problem, sd)]
    return steps + [
        (name, width * rng.uniform(-1.0, 1.0, (count, n))) for name, n, width in _sizes(problem, limit)
    ]


def corner_steps(problem: Problem, limit: Widths, signs: NDArray[np.int8]) -> list[tuple[str, Floats]]:
    """Steps to corners of the limits' box; `signs` (S, free figures) are +1, -1."""
    steps, at = [], 0
    for name, n, width in _sizes(problem, limit):
        steps.append((name, width * signs[:, at : at + n]))
        at += n
    return steps


def free_figures(problem: Problem, limit: Widths) -> int:
    """How many figures the limits leave free (two corners each); those of no width do not count."""
    return sum(n for _, n, _ in _sizes(problem, limit))


def vary(problem: Problem, steps: list[tuple[str, Floats]]) -> Variations:
    """The problem's figures, each with all its steps."""
    if not steps:
        return Variations()
    count = len(steps[0][1])
    load = load_index(problem)
    weight = np.tile([b.weight_n for b in problem.bodies], (count, 1))
    centre = np.tile([b.centre_of_gravity_m for b in problem.bodies], (count, 1, 1))
    length = np.tile([p.length_m for p in problem.paths], (count, 1))
    strain = np.tile([p.strain_at_rated for p in problem.paths], (count, 1))
    number, _ = _places(problem)
    points: Floats | None = None
    for name, step in steps:
        if name == "weight_rel":
            weight[:, load] *= np.maximum(1.0 + step[:, 0], LEAST)
        elif name == "cg_frac_of_pick_extent_xy":
            centre[:, load, :2] += step
        elif name == "cg_m":
            centre[:, load] += step
        elif name == "length_rel":
            length *= np.maximum(1.0 + step, LEAST)
        elif name == "length_m":
            length = np.maximum(length + step, LEAST * length)
        elif name == "stiffness_rel":
            strain /= np.maximum(1.0 + step, LEAST)
        else:
            moved = np.concatenate([step.reshape(count, -1, 3), np.zeros((count, 1, 3))], axis=1)
            points = moved[:, number] if points is None else points + moved[:, number]
    return Variations(
        weight_n=weight, centre_of_gravity_m=centre, length_m=length, strain_at_rated=strain, points_m=points
    )
