"""Every length of an arrangement at once: told and corner hangs at both stretch ends.

A row that fails here fails a check that every offer must pass (and fails it by more than the last bits),
so it is left out before its cases are solved with care. It never lets a row through as an offer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import permutations
from typing import TYPE_CHECKING

import numpy as np

from slingwright.arrangement import Arrangement, Holding
from slingwright.arrangement.bodies import BodyState, SlingState, build_problem
from slingwright.arrangement.geometry import (
    basket_height,
    free_length,
    level_hook_heights,
    round_hook_distance,
    upper_xy,
)
from slingwright.choose.cases import Ends, centre_corners, fit_level
from slingwright.choose.lengths import Rows
from slingwright.choose.rated import SlingRated
from slingwright.choose.setting import Setting
from slingwright.hang.batch import Batch, Variations, solve_many
from slingwright.hang.problem import WORLD, Problem
from slingwright.sling import Hitch

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Nominal", "nominal_rows"]

_SWAPPED_AT_MOST = 4  # legs; more orders than that are left to the careful evaluation
_REFIT_ONCE = 0.005  # relative: what is left after the sieve took the tangents anew once
_REFIT = (
    0.05  # relative: more than taking a string anew for the stretched hook moves a figure (own sweep: 2 %)
)
_LAST_BITS = 1e-9  # relative: the check itself decides what lies so near a limit


@dataclass(frozen=True, slots=True, kw_only=True)
class Nominal:
    """For each row: whether it may pass, the least its worst part's share of the limit can be, why rows fell.

    `share` holds the told hang, the corners and the rule's floor at the flattest told angle.
    """

    may_pass: NDArray[np.bool_]
    share: NDArray[np.float64]
    graded: NDArray[np.bool_]  # rows that carry a grading caution for sure: little reserve, or a crooked swap
    fell: dict[str, int]
    rows_fell: dict[str, list[NDArray[np.int64]]]  # under each condition, which rows (for the audit)


def nominal_rows(
    setting: Setting, arrangement: Arrangement, rows: Rows, rated: tuple[SlingRated, ...], ends: Ends
) -> Nominal:
    """Solve all rows at both ends and hold them to the conditions every offer must meet."""
    count = len(rows.lengths_m)
    if count == 0:
        return Nominal(
            may_pass=np.ones(count, dtype=np.bool_),
            share=np.zeros(count),
            graded=np.zeros(count, dtype=np.bool_),
            fell={},
            rows_fell={},
        )
    sieve = _Sieve(setting, arrangement, rows, rated)
    for strain in (ends.stiff, ends.soft):
        sieve.told(strain)
    for strain in (ends.stiff, ends.soft):
        sieve.corners(strain)
    share = np.maximum(sieve.share, sieve.floors()) * (1.0 - sieve.margin)
    thin = share > (1.0 - setting.rulebook.limit("reserve_ratio").value) * (1.0 + _LAST_BITS)
    return Nominal(
        may_pass=sieve.may_pass,
        share=share,
        graded=thin | sieve.crooked_swaps(ends.stiff),
        fell=sieve.fell,
        rows_fell=sieve.rows_fell,
    )


class _Sieve:
    """Rows that may still pass, and the worst share of a limit seen for each."""

    def __init__(
        self, setting: Setting, arrangement: Arrangement, rows: Rows, rated: tuple[SlingRated, ...]
    ) -> None:
        self._setting, self._rows, self._rated = setting, rows, rated
        self._arrangement = fit_level(setting, arrangement, rows.lengths_m[0])
        self._laid = lay_rows(self._arrangement, rows.lengths_m)
        self.may_pass = np.ones(len(rows.lengths_m), dtype=np.bool_)
        self.share = np.zeros(len(rows.lengths_m))
        curved = any(
            h.round is not None and h.round.curved and h.hitch is Hitch.BASKET for h in arrangement.holdings
        )
        several = arrangement.beam is not None or len(arrangement.hooks_xy_m) > 1
        self._curved = curved
        self.margin = _LAST_BITS if not curved else _REFIT if several else _REFIT_ONCE
        self._laid_at: dict[float, LaidRows] = {}
        self._flattest = np.full(len(rows.lengths_m), 90.0)
        self.fell: dict[str, int] = {}
        self.rows_fell: dict[str, list[NDArray[np.int64]]] = {}

    def told(self, strain: float) -> None:
        """The told state of every row at one end of the stretch range."""
        self._laid_at[strain] = self._laid
        problem, batch = self._solve(strain)
        if self._curved and self.margin < _REFIT:  # once more with the tangents of the hook as it hangs
            centre = self._setting.lift.load.centre.nominal_m
            height = centre[2] + batch.hook_above_cg_m * np.cos(np.radians(batch.tilt_deg))
            self._laid_at[strain] = lay_rows(self._arrangement, self._rows.lengths_m, height)
            problem, batch = self._solve(strain)
        shares = self._shares(problem, batch)
        self.share = np.maximum(self.share, shares)
        self._flattest = np.minimum(self._flattest, _flattest(batch))
        for reason, fails in _conditions(self._setting, self._arrangement, batch, shares, margin=self.margin):
            self._drop(reason, np.arange(len(fails)), fails)

    def _solve(self, strain: float) -> tuple[Problem, Batch]:
        laid, problem = self._laid_at[strain], self._problem(strain)
        variations = Variations(
            length_m=laid.length_m,
            points_m=self._moves(problem, laid),
            strain_at_rated=laid.strains(strain),
        )
        return problem, solve_many(problem, variations)

    def floors(self) -> NDArray[np.float64]:
        """The rule's floor as a share of the limit, for each row at its flattest told angle.

        Mode factors, where the regime prints any, are left out: they can only raise the floor.
        """
        arrangement, rated = self._arrangement, self._rated[0]
        if arrangement.beam is not None:  # two kinds of slings at two angles: left to the careful evaluation
            return np.zeros(len(self.may_pass))
        parts = 2 if arrangement.holdings[0].hitch is Hitch.BASKET else 1
        upright = self._setting.rulebook.leg_floor(
            arrangement.legs, self._setting.weight_n / parts, 90.0, symmetric=False
        )
        sines = np.sin(np.radians(np.clip(self._flattest, 1.0, 90.0)))
        return np.asarray(upright.value / sines / rated.part_limit_n * (1.0 - _LAST_BITS))

    def corners(self, strain: float) -> None:
        """Every corner of the centre's box at one end of the stretch range, for the rows still in."""
        centre = self._setting.lift.load.centre
        corners = centre_corners(centre)
        kept = np.flatnonzero(self.may_pass)
        if not corners or not len(kept):
            return
        laid, problem, many = self._laid_at[strain], self._problem(strain), len(corners)
        moved = self._moves(problem, laid)
        beams = [b.centre_of_gravity_m for b in problem.bodies[1:]]  # the load comes first
        centres = np.array([[c, *beams] for c in corners], dtype=np.float64)  # (corners, bodies, 3)
        batch = solve_many(
            problem,
            Variations(
                length_m=np.repeat(laid.length_m[kept], many, axis=0),
                centre_of_gravity_m=np.tile(centres, (len(kept), 1, 1)),
                strain_at_rated=np.repeat(laid.strains(strain)[kept], many, axis=0),
                points_m=None if moved is None else np.repeat(moved[kept], many, axis=0),
            ),
        )
        shares = self._shares(problem, batch)
        for reason, fails in _conditions(self._setting, self._arrangement, batch, shares, margin=self.margin):
            if centre.known or reason in ("hangs-not", "rated-load"):  # an unknown centre's box is no pose
                self._drop(reason, kept, np.asarray(fails.reshape(len(kept), many).any(axis=1)))
        self.share[kept] = np.maximum(self.share[kept], shares.reshape(len(kept), many).max(axis=1))

    def crooked_swaps(self, strain: float) -> NDArray[np.bool_]:
        """Rows of which some order of unequal legs tilts past what the buyer wants."""
        crooked = np.zeros(len(self.may_pass), dtype=np.bool_)
        many = self._rows.lengths_m.shape[1]
        if self._arrangement.lengths != "made" or many > _SWAPPED_AT_MOST:
            return crooked
        kept = np.flatnonzero(self.may_pass)
        problem = self._problem(strain)
        limit = self._setting.lift.want.level_within_deg * (1.0 + _LAST_BITS)
        for order in list(permutations(range(many)))[1:] if len(kept) else ():
            swapped = self._rows.lengths_m[kept][:, order]
            reach = np.isfinite(level_hook_heights(self._arrangement, swapped)).all(axis=1)
            at = kept[reach]
            if len(at):
                batch = solve_many(problem, Variations(length_m=swapped[reach]))
                crooked[at] |= batch.tilt_deg > limit
        return crooked

    def _moves(self, problem: Problem, laid: LaidRows) -> NDArray[np.float64] | None:
        """How far each path's points stand from the first problem's, for every row; None = nowhere."""
        moved = _hook_moves(self._arrangement, self._rows, problem)
        ends = laid.ends_m
        if np.isnan(ends).all():
            return moved
        out = moved if moved is not None else np.zeros((len(ends), 2 * len(problem.paths), 3))
        for k, path in enumerate(problem.paths):  # locked: every path has two points, the load's second
            shift = ends[:, k] - np.array(path.points[1].at_m)
            out[:, 2 * k + 1] += np.nan_to_num(shift)
        return out

    def _problem(self, strain: float) -> Problem:
        rated_n = self._rated[0].cell.rated_n
        first = tuple(
            SlingState(length_m=float(x), rated_n=rated_n, strain_at_rated=strain)
            for x in self._rows.lengths_m[0]
        )
        centre = self._setting.lift.load.centre.nominal_m
        load = BodyState(weight_n=self._setting.weight_n, centre_of_gravity_m=centre)
        return build_problem(self._arrangement, load, first)

    def _shares(self, problem: Problem, batch: Batch) -> NDArray[np.float64]:
        limits = np.array([self._rated[p.sling].part_limit_n for p in problem.paths])
        return np.asarray((batch.tension_n / limits).max(axis=1))

    def _drop(self, reason: str, at: NDArray[np.int64], fails: NDArray[np.bool_]) -> None:
        fresh = self.may_pass[at] & fails
        self.fell[reason] = self.fell.get(reason, 0) + int(fresh.sum())
        self.rows_fell.setdefault(reason, []).append(at[fresh])
        self.may_pass[at] &= ~fails


def _conditions(
    setting: Setting,
    arrangement: Arrangement,
    batch: Batch,
    shares: NDArray[np.float64],
    *,
    margin: float,
) -> list[tuple[str, NDArray[np.bool_]]]:
    """Each condition and the rows that fail it."""
    want = setting.lift.want
    least = max(want.least_angle_deg, setting.rulebook.limit("least_angle_deg").value)
    return [
        ("hangs-not", np.asarray(batch.status != 0)),
        ("rated-load", np.asarray(shares > 1.0 + margin)),
        ("least-angle", np.asarray(_flattest(batch) < least * (1.0 - margin))),
        ("headroom", _too_high(setting, arrangement, batch, margin)),
        ("tilt", np.asarray(batch.tilt_deg > want.level_within_deg * (1.0 + margin))),
    ]


def _flattest(batch: Batch) -> NDArray[np.float64]:
    """The flattest loaded path of each row [deg from horizontal]."""
    return np.asarray(np.where(batch.slack, 90.0, batch.angle_from_horizontal_deg).min(axis=1))


def _too_high(setting: Setting, arrangement: Arrangement, batch: Batch, margin: float) -> NDArray[np.bool_]:
    """Rows whose hook stands too high whatever way the load tilts.

    The lowest corner of a load that tilts by t lies at least z cos t under a centre z above its underside
    that is within its length and breadth.
    """
    load, centre = setting.lift.load, setting.lift.load.centre
    over = all(
        low >= 0 and high <= size
        for low, high, size in zip(centre.low_m, centre.high_m, (load.length_m, load.width_m), strict=False)
    )
    if len(arrangement.hooks_xy_m) > 1 or not over:
        return np.zeros(len(batch.tilt_deg), dtype=np.bool_)
    z = min(centre.low_m[2], centre.nominal_m[2])  # whichever corner this batch is of
    height = batch.hook_above_cg_m + max(z, 0.0) * np.cos(np.radians(batch.tilt_deg))
    return np.asarray(height > setting.lift.hooks[0].headroom_m * (1.0 + margin))


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidRows:
    """Every row's locked paths as laid on the level load, each for its own hook height.

    `length_m` (S, paths): unstretched length; `ends_m` (S, paths, 3): where the path meets the load, NaN
    where that does not change from row to row; `stretch` (S, paths): how much longer what stretches is than
    the statics takes it from the first row (on a curve what lies on the load changes with the height).
    """

    length_m: NDArray[np.float64]
    ends_m: NDArray[np.float64]
    stretch: NDArray[np.float64]

    def strains(self, strain: float) -> NDArray[np.float64]:
        """Strain at the rated load of every row's paths."""
        return strain * self.stretch


def lay_rows(
    arrangement: Arrangement, lengths_m: NDArray[np.float64], hook_m: NDArray[np.float64] | None = None
) -> LaidRows:
    """Lay all rows; paths in the order of the locked problem.

    Strings round a curve are taken for the level hook, or for hooks at the heights `hook_m` (S,).
    """
    count = len(lengths_m)
    fixed, ones = np.full((count, 3), np.nan), np.ones(count)
    columns: list[tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]] = []
    for i, holding in enumerate(arrangement.holdings):
        made, way = lengths_m[:, i], holding.round
        if way is None or holding.hitch is Hitch.CHOKER:
            columns.append((free_length(holding, made), fixed, ones))
        elif way.curved:
            columns.extend(_round_sides(arrangement, holding, made, hook_m))
        else:
            at = upper_xy(arrangement, holding)
            height = basket_height(at, (way.turns_m[0], way.turns_m[-1]), free_length(holding, made))
            for end in (way.turns_m[0], way.turns_m[-1]):
                side = np.sqrt(math.dist(at, end[:2]) ** 2 + (height - end[2]) ** 2)
                columns.append((side, fixed, ones))
    length, ends, stretch = zip(*columns, strict=True)
    return LaidRows(
        length_m=np.stack(length, axis=1), ends_m=np.stack(ends, axis=1), stretch=np.stack(stretch, axis=1)
    )


def _round_sides(
    arrangement: Arrangement,
    holding: Holding,
    made: NDArray[np.float64],
    hook_m: NDArray[np.float64] | None,
) -> list[tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]]:
    """Both sides of a basket round a circular section: tangents from each row's level hook."""
    way = holding.round
    assert way is not None and way.radius_m is not None and way.centre_yz_m is not None  # noqa: PT018
    (x, y), (cy, cz) = upper_xy(arrangement, holding), way.centre_yz_m
    if hook_m is None:
        far = round_hook_distance(way.radius_m, abs(x - way.x_m), way.wraps, made)
    else:
        far = np.maximum(np.hypot(hook_m - cz, y - cy), way.radius_m)
    half = np.arccos(np.minimum(way.radius_m / far, 1.0))
    lies = way.radius_m * (2 * math.pi * way.wraps - 2 * half)
    side = (made - lies) / 2
    to_hook = np.arctan2(np.sqrt(np.maximum(far**2 - (y - cy) ** 2, 0.0)), y - cy)
    stretch = (side + lies / 2) / (side + way.lies_m / 2)
    out = []
    for angle in (to_hook + half, to_hook - half):
        end = np.stack(
            [
                np.full_like(far, way.x_m),
                cy + way.radius_m * np.cos(angle),
                cz + way.radius_m * np.sin(angle),
            ],
            axis=1,
        )
        out.append((side, end, stretch))
    return out


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
