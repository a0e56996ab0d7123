"""Lengths of an arrangement by the hundred: told and corner hangs at both stretch ends, asked for as needed.

A row that fails here fails a check that every offer must pass (and fails it by more than the last bits),
so it is left out before its cases are solved with care. It never lets a row through as an offer.
"""

from __future__ import annotations

from itertools import permutations
from typing import TYPE_CHECKING

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.arrangement.bodies import BodyState, SlingState, build_problem
from slingwright.arrangement.geometry import level_hook_heights
from slingwright.choose.cases import Ends, centre_corners, fit_level
from slingwright.choose.laid_rows import LaidRows, hook_moves, lay_rows
from slingwright.choose.rated import SlingRated
from slingwright.choose.setting import Setting
from slingwright.hang.batch import Batch, Variations, solve_near
from slingwright.hang.problem import Problem
from slingwright.sling import Hitch

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Bools = NDArray[np.bool_]
    Places = NDArray[np.int64]

__all__ = [
    "BEATEN",
    "LAST_BITS",
    "LEAST_SINE",
    "LEAST_TILT_DEG",
    "REASONS",
    "REFIT_ONCE",
    "SWAPPED_AT_MOST",
    "UNASKED",
    "Nominal",
]

# what a row falls under; 0 = it may pass
REASONS = (
    "",
    "hangs-not",
    "rated-load",
    "pick-rating",
    "least-angle",
    "headroom",
    "tilt",
    "swap",
    "slip",
    "slack-leg",
    "wet",
)
_OF_STRENGTH = (*REASONS[1:4], "wet")  # of every case, the others of the pose alone
UNASKED = -1
BEATEN = -2  # a lane not hung to the end: it is sure to be graded, and that is enough to lose
SWAPPED_AT_MOST = 4  # legs; more orders than that are left to the careful evaluation
REFIT_ONCE = 0.005  # relative: what is left after the sieve took the tangents anew once
_REFIT = (
    0.05  # relative: more than taking a string anew for the stretched hook moves a figure (own sweep: 2 %)
)
LAST_BITS = 1e-9  # relative: the check itself decides what lies so near a limit
LEAST_SINE = 1e-2  # as in `figures`
LEAST_TILT_DEG = 1e-9  # so that "level" has a share of its limit to be over


class Nominal:
    """What the sieve knows of each row of lengths; `ask` makes it know more.

    A row's figures are a function of the row alone, whatever is asked beside it.

    Attributes
    ----------
    why : (S,) int8, the index in `REASONS` of the first condition that a row fails, 0 where it may pass.
    share : (S,) the least that its worst part's share of the limit can be: told hang, corners, rule's floor.
    graded : (S,) rows that carry a grading caution for sure: little in hand, or a crooked swap.
    miss : (S,) by how much of a limit the told hang misses it, of its conditions the largest; 0 = none.
    """

    def __init__(
        self,
        setting: Setting,
        arrangement: Arrangement,
        lengths_m: Floats,
        rated: tuple[SlingRated, ...],
        ends: Ends,
        dry: float = 1.0,
    ) -> None:
        """`dry`: the share of a limit that is left where the webbing gets wet."""
        self._args = (setting, arrangement, lengths_m, rated, dry)
        self._ends = (ends.stiff, ends.soft)
        count = len(lengths_m)
        self.why = np.full(count, UNASKED, dtype=np.int8)
        self.share = np.zeros(count)
        self.graded = np.zeros(count, dtype=np.bool_)
        self.miss = np.zeros(count)
        self._sieve: _Sieve | None = None

    def ask(self, rows: Places) -> None:
        """Hang these rows, but for those that were asked before."""
        fresh = rows[self.why[rows] == UNASKED]
        if not len(fresh):
            return
        if self._sieve is None:
            self._sieve = _Sieve(*self._args)
        sift = _Sift(self._sieve, fresh)
        for strain in self._ends:
            sift.told(strain)
        sift.floors()
        for strain in self._ends:
            sift.swaps(strain)
        for strain in self._ends:
            sift.corners(strain)
        self.why[fresh], self.miss[fresh] = sift.why, sift.miss
        self.share[fresh] = sift.share * (1.0 - self._sieve.margin)
        thin = 1.0 - self._sieve.setting.rulebook.limit("reserve_ratio").value
        self.graded[fresh] = sift.crooked | (self.share[fresh] > thin * (1.0 + LAST_BITS))


class _Sieve:
    """What all rows of one arrangement and strength share."""

    def __init__(
        self,
        setting: Setting,
        arrangement: Arrangement,
        lengths_m: Floats,
        rated: tuple[SlingRated, ...],
        dry: float,
    ) -> None:
        self.dry = dry
        self.setting, self.rated, self.lengths_m = setting, rated, lengths_m
        self.arrangement = fit_level(setting, arrangement, lengths_m[0])
        self.curved = any(
            h.round is not None and h.round.curved and h.hitch is Hitch.BASKET for h in arrangement.holdings
        )
        self.several = arrangement.beam is not None or len(arrangement.hooks_xy_m) > 1
        self.margin = LAST_BITS if not self.curved else _REFIT if self.several else REFIT_ONCE
        self._problems: dict[float, Problem] = {}

    def problem(self, strain: float) -> Problem:
        """The problem of the first row; the others vary it."""
        if strain not in self._problems:
            rated_n = self.rated[0].cell.rated_n
            first = tuple(
                SlingState(length_m=float(x), rated_n=rated_n, strain_at_rated=strain)
                for x in self.lengths_m[0]
            )
            centre = self.setting.lift.load.centre.nominal_m
            load = BodyState(weight_n=self.setting.weight_n, centre_of_gravity_m=centre)
            self._problems[strain] = build_problem(self.arrangement, load, first)
        return self._problems[strain]

    def moves(self, problem: Problem, laid: LaidRows, lengths_m: Floats) -> Floats | None:
        """How far each path's points stand from the first problem's, for every row; None = nowhere."""
        moved = hook_moves(self.arrangement, self.lengths_m[0], lengths_m, problem)
        ends = laid.ends_m
        if np.isnan(ends).all():
            return moved
        out = moved if moved is not None else np.zeros((len(ends), 2 * len(problem.paths), 3))
        for k, path in enumerate(problem.paths):  # locked: every path has two points, the load's second
            shift = ends[:, k] - np.array(path.points[1].at_m)
            out[:, 2 * k + 1] += np.nan_to_num(shift)
        return out

    def shares(self, problem: Problem, batch: Batch) -> Floats:
        """The worst path's tension over its limit, for every sample."""
        limits = np.array([self.rated[p.sling].part_limit_n for p in problem.paths])
        return np.asarray((batch.tension_n / limits).max(axis=1))


class _Sift:
    """Some rows on their way through the sieve."""

    def __init__(self, sieve: _Sieve, rows: Places) -> None:
        self._sieve, self._lengths = sieve, sieve.lengths_m[rows]
        count = len(rows)
        self.why = np.zeros(count, dtype=np.int8)
        self.share = np.zeros(count)
        self.crooked = np.zeros(count, dtype=np.bool_)
        self.miss = np.zeros(count)
        self._flattest = np.full(count, 90.0)
        self._laid = lay_rows(sieve.arrangement, self._lengths)
        self._laid_at: dict[float, LaidRows] = {}

    def told(self, strain: float) -> None:
        """The told state of the rows still in, at one end of the stretch range."""
        sieve, centre = self._sieve, self._sieve.setting.lift.load.centre.nominal_m
        kept = np.flatnonzero(self.why == 0)
        if not len(kept):
            return
        lengths, laid = self._lengths[kept], self._laid.take(kept)
        problem, batch = self._solve(strain, lengths, laid)
        if sieve.curved and sieve.margin < _REFIT:  # once more with the tangents of the hook as it hangs
            height = centre[2] + batch.hook_above_cg_m * np.cos(np.radians(batch.tilt_deg))
            laid = lay_rows(sieve.arrangement, lengths, height)
            problem, batch = self._solve(strain, lengths, laid)
        self._laid_at[strain] = self._laid.put(kept, laid)
        shares = sieve.shares(problem, batch)
        self.share[kept] = np.maximum(self.share[kept], shares)
        self._flattest[kept] = np.minimum(self._flattest[kept], _flattest(batch))
        worst = np.zeros(len(kept))
        for reason, over in self._conditions(problem, batch, shares, lengths, np.array(centre)):
            worst = np.maximum(worst, over)
            self._drop(reason, kept, over > sieve.margin)
        self.miss[kept] = np.maximum(self.miss[kept], worst)

    def _solve(self, strain: float, lengths_m: Floats, laid: LaidRows) -> tuple[Problem, Batch]:
        problem = self._sieve.problem(strain)
        variations = Variations(
            length_m=laid.length_m,
            points_m=self._sieve.moves(problem, laid, lengths_m),
            strain_at_rated=laid.strains(strain),
        )
        return problem, solve_near(problem, variations)

    def floors(self) -> None:
        """The rule's floor of each row at its flattest told angle against the limit; a tie fails.

        Not below a beam: two kinds of slings at two angles are left to the careful evaluation. Mode
        factors, where the regime prints any, are left out: they can only raise the floor.
        """
        sieve = self._sieve
        arrangement, rated, setting = sieve.arrangement, sieve.rated[0], sieve.setting
        if arrangement.beam is not None:
            return
        parts = 2 if arrangement.holdings[0].hitch is Hitch.BASKET else 1
        upright = setting.rulebook.leg_floor(
            arrangement.legs, setting.weight_n / parts, 90.0, symmetric=False
        )
        sines = np.sin(np.radians(np.clip(self._flattest, 1.0, 90.0)))
        share = upright.value / sines / rated.part_limit_n * (1.0 - LAST_BITS)
        self.share = np.maximum(self.share, share)
        self._drop("rated-load", np.arange(len(share)), np.asarray(share * (1.0 - sieve.margin) >= 1.0))

    def corners(self, strain: float) -> None:
        """Every corner of the centre's box at one end of the stretch range, for the rows still in."""
        sieve, centre = self._sieve, self._sieve.setting.lift.load.centre
        corners = centre_corners(centre)
        kept = np.flatnonzero(self.why == 0)
        if not corners or not len(kept):
            return
        laid, problem, many = self._laid_at[strain], sieve.problem(strain), len(corners)
        moved = sieve.moves(problem, laid, self._lengths)
        beams = [b.centre_of_gravity_m for b in problem.bodies[1:]]  # the load comes first
        centres = np.array([[c, *beams] for c in corners], dtype=np.float64)  # (corners, bodies, 3)
        batch = solve_near(
            problem,
            Variations(
                length_m=np.repeat(laid.length_m[kept], many, axis=0),
                centre_of_gravity_m=np.tile(centres, (len(kept), 1, 1)),
                strain_at_rated=np.repeat(laid.strains(strain)[kept], many, axis=0),
                points_m=None if moved is None else np.repeat(moved[kept], many, axis=0),
            ),
        )
        shares = sieve.shares(problem, batch)
        lengths = np.repeat(self._lengths[kept], many, axis=0)
        at = np.tile(np.array(corners), (len(kept), 1))
        for reason, over in self._conditions(problem, batch, shares, lengths, at):
            if centre.known or reason in _OF_STRENGTH:  # an unknown centre's box is no pose
                fails = (over > sieve.margin).reshape(len(kept), many).any(axis=1)
                self._drop(reason, kept, np.asarray(fails))
        self.share[kept] = np.maximum(self.share[kept], shares.reshape(len(kept), many).max(axis=1))

    def swaps(self, strain: float) -> None:
        """Every other order of unequal legs under one hook: none may overload a part; a crooked one grades.

        An order that cannot be hung at all does no harm.
        """
        sieve, many = self._sieve, self._lengths.shape[1]
        if sieve.arrangement.lengths != "made" or many > SWAPPED_AT_MOST or sieve.several:
            return
        kept = np.flatnonzero((self.why == 0) & (self._lengths != self._lengths[:, :1]).any(axis=1))
        if not len(kept):
            return
        problem, limit = sieve.problem(strain), sieve.setting.lift.want.level_within_deg
        orders = list(permutations(range(many)))[1:]
        row = np.repeat(kept, len(orders))
        swapped = np.concatenate([self._lengths[kept][:, None, order] for order in orders], axis=1)
        swapped = swapped.reshape(-1, many)
        reach = np.isfinite(level_hook_heights(sieve.arrangement, swapped)).all(axis=1)
        row, swapped = row[reach], swapped[reach]
        if not len(row):
            return
        batch = solve_near(problem, Variations(length_m=swapped))
        over, crooked, falls = (np.zeros(len(self.why), dtype=np.bool_) for _ in range(3))
        np.logical_or.at(over, row, sieve.shares(problem, batch) > 1.0 + LAST_BITS)
        np.logical_or.at(crooked, row, batch.tilt_deg > limit * (1.0 + LAST_BITS))
        np.logical_or.at(falls, row, batch.status != 0)
        self.crooked |= crooked
        self._drop("hangs-not", kept, falls[kept])
        self._drop("swap", kept, over[kept])

    def _drop(self, reason: str, at: Places, fails: Bools) -> None:
        fresh = at[fails & (self.why[at] == 0)]
        self.why[fresh] = REASONS.index(reason)

    def _conditions(
        self, problem: Problem, batch: Batch, shares: Floats, lengths_m: Floats, centre_m: Floats
    ) -> list[tuple[str, Floats]]:
        """Each condition and by how much of its limit a sample is over it; `centre_m` (3,) or (S, 3)."""
        setting = self._sieve.setting
        want = setting.lift.want
        least = max(want.least_angle_deg, setting.rulebook.limit("least_angle_deg").value)
        height = _hook_heights(setting, batch, centre_m) + self._longer(problem, batch, lengths_m)
        room = min(h.headroom_m for h in setting.lift.hooks)
        return [
            ("hangs-not", np.where(batch.status != 0, np.inf, 0.0)),
            ("rated-load", shares - 1.0),
            ("wet", shares / self._sieve.dry - 1.0),
            ("pick-rating", self._lugs(problem, batch)),
            ("least-angle", 1.0 - _flattest(batch) / least),
            ("headroom", height / room - 1.0),
            ("tilt", batch.tilt_deg / max(want.level_within_deg, LEAST_TILT_DEG) - 1.0),
        ]

    def _lugs(self, problem: Problem, batch: Batch) -> Floats:
        """The worst pick point's pull over its rating, or lean over what a vertical-only one may take.

        A leg leans from a lug's own vertical by no less than from the world's less the load's tilt.
        """
        setting, holdings = self._sieve.setting, self._sieve.arrangement.holdings
        picks = {p.name: p for p in setting.lift.load.pick_points}
        most = setting.rulebook.limit("lug_lean_deg").value
        worst = np.full(len(batch.tilt_deg), -1.0)
        for k, path in enumerate(problem.paths):
            pick = picks.get(holdings[path.sling].pick or "")
            if pick is not None and pick.rated_n is not None:
                worst = np.maximum(worst, batch.tension_n[:, k] / pick.rated_n - 1.0)
            if pick is not None and pick.vertical_only:
                lean = np.where(batch.slack[:, k], 0.0, 90.0 - batch.angle_from_horizontal_deg[:, k])
                worst = np.maximum(worst, (lean - batch.tilt_deg) / most - 1.0)
        return worst

    def _longer(self, problem: Problem, batch: Batch, lengths_m: Floats) -> Floats:
        """The least by which the hook may stand higher where the slings are as long as they may be made [m].

        As in the careful figure, with this hang's own angles (a flatter one of another case only adds) and
        the smaller of a matched set's tolerance and a loose sling's.
        """
        setting, holdings = self._sieve.setting, self._sieve.arrangement.holdings
        want, practice = setting.lift.want, setting.shop.practice
        if want.tolerance_length_m is not None or want.tolerance_length_rel is not None:
            off = (want.tolerance_length_m or 0.0) + (want.tolerance_length_rel or 0.0) * lengths_m
        else:
            off = practice.tolerance_rel * lengths_m + practice.tolerance_m
            if want.matched_set:
                off = np.minimum(off, practice.matched_tolerance_m)
        sines = np.where(batch.slack, 1.0, np.sin(np.radians(batch.angle_from_horizontal_deg)))
        total = np.zeros(len(lengths_m))
        for role in dict.fromkeys(h.role for h in holdings):
            slings = [i for i, h in enumerate(holdings) if h.role == role]
            paths = [k for k, p in enumerate(problem.paths) if p.sling in slings]
            total += off[:, slings].max(axis=1) / np.maximum(sines[:, paths].min(axis=1), LEAST_SINE)
        return total


def _flattest(batch: Batch) -> Floats:
    """The flattest loaded path of each row [deg from horizontal]."""
    return np.asarray(np.where(batch.slack, 90.0, batch.angle_from_horizontal_deg).min(axis=1))


def _hook_heights(setting: Setting, batch: Batch, centre_m: Floats) -> Floats:
    """From the load's lowest corner to the highest hook [m], each sample's."""
    load = setting.lift.load
    size = np.array([load.length_m, load.width_m, load.height_m])
    lowest = np.minimum(batch.up * size, 0.0).sum(axis=1) - (batch.up * centre_m).sum(axis=1)
    return np.asarray(batch.hook_above_cg_m - lowest)
