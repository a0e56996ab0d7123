"""Plans without a relaxation: first fit decreasing, and rolls filled one by one. The net under the search."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting._kernel import fill_rolls
from slingwright.make.cutting.columns import Columns, Picks
from slingwright.make.cutting.model import Residual

__all__ = ["first_fit", "quick_plans"]

IntArray = npt.NDArray[np.int64]

_FILL_LEANS = (1.0, 1.02, 1.1, 1.3)
_FILL_WORK_AT_MOST = 4e9


class _Shelf:
    """Open rolls and closed stock while pieces are placed one by one."""

    def __init__(self, room: IntArray, supply: IntArray, n: int) -> None:
        self.room, self.supply, self.n = room, supply.copy(), n
        self.left: list[int] = []
        self.classes: list[int] = []
        self.patterns: list[IntArray] = []

    def place(self, piece: int, weight: int, *, smallest: bool) -> bool:
        """Into the first open roll with room, else a new one: the smallest that holds it, or the longest."""
        for at, left in enumerate(self.left):
            if left >= weight:
                self.left[at] -= weight
                self.patterns[at][piece] += 1
                return True
        order = range(self.room.size - 1, -1, -1) if smallest else range(self.room.size)
        for stock_class in order:
            if self.supply[stock_class] > 0 and self.room[stock_class] >= weight:
                self.supply[stock_class] -= 1
                self.left.append(int(self.room[stock_class]) - weight)
                self.classes.append(stock_class)
                pattern = np.zeros(self.n, np.int64)
                pattern[piece] = 1
                self.patterns.append(pattern)
                return True
        return False


def first_fit(columns: Columns, residual: Residual, *, smallest: bool = False, optional: bool = True) -> Picks:
    """First fit decreasing on what is left to cut; pieces without room stay uncut."""
    model = columns.model
    shelf = _Shelf(model.room, residual.supply, model.weight.size)
    for piece in range(model.weight.size):
        if not (optional or model.must[piece]):
            continue
        for _ in range(int(residual.demand[piece])):
            if not shelf.place(piece, int(model.weight[piece]), smallest=smallest):
                break
    picks: Picks = {}
    if shelf.patterns:
        for at in columns.add(np.array(shelf.patterns), np.array(shelf.classes, np.int64)):
            picks[at] = picks.get(at, 0) + 1
    return picks


def quick_plans(columns: Columns) -> list[Picks]:
    """A handful of whole plans; the planner starts from the cheapest."""
    model = columns.model
    everything = Residual(model.demand, model.supply)
    plans = [
        first_fit(columns, everything, smallest=smallest, optional=optional)
        for smallest in (False, True)
        for optional in ((True, False) if not model.must.all() else (True,))
    ]
    work = float(model.room.max()) * model.weight.size * model.demand.sum()
    if model.counts_rolls and work <= _FILL_WORK_AT_MOST and model.weight.max() <= model.room.max():
        for lean in _FILL_LEANS:
            patterns, times = fill_rolls(model.weight, model.demand, int(model.room[0]), lean)
            where = columns.add(patterns, np.zeros(times.size, np.int64))
            picks: Picks = {}
            for at, n in zip(where, times, strict=True):
                picks[at] = picks.get(at, 0) + int(n)
            plans.append(picks)
    return plans
