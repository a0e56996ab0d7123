"""Lanes through the conditions that every offer must meet: told hangs, orders of unequal legs, corners.

A lane that fails here fails a check that every offer must pass (and fails it by more than the last bits),
so it is left out before its cases are solved with care. No lane is ever let through as an offer.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.arrangement.geometry import level_hook_heights
from slingwright.choose.bounds import Bounds
from slingwright.choose.cases import PERCENTILE, centre_corners
from slingwright.choose.lanes import Laid, Lanes, Point3
from slingwright.choose.nominal import (
    BEATEN,
    LAST_BITS,
    LEAST_SINE,
    LEAST_TILT_DEG,
    REASONS,
    REFIT_ONCE,
)
from slingwright.choose.setting import Setting
from slingwright.choose.turns import every_turn, orders_of, turned_round
from slingwright.choose.unhung import Unhung
from slingwright.hang.screen import Screen, View, screen_many
from slingwright.sling import Hitch

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Bools = NDArray[np.bool_]
    Places = NDArray[np.int64]
    Turned = Callable[[Floats], tuple[Places, Floats]]

__all__ = ["Asked", "Sieve", "Sifted"]

_OF_STRENGTH = (*REASONS[1:4], "wet")  # of every case, the others of the pose alone
_MANY = 50_000  # lanes: fewer are not worth a second thread
_FEW = 32  # lanes: so few are hung in every case at once
_FIRST_CORNERS = 4
_TIED = 1e-6  # relative: cases whose own hangs are so near each other's worst may each be the worst
_TIES_AT_MOST = 6
_GROUND_DEG = 1.0  # a floor is taken at no flatter angle; such an angle is a stop of its own


class Asked(NamedTuple):
    """S lanes: lengths (S, slings), place of each, level hook's height, and what it is made of."""

    lengths_m: Floats
    place: Places
    level_m: Floats
    rated_n: Floats
    stiff: Floats  # strain at the rated load
    soft: Floats
    limit_n: Floats  # of a part
    dry: Floats  # the share of a limit that is left where the webbing gets wet; 1 where nothing is lost


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
        self._least_deg = max(want.least_angle_deg, book.limit("least_angle_deg").value)
        self._room_m = min(h.headroom_m for h in setting.lift.hooks)
        self._level_deg = max(want.level_within_deg, LEAST_TILT_DEG)
        main = holdings[0]  # of all slings alike, but for where they lie
        self._plain = main.hitch is Hitch.BASKET and main.wraps == 1 and self._arrangement.legs > 1
        tight = int(book.limit("tight_legs").value)
        self._slack = max(len(holdings) - tight, 0) if main.hitch is Hitch.VERTICAL else 0
        self._chokes = main.hitch is Hitch.CHOKER
        picks = {p.name: p for p in load.pick_points}
        mine = [picks.get(holdings[i].pick or "") for i in sling_of]
        rated = [np.inf if p is None or p.rated_n is None else p.rated_n for p in mine]
        self._view = View(
            limit_n=np.zeros(0),
            pick_n=np.array(rated),
            along=np.full(len(mine), self._plain or self._chokes),
            upright=np.array([p is not None and p.vertical_only for p in mine]),
            size_m=np.array([load.length_m, load.width_m, load.height_m]),
        )
        at_m = self._lanes.picks_m
        self._bounds = None if at_m is None else Bounds(
            setting, at_m, least_deg=self._least_deg, level_deg=self._level_deg, room_m=self._room_m,
            upright=self._view.upright,
        )  # fmt: skip

    def sift(self, asked: Asked, *, graded_lose: bool = False) -> Sifted:
        """Hang all lanes, each only as far as it holds.

        `graded_lose`: nor further than till it is sure to be graded; `why` of such is `BEATEN`.
        """
        sift = _Sift(self, asked, graded_lose)
        sift.run()
        share = sift.share * (1.0 - self._margin)
        return Sifted(why=sift.why, share=share, graded=sift.graded(), miss=sift.miss)

    def unhung(self, lengths_m: Floats) -> Unhung | None:
        """What needs no hang says of lanes of these lengths; None where nothing is told so."""
        if self._bounds is None:
            return None
        return Unhung(self._arrangement, self._bounds, lengths_m, self.longer_m(lengths_m))

    def spread(self, lanes: Asked, tolerance_m: Floats) -> Floats:
        """The least that the sampled figure of each lane can be, as a share of a part's limit, (S,).

        The careful figure is the percentile's at the case whose own hang is worst; here the least of all
        cases that may be it. `tolerance_m` (S, slings) is how far each made length may be off. 0 = not told.
        """
        sift, count = _Sift(self, lanes, graded_lose=False), len(lanes.place)
        centres = np.array([self._centre, *self._corners])
        many = np.repeat(np.arange(count), len(centres))
        told, ends = np.ones(count, dtype=np.bool_), []
        for strain in (lanes.stiff, lanes.soft):
            laid = sift.lay_told(strain)
            hung = sift.hang(many, laid.take(many), strain[many], np.tile(centres, (count, 1)))
            # where one is careful its samples cost more than judging it
            told &= ~hung.careful.reshape(count, -1).any(axis=1)
            ends.append((strain, laid, hung.share.reshape(count, -1)))
        worst = np.maximum(ends[0][2].max(axis=1), ends[1][2].max(axis=1))
        near = worst * (1.0 - 2.0 * self._margin - _TIED)
        tied = [share >= near[:, None] for _, _, share in ends]
        told &= tied[0].sum(axis=1) + tied[1].sum(axis=1) <= _TIES_AT_MOST
        least = np.full(count, np.inf)
        for (strain, laid, _), mine in zip(ends, tied, strict=True):
            at, case = np.nonzero(mine & told[:, None])
            if len(at):
                sampled = self._sampled(sift, at, strain, laid, centres[case], tolerance_m)
                np.minimum.at(least, at, sampled)
        return np.where(told, least, 0.0) * (1.0 - self._margin)

    def _sampled(
        self, sift: _Sift, at: Places, strain: Floats, laid: Laid, centre_m: Floats, tolerance_m: Floats
    ) -> Floats:
        """The percentile of the worst share over the drawn lengths and stiffnesses of lanes `at` (S,)."""
        draws, sling_of = self._setting.draws, self._lanes.sling_of
        many, samples = np.repeat(at, draws.samples), draws.samples
        sides = np.bincount(sling_of)[sling_of]
        off = draws.length[None, :, sling_of] * (tolerance_m[at][:, None, sling_of] / sides)
        off = off.reshape(len(many), -1)
        other = 1.0 + self._setting.shop.practice.stiffness_spread_rel * draws.stiffness[:, sling_of]
        every = laid.take(many)
        drawn = Laid(length_m=every.length_m + off, elastic_m=every.elastic_m + off, ends_m=every.ends_m)
        other = np.tile(other, (len(at), 1))
        hung = sift.hang(many, drawn, strain[many][:, None] * other, np.repeat(centre_m, samples, axis=0))
        share = np.where(hung.status == 0, hung.share, np.inf).reshape(len(at), samples)
        return np.asarray(np.sort(share, axis=1)[:, math.ceil(PERCENTILE * samples) - 1])

    # -- conditions: by how much of its limit a lane is over ----------------------------------------

    def over(self, hung: Screen, longer_m: Floats, dry: Floats) -> list[tuple[str, Floats]]:
        """Each condition that a hang must meet; `longer_m` (S,) is what the slings may be longer than told.

        The hook then stands higher by no less than that over the sine of this hang's flattest leg (a
        flatter one of another case only adds).
        """
        sine = np.maximum(np.sin(np.radians(hung.flattest_deg)), LEAST_SINE)
        found = [
            ("hangs-not", np.where(hung.status != 0, np.inf, 0.0)),
            ("rated-load", hung.share - 1.0),
            ("least-angle", 1.0 - hung.flattest_deg / self._least_deg),
            ("headroom", (hung.height_m + longer_m / sine) / self._room_m - 1.0),
            ("tilt", hung.tilt_deg / self._level_deg - 1.0),
        ]
        if (dry < 1.0).any():
            found.append(("wet", hung.share / dry - 1.0))
        if np.isfinite(self._view.pick_n).any():
            found.append(("pick-rating", hung.pick_share - 1.0))
        if self._view.upright.any():
            most = self._setting.rulebook.limit("lug_lean_deg").value
            found.append(("pick-rating", hung.lean_deg / most - 1.0))
        if self._plain:
            least = self._setting.rulebook.limit("basket_least_angle_along_deg").value
            found.append(("slip", 1.0 - hung.along_deg / least))
        return found

    def longer_m(self, lengths_m: Floats) -> Floats:
        """How much longer than told the longest sling of each lane may be made [m].

        The smaller of a matched set's tolerance and a loose sling's.
        """
        want, practice, longest = self._setting.lift.want, self._setting.shop.practice, lengths_m.max(axis=1)
        if want.tolerance_length_m is not None or want.tolerance_length_rel is not None:
            return np.asarray((want.tolerance_length_m or 0.0) + (want.tolerance_length_rel or 0.0) * longest)
        off = practice.tolerance_rel * longest + practice.tolerance_m
        return np.asarray(np.minimum(off, practice.matched_tolerance_m) if want.matched_set else off)


class _Sift:
    """Some lanes on their way through."""

    def __init__(self, sieve: Sieve, asked: Asked, graded_lose: bool) -> None:
        self._sieve, self._asked, self._graded_lose = sieve, asked, graded_lose
        count = len(asked.place)
        self.why = np.zeros(count, dtype=np.int8)
        self.share, self.miss = np.zeros(count), np.zeros(count)
        self.crooked = np.zeros(count, dtype=np.bool_)
        self._longer_m = sieve.longer_m(asked.lengths_m)
        self._orders = orders_of(sieve._arrangement)
        self._flattest = np.full(count, 90.0)
        self._level = sieve._lanes.lay(asked.lengths_m, asked.place)

    def run(self) -> None:
        """What stops most comes first; what fell is not hung again."""
        asked, corners, many = self._asked, self._sieve._corners, len(self.why)
        ends = []
        for strain in (asked.stiff, asked.soft):
            ends.append((strain, self._told(strain)))
            self._give_up_graded()
            if self._graded_lose and many > _FEW:  # most are crooked when their legs are turned round
                self._swaps(strain, turned_round)
                self._give_up_graded()
        self._floors()
        self._give_up_graded()
        at_first = 1 if many > _FEW else len(corners)
        for some_corners, turned in (
            (corners[:at_first], turned_round if many > _FEW else every_turn),
            (corners[at_first : 2 * at_first], None),
            (corners[2 * at_first :], every_turn if many > _FEW else None),
        ):
            for strain, laid in ends:
                self._corner_cases(strain, laid, some_corners)
                self._give_up_graded()
            if turned is not None:
                for strain, _ in ends:
                    self._swaps(strain, turned)
                    self._give_up_graded()

    def graded(self) -> Bools:
        """Lanes that carry a grading caution for sure."""
        share = self.share * (1.0 - self._sieve._margin)
        return np.asarray(self.crooked | (share > self._sieve._thin * (1.0 + LAST_BITS)))

    def _give_up_graded(self) -> None:
        if self._graded_lose:
            self.why[(self.why == 0) & self.graded()] = BEATEN

    def _unequal(self) -> Places:
        """Lanes still in whose legs differ in length."""
        lengths = self._asked.lengths_m
        return np.flatnonzero((self.why == 0) & (lengths != lengths[:, :1]).any(axis=1))

    def _left(self) -> Places:
        return np.flatnonzero(self.why == 0)

    def hang(
        self,
        at: Places,
        laid: Laid,
        strain: Floats,
        centre_m: Floats | None = None,
        level_m: Floats | None = None,
    ) -> Screen:
        """Hang lanes `at` as laid; `centre_m` (S, 3) where it is not the told one."""
        sieve, asked = self._sieve, self._asked
        problem, variations = sieve._lanes.vary(
            laid, asked.level_m[at] if level_m is None else level_m, asked.rated_n[at], strain, centre_m
        )
        threads = None if len(at) > _MANY else 1
        return screen_many(
            problem, variations, sieve._view._replace(limit_n=asked.limit_n[at]), threads=threads
        )

    def lay_told(self, strain: Floats) -> Laid:
        """All lanes as they lie told, at one end of the stretch range."""
        return self._lay_told(np.arange(len(self.why)), strain)[0]

    def _lay_told(self, at: Places, strain: Floats) -> tuple[Laid, Screen]:
        sieve, asked = self._sieve, self._asked
        laid = self._level if len(at) == len(self.why) else self._level.take(at)
        hung = self.hang(at, laid, strain[at])
        if sieve._lanes.curved:  # once more with the tangents of the hook as it hangs
            height = sieve._centre[2] + hung.hook_above_cg_m * np.cos(np.radians(hung.tilt_deg))
            laid = sieve._lanes.lay(asked.lengths_m[at], asked.place[at], height)
            hung = self.hang(at, laid, strain[at])
        return laid, hung

    def _told(self, strain: Floats) -> Laid:
        """The told state of every lane still in, at one end of the stretch range; how they then lie."""
        sieve, at = self._sieve, self._left()
        every = len(at) == len(self.why)
        laid, hung = self._lay_told(at, strain)
        self.share[at] = np.maximum(self.share[at], hung.share)
        self._flattest[at] = np.minimum(self._flattest[at], hung.flattest_deg)
        worst = np.zeros(len(at))
        for reason, over in sieve.over(hung, self._longer_m[at], self._asked.dry[at]):
            np.maximum(worst, over, out=worst)
            self._drop(reason, at, over > sieve._margin)
        self.miss[at] = np.maximum(self.miss[at], worst)
        self._drop("slack-leg", at, hung.slack > sieve._slack)
        self.crooked[at] |= hung.slack > 0
        self._grade(at, hung)
        if every or not sieve._lanes.curved:
            return laid if every else self._level
        return self._level.put(at, laid)

    def _grade(self, at: Places, hung: Screen) -> None:
        """What else grades by the told hang alone: chokers pulled flat, legs far apart, lugs aslant."""
        sieve, book = self._sieve, self._sieve._setting.rulebook
        sure = sieve._margin + LAST_BITS
        if sieve._chokes:
            least = book.limit("choker_low_pull_deg").value
            self.crooked[at] |= hung.along_deg < least * (1.0 - sure)
        if sieve._view.upright.any():
            upright = book.limit("near_vertical_deg").value
            self.crooked[at] |= hung.lean_deg > upright * (1.0 + sure)
        most = book.limit("hook_angle_deg").value
        self.crooked[at] |= hung.spread_deg > most * (1.0 + sure)

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
        share = upright.value / sines / self._asked.limit_n * (1.0 - LAST_BITS)
        self.share = np.maximum(self.share, share)
        at = self._left()
        self._drop("rated-load", at, share[at] * (1.0 - sieve._margin) >= 1.0)
        self._drop("wet", at, share[at] * (1.0 - sieve._margin) >= self._asked.dry[at])

    def _corner_cases(self, strain: Floats, laid: Laid, corners: Sequence[Point3]) -> None:
        """Corners of the centre's box at one end of the stretch range, for the lanes still in."""
        sieve, kept, many = self._sieve, self._left(), len(corners)
        if not corners or not len(kept):
            return
        at, centre = np.repeat(kept, many), np.tile(np.array(corners), (len(kept), 1))
        hung = self.hang(at, laid.take(at), strain[at], centre)
        known = sieve._setting.lift.load.centre.known
        for reason, over in sieve.over(hung, self._longer_m[at], self._asked.dry[at]):
            if known or reason in _OF_STRENGTH:  # an unknown centre's box is no pose
                fails = np.asarray((over > sieve._margin).reshape(len(kept), many).any(axis=1))
                self._drop(reason, kept, fails)
        share = hung.share.reshape(len(kept), many)
        self.share[kept] = np.maximum(self.share[kept], share[:, 0] if many == 1 else share.max(axis=1))

    def _swaps(self, strain: Floats, turned: Turned) -> None:
        """Other orders of unequal legs: none may overload a part; a crooked one grades.

        An order that cannot be hung at all does no harm.
        """
        sieve, asked = self._sieve, self._asked
        kept = self._unequal() if self._orders else np.zeros(0, dtype=np.int64)
        if not len(kept):
            return
        of, swapped = turned(asked.lengths_m[kept])
        row = kept[of]
        level = level_hook_heights(sieve._arrangement, swapped)[:, 0]
        reach = np.isfinite(level)
        row, swapped, level = row[reach], swapped[reach], level[reach]
        if not len(row):
            return
        laid = sieve._lanes.lay(swapped, asked.place[row])
        hung = self.hang(row, laid, strain[row], level_m=level)
        over, crooked, falls = (np.zeros(len(self.why), dtype=np.bool_) for _ in range(3))
        np.logical_or.at(over, row, hung.share > 1.0 + LAST_BITS)
        np.logical_or.at(crooked, row, hung.tilt_deg > sieve._level_deg * (1.0 + LAST_BITS))
        np.logical_or.at(falls, row, hung.status != 0)
        self.crooked |= crooked
        self._drop("hangs-not", kept, falls[kept])
        self._drop("swap", kept, over[kept])

    def _drop(self, reason: str, at: Places, fails: Bools) -> None:
        fresh = at[fails & (self.why[at] == 0)]
        self.why[fresh] = REASONS.index(reason)
