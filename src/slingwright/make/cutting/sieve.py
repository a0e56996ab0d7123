"""The first stage for a shop's day: bound the plan with long rolls in the lump, fill them, raise the target.

Only patterns that waste no more than a plan within the target could afford are written out; the target rises
from the bound until a plan meets it. What this stage leaves open is left to the relaxation and its tree.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting._fill import enumerate_full_patterns
from slingwright.make.cutting._subset import fill_lengths, least_empty
from slingwright.make.cutting.columns import Columns, Picks
from slingwright.make.cutting.lump import Filled, Lump, LumpPlan

__all__ = ["Sieve"]

IntArray = npt.NDArray[np.int64]

_PIECES = 36  # fewer, and the tree settles them sooner
_CELLS = 40_000_000
_SEED = 1
_TRIES = 64
_TRIES_AT_TARGET = 400
_NODES = 2_000
_NODES_AT_TARGET = 60
_PATTERNS = (4_000, 30_000)
_STEP = 4
_ROUNDS = 16


@dataclass(frozen=True, slots=True)
class Sieve:
    """The stage's surroundings: how to offer a plan, what the cheapest costs by now, the clock."""

    columns: Columns
    offer: Callable[[Picks | None], None]
    cost: Callable[[], int]
    seconds_left: Callable[[], float]

    def run(self) -> int:
        """Offer plans and return the bound proved."""
        model = self.columns.model
        pieces, room = int(model.demand.sum()), int(model.length_room[0])
        if pieces < _PIECES or not model.keeps.any() or max(pieces // 64, model.weight.size) * room > _CELLS:
            return 0
        empty = least_empty(model.weight, model.demand, model.length_room)
        lump = Lump(model, empty, ())
        plan, bound = lump.solve(seconds=self.seconds_left(), nodes=_NODES)
        if bound is None:
            return model.missing_cost
        self._fill(lump, plan, _TRIES)
        reach = np.full(model.supply.size, bound)
        for group in range(model.supply.size):
            if bound >= self.cost() or self.seconds_left() <= 0:
                return bound
            lump.use(group, least=1)
            plan, reached = lump.solve(seconds=self.seconds_left(), nodes=_NODES)
            reach[group] = self.cost() if reached is None else max(bound, reached)
            self._fill(lump, plan, _TRIES // 2)
            lump.use(group, least=0)
        return self._raise(bound, reach, empty)

    def _raise(self, bound: int, reach: IntArray, empty: IntArray) -> int:
        """Ask for a plan of ever higher cost; returns the bound proved."""
        step, tier = 0, 0
        for _ in range(_ROUNDS):
            if bound >= self.cost() or self.seconds_left() <= 0:
                break
            target = min(bound + step, self.cost() - 1)
            lump = self._written(target, reach, empty, _PATTERNS[tier])
            plan, proved = lump.solve(seconds=self.seconds_left(), nodes=_NODES_AT_TARGET)
            if proved is None or proved > target:
                bound = target + 1
                step = max(2 * step, _STEP)
                continue
            bound = max(bound, proved)
            before = self.cost()
            self._fill(lump, plan, _TRIES_AT_TARGET)
            if self.cost() == before:
                tier += 1
                if plan is None or tier == len(_PATTERNS):
                    break
        return bound

    def _written(self, target: int, reach: IntArray, empty: IntArray, most: int) -> Lump:
        """The program of the plans of this cost or less, every length written out that has few patterns.

        A plan that cuts a length to the end costs at least its `reach`, with its waste at the least; a
        pattern that wastes more than the target allows beyond that is in no such plan.
        """
        model = self.columns.model
        filled = []
        for group, room in enumerate(model.length_room):
            spare = int(target - reach[group] + empty[group]) if reach[group] <= target else -1
            patterns, complete = np.zeros((0, model.weight.size), np.int64), True
            if spare >= 0:
                patterns, complete = enumerate_full_patterns(
                    model.weight, model.demand, int(room), min(spare, int(room)), most
                )
            if complete:
                filled.append(Filled(group, patterns))
        lump = Lump(model, empty, filled)
        lump.at_most(target)
        return lump

    def _fill(self, lump: Lump, plan: LumpPlan | None, tries: int) -> None:
        """Make a plan of a solution: its patterns as they are, the rolls of its lump filled one by one."""
        if plan is None:
            return
        model = self.columns.model
        groups = np.arange(model.supply.size)
        ended, kept = np.repeat(groups, plan.ended)[::-1], np.repeat(groups, plan.kept)
        left = model.demand - plan.uncut - plan.cut @ lump.patterns
        rooms = model.length_room
        patterns, placed = fill_lengths(model.weight, left, rooms[ended], rooms[kept], tries, _SEED)
        if not placed:
            return
        used = patterns.any(axis=1)
        written = np.flatnonzero(plan.cut)
        picks: Picks = {}
        for at in self.columns.add_best(patterns[used], np.concatenate([ended, kept])[used]):
            picks[at] = picks.get(at, 0) + 1
        for at, times in zip(
            self.columns.add_best(lump.patterns[written], lump.groups[written]),
            plan.cut[written],
            strict=True,
        ):
            picks[at] = picks.get(at, 0) + int(times)
        self.offer(picks)
