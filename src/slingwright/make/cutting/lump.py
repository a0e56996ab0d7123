"""The whole problem with its long rolls in the lump: an integer program small enough for every length.

Short rolls decide a plan: few patterns fill them well. Long rolls hold so many pieces that nearly any set of
pieces of the right total fills them, so that only their total room is asked for. Chosen lengths have all
their patterns written out, all others count in the lump; a roll that leaves a remnant is always in it. Every
plan fits this program at no more than its cost (a remnant's worth is replaced by its concave hull, less than
one unit above it), so its optimum is a bound; where all that is in the lump is one kept roll, it is a plan.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import highspy
import numpy as np
import numpy.typing as npt

from slingwright.make.cutting._kernel import compiled
from slingwright.make.cutting.master import quiet_highs
from slingwright.make.cutting.model import Model

__all__ = ["Filled", "Lump", "LumpPlan", "hull_lines"]

IntArray = npt.NDArray[np.int64]
FloatArray = npt.NDArray[np.float64]

_LINES = 40
_SURE = 1e-3  # the solver's figures are trusted to this
_INF = highspy.kHighsInf


@compiled
def _hull(worth: IntArray) -> IntArray:
    """Corners of the least concave function above `worth`."""
    at = np.empty(worth.size, np.int64)
    k = 0
    for j in range(worth.size):
        while k >= 2 and (worth[at[k - 1]] - worth[at[k - 2]]) * (j - at[k - 2]) <= (
            worth[j] - worth[at[k - 2]]
        ) * (at[k - 1] - at[k - 2]):
            k -= 1
        at[k] = j
        k += 1
    return at[:k]


def hull_lines(model: Model) -> list[tuple[float, float]]:
    """Slopes and heights of lines never below the worth of a leftover (in units, from nothing)."""
    corners = _hull(model.worth)
    if corners.size == 1:
        return [(0.0, float(model.worth[0]))]
    at = np.linspace(0, model.worth.size - 1, _LINES)
    lines = []
    for c in np.unique(np.clip(np.searchsorted(corners, at, side="right") - 1, 0, corners.size - 2)):
        one, other = int(corners[c]), int(corners[c + 1])
        slope = int(model.worth[other] - model.worth[one]) / (other - one)
        lines.append((slope, int(model.worth[one]) - slope * (one + model.least_kept)))
    return lines


@dataclass(frozen=True, slots=True)
class Filled:
    """All patterns (k, n) of one length, cut to the end, that a plan within reach may hold."""

    group: int
    patterns: IntArray


@dataclass(frozen=True, slots=True, kw_only=True)
class LumpPlan:
    """A solution: how often each written pattern is cut, what is uncut (n,), and the lump (g,) and (g,)."""

    cost: float
    cut: IntArray
    uncut: IntArray
    ended: IntArray
    kept: IntArray


class Lump:
    """min cost over written patterns, uncut pieces and lumps; see the module. `empty` (g,) = least waste."""

    def __init__(self, model: Model, empty: IntArray, filled: Sequence[Filled]) -> None:
        self.model = model
        written = {f.group for f in filled}
        self.patterns = np.concatenate(
            [np.zeros((0, model.weight.size), np.int64), *(f.patterns for f in filled)]
        )
        self.groups = np.concatenate(
            [np.zeros(0, np.int64), *(np.full(len(f.patterns), f.group, np.int64) for f in filled)]
        )
        self.optional = np.flatnonzero(~model.must)
        g, p, o = model.supply.size, len(self.patterns), self.optional.size
        # columns: patterns, uncut, ended lump, kept lump, leftover, its worth, waste
        self._uncut, self._ended, self._kept, self._left = p, p + o, p + o + g, p + o + 2 * g
        self._size = self._left + 3
        keeps = np.zeros(g, np.bool_)
        keeps[model.group[model.keeps]] = True
        base = model.base[:g].astype(np.float64)
        self.cost = np.concatenate(
            [base[self.groups], model.uncut_cost[self.optional], base, base, [0, -1, 0]]
        )
        lumped = np.array([0 if at in written else int(u) for at, u in enumerate(model.supply)])
        self._upper = np.concatenate(
            [
                model.supply[self.groups],
                model.demand[self.optional],
                lumped,
                np.where(keeps, model.supply, 0),
                np.full(3, _INF),
            ]
        ).astype(np.float64)
        self._highs = quiet_highs()
        self._highs.setOptionValue("mip_rel_gap", 0.0)
        self._highs.setOptionValue("mip_abs_gap", 0.01)
        self._highs.setOptionValue("mip_feasibility_tolerance", 1e-9)
        self._highs.passModel(self._program(*self._rows(empty)))

    def _rows(self, empty: IntArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Matrix (rows, columns) and the bounds of its rows."""
        model, g, n = self.model, self.model.supply.size, self.model.weight.size
        lines = hull_lines(model)
        rows = np.zeros((4 + len(lines) + g + n, self._size))
        low, high = np.full(len(rows), -_INF), np.zeros(len(rows))
        ended, kept = slice(self._ended, self._kept), slice(self._kept, self._left)
        left, worth, waste = self._left, self._left + 1, self._left + 2
        total = float(model.weight @ model.demand)
        rows[0, : self._uncut] = self.patterns @ model.weight  # every length is accounted for
        rows[0, self._uncut : self._ended] = model.weight[self.optional]
        rows[0, ended] = rows[0, kept] = model.length_room
        rows[0, [left, waste]] = -1
        low[0] = high[0] = total
        rows[1, kept], rows[1, left] = model.least_kept, -1
        rows[2, kept], rows[2, left] = -(model.length_room - model.weight.min()), 1
        rows[3, ended], rows[3, waste] = empty, -1
        for at, (slope, height) in enumerate(lines, 4):
            rows[at, worth], rows[at, left], rows[at, kept] = 1, -slope, -height
        for length in range(g):
            at = 4 + len(lines) + length
            rows[at, : self._uncut] = self.groups == length
            rows[at, [self._ended + length, self._kept + length]] = 1
            high[at] = model.supply[length]
        at = 4 + len(lines) + g
        rows[at:, : self._uncut] = self.patterns.T
        rows[at + self.optional, self._uncut + np.arange(self.optional.size)] = 1
        high[at:] = model.demand
        return rows, low, high

    def _program(self, rows: FloatArray, low: FloatArray, high: FloatArray) -> highspy.HighsLp:
        lp = highspy.HighsLp()
        lp.num_row_, lp.num_col_ = rows.shape
        lp.col_cost_, lp.col_lower_, lp.col_upper_ = self.cost, np.zeros(self._size), self._upper
        lp.row_lower_, lp.row_upper_ = low, high
        at_row, at_col = np.nonzero(rows)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.searchsorted(at_row, np.arange(len(rows) + 1)).astype(np.int32)
        lp.a_matrix_.index_ = at_col.astype(np.int32)
        lp.a_matrix_.value_ = rows[at_row, at_col]
        whole, real = highspy.HighsVarType.kInteger, highspy.HighsVarType.kContinuous
        lp.integrality_ = [whole] * self._left + [real] * 3
        return lp

    def at_most(self, target: int) -> None:
        """Look only for plans of this cost or less."""
        index = np.flatnonzero(self.cost).astype(np.int32)
        self._highs.addRow(-_INF, target + 10 * _SURE, index.size, index, self.cost[index])

    def use(self, group: int, *, least: int) -> None:
        """Ask that at least so many rolls of a length in the lump are cut to the end."""
        self._highs.changeColBounds(self._ended + group, float(least), self._upper[self._ended + group])

    def solve(self, *, seconds: float, nodes: int) -> tuple[LumpPlan | None, int | None]:
        """Best plan found, and the bound proved, rounded up; None = proved that there is no plan."""
        self._highs.setOptionValue("time_limit", self._highs.getRunTime() + max(seconds, 0.01))
        self._highs.setOptionValue("mip_max_nodes", nodes)
        self._highs.run()
        if self._highs.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
            return None, None
        info = self._highs.getInfo()
        bound = int(np.ceil(info.mip_dual_bound - _SURE)) if abs(info.mip_dual_bound) < _INF else 0
        if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
            return None, bound
        values = np.asarray(self._highs.getSolution().col_value)
        whole = np.rint(values[: self._left]).astype(np.int64)
        uncut = np.zeros(self.model.weight.size, np.int64)
        uncut[self.optional] = whole[self._uncut : self._ended]
        plan = LumpPlan(
            cost=float(self.cost @ values),
            cut=whole[: self._uncut],
            uncut=uncut,
            ended=whole[self._ended : self._kept],
            kept=whole[self._kept : self._left],
        )
        return plan, bound
