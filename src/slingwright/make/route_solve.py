"""The routing model: one binary an order and loft, whole hours of overtime, whole rolls fetched."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from slingwright.make.cutting.master import quiet_highs
from slingwright.make.route import SECONDS_AN_HOUR, Route, RouteProblem, due_days, route_cost

__all__ = ["solve_route"]


@dataclass(slots=True)
class _Model:
    costs: list[int] = field(default_factory=list)
    uppers: list[float] = field(default_factory=list)
    rows: list[tuple[float, float, dict[int, int]]] = field(default_factory=list)

    def column(self, cost: int, upper: float) -> int:
        self.costs.append(cost)
        self.uppers.append(upper)
        return len(self.costs) - 1


def solve_route(
    problem: RouteProblem, *, fixed: Mapping[str, str] | None = None, time_limit_s: float = 60.0
) -> Route | None:
    """Route a day's orders at least total cost, proved; None where they cannot all be made in time.

    Parameters
    ----------
    problem
        The orders and the lofts.
    fixed
        Orders whose loft is given: what they would cost there.
    time_limit_s
        Then the best so far, with its bound.
    """
    if not problem.jobs:
        return Route(lofts={}, cost_minor=0, bound_minor=0, overtime_h={}, rolls={})
    if any(not job.lofts for job in problem.jobs):
        return None
    model, places = _build(problem, fixed or {})
    values, bound = _run(model, time_limit_s)
    if values is None:
        return None
    chosen = {number: loft_id for (number, loft_id), column in places.items() if values[column] > 0.5}
    needs = route_cost(problem, chosen)
    assert needs is not None  # the model holds every rule that the recount holds
    return Route(
        lofts=chosen,
        cost_minor=needs.cost_minor,
        bound_minor=min(needs.cost_minor, math.ceil(bound - 1e-6)),
        overtime_h=needs.overtime_h,
        rolls=needs.rolls,
    )


def _build(problem: RouteProblem, fixed: Mapping[str, str]) -> tuple[_Model, dict[tuple[str, str], int]]:
    model = _Model()
    places: dict[tuple[str, str], int] = {}
    for job in problem.jobs:
        for loft_id, (cost, _) in job.lofts.items():
            allowed = fixed.get(job.number, loft_id) == loft_id
            places[job.number, loft_id] = model.column(cost, float(allowed))
        mine = {places[job.number, loft_id]: 1 for loft_id in job.lofts}
        model.rows.append((1.0, 1.0, mine))
    for loft in problem.lofts:
        _hours(problem, loft.id, model, places)
        _webbing(problem, loft.id, model, places)
    return model, places


def _hours(problem: RouteProblem, loft_id: str, model: _Model, places: Mapping[tuple[str, str], int]) -> None:
    loft = next(one for one in problem.lofts if one.id == loft_id)
    hours = model.column(loft.overtime_minor, math.inf)
    for days in due_days(problem.jobs, loft_id):
        work = {
            places[job.number, loft_id]: job.labour_s
            for job in problem.jobs
            if loft_id in job.lofts and job.lofts[loft_id][1] <= days
        }
        model.rows.append((-math.inf, days * (loft.day_s + loft.overtime_day_s), dict(work)))
        model.rows.append((-math.inf, days * loft.day_s, work | {hours: -SECONDS_AN_HOUR}))


def _webbing(
    problem: RouteProblem, loft_id: str, model: _Model, places: Mapping[tuple[str, str], int]
) -> None:
    loft = next(one for one in problem.lofts if one.id == loft_id)
    for key in sorted({key for job in problem.jobs for key in job.webbing_mm}):
        used = {
            places[job.number, loft_id]: job.webbing_mm[key]
            for job in problem.jobs
            if loft_id in job.lofts and key in job.webbing_mm
        }
        if used:
            rolls = model.column(loft.fetch_minor, math.inf)
            on_hand = loft.on_hand_mm.get(key, 0)
            model.rows.append((-math.inf, on_hand, used | {rolls: -problem.roll_mm[key]}))


def _run(model: _Model, time_limit_s: float) -> tuple[Any, float]:
    import highspy

    highs = quiet_highs()
    for option, value in (("mip_rel_gap", 0.0), ("mip_abs_gap", 0.5), ("time_limit", time_limit_s)):
        highs.setOptionValue(option, value)
    none_i, none_f = np.array([], dtype=np.int32), np.array([], dtype=np.float64)
    for index, (cost, upper) in enumerate(zip(model.costs, model.uppers, strict=True)):
        highs.addCol(float(cost), 0.0, min(upper, highspy.kHighsInf), 0, none_i, none_f)
        highs.changeColIntegrality(index, highspy.HighsVarType.kInteger)
    for low, high, entries in model.rows:
        columns = np.array(list(entries), dtype=np.int32)
        values = np.array(list(entries.values()), dtype=np.float64)
        highs.addRow(max(low, -highspy.kHighsInf), high, len(columns), columns, values)
    highs.run()
    info = highs.getInfo()
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return None, 0.0
    return highs.getSolution().col_value, float(info.mip_dual_bound)
