"""Legs of individual length: made so that the load hangs level, or chosen from the shelf.

Whole arrays only: a lift has tens of thousands of such choices. A choice is never kept where two legs differ
by less than their tolerances together (PRACTICE: nobody could tell which leg goes where).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.choose.rows import all_of, any_of, in_order, unequal
from slingwright.choose.setting import Setting
from slingwright.shop import StockSling, length_um

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Bools = NDArray[np.bool_]
    Places = NDArray[np.int64]

__all__ = [
    "Apart",
    "ShelfHangs",
    "made_apart",
    "made_steps",
    "row_codes",
    "shelf_hangs",
    "stock_apart",
    "stock_choices",
]

_LAST_BITS_M = 1e-9
_ON_THE_STEP = 1e-9  # of a step: a length this near to a whole number of steps is that number


@dataclass(frozen=True, slots=True)
class Apart:
    """How far two legs must differ to be told apart: by both tolerances, each `fixed_m + share·L`."""

    fixed_m: float
    share: float

    def least(self, one: Floats, other: Floats) -> Floats:
        """The least difference of two lengths [m] that is not lost in their tolerances."""
        if not self.share:
            return np.asarray(2 * self.fixed_m)
        return np.asarray(2 * self.fixed_m + self.share * (one + other))

    def told(self, lengths_m: Floats) -> Bools:
        """Of each row (S, legs): whether all unequal lengths are told apart and not all are equal."""
        legs = in_order(lengths_m.T)
        told = legs[-1] > legs[0]
        for shorter, longer in pairwise(legs):
            gap = longer - shorter
            told &= (gap == 0) | (gap > self.least(shorter, longer) + _LAST_BITS_M)
        return np.asarray(told)


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
    shared, group = _level_lengths(arrangement, practice.height_step_m, longest_m, apart)
    low, high = -(-length_um(shortest_m) // step_um), length_um(longest_m) // step_um
    codes = np.sort(_rounded(shared / (step_um / 1e6), group, low, high))
    codes = codes[np.diff(codes, prepend=-1) > 0]
    rows = np.empty((len(codes), len(group)), dtype=np.int64)
    for leg, place in enumerate(_places(len(group), high)):
        rows[:, leg] = codes // place
        codes -= rows[:, leg] * place
    return rows[apart.told(rows * step_um / 1e6)]


def _level_lengths(
    arrangement: Arrangement, height_step_m: float, longest_m: float, apart: Apart
) -> tuple[Floats, Places]:
    """For every hook height that the legs can reach each group's length [m] and each leg's group, (legs, H).

    Legs of a group cannot be told apart and share the mean of their lengths. Left out are heights at which
    all are of one group.
    """
    lower = np.array([h.lower_m for h in arrangement.holdings], dtype=np.float64)
    hooks = np.array([arrangement.hooks_xy_m[h.hook or 0] for h in arrangement.holdings])
    top = float(lower[:, 2].min()) + longest_m
    heights = np.arange(1, int(top / height_step_m) + 1) * height_step_m
    heights = heights[heights > lower[:, 2].max()]
    side2 = ((lower[:, :2] - hooks) ** 2).sum(axis=1)
    exact = np.sqrt(side2[:, None] + (heights - lower[:, 2, None]) ** 2)
    first, *others = in_order(exact)
    group = np.zeros(exact.shape, dtype=np.int64)
    for leg in others:
        fresh = leg - first > apart.least(first, leg) + _LAST_BITS_M
        group += fresh & (exact >= leg)  # all of its length or longer stand behind the break
        first = np.where(fresh, leg, first)
    apart_at = np.flatnonzero(any_of(group.T > 0))
    exact, group = exact[:, apart_at], group[:, apart_at]
    shared = np.empty_like(exact)
    for g in range(len(group)):
        mine = group == g
        shared[g] = (exact * mine).sum(axis=0) / np.maximum(mine.sum(axis=0), 1)
    return shared, group


def _places(legs: int, high: int) -> list[int]:
    """What a step of each leg counts in a row's code: figures up to `high`, the first leg's first."""
    return [(high + 1) ** k for k in range(legs - 1, -1, -1)]


def _rounded(shared: Floats, group: Places, low: int, high: int) -> Places:
    """The codes of all rows of whole steps: each group's length, in steps, rounded down or up.

    `shared` and `group` as `_level_lengths` has them. A length that is no longer than `low` or `high` allow
    goes; a height's rows come once each, those of several heights as often.
    """
    codes, at = np.zeros(shared.shape[1], dtype=np.int64), np.arange(shared.shape[1])
    places = np.array(_places(len(group), high))
    for g, steps in enumerate(shared):
        counts = (places[:, None] * (group == g)).sum(axis=0)
        down = np.floor(steps + _ON_THE_STEP).astype(np.int64)
        up = np.ceil(steps - _ON_THE_STEP).astype(np.int64)
        none, fits_down, fits_up = counts == 0, *((x >= low) & (x <= high) for x in (down, up))
        kept = (none | fits_down)[at]
        more = (~none & fits_up & (up > down))[at]
        codes = np.concatenate(
            [codes[kept] + (counts * down)[at[kept]], codes[more] + (counts * up)[at[more]]]
        )
        at = np.concatenate([at[kept], at[more]])
    return codes


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


class ShelfHangs(NamedTuple):
    """The different hangs of unequal legs among rows of lengths from the shelf.

    `codes`: of those that made legs may hang like, as `row_codes` has them; `others`: how many more.
    """

    codes: Places
    others: int

    def besides(self, made: Places) -> int:
        """How many hang otherwise than all made rows, whose codes (M,) stand in order."""
        at = np.searchsorted(made, self.codes)
        alike = made[np.minimum(at, len(made) - 1)] == self.codes if len(made) else at < 0
        return self.others + int((~alike).sum())


def shelf_hangs(lengths_m: Floats, step_m: float, base: int) -> ShelfHangs:
    """What rows of lengths (S, legs) from the shelf hang like; made legs have fewer than `base` steps."""
    apart = lengths_m[unequal(lengths_m)]
    known = np.unique(apart)
    numbers = row_codes(np.searchsorted(known, apart), max(len(known), 1))
    first = np.unique(numbers, return_index=True)[1]
    steps = np.rint(apart[first] / step_m).astype(np.int64)
    # a made row hangs like one of these only if the shelf has each of its lengths
    on_step = all_of((np.abs(apart[first] - steps * step_m) < _LAST_BITS_M) & (steps < base))
    return ShelfHangs(row_codes(steps[on_step], base), int((~on_step).sum()))


def row_codes(rows: Places, base: int) -> Places:
    """A number for each row (S, legs) of figures below `base`, in the order of the rows."""
    return np.asarray(reduce(lambda code, leg: code * base + leg, rows.T))
