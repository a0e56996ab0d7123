"""Residual diving: fix what the relaxation cuts whole, round one pattern up, price again, to the end."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting.columns import Columns, Picks
from slingwright.make.cutting.master import Master
from slingwright.make.cutting.model import Residual
from slingwright.make.cutting.pricing import relax
from slingwright.make.cutting.quick import first_fit

__all__ = ["dive"]

IntArray = npt.NDArray[np.int64]

_ROUNDS_BELOW_ROOT = 30
_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class _Node:
    """A plan begun, what is left to do, the columns not to use, and how often we may still turn off."""

    picks: Picks
    residual: Residual
    tabu: frozenset[int]
    turns: int


class _Descent:
    """A walk with few turns off the straight way down; keeps the cheapest plan met."""

    def __init__(
        self,
        master: Master,
        *,
        cutoff: int,
        goal: int,
        out_of_time: Callable[[], bool],
        only: IntArray | None,
        start: Residual,
    ) -> None:
        self.master = master
        self.columns: Columns = master.columns
        self.cutoff = cutoff
        self.goal = goal
        self.out_of_time = out_of_time
        self.only = only
        self.start = start
        self.best: Picks | None = None

    def walk(self, turns: int) -> None:
        """Go down; at each rounding, on the way back, turn off to the next best column if turns are left."""
        stack = [_Node({}, self.start, frozenset(), turns)]
        while stack and not self.out_of_time() and self.cutoff > self.goal:
            node = stack.pop()
            step, turned = self._visit(node)
            if turned is not None and node.turns > 0:
                stack.append(_Node(node.picks, node.residual, node.tabu | {turned}, node.turns - 1))
            if step:
                stack.append(
                    _Node(_sum(node.picks, step), self._less(node.residual, step), node.tabu, node.turns)
                )

    def _visit(self, node: _Node) -> tuple[Picks, int | None]:
        """Solve what is left; returns what to fix next (nothing: this way ends) and the column rounded up."""
        if not node.residual.demand.any():
            self._offer(node.picks)
            return {}, None
        if self.only is None:
            self._offer(_sum(node.picks, first_fit(self.columns, node.residual)))
        spent = sum(int(self.columns.costs[at]) * times for at, times in node.picks.items())
        self.master.load()
        self._restrict(node.residual, node.tabu)
        bound, cut = self._relaxed(node, spent)
        if spent + bound >= self.cutoff:
            return {}, None
        step, turned = self._round(cut, node.residual)
        if not step:
            self._offer(node.picks)  # nothing more is worth cutting: what is left stays uncut
        return step, turned

    def _relaxed(self, node: _Node, spent: int) -> tuple[int, npt.NDArray[np.float64]]:
        """Bound and fractional plan of what is left; over the `only` columns there is nothing to price."""
        if self.only is not None:
            value, _, _, cut = self.master.solve(primal=False)
            return ceil(value - _ROUNDING), cut
        relaxed = relax(
            self.master,
            node.residual,
            enough=self.cutoff - spent,
            give_up=_ROUNDS_BELOW_ROOT,
            out_of_time=self.out_of_time,
            primal=False,
        )
        return relaxed.bound, relaxed.cut

    def _offer(self, picks: Picks) -> None:
        if self.columns.cost_of(picks) < self.cutoff:
            self.best = self.columns.trim(picks)
            self.cutoff = self.columns.cost_of(self.best)

    def _less(self, residual: Residual, step: Picks) -> Residual:
        demand, supply = residual.demand.copy(), residual.supply.copy()
        least, most = residual.least.copy(), residual.most.copy()
        for at, times in step.items():
            used = self.columns.classes[at]
            demand -= times * self.columns.patterns[at]
            supply[self.columns.model.group[used]] -= times
            most[used] -= times
            least[used] = max(least[used] - times, 0)
        return Residual(demand, supply, least, most)

    def _restrict(self, residual: Residual, tabu: frozenset[int]) -> None:
        banned = (self.columns.patterns > residual.demand).any(axis=1)
        free = np.minimum(residual.supply[self.columns.model.group], residual.most)
        banned |= free[self.columns.classes] <= 0
        banned[list(tabu)] = True
        if self.only is not None:
            allowed = np.zeros(banned.size, np.bool_)
            allowed[self.only] = True
            banned |= ~allowed
        self.master.restrict(residual, banned)

    def _round(self, cut: npt.NDArray[np.float64], residual: Residual) -> tuple[Picks, int | None]:
        """All whole parts that fit one after the other; where there are none, the largest fraction once."""
        demand, supply, most = residual.demand.copy(), residual.supply.copy(), residual.most.copy()
        step: Picks = {}
        for at in np.flatnonzero(cut >= 1 - 1e-6):
            pattern, used_class = self.columns.patterns[at], self.columns.classes[at]
            length = self.columns.model.group[used_class]
            used = pattern > 0
            times = min(
                int(cut[at] + 1e-6),
                int((demand[used] // pattern[used]).min()),
                int(min(supply[length], most[used_class])),
            )
            if times > 0:
                step[int(at)] = times
                demand -= times * pattern
                supply[length] -= times
                most[used_class] -= times
        if not step and cut.size and cut.max() > 1e-6:
            largest = int(np.argmax(np.round(cut, 7)))
            return {largest: 1}, largest
        return step, None


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
    turns: int,
    only: IntArray | None = None,
    start: Residual | None = None,
) -> Picks | None:
    """Cheapest plan below `cutoff` met on all ways down with up to `turns` turns, stopping at `goal`.

    With `only`, plans of those columns alone are looked for, and no column is priced on the way.
    """
    run = _Descent(
        master,
        cutoff=cutoff,
        goal=goal,
        out_of_time=out_of_time,
        only=only,
        start=start or master.columns.model.everything(),
    )
    run.walk(turns)
    return run.best
