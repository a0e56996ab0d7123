"""Lanes through the conditions that every offer must meet: told hangs, orders of unequal legs, corners.

A lane that fails here fails a check that every offer must pass (and fails it by more than the last bits),
so it is left out before its cases are solved with care. No lane is ever let through as an offer.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.choose.asked import Asked, Sifted
from slingwright.choose.bounds import Bounds
from slingwright.choose.cases import ROUNDS, centre_corners
from slingwright.choose.corners import corners_in_order, first_corner
from slingwright.choose.drawn import Spread
from slingwright.choose.held_to import held_to, with_margin
from slingwright.choose.lanes import Laid, Lanes
from slingwright.choose.nominal import BEATEN, LAST_BITS, LEAST_TILT_DEG, REASONS, REFIT_ONCE, WAITS
from slingwright.choose.rows import most, unequal
from slingwright.choose.setting import Setting
from slingwright.choose.spreading import OneHookSpread
from slingwright.choose.tilting import Tilting
from slingwright.choose.turns import every_turn, in_reach, orders_of, turned_round, worst_turn
from slingwright.choose.unhung import Unhung
from slingwright.choose.waiting import Lane, Waiting
from slingwright.hang.batch import Inputs, Out
from slingwright.hang.screen import CASE, STRENGTH, TOLD, TURNED, Held, Holder, View
from slingwright.sling import Hitch

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from slingwright.choose.corners import Order
    from slingwright.choose.turns import Turned

    Floats = NDArray[np.float64]
    Bools = NDArray[np.bool_]
    Places = NDArray[np.int64]
    Hung = tuple[Inputs, Out]

__all__ = ["FEW", "Asked", "Sieve", "Sifted"]

# as they are told, in the order of the conditions that a hang is held to
_TOLD_AS = ("hangs-not", "rated-load", "least-angle", "headroom", "tilt", "wet", "pick-rating", "pick-rating",
            "slip", "slack-leg", "swap")  # fmt: skip
_CODES = (*(REASONS.index(reason) for reason in _TOLD_AS), BEATEN)
_MANY = 50_000  # lanes: fewer are not worth a second thread
FEW = 32  # lanes: so few are hung in every case at once
_GROUND_DEG = 1.0  # a floor is taken at no flatter angle; such an angle is a stop of its own


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
        self._corners = np.array(centre_corners(load.centre)).reshape(-1, 3)
        least_deg = max(want.least_angle_deg, book.limit("least_angle_deg").value)
        level_deg = max(want.level_within_deg, LEAST_TILT_DEG)
        room_m = min(h.headroom_m for h in setting.lift.hooks)
        picks = {p.name: p for p in load.pick_points}
        mine = [picks.get(holdings[i].pick or "") for i in sling_of]
        rated = [np.inf if p is None or p.rated_n is None else p.rated_n for p in mine]
        self._view = View(
            limit_n=np.zeros(0),
            pick_n=np.array(rated),
            along=np.full(len(mine), self._plain or holdings[0].hitch is Hitch.CHOKER),
            upright=np.array([p is not None and p.vertical_only for p in mine]),
            size_m=np.array([load.length_m, load.width_m, load.height_m]),
        )
        self._spreading = OneHookSpread(
            setting, self._lanes, self._corners, margin=LAST_BITS, upright=self._view.upright
        )
        limits = held_to(
            setting, self._arrangement, self._view, least_deg=least_deg, level_deg=level_deg, room_m=room_m,
            plain=self._plain,
        )  # fmt: skip
        self._near, self._exact = (
            Holder(self._lanes.problem, self._view, with_margin(limits, margin), _CODES)
            for margin in (self._margin, LAST_BITS)
        )
        self._waiting = Waiting()
        at_m = self._lanes.picks_m
        self._bounds = None if at_m is None else Bounds(
            setting, at_m, least_deg=least_deg, level_deg=level_deg, room_m=room_m, upright=self._view.upright
        )  # fmt: skip
        self._tilting = None if at_m is None else Tilting(setting, at_m, level_deg)

    @property
    def _plain(self) -> bool:
        """Whether it is a plain basket that may slip along the load."""
        main = self._arrangement.holdings[0]  # of all slings alike, but for where they lie
        return main.hitch is Hitch.BASKET and main.wraps == 1 and self._arrangement.legs > 1

    def sift(self, asked: Asked, *, graded_lose: bool = False, wait: bool = False) -> Sifted:
        """Hang all lanes, each only as far as it holds.

        `graded_lose`: nor further than till it is sure to be graded; `why` of such is `BEATEN`. `wait`: nor
        further than as told; `why` of what is in by then is `WAITS`.
        """
        sift = _Sift(self, asked, graded_lose)
        sift.many |= wait  # they are many of which these are some
        sift.early()
        if not wait:
            sift.late()
            return sift.found()
        left = np.flatnonzero(sift.held.why == 0)
        found, number = sift.found(), np.zeros(len(asked.place), dtype=np.int64)
        number[left] = self._waiting.keep(sift.lanes(left), graded_lose=graded_lose)
        found.why[left], found.number = WAITS, number
        return found

    def resume(self, number: Places, *, graded_lose: bool = False) -> Sifted:
        """Hang lanes that wait to their end; with `graded_lose` as `sift` has it, or had."""
        why, count = np.zeros(len(number), dtype=np.int8), len(number)
        out = Sifted(
            why=why, share=np.zeros(count), graded=np.zeros(count, dtype=np.bool_), miss=np.zeros(count)
        )
        for at, lanes, lost in self._waiting.take(number):
            sift = _Sift.resumed(self, lanes, lost or graded_lose)
            sift.late()
            found = sift.found()
            out.why[at], out.share[at], out.graded[at] = found.why, found.share, found.graded
            out.miss[at] = found.miss
        return out

    def exactly(self, asked: Asked, *, graded_lose: bool) -> Sifted | None:
        """Hang lanes as they are judged, to the last bits; None where `sift` does so.

        Round a curve strings leave the load where the hook as it hangs lets them, and `sift` is rougher.
        """
        if not self._lanes.curved:
            return None
        sift = _Sift(self, asked, graded_lose, exact=True)
        sift.early()
        sift.late()
        return sift.found()

    def unhung(self, lengths_m: Floats, told: dict[object, object] | None = None) -> Unhung | None:
        """What needs no hang says of lanes of these lengths, `told` of a `RowSet`; None for nothing."""
        bounds, tilting, longer_m = self._bounds, self._tilting, self.longer_m(lengths_m)
        if bounds is None or tilting is None:
            return None
        return Unhung(self._arrangement, bounds, tilting, lengths_m, longer_m, told)

    def spread(self, lanes: Asked, tolerance_m: Floats, *, whole: bool) -> Spread:
        """The least that the sampled figures of each lane can be; as `OneHookSpread`."""
        sift = _Sift(self, lanes, graded_lose=False, exact=True)
        return self._spreading.of(sift, lanes, tolerance_m, whole=whole)

    def longer_m(self, lengths_m: Floats) -> Floats:
        """How much longer than told the longest sling of each lane may be made [m].

        The smaller of a matched set's tolerance and a loose sling's.
        """
        want, practice, longest = self._setting.lift.want, self._setting.shop.practice, most(lengths_m)
        if want.tolerance_length_m is not None or want.tolerance_length_rel is not None:
            return np.asarray((want.tolerance_length_m or 0.0) + (want.tolerance_length_rel or 0.0) * longest)
        off = practice.tolerance_rel * longest + practice.tolerance_m
        return np.asarray(np.minimum(off, practice.matched_tolerance_m) if want.matched_set else off)


class _Sift:
    """Some lanes on their way through."""

    def __init__(self, sieve: Sieve, asked: Asked, graded_lose: bool, *, exact: bool = False) -> None:
        """`exact`: strings round a curve lie as judging takes them, two rounds anew, to the last bits."""
        self._hold_near(sieve, exact=exact)
        self._sieve, self._asked, self._graded_lose = sieve, asked, graded_lose
        count, lengths = len(asked.place), asked.lengths_m
        self.held = Held(
            why=np.zeros(count, dtype=np.int8),
            share=np.zeros(count),
            miss=np.zeros(count),
            flattest_deg=np.full(count, 90.0),
            crooked=np.zeros(count, dtype=np.bool_),
            longer_m=sieve.longer_m(lengths),
            limit_n=asked.limit_n,
            dry=asked.dry,
        )
        self.many = count > FEW
        self._unequal: Bools | None
        self._find_unequal()
        near = sieve._lanes.curved and not exact  # the first level hook's height does for all slings
        self._level = sieve._lanes.lay(lengths, asked.place, asked.level_m if near else None)
        self._up = np.zeros((count, 2))  # as the told hang has it, in the load's own axes
        self._ends: list[tuple[Floats, Laid]] = []

    @classmethod
    def resumed(cls, sieve: Sieve, lanes: Lane, graded_lose: bool) -> _Sift:
        """As `lanes` left it."""
        sift = cls.__new__(cls)
        sift._hold_near(sieve, exact=False)
        sift._sieve, sift._asked, sift._graded_lose = sieve, Asked(*lanes.asked), graded_lose
        sift.held, sift.many = lanes.held, True
        sift._find_unequal()
        sift._up, sift._ends = lanes.up, list(lanes.ends)
        return sift

    def _hold_near(self, sieve: Sieve, *, exact: bool) -> None:
        """How near a limit they are let through."""
        self._exact, self._holder = exact, sieve._exact if exact else sieve._near
        self._limits = self._holder.limits

    def lanes(self, at: Places) -> Lane:
        """Some of the lanes, as they are now."""
        return Lane(self._asked, self.held, self._up, tuple(self._ends)).take(at)

    def found(self) -> Sifted:
        """What is known by now."""
        held = self.held
        share = held.share * (1.0 - self._limits.margin)
        return Sifted(why=held.why, share=share, graded=self.graded(), miss=held.miss)

    def _find_unequal(self) -> None:
        lengths, self._unequal = self._asked.lengths_m, None
        if orders_of(self._sieve._arrangement):
            self._unequal = unequal(lengths)

    def early(self) -> None:
        """What stops most comes first; what fell is not hung again."""
        for strain in (self._asked.stiff, self._asked.soft):
            self._ends.append((strain, self._told(strain)))
            if self._graded_lose and self.many:  # most are crooked when their legs are turned round
                self._swaps(strain, turned_round)
            if self._soon:  # of those that are left more fall here than at the other end of the stretch
                self._corner_cases(strain, self._ends[-1][1], self._corners(first_corner))
        self._floors()

    def late(self) -> None:
        """The corners, and what is left of the other orders."""
        ends, many = self._ends, self.many
        corners = self._corners(corners_in_order)
        at_first = 1 if many else corners.shape[1]
        for some_corners, turned in (
            (corners[:, : 0 if self._soon else at_first], turned_round if many else every_turn),
            (corners[:, at_first : 2 * at_first], None),
            (corners[:, 2 * at_first :], every_turn if many else None),
        ):
            for strain, laid in ends:
                self._corner_cases(strain, laid, some_corners)
            if turned is not None:
                for strain, _ in ends:
                    self._swaps(strain, turned)
                    if turned is turned_round:
                        self._worst_swap(strain)

    def _corners(self, order: Order) -> Places:
        """Corners of the centre's box (S, some) of the lanes still in, in an order."""
        left = self._left()
        found = order(self._up[left], self._sieve._corners, self._sieve._centre)
        every = np.zeros((len(self.held.why), found.shape[1]), dtype=np.int64)
        every[left] = found
        return every

    def graded(self) -> Bools:
        """Lanes that carry a grading caution for sure."""
        limits = self._limits
        share = self.held.share * (1.0 - limits.margin)
        return np.asarray(self.held.crooked | (share > limits.thin * (1.0 + LAST_BITS)))

    @property
    def _soon(self) -> bool:
        """Whether the first corner is hung with the told state: of many straight legs."""
        return self.many and self._sieve._bounds is not None

    def _left(self) -> Places:
        return np.flatnonzero(self.held.why == 0)

    def hang(self, at: Places, laid: Laid, strain: Floats, centre_m: Floats) -> tuple[Floats, Out]:
        """Hang lanes `at` as laid, centres at `centre_m` (S, 3); with the worst share of a part's limit."""
        sieve, asked = self._sieve, self._asked
        variations = sieve._lanes.vary(laid, asked.level_m[at], asked.rated_n[at], strain, centre_m)
        out = self._holder.hang(variations, threads=_threads(len(at)))[1]
        return most(out.tension_n / asked.limit_n[at][:, None]), out

    def _hang(
        self,
        at: Places,
        laid: Laid,
        strain: Floats,
        centre_m: Floats | None = None,
        level_m: Floats | None = None,
    ) -> Hung:
        """Hang lanes `at` as laid; `centre_m` (S, 3) where it is not the told one."""
        sieve, asked = self._sieve, self._asked
        variations = sieve._lanes.vary(
            laid, asked.level_m[at] if level_m is None else level_m, asked.rated_n[at], strain[at], centre_m
        )
        return self._holder.hang(variations, threads=_threads(len(at)))

    def _hold(self, mode: int, at: Places, hung: Hung) -> None:
        self._holder.hold(mode, at, hung, self.held, lose=self._graded_lose)

    def lay_told(self, strain: Floats) -> Laid:
        """All lanes as they lie told, at one end of the stretch range."""
        return self._lay_told(np.arange(len(self.held.why)), strain)[0]

    def _lay_told(self, at: Places, strain: Floats) -> tuple[Laid, Hung]:
        sieve, asked = self._sieve, self._asked
        laid = self._level if len(at) == len(self.held.why) else self._level.take(at)
        hung = self._hang(at, laid, strain)
        if sieve._lanes.curved and self._exact:
            for _ in range(ROUNDS):
                hook_m = sieve._centre + hung[1].up * hung[1].hook_above_cg_m[:, None]
                laid = sieve._lanes.lay(asked.lengths_m[at], asked.place[at], hook_m[:, 1:])
                hung = self._hang(at, laid, strain)
        elif sieve._lanes.curved:  # once more with the tangents of the hook as it hangs
            out = hung[1]
            height = sieve._centre[2] + out.hook_above_cg_m * np.cos(np.radians(out.tilt_deg))
            laid = sieve._lanes.lay(asked.lengths_m[at], asked.place[at], height)
            hung = self._hang(at, laid, strain)
        return laid, hung

    def _told(self, strain: Floats) -> Laid:
        """The told state of every lane still in, at one end of the stretch range; how they then lie."""
        at = self._left()
        every = len(at) == len(self.held.why)
        laid, hung = self._lay_told(at, strain)
        self._hold(TOLD, at, hung)
        self._up[at] = hung[1].up[:, :2]
        if every or not self._sieve._lanes.curved:
            return laid if every else self._level
        return self._level.put(at, laid)

    def _floors(self) -> None:
        """The rule's floor of each lane at its flattest told angle against the limit; a tie fails.

        Mode factors, where the regime prints any, are left out: they can only raise the floor.
        """
        arrangement, setting, held = self._sieve._arrangement, self._sieve._setting, self.held
        parts, left = 2 if arrangement.holdings[0].hitch is Hitch.BASKET else 1, self._left()
        upright = setting.rulebook.leg_floor(
            arrangement.legs, setting.weight_n / parts, 90.0, symmetric=False
        )
        sines = np.sin(np.radians(np.clip(held.flattest_deg[left], _GROUND_DEG, 90.0)))
        share = upright.value / sines / held.limit_n[left] * (1.0 - LAST_BITS)
        held.share[left] = np.maximum(held.share[left], share)
        sure = share * (1.0 - self._limits.margin)
        held.why[left[sure >= held.dry[left]]] = REASONS.index("wet")
        held.why[left[sure >= 1.0]] = REASONS.index("rated-load")
        if self._graded_lose:
            held.why[(held.why == 0) & self.graded()] = BEATEN

    def _corner_cases(self, strain: Floats, laid: Laid, corners: Places) -> None:
        """Each lane's own corners (S, some) at one end of the stretch range, for the lanes still in."""
        kept, many = self._left(), corners.shape[1]
        if not many or not len(kept):
            return
        at, centre = np.repeat(kept, many), self._sieve._corners[corners[kept].ravel()]
        known = self._sieve._setting.lift.load.centre.known  # an unknown centre's box is no pose
        self._hold(CASE if known else STRENGTH, at, self._hang(at, laid.take(at), strain, centre))

    def _swaps(self, strain: Floats, turned: Turned) -> None:
        """Other orders of unequal legs: none may overload a part; a crooked one grades."""
        kept = self._left_unequal()
        if len(kept):
            row, hung = self._turn(strain, kept, turned)
            self._hold(TURNED, row, hung)

    def _worst_swap(self, strain: Floats) -> None:
        """The other order that stops most of a few lanes, of all that are still in."""
        kept = self._left_unequal()

        def stops(few: Places, turned: Turned) -> int:
            row, (_, out) = self._turn(strain, kept[few], turned)
            over = (out.tension_n > self._asked.limit_n[row][:, None]).any(axis=1) | (out.status != 0)
            return int((over | (self._graded_lose & (out.tilt_deg > self._limits.level_deg))).sum())

        worst = worst_turn(self._sieve._arrangement, self._asked.lengths_m[kept], stops)
        if worst is not None:
            self._swaps(strain, worst)

    def _left_unequal(self) -> Places:
        left = self._left()
        return left[:0] if self._unequal is None else left[self._unequal[left]]

    def _turn(self, strain: Floats, lanes: Places, turned: Turned) -> tuple[Places, Hung]:
        """Hang lanes in other orders, those that reach: which each is of. One that does not does no harm."""
        sieve, asked = self._sieve, self._asked
        of, swapped = turned(asked.lengths_m[lanes])
        reach, level = in_reach(sieve._arrangement, swapped)
        row = lanes[of[reach]]
        laid = sieve._lanes.lay(swapped[reach], asked.place[row])
        return row, self._hang(row, laid, strain, level_m=level)


def _threads(samples: int) -> int | None:
    return None if samples > _MANY else 1
