"""Lanes through the conditions that every offer must meet: told hangs, orders of unequal legs, corners.

A lane that fails here fails a check that every offer must pass (and fails it by more than the last bits),
so it is left out before its cases are solved with care. No lane is ever let through as an offer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.arrangement.geometry import level_hook_heights
from slingwright.choose.cases import centre_corners
from slingwright.choose.lanes import Laid, Lanes, Point3
from slingwright.choose.nominal import (
    LAST_BITS,
    LEAST_SINE,
    LEAST_TILT_DEG,
    REASONS,
    REFIT_ONCE,
    SWAPPED_AT_MOST,
)
from slingwright.choose.setting import Setting
from slingwright.hang.batch import Batch
from slingwright.sling import Hitch

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Bools = NDArray[np.bool_]
    Places = NDArray[np.int64]

__all__ = ["BEATEN", "Asked", "Sieve", "Sifted"]

_OF_STRENGTH = REASONS[1:4]  # of every case, the others of the pose alone
_FEW = 32  # lanes: so few are hung in every case at once
_FIRST_CORNERS = 4
BEATEN = -2  # a lane not hung to the end: it is sure to be graded, and that is enough to lose
_GROUND_DEG = 1.0  # a floor is taken at no flatter angle; such an angle is a stop of its own


class Asked(NamedTuple):
    """S lanes: lengths (S, slings), place of each, level hook's height, and what it is made of."""

    lengths_m: Floats
    place: Places
    level_m: Floats
    rated_n: Floats
    stiff: Floats  # strain at the rated load
    soft: Floats
    limit_n: Floats  # (S, slings) of a part


@dataclass(slots=True, kw_only=True)
class Sifted:
    """What is known of each lane: as `Nominal` has it."""

    why: NDArray[np.int8]
    share: Floats
    graded: Bools
    miss: Floats


class Sieve:
    """The conditions of one lift for one group of arrangements under one hook."""

    def __init__(self, setting: Setting, arrangements: tuple[Arrangement, ...], level_m: float) -> None:
        """`level_m`: the height of the level hook of any of its lanes."""
        self._setting, self._arrangement = setting, arrangements[0]
        self._lanes = Lanes(setting, arrangements, level_m)
        self._margin = REFIT_ONCE if self._lanes.curved else LAST_BITS
        load, want, book = setting.lift.load, setting.lift.want, setting.rulebook
        holdings, sling_of = self._arrangement.holdings, self._lanes.sling_of
        self._centre = np.array(load.centre.nominal_m)
        # the higher ones tilt the load more: of those two that lie across from each other first
        self._corners = sorted(centre_corners(load.centre), key=lambda c: (-c[2], c[0], c[1]))
        self._thin = 1.0 - book.limit("reserve_ratio").value
        if len(self._corners) > _FIRST_CORNERS:
            self._corners.insert(1, self._corners.pop(len(self._corners) // 2 - 1))
        self._size = np.array([load.length_m, load.width_m, load.height_m])
        self._least_deg = max(want.least_angle_deg, book.limit("least_angle_deg").value)
        self._room_m = min(h.headroom_m for h in setting.lift.hooks)
        self._level_deg = max(want.level_within_deg, LEAST_TILT_DEG)
        plain = [h.hitch is Hitch.BASKET and h.wraps == 1 for h in holdings]
        self._plain = np.array(plain)[sling_of] & (self._arrangement.legs > 1)
        self._chokes = np.array([h.hitch is Hitch.CHOKER for h in holdings])[sling_of]
        picks = {p.name: p for p in load.pick_points}
        mine = [picks.get(holdings[i].pick or "") for i in sling_of]
        rated = [np.inf if p is None or p.rated_n is None else p.rated_n for p in mine]
        self._pick_n = np.array(rated)
        self._upright = np.array([p is not None and p.vertical_only for p in mine])

    def sift(self, asked: Asked, *, graded_lose: bool = False) -> Sifted:
        """Hang all lanes, each only as far as it holds.

        `graded_lose`: nor further than till it is sure to be graded; `why` of such is `BEATEN`.
        """
        sift = _Sift(self, asked, graded_lose)
        sift.run()
        share = sift.share * (1.0 - self._margin)
        return Sifted(why=sift.why, share=share, graded=sift.graded(), miss=sift.miss)

    # -- conditions: by how much of its limit a lane is over ----------------------------------------

    def over(
        self, batch: Batch, shares: Floats, laid: Laid, lengths_m: Floats, centre_m: Floats
    ) -> list[tuple[str, Floats]]:
        """Each condition that a hang must meet; `centre_m` (3,) or (S, 3)."""
        flattest = np.where(batch.slack, 90.0, batch.angle_from_horizontal_deg)
        lowest = np.minimum(batch.up * self._size, 0.0).sum(axis=1) - (batch.up * centre_m).sum(axis=1)
        height = batch.hook_above_cg_m - lowest + self._longer(batch, lengths_m)
        found = [
            ("hangs-not", np.where(batch.status != 0, np.inf, 0.0)),
            ("rated-load", shares - 1.0),
            ("least-angle", 1.0 - flattest.min(axis=1) / self._least_deg),
            ("headroom", height / self._room_m - 1.0),
            ("tilt", batch.tilt_deg / self._level_deg - 1.0),
        ]
        if np.isfinite(self._pick_n).any() or self._upright.any():
            found.append(("pick-rating", self._lugs(batch)))
        if self._plain.any():
            least = self._setting.rulebook.limit("basket_least_angle_along_deg").value
            along = self._along_deg(batch, laid, centre_m)[:, self._plain]
            found.append(("slip", 1.0 - along.min(axis=1) / least))
        return found

    def _along_deg(self, batch: Batch, laid: Laid, centre_m: Floats) -> Floats:
        """Each loaded path's angle from the horizontal seen along the load [deg]; 90 where it is slack."""
        hook = centre_m + batch.up * batch.hook_above_cg_m[:, None]  # it hangs over the centre
        way = hook[:, None] - laid.ends_m
        along = np.degrees(np.arctan2(way[:, :, 2], np.abs(way[:, :, 0])))
        return np.where(batch.slack, 90.0, along)

    def _lugs(self, batch: Batch) -> Floats:
        """The worst pick point's pull over its rating, or lean over what a vertical-only one may take.

        A leg leans from a lug's own vertical by no less than from the world's less the load's tilt.
        """
        worst = np.asarray((batch.tension_n / self._pick_n).max(axis=1) - 1.0)
        if self._upright.any():
            most = self._setting.rulebook.limit("lug_lean_deg").value
            lean = np.where(batch.slack, 0.0, 90.0 - batch.angle_from_horizontal_deg)[:, self._upright]
            worst = np.maximum(worst, (lean.max(axis=1) - batch.tilt_deg) / most - 1.0)
        return worst

    def _longer(self, batch: Batch, lengths_m: Floats) -> Floats:
        """The least by which the hook may stand higher where the slings are as long as they may be made [m].

        As in the careful figure, with this hang's own angles (a flatter one of another case only adds) and
        the smaller of a matched set's tolerance and a loose sling's.
        """
        want, practice = self._setting.lift.want, self._setting.shop.practice
        if want.tolerance_length_m is not None or want.tolerance_length_rel is not None:
            off = (want.tolerance_length_m or 0.0) + (want.tolerance_length_rel or 0.0) * lengths_m
        else:
            off = practice.tolerance_rel * lengths_m + practice.tolerance_m
            if want.matched_set:
                off = np.minimum(off, practice.matched_tolerance_m)
        angle = np.where(batch.slack, 90.0, batch.angle_from_horizontal_deg).min(axis=1)
        return np.asarray(off.max(axis=1) / np.maximum(np.sin(np.radians(angle)), LEAST_SINE))


class _Sift:
    """Some lanes on their way through."""

    def __init__(self, sieve: Sieve, asked: Asked, graded_lose: bool) -> None:
        self._sieve, self._asked, self._graded_lose = sieve, asked, graded_lose
        count = len(asked.place)
        self.why = np.zeros(count, dtype=np.int8)
        self.share, self.miss = np.zeros(count), np.zeros(count)
        self.crooked = np.zeros(count, dtype=np.bool_)
        self._limit_n = asked.limit_n[:, sieve._lanes.sling_of]
        self._flattest = np.full(count, 90.0)
        self._level = sieve._lanes.lay(asked.lengths_m, asked.place)

    def run(self) -> None:
        """What stops most comes first; what fell is not hung again."""
        asked, corners, many = self._asked, self._sieve._corners, len(self.why)
        ends = [(e, self._told(e)) for e in (asked.stiff, asked.soft)]
        self._floors()
        self._give_up_graded()
        orders = list(permutations(range(asked.lengths_m.shape[1])))[1:]
        at_first = (1, 2) if many > _FEW else (len(corners), len(orders))
        for some_corners, some_orders in (
            (corners[: at_first[0]], orders[: at_first[1]]),
            (corners[at_first[0] : 2 * at_first[0]], []),
            (corners[2 * at_first[0] :], orders[at_first[1] :]),
        ):
            for strain, laid in ends:
                self._corner_cases(strain, laid, some_corners)
                self._swaps(strain, some_orders)
                self._give_up_graded()

    def graded(self) -> Bools:
        """Lanes that carry a grading caution for sure."""
        share = self.share * (1.0 - self._sieve._margin)
        return np.asarray(self.crooked | (share > self._sieve._thin * (1.0 + LAST_BITS)))

    def _give_up_graded(self) -> None:
        if self._graded_lose:
            self.why[(self.why == 0) & self.graded()] = BEATEN

    def _left(self) -> Places:
        return np.flatnonzero(self.why == 0)

    def _solve(self, at: Places, laid: Laid, strain: Floats, centre_m: Floats | None = None) -> Batch:
        asked = self._asked
        return self._sieve._lanes.solve(laid, asked.level_m[at], asked.rated_n[at], strain[at], centre_m)

    def _told(self, strain: Floats) -> Laid:
        """The told state of every lane still in, at one end of the stretch range; how they then lie."""
        sieve, asked, at = self._sieve, self._asked, self._left()
        laid = self._level.take(at)
        batch = self._solve(at, laid, strain)
        if sieve._lanes.curved:  # once more with the tangents of the hook as it hangs
            height = sieve._centre[2] + batch.hook_above_cg_m * np.cos(np.radians(batch.tilt_deg))
            laid = sieve._lanes.lay(asked.lengths_m[at], asked.place[at], height)
            batch = self._solve(at, laid, strain)
        shares = (batch.tension_n / self._limit_n[at]).max(axis=1)
        self.share[at] = np.maximum(self.share[at], shares)
        flattest = np.where(batch.slack, 90.0, batch.angle_from_horizontal_deg).min(axis=1)
        self._flattest[at] = np.minimum(self._flattest[at], flattest)
        for reason, over in sieve.over(batch, shares, laid, asked.lengths_m[at], sieve._centre):
            self.miss[at] = np.maximum(self.miss[at], over)
            self._drop(reason, at, over > sieve._margin)
        self._grade(at, batch, laid)
        if len(at) == len(self.why):
            return laid
        whole = Laid(
            length_m=self._level.length_m.copy(),
            elastic_m=self._level.elastic_m.copy(),
            ends_m=self._level.ends_m.copy(),
        )
        whole.length_m[at], whole.elastic_m[at], whole.ends_m[at] = laid.length_m, laid.elastic_m, laid.ends_m
        return whole

    def _grade(self, at: Places, batch: Batch, laid: Laid) -> None:
        """What grades by the told hang alone: chokers pulled flat, a hook with its legs far apart."""
        sieve, book = self._sieve, self._sieve._setting.rulebook
        if sieve._chokes.any():
            least = book.limit("choker_low_pull_deg").value
            along = sieve._along_deg(batch, laid, sieve._centre)[:, sieve._chokes].min(axis=1)
            self.crooked[at] |= along < least * (1.0 - sieve._margin - LAST_BITS)
        most = book.limit("hook_angle_deg").value
        spread = _spread_deg(batch, laid, sieve._centre)
        self.crooked[at] |= spread > most * (1.0 + sieve._margin + LAST_BITS)

    def _floors(self) -> None:
        """The rule's floor of each lane at its flattest told angle against the limit; a tie fails.

        Mode factors, where the regime prints any, are left out: they can only raise the floor.
        """
        sieve = self._sieve
        arrangement, setting = sieve._arrangement, sieve._setting
        parts = 2 if arrangement.holdings[0].hitch is Hitch.BASKET else 1
        upright = setting.rulebook.leg_floor(
            arrangement.legs, setting.weight_n / parts, 90.0, symmetric=False
        )
        sines = np.sin(np.radians(np.clip(self._flattest, _GROUND_DEG, 90.0)))
        share = upright.value / sines / self._asked.limit_n[:, 0] * (1.0 - LAST_BITS)
        self.share = np.maximum(self.share, share)
        at = self._left()
        self._drop("rated-load", at, share[at] * (1.0 - sieve._margin) >= 1.0)

    def _corner_cases(self, strain: Floats, laid: Laid, corners: Sequence[Point3]) -> None:
        """Corners of the centre's box at one end of the stretch range, for the lanes still in."""
        sieve, asked, kept, many = self._sieve, self._asked, self._left(), len(corners)
        if not corners or not len(kept):
            return
        at, centre = np.repeat(kept, many), np.tile(np.array(corners), (len(kept), 1))
        mine = laid.take(at)
        batch = self._solve(at, mine, strain, centre)
        shares = (batch.tension_n / self._limit_n[at]).max(axis=1)
        known = sieve._setting.lift.load.centre.known
        for reason, over in sieve.over(batch, shares, mine, asked.lengths_m[at], centre):
            if known or reason in _OF_STRENGTH:  # an unknown centre's box is no pose
                fails = np.asarray((over > sieve._margin).reshape(len(kept), many).any(axis=1))
                self._drop(reason, kept, fails)
        self.share[kept] = np.maximum(self.share[kept], shares.reshape(len(kept), many).max(axis=1))

    def _swaps(self, strain: Floats, orders: Sequence[tuple[int, ...]]) -> None:
        """Other orders of unequal legs: none may overload a part; a crooked one grades.

        An order that cannot be hung at all does no harm.
        """
        sieve, asked = self._sieve, self._asked
        many = asked.lengths_m.shape[1]
        if not orders or sieve._arrangement.lengths != "made" or many > SWAPPED_AT_MOST:
            return
        kept = np.flatnonzero((self.why == 0) & (asked.lengths_m != asked.lengths_m[:, :1]).any(axis=1))
        if not len(kept):
            return
        row = np.repeat(kept, len(orders))
        swapped = np.concatenate([asked.lengths_m[kept][:, None, order] for order in orders], axis=1)
        swapped = swapped.reshape(-1, many)
        level = level_hook_heights(sieve._arrangement, swapped)[:, 0]
        reach = np.isfinite(level)
        row, swapped, level = row[reach], swapped[reach], level[reach]
        if not len(row):
            return
        laid = sieve._lanes.lay(swapped, asked.place[row])
        batch = sieve._lanes.solve(laid, level, asked.rated_n[row], strain[row])
        shares = (batch.tension_n / self._limit_n[row]).max(axis=1)
        over, crooked, falls = (np.zeros(len(self.why), dtype=np.bool_) for _ in range(3))
        np.logical_or.at(over, row, shares > 1.0 + LAST_BITS)
        np.logical_or.at(crooked, row, batch.tilt_deg > sieve._level_deg * (1.0 + LAST_BITS))
        np.logical_or.at(falls, row, batch.status != 0)
        self.crooked |= crooked
        self._drop("hangs-not", kept, falls[kept])
        self._drop("swap", kept, over[kept])

    def _drop(self, reason: str, at: Places, fails: Bools) -> None:
        fresh = at[fails & (self.why[at] == 0)]
        self.why[fresh] = REASONS.index(reason)


def _spread_deg(batch: Batch, laid: Laid, centre_m: Floats) -> Floats:
    """Largest angle between two loaded paths at the hook [deg]; 0 with fewer than two."""
    paths = laid.length_m.shape[1]
    if paths < 2:
        return np.zeros(len(laid.length_m))
    way = (centre_m + batch.up * batch.hook_above_cg_m[:, None])[:, None] - laid.ends_m
    way /= np.sqrt((way * way).sum(axis=2))[:, :, None]
    worst = np.ones(len(way))
    for i in range(paths):
        for j in range(i + 1, paths):
            dot = (way[:, i] * way[:, j]).sum(axis=1)
            worst = np.minimum(worst, np.where(batch.slack[:, i] | batch.slack[:, j], 1.0, dot))
    return np.asarray(np.degrees(np.arccos(np.clip(worst, -1.0, 1.0))))
