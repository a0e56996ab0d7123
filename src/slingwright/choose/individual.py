"""Legs of individual length: made so that the load hangs level, or chosen from the shelf.

Whole arrays only: a lift has tens of thousands of such choices. A choice is never kept where two legs differ
by less than their tolerances together (PRACTICE: nobody could tell which leg goes where).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.choose.rows import all_of, any_of, unequal
from slingwright.choose.setting import Setting
from slingwright.shop import StockSling, length_um

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Apart", "hangs_apart", "made_apart", "made_steps", "stock_apart", "stock_choices"]

_LAST_BITS_M = 1e-9
_ON_THE_STEP = 1e-9  # of a step: a length this near to a whole number of steps is that number


@dataclass(frozen=True, slots=True)
class Apart:
    """How far two legs must differ to be told apart: by both tolerances, each `fixed_m + share·L`."""

    fixed_m: float
    share: float

    def least(self, one: NDArray[np.float64], other: NDArray[np.float64]) -> NDArray[np.float64]:
        """The least difference of two lengths [m] that is not lost in their tolerances."""
        return np.asarray(2 * self.fixed_m + self.share * (one + other))

    def told(self, lengths_m: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Of each row (S, legs): whether all unequal lengths are told apart and not all are equal."""
        rows = np.sort(lengths_m, axis=1)
        gaps = np.diff(rows, axis=1)
        far = (gaps == 0) | (gaps > self.least(rows[:, :-1], rows[:, 1:]) + _LAST_BITS_M)
        return all_of(far) & any_of(gaps > 0)


def made_apart(setting: Setting) -> Apart:
    """Of legs made together; what the buyer states counts before the shop's own."""
    want, practice = setting.lift.want, setting.shop.practice
    if want.tolerance_length_m is not None or want.tolerance_length_rel is not None:
        return Apart(want.tolerance_length_m or 0.0, want.tolerance_length_rel or 0.0)
    if want.matched_set:
        return Apart(practice.matched_tolerance_m, 0.0)
    return Apart(practice.tolerance_m, practice.tolerance_rel)


def stock_apart(setting: Setting) -> Apart:
    """Of slings taken one by one from the shelf."""
    want, practice = setting.lift.want, setting.shop.practice
    if want.tolerance_length_m is not None or want.tolerance_length_rel is not None:
        return Apart(want.tolerance_length_m or 0.0, want.tolerance_length_rel or 0.0)
    return Apart(practice.tolerance_m, practice.tolerance_rel)


def made_steps(
    setting: Setting, arrangement: Arrangement, shortest_m: float, longest_m: float
) -> NDArray[np.int64]:
    """For each hook height on the step the lengths that hang the load level, each rounded down or up.

    Legs whose level lengths are too near each other to be told apart share one length, their mean.

    Parameters
    ----------
    setting, arrangement
        The lift, and where its legs hang.
    shortest_m, longest_m
        What any loft sews [m].

    Returns
    -------
    array, shape (S, legs)
        Whole numbers of the shop's bridle step, each row once, in the order of the legs' lengths.
    """
    practice = setting.shop.practice
    step_um, apart = length_um(practice.bridle_step_m), made_apart(setting)
    step_m, many = step_um / 1e6, len(arrangement.holdings)
    shared, group = _level_lengths(arrangement, practice.height_step_m, longest_m, apart)
    if not len(shared):
        return np.zeros((0, many), dtype=np.int64)
    down = np.floor(shared / step_m + _ON_THE_STEP).astype(np.int64)
    up = np.ceil(shared / step_m - _ON_THE_STEP).astype(np.int64)
    turns = np.array(list(product((False, True), repeat=many)))  # (2^legs, groups)
    raised = turns[:, group].transpose(1, 0, 2)  # (H, 2^legs, legs): whether each leg's group is rounded up
    rows = np.where(raised, up[:, None, :], down[:, None, :]).reshape(-1, many)
    low, high = -(-length_um(shortest_m) // step_um), length_um(longest_m) // step_um
    rows = rows[all_of((rows >= low) & (rows <= high))]
    rows = _each_once(rows, high + 1)
    return rows[apart.told(rows * step_um / 1e6)]


def _level_lengths(
    arrangement: Arrangement, height_step_m: float, longest_m: float, apart: Apart
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Each leg's length [m] for every hook height it can reach, and its group: both (H, legs).

    Legs of a group cannot be told apart and share the mean of their lengths.
    """
    lower = np.array([h.lower_m for h in arrangement.holdings], dtype=np.float64)
    hooks = np.array([arrangement.hooks_xy_m[h.hook or 0] for h in arrangement.holdings])
    top = float(lower[:, 2].min()) + longest_m
    heights = np.arange(1, int(top / height_step_m) + 1) * height_step_m
    heights = heights[heights > lower[:, 2].max()]
    side2 = ((lower[:, :2] - hooks) ** 2).sum(axis=1)
    exact = np.sqrt(side2 + (heights[:, None] - lower[:, 2]) ** 2)
    order = np.argsort(exact, axis=1, kind="stable")
    rows = np.take_along_axis(exact, order, axis=1)
    group_sorted = np.zeros(rows.shape, dtype=np.int64)
    first = rows[:, 0]
    for k in range(1, rows.shape[1]):
        fresh = rows[:, k] - first > apart.least(first, rows[:, k]) + _LAST_BITS_M
        group_sorted[:, k] = group_sorted[:, k - 1] + fresh
        first = np.where(fresh, rows[:, k], first)
    group = np.empty_like(group_sorted)
    np.put_along_axis(group, order, group_sorted, axis=1)
    shared = np.empty_like(exact)
    for g in range(rows.shape[1]):
        mine = group == g
        mean = (exact * mine).sum(axis=1) / np.maximum(mine.sum(axis=1), 1)
        shared = np.where(mine, mean[:, None], shared)
    return shared, group


def _each_once(rows: NDArray[np.int64], base: int) -> NDArray[np.int64]:
    """Each row once, in order; every figure is below `base`."""
    places = base ** np.arange(rows.shape[1] - 1, -1, -1, dtype=np.int64)
    codes = np.unique(rows @ places)
    return np.asarray(codes[:, None] // places % base)


def stock_choices(slings: Sequence[StockSling], legs: int) -> NDArray[np.int64]:
    """Every choice of one sling a leg from the shelf that the shelf can fill, more than one row of it used.

    Legs of equal length are alike: among them only one order of the shelf's rows is kept.

    Parameters
    ----------
    slings
        The shelf's rows of one kind.
    legs
        How many are taken.

    Returns
    -------
    array, shape (S, legs)
        Indices into `slings`.
    """
    lengths = np.array([length_um(s.spec.length_m) for s in slings])
    counts = [s.count for s in slings]
    chosen = np.zeros((1, 0), dtype=np.int64)
    for _ in range(legs):  # leg by leg, so that what the shelf cannot fill is never spread out
        many = len(slings)
        chosen = np.column_stack(
            [np.repeat(chosen, many, axis=0), np.tile(np.arange(many, dtype=np.int64), len(chosen))]
        )
        last = chosen[:, -1:]
        taken = (chosen == last).sum(axis=1)
        alike = (lengths[chosen] == lengths[last]) & (chosen > last)
        chosen = chosen[(taken <= np.array(counts)[last[:, 0]]) & ~alike.any(axis=1)]
    return np.asarray(chosen[(chosen != chosen[:, :1]).any(axis=1)])


def hangs_apart(lengths_m: NDArray[np.float64], made: NDArray[np.int64], step_m: float) -> int:
    """How many rows of lengths (S, legs) hang otherwise than equal legs, than each other and than made ones.

    `made` (M, legs) are the lengths of made legs in steps of `step_m`.
    """
    apart = lengths_m[unequal(lengths_m)]
    if not len(apart):
        return 0
    known = np.unique(apart)
    places = len(known) ** np.arange(apart.shape[1], dtype=np.int64)
    mine = np.unique(np.searchsorted(known, apart) @ places)
    steps = np.rint(known / step_m).astype(np.int64)
    on_step = np.abs(known - steps * step_m) < _LAST_BITS_M
    # a made row hangs like one of these only if the shelf has each of its lengths
    rank = np.full(int(max(made.max(initial=0), steps.max())) + 1, -1, dtype=np.int64)
    rank[steps[on_step]] = np.flatnonzero(on_step)
    made_ranks = rank[made]
    theirs = made_ranks[all_of(made_ranks >= 0)] @ places
    return int((~np.isin(mine, theirs)).sum())
