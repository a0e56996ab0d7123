"""Lanes under a beam or several hooks: those that wait, how they hang elsewhere, what all are read for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from slingwright.choose.setting import Setting
from slingwright.choose.sieve import Asked
from slingwright.hang.batch import Batch

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Places = NDArray[np.int64]

__all__ = ["Lanes", "flattest", "hook_heights", "joined", "shifted", "taken"]

_KNOWN = 3  # what is known of lanes that wait, beside what was asked


class Lanes(NamedTuple):
    """Lanes that came through as told: as asked, and what is known of them by then."""

    asked: Asked
    share: Floats
    miss: Floats
    up: Floats


def taken(lanes: Lanes, at: Places) -> Lanes:
    """Some of them."""
    every: list[Any] = [x[at] for x in (*lanes.asked, *lanes[1:])]
    return Lanes(Asked(*every[:-_KNOWN]), *every[-_KNOWN:])


def joined(parts: Sequence[Lanes]) -> Lanes:
    """All of them, one part behind the other."""
    every: list[Any] = [np.concatenate(x) for x in zip(*((*p.asked, *p[1:]) for p in parts), strict=True)]
    return Lanes(Asked(*every[:-_KNOWN]), *every[-_KNOWN:])


def shifted(pose: Floats, by_m: Floats) -> Floats:
    """Poses (N, B, 12) of bodies that stay where they are while the load's centre moves in it (N, 3)."""
    out = pose.copy()
    out[:, 0, :3] += np.einsum("nij,nj->ni", pose[:, 0, 3:].reshape(-1, 3, 3), by_m)
    return out


def flattest(batch: Batch) -> Floats:
    """The flattest loaded path of each row [deg from horizontal]."""
    return np.asarray(np.where(batch.slack, 90.0, batch.angle_from_horizontal_deg).min(axis=1))


def hook_heights(setting: Setting, batch: Batch, centre_m: Floats) -> Floats:
    """From the load's lowest corner to the highest hook [m], each sample's."""
    load = setting.lift.load
    size = np.array([load.length_m, load.width_m, load.height_m])
    lowest = np.minimum(batch.up * size, 0.0).sum(axis=1) - (batch.up * centre_m).sum(axis=1)
    return np.asarray(batch.hook_above_cg_m - lowest)
