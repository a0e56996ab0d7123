"""The first stage for a shop's day: the cheapest mix of rolls first, filled with the least waste there is.

How many rolls of each length are cut to the end and how many are kept leaves little open: what a plan of such
a mix costs depends on its waste alone. Mixes are taken in the sequence of their bounds, each with its least
waste first; a walk through the patterns finds a plan of just that waste, or proves that there is none. What
the stage leaves open (walks too long, three kept rolls and more) is left to the relaxation and its tree.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting._pack import pack_rolls
from slingwright.make.cutting._subset import fill_lengths, least_empty
from slingwright.make.cutting.columns import Columns, Picks
from slingwright.make.cutting.mixes import Mix, Mixes

__all__ = ["Packing"]

IntArray = npt.NDArray[np.int64]

_CELLS = 40_000_000  # machine words of sums, beyond which this stage is not begun
_MIXES = 20_000
_REACH = 256  # mm above the bound that are looked through first; then four times as much, and so on
_SEED = 1
_TRIES = 32
_WORK = (3_000_000, 30_000_000, 300_000_000)  # machine words of a walk: about 3, 30 and 300 ms
_EXACT_KEPT = 2
_NO_END = 1 << 60
_LOOKS_A_VISIT = 20

_Entry = tuple[int, int, int, int]  # how often given up, bound, number of the mix, waste


class Packing:
    """The stage: how to offer a plan, what the cheapest costs by now, the clock."""

    def __init__(
        self,
        columns: Columns,
        offer: Callable[[Picks | None], None],
        cost: Callable[[], int],
        seconds_left: Callable[[], float],
        visits: int | None = None,
    ) -> None:
        """Set up the stage; with `visits` it ends after so many, having proved less, in no time."""
        self.columns = columns
        self.model = columns.model
        self.offer = offer
        self._cost = cost
        self.seconds_left = seconds_left
        self._visits = _NO_END if visits is None else visits
        self._looks = _MIXES if visits is None else visits * _LOOKS_A_VISIT
        self._mixes: list[Mix] = []
        self._known: set[bytes] = set()
        self._open: list[_Entry] = []
        self._given_up: list[int] = []

    def cost(self) -> int:
        """What a plan must be cheaper than: the cheapest so far, or than no plan at all."""
        return min(self._cost(), self.model.missing_cost)

    def run(self) -> int:
        """Offer plans and return the bound proved."""
        model = self.model
        room = int(model.length_room[0])
        if not model.keeps.any() or (int(model.demand.sum()) >> 6) * room > _CELLS:
            return 0
        self.mixes = Mixes(model, least_empty(model.weight, model.demand, model.length_room))
        proved, reach = self.mixes.floor(), _REACH
        while proved < self.cost() and not self._out_of_time():
            target = min(self.mixes.floor() + reach, self.cost() - 1)
            found = self.mixes.within(target, self._looks)
            if found is None:
                break
            self._enter(found)
            self._settle(target)
            proved, reach = target + 1, 4 * reach
        return min([proved, self.cost(), *self._given_up, *(entry[1] for entry in self._open)])

    def _enter(self, found: list[Mix]) -> None:
        for mix in found:
            key = np.concatenate([mix.ended, mix.kept, mix.uncut]).tobytes()
            if key not in self._known:
                self._known.add(key)
                bound = self.mixes.cost(mix, mix.least_waste)
                heapq.heappush(self._open, (0, bound, len(self._mixes), mix.least_waste))
                self._mixes.append(mix)

    def _settle(self, target: int) -> None:
        """Settle all that may hold a plan of this cost or less; short walks first, whatever the mix."""
        later: list[_Entry] = []
        while self._open and not self._out_of_time():
            entry = heapq.heappop(self._open)
            tier, bound, at, waste = entry
            if bound > target:
                later.append(entry)
            elif bound < self.cost():
                self._visit(tier, bound, at, waste)
        self._open = sorted([*self._open, *later])

    def _out_of_time(self) -> bool:
        return self._visits <= 0 or self.seconds_left() <= 0

    def _visit(self, tier: int, bound: int, at: int, waste: int) -> None:
        """Walk one mix at one waste; what comes next of it is entered."""
        self._visits -= 1
        mix = self._mixes[at]
        if tier == 0 and waste == mix.least_waste:
            self._fill(mix)
        if bound >= self.cost():
            return
        settled = self._walk(mix, waste, bound, _WORK[tier])
        if not settled and tier + 1 < len(_WORK) and mix.kept.sum() <= _EXACT_KEPT:
            heapq.heappush(self._open, (tier + 1, bound, at, waste))
        elif not settled:
            self._given_up.append(bound)
        more = self.mixes.next_waste(mix, waste + 1) if tier == 0 and mix.kept.any() else None
        if more is not None and bound < self.cost():
            heapq.heappush(self._open, (0, self.mixes.cost(mix, more), at, more))

    def _rolls(self, mix: Mix) -> tuple[IntArray, IntArray]:
        """Lengths of the rolls cut to the end, shortest first, and of the kept ones, longest first."""
        groups = np.arange(self.model.supply.size)
        return np.repeat(groups, mix.ended)[::-1], np.repeat(groups, mix.kept)

    def _walk(self, mix: Mix, waste: int, bound: int, work: int) -> bool:
        """Offer the cheapest plan of just this waste; False = the walk gave up, or there may be a cheaper."""
        model, mixes = self.model, self.mixes
        ended, kept = self._rolls(mix)
        wanted, exact = model.demand - mix.uncut, kept.size <= _EXACT_KEPT
        size, is_kept, later = self._bins(ended, mixes.content(mix, waste) if kept.size == 1 else None)
        caps = mixes.caps(mix) if kept.size > 1 else mixes.caps(mix)[:0]
        if not caps.size and size.size == 1:
            self._offer(wanted[None, :], np.concatenate([ended, kept]))
            return True
        outlay = mixes.outlay(mix)
        patterns, worth, complete = pack_rolls(
            model.weight,
            wanted,
            size,
            is_kept,
            later,
            caps,
            model.worth,
            waste,
            outlay - self.cost() if kept.size == _EXACT_KEPT else -1,
            outlay - bound if kept.size == _EXACT_KEPT else 0,
            work,
        )
        if worth < 0:
            return complete
        if kept.size > _EXACT_KEPT:
            patterns[size.size :], placed = fill_lengths(
                model.weight, wanted - patterns.sum(axis=0), caps[:0], model.length_room[kept], 1, _SEED
            )
            if not placed:
                return False
        groups = np.zeros(len(patterns), np.int64)
        groups[: size.size][is_kept] = kept[:1]
        groups[: size.size][~is_kept] = ended
        groups[size.size :] = kept[: caps.size]
        self._offer(patterns, groups)
        return complete and (exact or self.cost() <= bound)

    def _bins(self, ended: IntArray, content: int | None) -> tuple[IntArray, npt.NDArray[np.bool_], IntArray]:
        """Rooms and what the one kept roll takes, the smaller first: few patterns make up a small sum."""
        rooms = self.model.length_room[ended]
        empty = self.mixes.empty[ended]
        later = np.append(np.cumsum(empty[::-1])[::-1][1:], [0])[: rooms.size]
        if content is None:
            return rooms, np.zeros(rooms.size, np.bool_), later
        at = int(np.searchsorted(rooms, content))
        after = int(empty[at:].sum())
        is_kept = np.insert(np.zeros(rooms.size, np.bool_), at, True)
        return np.insert(rooms, at, content), is_kept, np.insert(later, at, after)

    def _fill(self, mix: Mix) -> None:
        """A plan of this mix in no time, whatever it wastes."""
        ended, kept = self._rolls(mix)
        if not kept.size:
            return
        rooms, wanted = self.model.length_room, self.model.demand - mix.uncut
        patterns, placed = fill_lengths(self.model.weight, wanted, rooms[ended], rooms[kept], _TRIES, _SEED)
        if placed:
            self._offer(patterns, np.concatenate([ended, kept]))

    def _offer(self, patterns: IntArray, groups: IntArray) -> None:
        used = patterns.any(axis=1)
        picks: Picks = {}
        for at in self.columns.add_best(patterns[used], groups[used]):
            picks[at] = picks.get(at, 0) + 1
        self.offer(picks)
