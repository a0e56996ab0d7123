"""The told hang of every length of an arrangement at once: both stretch ends, weight at its upper bound.

A row that fails here fails a check that every offer must pass, so it is left out before the careful
cases are solved. It never lets a row through as an offer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.arrangement.bodies import BodyState, SlingState, build_problem
from slingwright.arrangement.geometry import basket_height, free_length, level_hook_heights, upper_xy
from slingwright.choose.cases import Ends
from slingwright.choose.lengths import Rows
from slingwright.choose.rated import SlingRated
from slingwright.choose.setting import Setting
from slingwright.hang.batch import Batch, Variations, solve_many
from slingwright.hang.problem import WORLD, Problem
from slingwright.sling import Hitch

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Nominal", "nominal_rows"]

_LAST_BITS = 1e-9  # relative: the check itself decides what lies so near a limit


@dataclass(frozen=True, slots=True, kw_only=True)
class Nominal:
    """For each row: whether it may pass, the worst part's share of its limit, and why rows fell."""

    may_pass: NDArray[np.bool_]
    share: NDArray[np.float64]
    fell: dict[str, int]


def nominal_rows(
    setting: Setting, arrangement: Arrangement, rows: Rows, rated: tuple[SlingRated, ...], ends: Ends
) -> Nominal:
    """Solve all rows at both ends and hold them to the conditions every offer must meet."""
    count = len(rows.lengths_m)
    if arrangement.beam is not None or count == 0:  # a beam's start moves with its lengths: one by one
        return Nominal(may_pass=np.ones(count, dtype=np.bool_), share=np.zeros(count), fell={})
    may_pass, share = np.ones(count, dtype=np.bool_), np.zeros(count)
    fell: dict[str, int] = {}
    for strain in (ends.stiff, ends.soft):
        problem, batch = _solve_rows(setting, arrangement, rows, rated[0].cell.rated_n, strain)
        limits = np.array([rated[p.sling].part_limit_n for p in problem.paths])
        shares = (batch.tension_n / limits).max(axis=1)
        share = np.maximum(share, shares)
        for reason, fails in _conditions(setting, batch, shares):
            fell[reason] = fell.get(reason, 0) + int((may_pass & fails).sum())
            may_pass &= ~fails
    return Nominal(may_pass=may_pass, share=share, fell=fell)


def _conditions(
    setting: Setting, batch: Batch, shares: NDArray[np.float64]
) -> list[tuple[str, NDArray[np.bool_]]]:
    want = setting.lift.want
    least = max(want.least_angle_deg, setting.rulebook.limit("least_angle_deg").value)
    flattest = np.where(batch.slack, 90.0, batch.angle_from_horizontal_deg).min(axis=1)
    return [
        ("hangs-not", np.asarray(batch.status != 0)),
        ("rated-load", np.asarray(shares > 1.0 + _LAST_BITS)),
        ("least-angle", np.asarray(flattest < least * (1.0 - _LAST_BITS))),
        ("tilt", np.asarray(batch.tilt_deg > want.level_within_deg * (1.0 + _LAST_BITS))),
    ]


def _solve_rows(
    setting: Setting, arrangement: Arrangement, rows: Rows, rated_n: float, strain: float
) -> tuple[Problem, Batch]:
    first = tuple(
        SlingState(length_m=float(x), rated_n=rated_n, strain_at_rated=strain) for x in rows.lengths_m[0]
    )
    load = BodyState(weight_n=setting.weight_n, centre_of_gravity_m=setting.lift.load.centre.nominal_m)
    problem = build_problem(arrangement, load, first)
    columns: list[NDArray[np.float64]] = []
    for i, holding in enumerate(arrangement.holdings):
        made = rows.lengths_m[:, i]
        if holding.round is None or holding.hitch is Hitch.CHOKER:
            columns.append(free_length(holding, made))
            continue
        at, way = upper_xy(arrangement, holding), holding.round
        ends = (way.turns_m[0], way.turns_m[-1])
        height = basket_height(at, ends, free_length(holding, made))
        columns.extend(np.sqrt(math.dist(at, e[:2]) ** 2 + (height - e[2]) ** 2) for e in ends)
    moved = _hook_moves(arrangement, rows, problem)
    return problem, solve_many(problem, Variations(length_m=np.stack(columns, axis=1), points_m=moved))


def _hook_moves(arrangement: Arrangement, rows: Rows, problem: Problem) -> NDArray[np.float64] | None:
    """Several hooks stand each at its own height for each row; one hook may stay where it is."""
    if len(arrangement.hooks_xy_m) == 1:
        return None
    heights = level_hook_heights(arrangement, rows.lengths_m)
    rise = heights - heights[0]
    points = [(p.sling, q) for p in problem.paths for q in p.points]
    out = np.zeros((len(rows.lengths_m), len(points), 3))
    for k, (sling, point) in enumerate(points):
        hook = arrangement.holdings[sling].hook
        if point.on == WORLD and hook is not None:
            out[:, k, 2] = rise[:, hook]
    return out
