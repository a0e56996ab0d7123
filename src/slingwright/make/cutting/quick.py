"""Plans without a relaxation: first fit decreasing, and rolls filled one by one. The net under the search."""

from __future__ import annotations

import numpy as np

from slingwright.make.cutting._fill import fill_rolls, first_fit_rolls
from slingwright.make.cutting.columns import Columns, Picks
from slingwright.make.cutting.model import Residual

__all__ = ["fill_one_by_one", "first_fit", "quick_plans"]

_FILL_TRIES = 24
_FILL_WORK = 1_000_000_000
_FILL_CELLS_AT_MOST = 100_000_000
_SEED = 1


def first_fit(
    columns: Columns, residual: Residual, *, smallest: bool = False, optional: bool = True
) -> Picks:
    """First fit decreasing on what is left to cut; pieces without room stay uncut."""
    model = columns.model
    wanted = residual.demand if optional else np.where(model.must, residual.demand, 0)
    patterns, groups = first_fit_rolls(model.weight, wanted, model.length_room, residual.supply, smallest)
    picks: Picks = {}
    for at in columns.add_best(patterns, groups):
        picks[at] = picks.get(at, 0) + 1
    return picks


def fill_one_by_one(columns: Columns, goal: int) -> Picks:
    """Rolls of one length filled as full as can be, one after the other; stops at `goal` rolls."""
    model = columns.model
    room = int(model.room[0])
    patterns, times = fill_rolls(model.weight, model.demand, room, goal, _FILL_TRIES, _FILL_WORK, _SEED)
    picks: Picks = {}
    for at, n in zip(columns.add(patterns, np.zeros(times.size, np.int64)), times, strict=True):
        picks[at] = picks.get(at, 0) + int(n)
    return picks


def quick_plans(columns: Columns, goal: int) -> list[Picks]:
    """A handful of whole plans; the planner starts from the cheapest."""
    model = columns.model
    everything = model.everything()
    plans = [
        first_fit(columns, everything, smallest=smallest, optional=optional)
        for smallest in (False, True)
        for optional in ((True, False) if not model.must.all() else (True,))
    ]
    room = int(model.room[0])
    work = room * int(model.demand.sum())
    if model.counts_rolls and work <= _FILL_CELLS_AT_MOST and model.weight[0] <= room:
        plans.append(fill_one_by_one(columns, goal))
    return plans
