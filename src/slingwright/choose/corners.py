"""Which corner of the centre's box is hung first: the one that tilts a lane farthest.

The hook's place on the load hardly moves with the centre: a centre that goes away from where up points
leaves the load to turn farther the same way, and a higher one more so. No figure rests on it: it says what
is hung before what.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from slingwright.choose.rows import first_least

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Places = NDArray[np.int64]
    Order = Callable[[Floats, Floats, Floats], Places]

__all__ = ["corners_in_order", "first_corner"]

_HIGHER = 1e-9  # tells corners above each other apart and no others


def corners_in_order(up: Floats, corners_m: Floats, centre_m: Floats) -> Places:
    """The corners (S, corners): the one that tilts each lane farthest, the one across, then the others.

    `up` (S, 2) is where up points in the load's own axes, as told.
    """
    order = np.argsort(_leans(up, corners_m, centre_m), axis=1, kind="stable")
    if len(corners_m) > 2:
        across = len(corners_m) - 2 if np.ptp(corners_m[:, 2]) > 0.0 else len(corners_m) - 1
        order = order[:, [0, across, *(k for k in range(1, len(corners_m)) if k != across)]]
    return order


def first_corner(up: Floats, corners_m: Floats, centre_m: Floats) -> Places:
    """The first of them alone (S, 1); none where there are none."""
    leans = _leans(up, corners_m, centre_m)
    return first_least(leans)[:, None] if len(corners_m) else np.zeros((len(up), 0), dtype=np.int64)


def _leans(up: Floats, corners_m: Floats, centre_m: Floats) -> Floats:
    off = corners_m - centre_m
    return np.asarray(up @ off[:, :2].T - _HIGHER * off[:, 2])
