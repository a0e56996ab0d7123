"""Which rolls to mount: every mix of rolls cut to the end and rolls kept that a cheaper plan could have.

A mix says how often each length of stock is cut to the end, how often it leaves a remnant, and what stays
uncut. Its cost is known but for the waste of the rolls cut to the end: the less they waste, the more is left
of those kept. A price for each unit of length delivered parts the few mixes within reach from all others:
every roll then has a rent, its cost less the worth of what it delivers, and a plan costs at least the worth
of all that is delivered and the sum of the rents.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import floor

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting._subset import hull_corners
from slingwright.make.cutting.model import Model

__all__ = ["Mix", "Mixes"]

IntArray = npt.NDArray[np.int64]
FloatArray = npt.NDArray[np.float64]

_SURE = 1e-6  # what the rounding of floats may add up to, in units of cost
_THIRDS = 60
_STEEPEST = 4.0  # dearest price a unit that is tried: webbing costs about one a millimetre


@dataclass(frozen=True, slots=True, kw_only=True)
class Mix:
    """Rolls mounted, by length (g,): cut to the end, and kept. Pieces left uncut (n,).

    `least_waste` of the rolls cut to the end, in units: no less is possible.
    """

    ended: IntArray
    kept: IntArray
    uncut: IntArray
    least_waste: int


class Mixes:
    """The mixes of one model and their costs; `empty` (g,) = least waste of each length cut to the end."""

    def __init__(self, model: Model, empty: IntArray) -> None:
        self.model = model
        self.empty = empty
        self.base = model.base[: model.supply.size]
        self._can_keep = np.zeros(model.supply.size, np.bool_)
        self._can_keep[model.group[model.keeps]] = True
        corners = hull_corners(model.worth)
        self._hull_at = corners.astype(np.float64)
        self._hull = model.worth[corners].astype(np.float64)
        self._optional = np.flatnonzero(~model.must)
        self._sums: dict[bytes, int] = {}
        self._price = self._best_price()

    def floor(self) -> int:
        """A bound on the cost of every plan."""
        return floor(self._relaxed(self._price) - _SURE)

    def _rents(self, price: float) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Cost less the worth of what is delivered: (g,) cut to the end, (g,) kept, (o,) an uncut piece."""
        model = self.model
        ended = self.base - price * (model.length_room - self.empty)
        caps = (model.length_room - model.least_kept).astype(np.float64)
        short = price * self._hull_at - self._hull
        at_cap = price * caps - np.interp(caps, self._hull_at, self._hull)
        last = np.maximum(np.searchsorted(self._hull_at, caps, side="right") - 1, 0)
        kept = self.base - price * caps + np.minimum(np.minimum.accumulate(short)[last], at_cap)
        uncut = model.uncut_cost[self._optional] - price * model.weight[self._optional]
        return ended, np.where(self._can_keep, kept, np.inf), uncut

    def _spare(self, price: float) -> FloatArray:
        """The least that each choice (each length, each kind that may wait) can add to the cost."""
        ended, kept, uncut = self._rents(price)
        most = np.concatenate([self.model.supply, self.model.demand[self._optional]])
        spare: FloatArray = most * np.minimum(np.concatenate([np.minimum(ended, kept), uncut]), 0.0)
        return spare

    def _relaxed(self, price: float) -> float:
        return float(price * (self.model.weight @ self.model.demand) + self._spare(price).sum())

    def _best_price(self) -> float:
        """The price at which the relaxation bounds best; its bound is concave in the price."""
        low, high = 0.0, _STEEPEST
        for _ in range(_THIRDS):
            one, other = low + (high - low) / 3, high - (high - low) / 3
            if self._relaxed(one) < self._relaxed(other):
                low = one
            else:
                high = other
        return (low + high) / 2

    def within(self, most_cost: int, at_most: int) -> list[Mix] | None:
        """Every mix that a plan of this cost or less may have; None if more than `at_most` need a look."""
        ended, kept, uncut = self._rents(self._price)
        spare = np.append(np.cumsum(self._spare(self._price)[::-1])[::-1], 0.0)
        lengths = self.model.supply.size
        e, k = np.zeros(lengths, np.int64), np.zeros(lengths, np.int64)
        waits = np.zeros(self.model.weight.size, np.int64)
        found: list[Mix] = []
        looks = 0

        def descend(at: int, spent: float) -> bool:
            nonlocal looks
            if spent + spare[at] > most_cost + _SURE:
                return True
            if at == spare.size - 1:
                looks += 1
                mix = self._mix(e, k, waits)
                if mix is not None and self.cost(mix, mix.least_waste) <= most_cost:
                    found.append(mix)
                return looks <= at_most
            if at >= lengths:
                kind = self._optional[at - lengths]
                for pieces in range(int(self.model.demand[kind]) + 1):
                    waits[kind] = pieces
                    if not descend(at + 1, spent + pieces * uncut[at - lengths]):
                        return False
                waits[kind] = 0
                return True
            for rolls in range(int(self.model.supply[at]) + 1):
                for keeping in range(rolls + 1 if self._can_keep[at] else 1):
                    e[at], k[at] = rolls - keeping, keeping
                    rent = e[at] * ended[at] + (keeping * kept[at] if keeping else 0.0)
                    if not descend(at + 1, spent + rent):
                        return False
            e[at] = k[at] = 0
            return True

        whole = descend(0, self._price * float(self.model.weight @ self.model.demand))
        return found if whole else None

    def _mix(self, ended: IntArray, kept: IntArray, uncut: IntArray) -> Mix | None:
        """The mix, or None where no plan can have it: too little room, or no pieces of the right sum."""
        mix = Mix(ended=ended.copy(), kept=kept.copy(), uncut=uncut.copy(), least_waste=0)
        over = -self.content(mix, 0)
        waste = self.next_waste(mix, max(int(self.empty @ ended), over))
        if waste is None or (not kept.any() and over != waste):
            return None
        return replace(mix, least_waste=waste)

    def content(self, mix: Mix, waste: int) -> int:
        """What the kept rolls take in all, with so much waste on the others."""
        need = int(self.model.weight @ (self.model.demand - mix.uncut))
        return need - int(self.model.length_room @ mix.ended) + waste

    def caps(self, mix: Mix) -> IntArray:
        """Most that may be cut from each kept roll, longest first."""
        return np.repeat(self.model.length_room - self.model.least_kept, mix.kept)

    def next_waste(self, mix: Mix, waste: int) -> int | None:
        """Least waste from this one on at which the pieces have a sum for the kept rolls; None = no more."""
        content = self.content(mix, waste)
        sums = self._sums_of(mix.uncut)
        step = sums >> content if content >= 0 else sums << -content
        if not step:
            return None
        more = (step & -step).bit_length() - 1
        return waste + more if content + more <= int(self.caps(mix).sum()) else None

    def _sums_of(self, uncut: IntArray) -> int:
        """Every sum that the pieces to cut reach, as the bits of one number."""
        key = uncut.tobytes()
        if key not in self._sums:
            sums = 1
            for weight, count in zip(self.model.weight, self.model.demand - uncut, strict=True):
                for _ in range(int(count)):
                    sums |= sums << int(weight)
            self._sums[key] = sums
        return self._sums[key]

    def outlay(self, mix: Mix) -> int:
        """Cost of a mix before the worth of what is left on the kept rolls."""
        return int(self.base @ (mix.ended + mix.kept)) + int(self.model.uncut_cost @ mix.uncut)

    def cost(self, mix: Mix, waste: int) -> int:
        """Least cost of a plan of this mix that wastes so much."""
        caps, worth = self.caps(mix), self.model.worth
        over = int(caps.sum()) - self.content(mix, waste)
        if caps.size == 0:
            return self.outlay(mix)
        if caps.size == 1:
            return self.outlay(mix) - int(worth[over])
        if caps.size == 2:
            first = np.arange(max(over - int(caps[1]), 0), min(over, int(caps[0])) + 1)
            return self.outlay(mix) - int((worth[first] + worth[over - first]).max())
        total, room = 0.0, float(over)
        for at, cap in enumerate(caps[::-1]):  # worth is concave: leftovers as alike as can be
            share = min(room / (caps.size - at), float(cap))
            total += float(np.interp(share, self._hull_at, self._hull))
            room -= share
        return self.outlay(mix) - floor(total + _SURE)
