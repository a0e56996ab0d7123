"""Lengths under a beam or several hooks by the hundred: told and corner hangs at both stretch ends.

A lane that fails here fails a check that every offer must pass (and fails it by more than the last bits),
so it is left out before its cases are solved with care. It never lets a lane through as an offer.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.arrangement.bodies import BodyState, SlingState, build_problem
from slingwright.choose.cases import centre_corners, fit_level
from slingwright.choose.drawn import Draws, Spread, cases_at_worst
from slingwright.choose.laid_rows import LaidRows, hook_moves, lay_rows
from slingwright.choose.nominal import (
    LAST_BITS,
    LEAST_SINE,
    LEAST_TILT_DEG,
    OF_STRENGTH,
    REASONS,
    REFIT,
    WAITS,
)
from slingwright.choose.setting import Setting
from slingwright.choose.several_lanes import Lanes, flattest, hook_heights, joined, shifted, taken
from slingwright.choose.sieve import Asked, Sifted
from slingwright.hang.batch import Batch, Variations, ready, solve_ready
from slingwright.sling import Hitch

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Bools = NDArray[np.bool_]
    Places = NDArray[np.int64]

__all__ = ["Several"]

_RATED_N = 1000.0  # every lane's rated load; its own stands in its strain, for only their ratio counts
_HIGHER = 1e-9  # tells corners above each other apart and no others


class Several:
    """The conditions of one lift for one arrangement under a beam or several hooks.

    A lane's figures are a function of the lane alone, whatever is asked beside it.
    """

    def __init__(self, setting: Setting, arrangement: Arrangement, first_m: Floats) -> None:
        """`first_m` (slings,): lengths of any of its lanes, of which the problem is made that all vary."""
        self.setting, self.first_m = setting, first_m
        self.arrangement = fit_level(setting, arrangement, first_m)
        curved = any(
            h.round is not None and h.round.curved and h.hitch is Hitch.BASKET for h in arrangement.holdings
        )
        self.margin = REFIT if curved else LAST_BITS
        slings = tuple(SlingState(length_m=float(x), rated_n=_RATED_N, strain_at_rated=1.0) for x in first_m)
        load = BodyState(
            weight_n=setting.weight_n,
            centre_of_gravity_m=setting.lift.load.centre.nominal_m,
            beam_factor=setting.lift.site.dynamic_factor,
        )
        self.problem = build_problem(self.arrangement, load, slings)
        self.ready = ready(self.problem, near=True)
        self.sling_of = np.array([p.sling for p in self.problem.paths])
        self._drawn = Draws(setting, self.sling_of)
        self._kept: list[Lanes] = []  # of each part that waits
        self._first = [0]  # the number of each part's first lane, and the next to be given
        self.thin = 1.0 - setting.rulebook.limit("reserve_ratio").value

    def sift(self, asked: Asked, *, graded_lose: bool = False, wait: bool = False) -> Sifted:
        """Hang all lanes, each only as far as it holds; `graded_lose` changes nothing here.

        `wait`: no further than as told; `why` of what is in by then is `WAITS`.
        """
        sift = _Sift(self, asked)
        sift.early()
        if not wait:
            sift.late()
            return sift.found()
        left = np.flatnonzero(sift.why == 0)
        found, number = sift.found(), np.zeros(len(asked.dry), dtype=np.int64)
        number[left] = np.arange(self._first[-1], self._first[-1] + len(left))
        self._kept.append(sift.lanes(left))
        self._first.append(self._first[-1] + len(left))
        found.why[left], found.number = WAITS, number
        return found

    def resume(self, number: Places, *, graded_lose: bool = False) -> Sifted:
        """Hang lanes that wait to their end, whether or not they are sure to be graded."""
        del graded_lose
        order = np.argsort(number, kind="stable")
        part = np.searchsorted(self._first, number[order], side="right") - 1
        some = [taken(self._kept[k], number[order[part == k]] - self._first[k]) for k in np.unique(part)]
        sift = _Sift.resumed(self, joined(some))
        sift.late()
        back = np.empty_like(order)
        back[order] = np.arange(len(order))
        found = sift.found()
        return Sifted(
            why=found.why[back], share=found.share[back], graded=found.graded[back], miss=found.miss[back]
        )

    def spread(self, asked: Asked, tolerance_m: Floats, *, whole: bool) -> Spread:
        """The least that the sampled figure of each lane can be, as a share of a part's limit, (S,).

        The careful figure is the percentile's at the case whose own hang is worst; here the least of all
        cases that may be it. `tolerance_m` (S, slings) is how far each made length may be off. 0 = not told.
        `whole`: of all samples.
        """
        sift, count = _Sift(self, asked), len(asked.dry)
        centres = np.array([self._nominal_m, *centre_corners(self.setting.lift.load.centre)])
        least, told = np.full(count, np.inf), np.full(count, self.margin < REFIT)
        many, each = np.repeat(np.arange(count), len(centres)), np.tile(centres, (count, 1))
        ends = (asked.stiff, asked.soft)
        strain, both = np.concatenate([x[many] for x in ends]), np.concatenate([each, each])
        shares, pose = sift.shares(np.tile(many, 2), strain, both)
        worst = list(shares.max(axis=1).reshape(2, count, -1))
        hung = pose.reshape(2, count, len(centres), *pose.shape[1:])
        for end, lane, case in cases_at_worst(worst, self.margin, told):
            drawn = sift.drawn(lane, ends[end], centres[case], hung[end, lane, case])
            np.minimum.at(least, lane, self._drawn.least(tolerance_m[lane], drawn, whole=whole))
        return Spread(np.where(told, least, 0.0), np.zeros(count))

    @property
    def _nominal_m(self) -> tuple[float, float, float]:
        return self.setting.lift.load.centre.nominal_m

    def moves(self, laid: LaidRows, lengths_m: Floats) -> Floats | None:
        """How far each path's points stand from the first problem's, for every lane; None = nowhere."""
        moved = hook_moves(self.arrangement, self.first_m, lengths_m, self.problem)
        ends = laid.ends_m
        if np.isnan(ends).all():
            return moved
        out = moved if moved is not None else np.zeros((len(ends), 2 * len(self.problem.paths), 3))
        for k, path in enumerate(self.problem.paths):  # locked: every path has two points, the load's second
            shift = ends[:, k] - np.array(path.points[1].at_m)
            out[:, 2 * k + 1] += np.nan_to_num(shift)
        return out


class _Sift:
    """Some lanes on their way through the sieve."""

    def __init__(self, sieve: Several, asked: Asked) -> None:
        self._sieve, self._asked, self._lengths = sieve, asked, asked.lengths_m
        count = len(self._lengths)
        self.why = np.zeros(count, dtype=np.int8)
        self.share = np.zeros(count)
        self.miss = np.zeros(count)
        self._flattest = np.full(count, 90.0)
        self._up = np.zeros((count, 2))  # as the told hang has it, in the load's own axes
        self._laid = lay_rows(sieve.arrangement, self._lengths)
        self._moved = sieve.moves(self._laid, self._lengths)
        self._limits = asked.limit_n[:, sieve.sling_of]

    @classmethod
    def resumed(cls, sieve: Several, lanes: Lanes) -> _Sift:
        """Lanes that came through as told."""
        sift = cls(sieve, lanes.asked)
        sift.share, sift.miss, sift._up = lanes.share, lanes.miss, lanes.up
        return sift

    def lanes(self, at: Places) -> Lanes:
        """Some of them, to be resumed."""
        return taken(Lanes(self._asked, self.share, self.miss, self._up), at)

    def early(self) -> None:
        """The told hangs."""
        for strain in (self._asked.stiff, self._asked.soft):
            self.told(strain)
        self.floors()

    def late(self) -> None:
        """The corners of the centre's box: the others begin near where the first hangs."""
        corners = self.corners_in_order()
        poses = [self.corners(x, corners[:, :1]) for x in (self._asked.stiff, self._asked.soft)]
        for strain, pose in zip((self._asked.stiff, self._asked.soft), poses, strict=True):
            if pose is not None:
                self.corners(strain, corners[:, 1:], (pose, corners[:, 0]))

    def found(self) -> Sifted:
        """What is known of them by now."""
        share = self.share * (1.0 - self._sieve.margin)
        graded = np.asarray(share > self._sieve.thin * (1.0 + LAST_BITS))
        return Sifted(why=self.why, share=share, graded=graded, miss=self.miss)

    def _hang(
        self,
        at: Places,
        strain: Floats,
        centre_m: Floats | None = None,
        longer_m: Floats | float = 0.0,
        soft: Floats | float = 1.0,
        begin: Floats | None = None,
        poses: bool = False,
    ) -> Batch:
        """Hang lanes `at` of strains (N,), centres (N, 3), paths longer and so many times as soft (N, P).

        `begin`, `poses`: as `solve_ready` has them.
        """
        laid, problem = self._laid.take(at), self._sieve.problem
        own = (strain * (_RATED_N / self._asked.rated_n[at]))[:, None]
        centres = None
        if centre_m is not None:
            beams = np.array([b.centre_of_gravity_m for b in problem.bodies[1:]])  # the load comes first
            beams = np.broadcast_to(beams.reshape(1, -1, 3), (len(at), len(problem.bodies) - 1, 3))
            centres = np.concatenate([centre_m[:, None], beams], axis=1)
        return solve_ready(
            self._sieve.ready,
            Variations(
                length_m=laid.length_m + longer_m,
                points_m=None if self._moved is None else self._moved[at],
                strain_at_rated=own * laid.stretch * soft,
                centre_of_gravity_m=centres,
            ),
            begin=begin,
            poses=poses,
        )

    def _shares(self, at: Places, batch: Batch) -> Floats:
        """Each path's pull over its limit (N, P)."""
        return np.asarray(batch.tension_n / self._limits[at])

    def shares(self, at: Places, strain: Floats, centre_m: Floats) -> tuple[Floats, Floats]:
        """As `_shares`, of lanes as told, and how they hang."""
        batch = self._hang(at, strain, centre_m, poses=True)
        return self._shares(at, batch), batch.pose

    def drawn(
        self, lanes: Places, strain: Floats, centre_m: Floats, pose: Floats
    ) -> Callable[[Places, Floats, Floats], Floats]:
        """The shares of draws of lanes with centres (N, 3) that hang like this, as `Draws.least` asks."""

        def hang(at: Places, longer_m: Floats, soft: Floats) -> Floats:
            mine = lanes[at]
            batch = self._hang(mine, strain[mine], centre_m[at], longer_m, soft, begin=pose[at])
            return np.where(batch.status[:, None] == 0, self._shares(mine, batch), np.inf)

        return hang

    def told(self, strain: Floats) -> None:
        """The told state of the lanes still in, at one end of the stretch range."""
        sieve, kept = self._sieve, self._left()
        if not len(kept):
            return
        centre = sieve.setting.lift.load.centre.nominal_m
        batch = self._hang(kept, strain[kept])
        shares = self._shares(kept, batch).max(axis=1)
        self.share[kept] = np.maximum(self.share[kept], shares)
        self._up[kept] = batch.up[:, :2]
        self._flattest[kept] = np.minimum(self._flattest[kept], flattest(batch))
        worst = np.zeros(len(kept))
        for reason, over in self._conditions(kept, batch, shares, np.array(centre)):
            worst = np.maximum(worst, over)
            self._drop(reason, kept, over > sieve.margin)
        self.miss[kept] = np.maximum(self.miss[kept], worst)

    def floors(self) -> None:
        """The rule's floor of each lane at its flattest told angle against the limit; a tie fails.

        Not below a beam: two kinds of slings at two angles are left to the careful evaluation. Mode
        factors, where the regime prints any, are left out: they can only raise the floor.
        """
        sieve = self._sieve
        arrangement, setting = sieve.arrangement, sieve.setting
        if arrangement.beam is not None:
            return
        parts = 2 if arrangement.holdings[0].hitch is Hitch.BASKET else 1
        upright = setting.rulebook.leg_floor(
            arrangement.legs, setting.weight_n / parts, 90.0, symmetric=False
        )
        sines = np.sin(np.radians(np.clip(self._flattest, 1.0, 90.0)))
        share = upright.value / sines / self._asked.limit_n[:, 0] * (1.0 - LAST_BITS)
        self.share = np.maximum(self.share, share)
        self._drop("rated-load", np.arange(len(share)), np.asarray(share * (1.0 - sieve.margin) >= 1.0))

    def corners_in_order(self) -> Places:
        """Which corner of the centre's box tilts each lane farthest, and the others behind it (S, corners).

        As in the sieve of one hook: a centre that goes away from where up points turns the load farther.
        """
        centre = self._sieve.setting.lift.load.centre
        corners = np.array(centre_corners(centre)).reshape(-1, 3)
        off = corners - np.array(centre.nominal_m)
        lean = self._up @ off[:, :2].T - _HIGHER * off[:, 2]
        return np.asarray(np.argsort(lean, axis=1, kind="stable"))

    def corners(
        self, strain: Floats, corners: Places, begin: tuple[Floats, Places] | None = None
    ) -> Floats | None:
        """Each lane's own corners (S, some) at one end of the stretch range, for the lanes still in.

        `begin`: how each lane hangs (S, B, 12) at another corner, and which. Returns that of the only one.
        """
        centre, kept, many = self._sieve.setting.lift.load.centre, self._left(), corners.shape[1]
        if not many or not len(kept):
            return None
        every, at = np.array(centre_corners(centre)), np.repeat(kept, many)
        where, near = every[corners[kept].ravel()], None
        if begin is not None:
            near = shifted(begin[0][at], where - every[begin[1][at]])
        batch = self._hang(at, strain[at], where, begin=near, poses=begin is None)
        shares = self._shares(at, batch).max(axis=1)
        for reason, over in self._conditions(at, batch, shares, where):
            if centre.known or reason in OF_STRENGTH:  # an unknown centre's box is no pose
                fails = (over > self._sieve.margin).reshape(len(kept), many).any(axis=1)
                self._drop(reason, kept, np.asarray(fails))
        self.share[kept] = np.maximum(self.share[kept], shares.reshape(len(kept), many).max(axis=1))
        if begin is not None:
            return None
        pose = np.zeros((len(self.why), *batch.pose.shape[1:]))
        pose[kept] = batch.pose
        return pose

    def _left(self) -> Places:
        return np.flatnonzero(self.why == 0)

    def _drop(self, reason: str, at: Places, fails: Bools) -> None:
        fresh = at[fails & (self.why[at] == 0)]
        self.why[fresh] = REASONS.index(reason)

    def _conditions(
        self, at: Places, batch: Batch, shares: Floats, centre_m: Floats
    ) -> list[tuple[str, Floats]]:
        """Each condition and by how much of its limit a sample is over it; `centre_m` (3,) or (N, 3)."""
        setting = self._sieve.setting
        want = setting.lift.want
        least = max(want.least_angle_deg, setting.rulebook.limit("least_angle_deg").value)
        height = hook_heights(setting, batch, centre_m) + self._longer(at, batch)
        room = min(h.headroom_m for h in setting.lift.hooks)
        return [
            ("hangs-not", np.where(batch.status != 0, np.inf, 0.0)),
            ("rated-load", shares - 1.0),
            ("wet", shares / self._asked.dry[at] - 1.0),
            ("pick-rating", self._lugs(batch)),
            ("least-angle", 1.0 - flattest(batch) / least),
            ("headroom", height / room - 1.0),
            ("tilt", batch.tilt_deg / max(want.level_within_deg, LEAST_TILT_DEG) - 1.0),
        ]

    def _lugs(self, batch: Batch) -> Floats:
        """The worst pick point's pull over its rating, or lean over what a vertical-only one may take.

        A leg leans from a lug's own vertical by no less than from the world's less the load's tilt.
        """
        setting, holdings = self._sieve.setting, self._sieve.arrangement.holdings
        picks = {p.name: p for p in setting.lift.load.pick_points}
        most = setting.rulebook.limit("lug_lean_deg").value
        worst = np.full(len(batch.tilt_deg), -1.0)
        for k, path in enumerate(self._sieve.problem.paths):
            pick = picks.get(holdings[path.sling].pick or "")
            if pick is not None and pick.rated_n is not None:
                worst = np.maximum(worst, batch.tension_n[:, k] / pick.rated_n - 1.0)
            if pick is not None and pick.vertical_only:
                lean = np.where(batch.slack[:, k], 0.0, 90.0 - batch.angle_from_horizontal_deg[:, k])
                worst = np.maximum(worst, (lean - batch.tilt_deg) / most - 1.0)
        return worst

    def _longer(self, at: Places, batch: Batch) -> Floats:
        """The least by which the hook may stand higher where the slings are as long as they may be made [m].

        As in the careful figure, with this hang's own angles (a flatter one of another case only adds) and
        the smaller of a matched set's tolerance and a loose sling's.
        """
        setting, holdings = self._sieve.setting, self._sieve.arrangement.holdings
        want, practice, lengths_m = setting.lift.want, setting.shop.practice, self._lengths[at]
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
            paths = np.flatnonzero(np.isin(self._sieve.sling_of, slings))
            total += off[:, slings].max(axis=1) / np.maximum(sines[:, paths].min(axis=1), LEAST_SINE)
        return total
