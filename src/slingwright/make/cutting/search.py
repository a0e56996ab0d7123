"""The search: quick plans, relaxation, dives, integer programs; each stage betters the bound or the plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting.branch import Branching
from slingwright.make.cutting.columns import Columns, Picks
from slingwright.make.cutting.dive import dive
from slingwright.make.cutting.enumeration import columns_within_reach, full_columns
from slingwright.make.cutting.master import Master, pick_integers
from slingwright.make.cutting.model import Model
from slingwright.make.cutting.packing import Packing
from slingwright.make.cutting.pricing import Relaxation, relax
from slingwright.make.cutting.quick import quick_plans

__all__ = ["Outcome", "search", "search_within"]

IntArray = npt.NDArray[np.int64]

_NO_ROUND_LIMIT = 1 << 30
_FULL_PATTERNS = 8_000
_FULL_PATTERNS_FOR_INTEGERS = 1_500
_FULL_TURNS = 3
_FULL_NODES = 300
_REACH = (20_000, 100_000)
_MOST_TURNS = 6
_VISITS = 100
_PACKING_SHARE = 0.5  # of the time; what it leaves open is the tree's


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """The cheapest plan found, its cost and the proved bound [cost units]."""

    columns: Columns
    picks: Picks
    cost: int
    bound: int


class _Search:
    """The cheapest plan so far and the bound so far; the stages run until they meet or time is out."""

    def __init__(self, model: Model, seconds_left: Callable[[], float]) -> None:
        self.model = model
        self.seconds_left = seconds_left
        self.columns = Columns(model)
        self.picks: Picks = {}
        self.cost = self.columns.cost_of({})
        self.bound = 0

    def out_of_time(self) -> bool:
        return self.seconds_left() <= 0

    @property
    def done(self) -> bool:
        settled = self.bound >= min(self.cost, self.model.missing_cost)
        return settled or self.out_of_time()

    def run(self) -> None:
        """All stages, cheapest first."""
        model = self.model
        if not model.demand.any() or not model.room.size:
            self.bound = self.cost
            return
        if model.counts_rolls:
            self.bound = -(-int(model.weight @ model.demand) // int(model.room[0]))
        for picks in quick_plans(self.columns, self.bound):
            self.offer(picks)
        if not model.counts_rolls:
            kept_back = (1 - _PACKING_SHARE) * self.seconds_left()
            packing = Packing(
                self.columns, self.offer, lambda: self.cost, lambda: self.seconds_left() - kept_back
            )
            self.bound = max(self.bound, packing.run())
        if self.done:
            return
        full = full_columns(self.columns, self.bound, _FULL_PATTERNS) if model.counts_rolls else None
        master = Master(self.columns)
        relaxed = relax(
            master,
            model.everything(),
            enough=self.cost,
            give_up=_NO_ROUND_LIMIT,
            out_of_time=self.out_of_time,
        )
        if full is not None and relaxed.bound <= self.bound:
            self._settle_full(master, full)
        self.bound = max(self.bound, relaxed.bound)
        self._dive(master, 0)
        self._dive(master, 1)
        if model.counts_rolls:
            self._count_rolls(master, relaxed)
        elif not self.done:
            tree = Branching(master, self.offer, lambda: self.cost, self.seconds_left)
            self.bound = max(self.bound, tree.run(self.bound))

    def _count_rolls(self, master: Master, relaxed: Relaxation) -> None:
        """Counting rolls, dives with ever more turns are the strong stage; the proof is tried between."""
        for turns in range(2, _MOST_TURNS):
            if turns > 2:
                self._prove(relaxed)
            self._dive(master, turns)

    def offer(self, picks: Picks | None) -> None:
        if picks is None:
            return
        trimmed = self.columns.trim(picks)
        cost = self.columns.cost_of(trimmed)
        if cost < self.cost:
            self.picks, self.cost = trimmed, cost

    def _dive(self, master: Master, turns: int, only: IntArray | None = None) -> None:
        if not self.done:
            self.offer(
                dive(
                    master,
                    cutoff=self.cost if only is None else self.bound + 1,
                    goal=self.bound,
                    out_of_time=self.out_of_time,
                    turns=turns,
                    only=only,
                )
            )

    def _settle_full(self, master: Master, full: IntArray) -> None:
        """With every pattern of a plan of `bound` rolls at hand: find one, or prove it takes a roll more."""
        used = self.bound
        for turns in range(_FULL_TURNS):
            self._dive(master, turns, only=full)
        if self.done or not 0 < full.size <= _FULL_PATTERNS_FOR_INTEGERS:
            return
        picks, proved = pick_integers(
            self.columns,
            full,
            self.model.everything(),
            seconds=self.seconds_left(),
            cutoff=used + 1,
            nodes=_FULL_NODES,
        )
        self.offer(picks)
        if proved and picks is None:
            self.bound = max(self.bound, used + 1)

    def _prove(self, relaxed: Relaxation) -> None:
        """Find the best plan among all columns within reach: then nothing cheaper exists."""
        target = min(self.cost, self.model.missing_cost) - 1
        everything = self.model.everything()
        for most in _REACH:
            if self.done:
                return
            chosen = columns_within_reach(self.columns, everything, relaxed.prices, target, most)
            if chosen is not None:
                break
        else:
            return
        picks, proved = pick_integers(
            self.columns, chosen, everything, seconds=self.seconds_left(), cutoff=target + 1
        )
        self.offer(picks)
        if proved:
            self.bound = max(self.bound, min(self.cost, target + 1))


def search(model: Model, seconds_left: Callable[[], float]) -> Outcome:
    """Cheapest plan and the largest bound that can be proved before `seconds_left()` falls to zero."""
    run = _Search(model, seconds_left)
    run.run()
    return Outcome(columns=run.columns, picks=run.picks, cost=run.cost, bound=min(run.bound, run.cost))


def search_within(
    model: Model, most_cost: int, *, enough: int, seconds_left: Callable[[], float]
) -> Outcome | None:
    """A plan of this cost or less by little work, as cheap as comes along; None = none was found.

    `enough` = the search may end at this cost. Nothing is proved: the bound is `enough`.
    """
    run = _Search(model, seconds_left)
    for picks in quick_plans(run.columns, 0):
        run.offer(picks)

    def cost() -> int:
        return min(run.cost, most_cost + 1) if run.cost > enough else 0

    if not model.counts_rolls and model.demand.any() and model.room.size:
        Packing(run.columns, run.offer, cost, seconds_left, visits=_VISITS).run()
    if run.cost > most_cost:
        return None
    return Outcome(columns=run.columns, picks=run.picks, cost=run.cost, bound=enough)
