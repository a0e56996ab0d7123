"""The linear program over the columns found so far, solved by HiGHS, warm from one call to the next."""

from __future__ import annotations

from typing import Any

import highspy
import numpy as np
import numpy.typing as npt

from slingwright.make.cutting.columns import Columns, Picks
from slingwright.make.cutting.model import Residual

__all__ = ["Master", "pick_integers", "quiet_highs"]

IntArray = npt.NDArray[np.int64]
FloatArray = npt.NDArray[np.float64]


class _QuietHighs(highspy.Highs):
    """The wrapper's constructor prints a banner while it enables call-backs; we need neither."""

    def enableCallbacks(self) -> None:  # noqa: N802  (HiGHS's name)
        """Silence instead."""
        self.setOptionValue("output_flag", False)


def quiet_highs() -> Any:
    """A HiGHS that prints nothing and uses one thread, so that equal input takes the equal path."""
    highs = _QuietHighs()
    highs.setOptionValue("threads", 1)
    return highs


class Master:
    """min cost, every demand met or paid for, no class of stock used beyond its supply."""

    def __init__(self, columns: Columns) -> None:
        self.columns = columns
        model = columns.model
        self._n, self._g = model.weight.size, model.supply.size
        self._loaded = 0
        self._highs = quiet_highs()
        self._highs.setOptionValue("presolve", "off")
        self._highs.setOptionValue("solver", "simplex")
        self._highs.setOptionValue("dual_feasibility_tolerance", 1e-9)
        self._highs.setOptionValue("primal_feasibility_tolerance", 1e-9)
        none = np.empty(0, np.int32)
        for demand in model.demand:
            self._highs.addRow(float(demand), highspy.kHighsInf, 0, none, np.empty(0))
        for most in [*model.supply, *model.supply[model.group]]:
            self._highs.addRow(-highspy.kHighsInf, float(most), 0, none, np.empty(0))
        for i in range(self._n):  # leaving a piece uncut; the first n columns
            row = np.array([i], np.int32)
            self._highs.addCol(float(model.uncut_cost[i]), 0.0, float(model.demand[i]), 1, row, np.ones(1))

    def load(self) -> None:
        """Bring in the columns found since the last call."""
        for at in range(self._loaded, self.columns.size):
            pattern = self.columns.patterns[at]
            rows = np.flatnonzero(pattern)
            used = int(self.columns.classes[at])
            uses = [self._n + int(self.columns.model.group[used]), self._n + self._g + used]
            index = np.append(rows, uses).astype(np.int32)
            entries = np.append(pattern[rows], [1, 1]).astype(np.float64)
            cost = float(self.columns.costs[at])
            self._highs.addCol(cost, 0.0, highspy.kHighsInf, index.size, index, entries)
        self._loaded = self.columns.size

    def restrict(self, residual: Residual, banned: npt.NDArray[np.bool_]) -> None:
        """Ask for what is left to cut from what is left on the shelf, without the banned columns."""
        for i, demand in enumerate(residual.demand):
            self._highs.changeRowBounds(i, float(demand), highspy.kHighsInf)
            self._highs.changeColBounds(i, 0.0, float(demand))
        for g, supply in enumerate(residual.supply):
            self._highs.changeRowBounds(self._n + g, -highspy.kHighsInf, float(supply))
        for c, (least, most) in enumerate(zip(residual.least, residual.most, strict=True)):
            self._highs.changeRowBounds(self._n + self._g + c, float(least), float(most))
        upper = np.where(banned, 0.0, highspy.kHighsInf)
        index = np.arange(self._n, self._n + upper.size, dtype=np.int32)
        self._highs.changeColsBounds(index.size, index, np.zeros(index.size), upper)

    def solve(self, *, primal: bool) -> tuple[float, FloatArray, FloatArray, FloatArray]:
        """Value, duals of the pieces (n,) and of the classes (s,), how often each column is cut (size,)."""
        self._highs.setOptionValue("simplex_strategy", 4 if primal else 1)
        self._highs.run()
        solution = self._highs.getSolution()
        duals = np.asarray(solution.row_dual)
        rent = duals[self._n : self._n + self._g][self.columns.model.group] + duals[self._n + self._g :]
        value = float(self._highs.getInfo().objective_function_value)
        return value, duals[: self._n], rent, np.asarray(solution.col_value)[self._n :]


def pick_integers(
    columns: Columns,
    chosen: IntArray,
    residual: Residual,
    *,
    seconds: float,
    cutoff: int,
    nodes: int | None = None,
) -> tuple[Picks | None, bool]:
    """Best whole plan from the chosen columns costing less than `cutoff`, and whether that is proved.

    (None, True) = proved that those columns hold no plan cheaper than `cutoff`.
    """
    model = columns.model
    n, g, c = model.weight.size, model.supply.size, model.room.size
    patterns, classes = columns.patterns[chosen], columns.classes[chosen]
    optional = np.flatnonzero(~model.must)
    lp = highspy.HighsLp()
    lp.num_row_, lp.num_col_ = n + g + c, chosen.size + optional.size
    lp.col_cost_ = np.concatenate([columns.costs[chosen], model.uncut_cost[optional]]).astype(np.float64)
    lp.col_lower_ = np.zeros(lp.num_col_)
    lp.col_upper_ = np.concatenate([residual.most[classes], model.demand[optional]]).astype(np.float64)
    lower = [model.demand.astype(np.float64), np.full(g, -highspy.kHighsInf), residual.least]
    lp.row_lower_ = np.concatenate(lower)
    upper = [np.full(n, highspy.kHighsInf), model.supply.astype(np.float64), residual.most]
    lp.row_upper_ = np.concatenate(upper)
    full = np.zeros((lp.num_col_, n + g + c))
    full[: chosen.size, :n] = patterns
    full[np.arange(chosen.size), n + model.group[classes]] = 1
    full[np.arange(chosen.size), n + g + classes] = 1
    full[chosen.size + np.arange(optional.size), optional] = 1
    at_col, at_row = np.nonzero(full)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_ = np.searchsorted(at_col, np.arange(lp.num_col_ + 1)).astype(np.int32)
    lp.a_matrix_.index_ = at_row.astype(np.int32)
    lp.a_matrix_.value_ = full[at_col, at_row]
    lp.integrality_ = [highspy.HighsVarType.kInteger] * lp.num_col_
    highs = quiet_highs()
    highs.setOptionValue("time_limit", max(seconds, 0.01))
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.setOptionValue("mip_abs_gap", 0.999)  # costs are whole
    highs.setOptionValue("objective_bound", float(cutoff) - 0.5)
    if nodes is not None:  # a limit that does not depend on the machine's speed
        highs.setOptionValue("mip_max_nodes", nodes)
    highs.passModel(lp)
    highs.run()
    status = highs.getModelStatus()
    proved = status in (
        highspy.HighsModelStatus.kOptimal,
        highspy.HighsModelStatus.kInfeasible,
        highspy.HighsModelStatus.kObjectiveBound,
    )
    if highs.getInfo().primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return None, proved
    values = np.rint(np.asarray(highs.getSolution().col_value)[: chosen.size]).astype(np.int64)
    picks = {int(chosen[k]): int(values[k]) for k in np.flatnonzero(values)}
    if columns.cost_of(picks) >= cutoff:
        return None, proved
    return picks, proved
