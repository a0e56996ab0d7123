"""Column generation: price, add, solve again; and the exact bound that integer prices prove."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting._coarse import price_coarsely, price_exactly
from slingwright.make.cutting._kernel import price_patterns
from slingwright.make.cutting.master import Master
from slingwright.make.cutting.model import Model, Residual

__all__ = ["Relaxation", "class_rents", "exact_bound", "relax"]

IntArray = npt.NDArray[np.int64]
FloatArray = npt.NDArray[np.float64]

_PATTERNS_A_ROUND = 24
_CELLS_AT_ONCE = 4_000_000  # more cells than this, and the coarse tables are faster
_COARSE_CELLS = 8_192
_STEPS = 2_000_000
_BOUNDLESS = 1 << 60


@dataclass(frozen=True, slots=True)
class Relaxation:
    """A solved relaxation: its proved bound, the whole prices that prove it, how often each column is cut."""

    bound: int
    prices: IntArray
    cut: FloatArray
    closed: bool  # False = the clock or the goal stopped it early; the bound holds all the same


def class_rents(model: Model, residual: Residual, reduced: IntArray) -> tuple[int, IntArray]:
    """Best multipliers for the rows of stock, given the least reduced cost of each class (c,), scaled.

    Returns their share of the bound, and the rent (c,) a pattern of the class pays: what its cost less its
    value exceeds the rent by is never negative.
    """
    share = 0
    rent = np.zeros(reduced.size, np.int64)
    for g in range(residual.supply.size):
        members = [int(c) for c in np.flatnonzero(model.group == g)]
        choices: list[tuple[int, int]] = []
        for level in sorted({0, *(min(int(reduced[c]), 0) for c in members)}, reverse=True):
            value = int(residual.supply[g]) * level
            for c in members:
                over = int(reduced[c]) - level
                value += over * int(residual.least[c] if over > 0 else residual.most[c])
            choices.append((value, level))
        value, level = max(choices)
        share += value
        for c in members:
            bound_below = residual.least[c] > 0 or reduced[c] < level
            rent[c] = reduced[c] if bound_below else level
    return share, rent


def exact_bound(model: Model, residual: Residual, prices: IntArray, best: IntArray) -> int:
    """Lower bound on the whole cost that these prices prove, rounded up.

    Lagrange bound of the set-covering program: each class counts with the least reduced cost of its patterns,
    as often as it must or may be used. Counting rolls of one length it is Farley's bound.
    """
    paid = int(prices @ residual.demand)
    scale = model.scale
    if model.counts_rolls:
        return -(-paid // max(int(best[0]), scale))
    share, _ = class_rents(model, residual, model.base * scale - best)
    uncut = int(np.minimum(model.uncut_cost * scale - prices, 0) @ residual.demand)
    return -(-(paid + share + uncut) // scale)


def _price(
    model: Model, demand: IntArray, prices: IntArray, needed: IntArray
) -> tuple[IntArray, IntArray, IntArray]:
    """Patterns that pay, their classes, and the best value of each class (or an upper bound of it)."""
    best = np.zeros(model.room.size, np.int64)
    patterns: list[IntArray] = []
    classes: list[IntArray] = []
    for keeping in (False, True):
        members = np.flatnonzero(model.keeps == keeping)
        if members.size:
            rooms = model.room[members]
            worth = model.worth * model.scale if keeping else np.zeros(int(rooms[0]) + 1, np.int64)
            some, theirs, best[members] = _price_rooms(model, demand, prices, needed[members], rooms, worth)
            patterns.append(some)
            classes.append(members[theirs])
    return np.concatenate(patterns), np.concatenate(classes), best


def _price_rooms(
    model: Model, demand: IntArray, prices: IntArray, needed: IntArray, rooms: IntArray, worth: IntArray
) -> tuple[IntArray, IntArray, IntArray]:
    room = int(rooms[0])
    grain = -(-room // _COARSE_CELLS)
    wanted = _PATTERNS_A_ROUND
    if grain == 1 or np.count_nonzero(prices) * room <= _CELLS_AT_ONCE:
        return price_patterns(model.weight, prices, demand, rooms, worth, needed, wanted)
    patterns, classes = price_coarsely(model.weight, prices, demand, rooms, worth, needed, wanted, grain)
    if len(patterns):
        return patterns, classes, np.full(rooms.size, _BOUNDLESS, np.int64)
    return price_exactly(model.weight, prices, demand, rooms, worth, needed, wanted, grain, _STEPS)


def relax(
    master: Master,
    residual: Residual,
    *,
    enough: int,
    give_up: int,
    out_of_time: Callable[[], bool],
    primal: bool = True,
) -> Relaxation:
    """Solve the relaxation by column generation on the residual problem.

    Stops early once the bound reaches `enough` (it cannot help to raise it further, e.g. the best plan's
    cost), or after `give_up` rounds (a dive needs good columns, not a proof).
    """
    model = master.columns.model
    scale = model.scale
    bound = 0
    rounds = 0
    best_prices = np.zeros(model.weight.size, np.int64)
    while True:
        master.load()
        value, duals, class_duals, cut = master.solve(primal=primal)
        primal = True
        prices = np.floor(np.maximum(duals, 0.0) * scale).astype(np.int64)
        rent = np.ceil(class_duals * scale).astype(np.int64)
        rent[np.minimum(residual.supply[model.group], residual.most) <= 0] = -_BOUNDLESS
        needed = model.base * scale - rent
        needed += max(1, scale >> 20)  # columns cheaper by a rounding only would never end
        patterns, classes, best = _price(model, residual.demand, prices, needed)
        proved = 0 if int(best.max()) >= _BOUNDLESS else exact_bound(model, residual, prices, best)
        if proved > bound or rounds == 0:
            bound, best_prices = proved, prices
        rounds += 1
        before = master.columns.size
        master.columns.add(patterns, classes)
        closed = master.columns.size == before
        if closed or bound >= enough or bound >= value - 1e-6 or rounds >= give_up or out_of_time():
            return Relaxation(bound, best_prices, cut, closed)
