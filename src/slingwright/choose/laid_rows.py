"""Rows of lengths as they lie round the level load, all at once: what the sieve hangs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from slingwright.arrangement import Arrangement, Holding
from slingwright.arrangement.geometry import (
    basket_height,
    free_length,
    level_hook_heights,
    round_hook_distance,
    upper_xy,
)
from slingwright.hang.problem import WORLD, Problem
from slingwright.sling import Hitch

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["LaidRows", "hook_moves", "lay_rows"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidRows:
    """Every row's locked paths as laid on the level load, each for its own hook height.

    `length_m` (S, paths): unstretched length; `ends_m` (S, paths, 3): where the path meets the load, NaN
    where that does not change from row to row; `stretch` (S, paths): how much longer what stretches is than
    the statics takes it from the first row (on a curve what lies on the load changes with the height).
    """

    length_m: NDArray[np.float64]
    ends_m: NDArray[np.float64]
    stretch: NDArray[np.float64]

    def take(self, rows: NDArray[np.int64]) -> LaidRows:
        """Some of the rows."""
        return LaidRows(length_m=self.length_m[rows], ends_m=self.ends_m[rows], stretch=self.stretch[rows])

    def put(self, rows: NDArray[np.int64], other: LaidRows) -> LaidRows:
        """The same with some of the rows laid otherwise."""
        out = self.take(np.arange(len(self.length_m)))
        out.length_m[rows], out.ends_m[rows], out.stretch[rows] = other.length_m, other.ends_m, other.stretch
        return out

    def strains(self, strain: float) -> NDArray[np.float64]:
        """Strain at the rated load of every row's paths."""
        return strain * self.stretch


def lay_rows(
    arrangement: Arrangement, lengths_m: NDArray[np.float64], hook_m: NDArray[np.float64] | None = None
) -> LaidRows:
    """Lay all rows; paths in the order of the locked problem.

    Strings round a curve are taken for the level hook, or for hooks at the heights `hook_m` (S,).
    """
    count = len(lengths_m)
    fixed, ones = np.full((count, 3), np.nan), np.ones(count)
    columns: list[tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]] = []
    for i, holding in enumerate(arrangement.holdings):
        made, way = lengths_m[:, i], holding.round
        if way is None or holding.hitch is Hitch.CHOKER:
            columns.append((free_length(holding, made), fixed, ones))
        elif way.curved:
            columns.extend(_round_sides(arrangement, holding, made, hook_m))
        else:
            at = upper_xy(arrangement, holding)
            height = basket_height(at, (way.turns_m[0], way.turns_m[-1]), free_length(holding, made))
            for end in (way.turns_m[0], way.turns_m[-1]):
                side = np.sqrt(math.dist(at, end[:2]) ** 2 + (height - end[2]) ** 2)
                columns.append((side, fixed, ones))
    length, ends, stretch = zip(*columns, strict=True)
    return LaidRows(
        length_m=np.stack(length, axis=1), ends_m=np.stack(ends, axis=1), stretch=np.stack(stretch, axis=1)
    )


def _round_sides(
    arrangement: Arrangement,
    holding: Holding,
    made: NDArray[np.float64],
    hook_m: NDArray[np.float64] | None,
) -> list[tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]]:
    """Both sides of a basket round a circular section: tangents from each row's level hook."""
    way = holding.round
    assert way is not None and way.radius_m is not None and way.centre_yz_m is not None  # noqa: PT018
    (x, y), (cy, cz) = upper_xy(arrangement, holding), way.centre_yz_m
    if hook_m is None:
        far = round_hook_distance(way.radius_m, abs(x - way.x_m), way.wraps, made)
    else:
        far = np.maximum(np.hypot(hook_m - cz, y - cy), way.radius_m)
    half = np.arccos(np.minimum(way.radius_m / far, 1.0))
    lies = way.radius_m * (2 * math.pi * way.wraps - 2 * half)
    side = (made - lies) / 2
    to_hook = np.arctan2(np.sqrt(np.maximum(far**2 - (y - cy) ** 2, 0.0)), y - cy)
    stretch = (side + lies / 2) / (side + way.lies_m / 2)
    out = []
    for angle in (to_hook + half, to_hook - half):
        end = np.stack(
            [
                np.full_like(far, way.x_m),
                cy + way.radius_m * np.cos(angle),
                cz + way.radius_m * np.sin(angle),
            ],
            axis=1,
        )
        out.append((side, end, stretch))
    return out


def hook_moves(
    arrangement: Arrangement, first_m: NDArray[np.float64], lengths_m: NDArray[np.float64], problem: Problem
) -> NDArray[np.float64] | None:
    """Several hooks stand each at its own height for each row; one hook may stay where it is.

    `problem` has its hooks where the lengths `first_m` (slings,) bring them. None where nothing moves.
    """
    if len(arrangement.hooks_xy_m) == 1:
        return None
    rise = level_hook_heights(arrangement, lengths_m) - level_hook_heights(arrangement, first_m[None])
    points = [(p.sling, q) for p in problem.paths for q in p.points]
    out = np.zeros((len(lengths_m), len(points), 3))
    for k, (sling, point) in enumerate(points):
        hook = arrangement.holdings[sling].hook
        if point.on == WORLD and hook is not None:
            out[:, k, 2] = rise[:, hook]
    return out
