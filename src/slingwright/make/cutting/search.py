"""The search: quick plans, relaxation, dives, integer program over columns, enumeration and its proof."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting._kernel import enumerate_patterns, table_of_values
from slingwright.make.cutting.columns import Columns, Picks
from slingwright.make.cutting.dive import dive
from slingwright.make.cutting.master import Master, pick_integers
from slingwright.make.cutting.model import Model, Residual
from slingwright.make.cutting.pricing import Relaxation, relax
from slingwright.make.cutting.quick import quick_plans

__all__ = ["Outcome", "search"]

IntArray = npt.NDArray[np.int64]

@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """The cheapest plan found, its cost and the proved bound [cost units]."""

    columns: Columns
    picks: Picks
    cost: int
    bound: int


class _Search:
    def __init__(self, model: Model, left_s: Callable[[], float], trace=None) -> None:
        self.model = model
        self.left_s = left_s
        self.columns = Columns(model)
        self.picks: Picks = {}
        self.cost = self.columns.cost_of({})
        self.bound = 0
        self.trace = trace or (lambda *a: None)

    def out_of_time(self) -> bool:
        return self.left_s() <= 0

    def offer(self, picks: Picks | None) -> None:
        if picks is None:
            return
        trimmed = self.columns.trim(picks)
        cost = self.columns.cost_of(trimmed)
        if cost < self.cost:
            self.picks, self.cost = trimmed, cost

    @property
    def done(self) -> bool:
        return self.bound >= self.cost or self.out_of_time()

    def run(self) -> None:
        model = self.model
        if not model.demand.any() or not model.room.size:
            self.bound = self.cost
            return
        self.bound = trivial_bound(model)
        for picks in quick_plans(self.columns):
            self.offer(picks)
        self.trace("quick", self.cost, self.bound)
        if self.done:
            return
        master = Master(self.columns)
        everything = Residual(model.demand, model.supply)
        relaxed = relax(master, everything, enough=self.cost, give_up=10**6, out_of_time=self.out_of_time)
        self.bound = max(self.bound, relaxed.bound)
        self.trace("relax", self.cost, self.bound, self.columns.size)
        if self.done:
            return
        self.offer(dive(master, cutoff=self.cost, goal=self.bound, out_of_time=self.out_of_time, dives=1))
        self.trace("dive1", self.cost, self.bound, self.columns.size)
        if self.done: return
        self.prove(relaxed)
        self.trace("prove", self.cost, self.bound, self.columns.size)
        if self.done: return
        self.offer(dive(master, cutoff=self.cost, goal=self.bound, out_of_time=self.out_of_time, dives=20))
        self.trace("dives", self.cost, self.bound, self.columns.size)

    def prove(self, relaxed: Relaxation) -> None:
        limit = 20000
        chosen = every_column(self.columns, relaxed.prices, self.cost - 1, limit)
        self.trace("enumerated", None if chosen is None else chosen.size)
        if chosen is None:
            return
        picks, proved = pick_integers(self.columns, chosen, seconds=self.left_s(), cutoff=self.cost)
        self.offer(picks)
        if proved:
            self.bound = self.cost


def trivial_bound(model: Model) -> int:
    if model.counts_rolls:
        return -(-int(model.weight @ model.demand) // int(model.room[0]))
    return 0


def every_column(columns: Columns, prices: IntArray, target: int, limit: int) -> IntArray | None:
    """Every column a plan of cost ≤ target may hold, by reduced cost against the bound of these prices."""
    model = columns.model
    scale = model.scale
    room = int(model.room[0])
    if (model.weight.size + 1) * (room + 1) > 4e7:
        return None
    worth = model.worth * scale
    table = table_of_values(model.weight, prices, model.demand, room, worth)
    best = table[0, model.room]
    if model.counts_rolls:
        # shrink the prices until no pattern earns more than its roll
        over = int(best[0])
        if over > scale:
            prices = prices * scale // over
            table = table_of_values(model.weight, prices, model.demand, room, worth)
            best = table[0, model.room]
    free = np.minimum(model.base * scale - best, 0)
    bound = int(prices @ model.demand) + int(free @ model.supply)
    bound += int(np.minimum(model.uncut_cost * scale - prices, 0) @ model.demand)
    slack = target * scale - bound
    kept = []
    for s in range(model.room.size):
        needed = int(model.base[s] * scale - free[s] - slack)
        pats, complete = enumerate_patterns(model.weight, prices, model.demand, int(model.room[s]), worth, needed, table, limit)
        if not complete:
            return None
        pats = pats[pats.any(axis=1)]
        kept.extend(columns.add(pats, np.full(len(pats), s, np.int64)))
    return np.array(sorted(set(kept)), np.int64)


def search(model: Model, left_s: Callable[[], float], trace=None) -> Outcome:
    run = _Search(model, left_s, trace)
    run.run()
    return Outcome(columns=run.columns, picks=run.picks, cost=run.cost, bound=min(run.bound, run.cost))
