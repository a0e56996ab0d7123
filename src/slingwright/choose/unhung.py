"""What the bounds say of a group's rows before any is priced or hung, by how far its slings stretch.

A bound knows a make by two figures only: its stretch at the limit, of which a shop has a handful, and the
limit itself. So what it says of all rows is worked out once for each stretch and only read for each limit.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.arrangement.geometry import level_hook_heights
from slingwright.choose.bounds import Bare, Bounds, Shaped
from slingwright.choose.nominal import REASONS
from slingwright.choose.rows import unequal
from slingwright.choose.tilting import Tilting
from slingwright.choose.turns import orders_of, turned_round

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Bools = NDArray[np.bool_]
    Places = NDArray[np.int64]

__all__ = ["Unhung", "crooked_in"]

_T = TypeVar("_T")

_OVERLOADED = np.int8(REASONS.index("rated-load"))  # asked after the least angle, before all else


def crooked_in(arrangement: Arrangement, bounds: Bounds, lengths_m: Floats, stretch: Floats | float) -> Bools:
    """Legs of lengths (S, legs) that reach, and then for sure tilt too far or pull a part over its limit."""
    reach = np.isfinite(level_hook_heights(arrangement, lengths_m)[:, 0])
    return np.asarray(reach & bounds.crooked(lengths_m, stretch))


class _Stretched(NamedTuple):
    """Rows at one stretch, whatever the load weighs: what is said of them, and where the load comes first."""

    shaped: Shaped
    why: NDArray[np.int8]
    miss: Floats
    strong: Bools

    @classmethod
    def of(cls, bounds: Bounds, shaped: Shaped) -> _Stretched:
        """Sorted out of what the bounds say."""
        why, miss = np.zeros(len(shaped.angle), dtype=np.int8), np.zeros(len(shaped.angle))
        for reason, over in bounds.weighed(shaped).over(np.inf):
            np.maximum(miss, over, out=miss)
            why[(over > 0.0) & (why == 0)] = REASONS.index(reason)
        return cls(shaped, why, miss, why != REASONS.index("least-angle"))


class _Turned(NamedTuple):
    """Rows with their legs turned round, and which of them that changes and still reach."""

    lengths_m: Floats
    reach: Bools


class Unhung:
    """Rows of lengths (R, legs) under one hook and what their bounds say of them."""

    def __init__(
        self,
        arrangement: Arrangement,
        bounds: Bounds,
        tilting: Tilting,
        lengths_m: Floats,
        longer_m: Floats,
        told: dict[object, object] | None = None,
    ) -> None:
        """`longer_m` (R,): what the legs may be longer than told [m]. `told`: as `RowSet` has it."""
        self._arrangement, self._bounds, self._tilting = arrangement, bounds, tilting
        self._told: dict[object, Any] = {} if told is None else told
        self._lengths_m, self._longer_m = lengths_m, longer_m
        self._orders = orders_of(arrangement)
        self._stiff: dict[float, tuple[_Stretched, Bare]] = {}
        self._crooked: dict[float, NDArray[np.int8]] = {}

    def fell(self, stretch: float, limit_n: float) -> tuple[NDArray[np.int8], Floats]:
        """The reason for which each row falls, 0 where it may pass, and by how much it misses a limit.

        `stretch` of a leg at its limit `limit_n` [N], at the stiff end.
        """
        if stretch not in self._stiff:
            known = self._kept(("stretched", stretch, self._bounds.looks), lambda: self._stretched(stretch))
            self._stiff[stretch] = known, self._bounds.weighed(known.shaped)
        known, bare = self._stiff[stretch]
        over = bare.loaded(limit_n)
        miss = np.maximum(known.miss, over)
        return np.where((over > 0.0) & known.strong, _OVERLOADED, known.why), miss

    def _stretched(self, stretch: float) -> _Stretched:
        return _Stretched.of(self._bounds, self._bounds.shaped(self._lengths_m, stretch, self._longer_m))

    def _kept(self, key: object, found: Callable[[], _T]) -> _T:
        """What rests on the key and on nothing that the rows were not kept by."""
        if key not in self._told:
            self._told[key] = found()
        told: _T = self._told[key]
        return told

    def crooked(self, stretch: float, limit_n: float, rows: Places) -> Bools:
        """Of some rows whether another order of their legs is sure to hang crooked, or overloaded.

        `stretch` of a leg at its limit `limit_n` [N], at the stiff end.
        """
        sure = np.zeros(len(rows), dtype=np.bool_)
        if self._orders:
            if self._bounds.tells_crooked:
                sure |= self._alone(stretch, rows)
            left = np.flatnonzero(~sure)
            sure[left] = self._crooked_by(stretch / limit_n, rows[left])
        return sure

    def lost(self, stretches: tuple[float, ...], limit_n: float, rows: Places) -> Bools:
        """Of some rows whether they are sure to tilt too far, or to hang crooked in another order.

        `stretches` of a leg at its limit `limit_n` [N], at the stiff end and at the soft. Of those that
        `crooked` told at the stiff end nothing is asked anew.
        """
        left = np.arange(len(rows))
        if not self._tilting.tells:
            return np.zeros(len(rows), dtype=np.bool_)
        for stretch in stretches:
            strain = stretch / limit_n
            if self._orders and stretch != stretches[0]:
                left = left[~self._crooked_by(strain, rows[left])]
            left = left[~self._tilting.of(self._lengths_m, self._farthest, rows[left], strain)]
        sure = np.ones(len(rows), dtype=np.bool_)
        sure[left] = False
        return sure

    def _crooked_by(self, strain_per_n: float, rows: Places) -> Bools:
        """Of some rows whether turned round they are sure to tilt too far."""
        sure = np.zeros(len(rows), dtype=np.bool_)
        left = np.flatnonzero(self._turned.reach[rows])
        sure[left] = self._bounds.tilted.of(self._turned.lengths_m, rows[left], strain_per_n)
        return sure

    @cached_property
    def _farthest(self) -> Places:
        return self._kept("farthest", lambda: self._tilting.farthest(self._lengths_m))

    def _alone(self, stretch: float, rows: Places) -> Bools:
        """What the stretch alone tells of some rows."""
        if stretch not in self._crooked:
            # -1: not looked at
            self._crooked[stretch] = np.where(unequal(self._lengths_m), -1, 0).astype(np.int8)
        known = self._crooked[stretch]
        left = fresh = rows[known[rows] < 0]
        known[fresh] = 0
        for order in self._orders:
            if len(left):
                sure = crooked_in(self._arrangement, self._bounds, self._lengths_m[left][:, order], stretch)
                known[left[sure]] = 1
                left = left[~sure]
        return np.asarray(known[rows] > 0)

    @cached_property
    def _turned(self) -> _Turned:
        """All rows turned round."""
        return self._kept("turned", self._turn)

    def _turn(self) -> _Turned:
        lengths = turned_round(self._lengths_m)[1]
        reach = np.isfinite(level_hook_heights(self._arrangement, lengths)[:, 0])
        return _Turned(lengths, reach & unequal(self._lengths_m))
