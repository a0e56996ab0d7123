"""Brute force in bulk: every hang problem of a lift by the compiled solver, none left out or cut short.

No Python per candidate: lanes of one family (rows of lengths at places, stiffness by stiffness) are hung in
batches of many thousand. Every lane is hung told and at every corner of the centre's box, at both ends of
its stretch range, and unequal legs in every other order; what a lane fails does not end it. Left out is what
needs no hang to fall (too weak for their bare share; lengths that do not reach or stand too high level) and
the spread of the samples: so it is less than brute force costs. `told_seconds` is of the told hangs alone,
two a problem: the least that any search would cost that hangs everything once. Slings under a beam or
several hooks are no lanes and not hung here.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import permutations

import numpy as np
from numpy.typing import NDArray

from slingwright.arrangement.geometry import level_hook_heights
from slingwright.choose.cases import Ends, centre_corners
from slingwright.choose.groups import Group, RowSet
from slingwright.choose.lanes import Laid, Lanes, laid_as_lanes
from slingwright.choose.nominal import SWAPPED_AT_MOST
from slingwright.choose.rated import SlingRated
from slingwright.choose.search import Search
from slingwright.choose.setting import Setting
from slingwright.hang.screen import View, screen_many

__all__ = ["Hung", "hang_all"]

Floats = NDArray[np.float64]
Places = NDArray[np.int64]
LANES = 100_000  # of one batch


@dataclass
class Hung:
    """What was hung: problems, single hangs, and the processor's seconds for them."""

    problems: int = 0
    hangs: int = 0
    seconds: float = 0.0
    told_seconds: float = 0.0


def hang_all(setting: Setting) -> Hung:
    """Hang the whole space of a lift; counting and laying it out is not timed."""
    search, hung = Search(setting), Hung()
    for group in search.space.groups:
        if not laid_as_lanes(group.arrangements[0]):
            continue
        for rated, ends in _stiffnesses(group):
            began = time.process_time()
            _as_lanes(setting, group, rated, ends, hung)
            hung.seconds += time.process_time() - began
    return hung


def _stiffnesses(group: Group) -> Iterator[tuple[tuple[SlingRated, ...], Ends]]:
    """Every rated load with its stretch range among the group's makes that carry their bare share."""
    seen = set()
    for make in group.makes:
        key = (make.rated[0].cell.rated_n, make.ends)
        if key not in seen:
            seen.add(key)
            yield make.rated, make.ends


def _as_lanes(setting: Setting, group: Group, rated: tuple[SlingRated, ...], ends: Ends, hung: Hung) -> None:
    rows: RowSet = group.rows
    row, place = np.nonzero(rows.fits)
    if not len(row):
        return
    batch = _Batch(setting, group, float(np.nanmin(rows.level_m)))
    hung.problems += len(row)
    for at in range(0, len(row), LANES):
        r, p = row[at : at + LANES], place[at : at + LANES]
        for strain in (ends.stiff, ends.soft):
            hung.hangs += batch.hang(rows.lengths_m[r], p, rows.level_m[r, p], rated[0].cell.rated_n, strain)
    hung.told_seconds += batch.told_seconds


class _Batch:
    """A group's lanes."""

    def __init__(self, setting: Setting, group: Group, level_m: float) -> None:
        self._load, self._arrangement = setting.lift.load, group.arrangements[0]
        self._lanes = Lanes(setting, group.arrangements, level_m)
        self.told_seconds = 0.0
        self._corners = np.array(centre_corners(self._load.centre))
        paths = len(self._lanes.sling_of)
        self._view = View(
            limit_n=np.zeros(0),
            pick_n=np.full(paths, np.inf),
            along=np.zeros(paths, dtype=np.bool_),
            upright=np.zeros(paths, dtype=np.bool_),
            size_m=np.array([self._load.length_m, self._load.width_m, self._load.height_m]),
        )

    def hang(self, lengths_m: Floats, place: Places, level_m: Floats, rated_n: float, strain: float) -> int:
        """Hang lanes told, at the corners and in every order; how many hangs that was."""
        count, lanes, began = 0, self._lanes, time.process_time()

        def solve(laid: Laid, level: Floats, centre: Floats | None = None) -> tuple[Floats, Floats]:
            nonlocal count
            many = len(level)
            count += many
            variations = lanes.vary(laid, level, np.full(many, rated_n), np.full(many, strain), centre)
            view = self._view._replace(limit_n=np.full(many, rated_n))
            found = screen_many(lanes.problem, variations, view, threads=None)
            return found.hook_above_cg_m, found.tilt_deg

        laid = lanes.lay(lengths_m, place)
        above, tilt = solve(laid, level_m)
        if lanes.curved:
            hook = self._load.centre.nominal_m[2] + above * np.cos(np.radians(tilt))
            laid = lanes.lay(lengths_m, place, hook)
            solve(laid, level_m)
        self.told_seconds += time.process_time() - began
        for corner in self._corners:
            solve(laid, level_m, np.repeat(corner[None], len(place), axis=0))
        self._orders(lengths_m, place, solve)
        return count

    def _orders(self, lengths_m: Floats, place: Places, solve: object) -> None:
        legs = lengths_m.shape[1]
        if self._arrangement.lengths != "made" or legs > SWAPPED_AT_MOST:
            return
        assert callable(solve)
        for order in list(permutations(range(legs)))[1:]:
            swapped = lengths_m[:, order]
            level = level_hook_heights(self._arrangement, swapped)[:, 0]
            reach = np.isfinite(level)
            if reach.any():
                solve(self._lanes.lay(swapped[reach], place[reach]), level[reach])
