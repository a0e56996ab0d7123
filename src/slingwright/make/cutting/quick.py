"""Plans without a relaxation: first fit decreasing, and rolls filled one by one. The net under the search."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting._fill import fill_rolls, fill_shelf, first_fit_rolls
from slingwright.make.cutting.columns import Columns, Picks
from slingwright.make.cutting.model import Residual

__all__ = ["fill_chosen", "fill_one_by_one", "first_fit", "quick_plans"]

_FILL_TRIES = 24
_FILL_WORK = 1_000_000_000
_FILL_CELLS_AT_MOST = 100_000_000
_SEED = 1
_SHELF_TRIES = 48
_SHELF_CELLS = 20_000_000
_ROUNDING = 1e-6


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


def fill_chosen(columns: Columns, cut: npt.NDArray[np.float64]) -> Picks | None:
    """A plan on the rolls and remnants that a relaxation mounts, filled one by one; None if it does not fit.

    The relaxation says how many of each length are cut to the end and how many leave a remnant; a class used
    partly is mounted whole. Short rolls first: they are the hardest to fill.
    """
    model = columns.model
    uses = np.zeros(model.room.size)
    np.add.at(uses, columns.classes[: cut.size], cut)
    rolls = np.minimum(np.ceil(uses - _ROUNDING).astype(np.int64), model.supply[model.group])
    over = np.bincount(model.group, rolls, model.supply.size) > model.supply
    if over.any():
        return None
    wanted = np.minimum(np.rint(cut @ columns.patterns[: cut.size]).astype(np.int64), model.demand)
    ended = np.repeat(model.group[~model.keeps], rolls[~model.keeps])[::-1]
    kept = np.repeat(model.group[model.keeps], rolls[model.keeps])
    rooms = model.length_room
    work = int(rooms[ended].sum() * wanted.sum()) + 1
    tries = min(max(_SHELF_CELLS // work, 1), _SHELF_TRIES)
    patterns, placed = fill_shelf(model.weight, wanted, rooms[ended], rooms[kept], tries, _SEED)
    if not placed:
        return None
    used = patterns.any(axis=1)
    picks: Picks = {}
    for at in columns.add_best(patterns[used], np.concatenate([ended, kept])[used]):
        picks[at] = picks.get(at, 0) + 1
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
