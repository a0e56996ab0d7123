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

__all__ = ["Relaxation", "exact_bound", "relax"]

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


def exact_bound(model: Model, residual: Residual, prices: IntArray, best: IntArray) -> int:
    """Lower bound on the whole cost that these prices prove, rounded up.

    Lagrange bound of the set-covering program: every class contributes at most its supply times the most
    negative reduced cost of its patterns. Counting rolls of one length it is Farley's bound.
    """
    paid = int(prices @ residual.demand)
    scale = model.scale
    if model.counts_rolls:
        return -(-paid // max(int(best[0]), scale))
    free = np.minimum(model.base * scale - best, 0)
    bound = paid + int(free @ residual.supply)
    bound += int(np.minimum(model.uncut_cost * scale - prices, 0) @ residual.demand)
    return -(-bound // scale)


def _price(
    model: Model, demand: IntArray, prices: IntArray, worth: IntArray, needed: IntArray
) -> tuple[IntArray, IntArray, IntArray]:
    """Patterns that pay, their classes, and the best value of each class (or an upper bound of it)."""
    room = int(model.room[0])
    grain = -(-room // _COARSE_CELLS)
    if grain == 1 or np.count_nonzero(prices) * room <= _CELLS_AT_ONCE:
        return price_patterns(model.weight, prices, demand, model.room, worth, needed, _PATTERNS_A_ROUND)
    patterns, classes = price_coarsely(
        model.weight, prices, demand, model.room, worth, needed, _PATTERNS_A_ROUND, grain
    )
    if len(patterns):
        unknown = np.full(model.room.size, _BOUNDLESS, np.int64)
        return patterns, classes, unknown
    return price_exactly(
        model.weight, prices, demand, model.room, worth, needed, _PATTERNS_A_ROUND, grain, _STEPS
    )


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
    worth = model.worth * scale
    bound = 0
    rounds = 0
    best_prices = np.zeros(model.weight.size, np.int64)
    while True:
        master.load()
        value, duals, class_duals, cut = master.solve(primal=primal)
        primal = True
        prices = np.floor(np.maximum(duals, 0.0) * scale).astype(np.int64)
        rent = np.ceil(np.minimum(class_duals, 0.0) * scale).astype(np.int64)
        rent[residual.supply == 0] = -(1 << 60)
        needed = model.base * scale - rent
        needed += max(1, scale >> 20)  # columns cheaper by a rounding only would never end
        patterns, classes, best = _price(model, residual.demand, prices, worth, needed)
        proved = 0 if int(best[0]) == _BOUNDLESS else exact_bound(model, residual, prices, best)
        if proved > bound or rounds == 0:
            bound, best_prices = proved, prices
        rounds += 1
        before = master.columns.size
        master.columns.add(patterns, classes)
        closed = master.columns.size == before
        if closed or bound >= enough or bound >= value - 1e-6 or rounds >= give_up or out_of_time():
            return Relaxation(bound, best_prices, cut, closed)
