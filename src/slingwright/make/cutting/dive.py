"""Residual diving: fix what the relaxation cuts whole, round one pattern up, price again, until all is cut."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting.columns import Columns, Picks
from slingwright.make.cutting.master import Master
from slingwright.make.cutting.model import Residual
from slingwright.make.cutting.pricing import relax
from slingwright.make.cutting.quick import first_fit

__all__ = ["Dive", "dive"]

IntArray = npt.NDArray[np.int64]

_ROUNDS_BELOW_ROOT = 30


class Dive:
    """One way down from a relaxation; keeps the residual problem and the cheapest plan met."""

    def __init__(self, master: Master, *, cutoff: int, goal: int, out_of_time: Callable[[], bool]) -> None:
        self.master = master
        self.columns: Columns = master.columns
        self.cutoff = cutoff
        self.goal = goal
        self.out_of_time = out_of_time
        self.best: Picks | None = None

    def offer(self, picks: Picks) -> None:
        """Keep a plan cheaper than every one before."""
        trimmed = self.columns.trim(picks)
        cost = self.columns.cost_of(trimmed)
        if cost < self.cutoff:
            self.best, self.cutoff = trimmed, cost

    def descend(self, picks: Picks, tabu: frozenset[int], *, first: bool) -> int | None:
        """Go down from the plan begun; returns the first column rounded up (to be tabu in a later dive)."""
        model = self.columns.model
        chosen: int | None = None
        while not self.out_of_time() and self.cutoff > self.goal:
            residual = self._residual(picks)
            if residual is None:
                return chosen
            if not residual.demand.any():
                self.offer(picks)
                return chosen
            self.offer({**_sum(picks, first_fit(self.columns, residual))})
            spent = sum(int(self.columns.costs[at]) * times for at, times in picks.items())
            self.master.load()
            self._restrict(residual, tabu)
            relaxed = relax(
                self.master,
                residual,
                enough=self.cutoff - spent,
                give_up=_ROUNDS_BELOW_ROOT,
                out_of_time=self.out_of_time,
                primal=False,
            )
            if spent + relaxed.bound >= self.cutoff:
                return chosen
            step = self._round(relaxed.cut, residual)
            if not step:
                self.offer(picks)  # nothing more is worth cutting: what is left stays uncut
                return chosen
            if chosen is None and first:
                chosen = max(step, key=lambda at: (step[at], -at))
            picks = _sum(picks, step)
        return chosen

    def _residual(self, picks: Picks) -> Residual | None:
        model = self.columns.model
        demand, supply = model.demand.copy(), model.supply.copy()
        for at, times in picks.items():
            demand -= times * self.columns.patterns[at]
            supply[self.columns.classes[at]] -= times
        if (demand < 0).any() or (supply < 0).any():
            return None
        return Residual(demand, supply)

    def _restrict(self, residual: Residual, tabu: frozenset[int]) -> None:
        banned = (self.columns.patterns > residual.demand).any(axis=1)
        banned |= residual.supply[self.columns.classes] <= 0
        banned[list(tabu)] = True
        self.master.restrict(residual.demand, residual.supply, banned)

    def _round(self, cut: npt.NDArray[np.float64], residual: Residual) -> Picks:
        """All whole parts that fit one after the other; where there are none, the largest fraction once."""
        demand, supply = residual.demand.copy(), residual.supply.copy()
        step: Picks = {}
        for at in np.flatnonzero(cut >= 1 - 1e-6):
            pattern, stock_class = self.columns.patterns[at], self.columns.classes[at]
            used = pattern > 0
            times = min(int(cut[at] + 1e-6), int((demand[used] // pattern[used]).min()), int(supply[stock_class]))
            if times > 0:
                step[int(at)] = times
                demand -= times * pattern
                supply[stock_class] -= times
        if not step and cut.size and cut.max() > 1e-6:
            at = int(np.lexsort((np.arange(cut.size), -np.round(cut, 7)))[0])
            step[at] = 1
        return step


def _sum(one: Picks, other: Picks) -> Picks:
    total = dict(one)
    for at, times in other.items():
        total[at] = total.get(at, 0) + times
    return total


def dive(
    master: Master,
    *,
    cutoff: int,
    goal: int,
    out_of_time: Callable[[], bool],
    dives: int,
) -> Picks | None:
    """Cheapest plan below `cutoff` that up to `dives` descents find, stopping at `goal`; None if none does.

    The first goes straight down; each later one may not start with the columns the earlier ones rounded
    up first, until those run out.
    """
    run = Dive(master, cutoff=cutoff, goal=goal, out_of_time=out_of_time)
    tabu: frozenset[int] = frozenset()
    for _ in range(dives):
        if out_of_time() or run.cutoff <= goal:
            break
        chosen = run.descend({}, tabu, first=True)
        if chosen is None:
            break
        tabu |= {chosen}
    model = master.columns.model
    master.load()
    master.restrict(model.demand, model.supply, np.zeros(master.columns.size, np.bool_))
    return run.best
