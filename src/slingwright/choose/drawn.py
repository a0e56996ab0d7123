"""What the sampled figure of a lane cannot be below, found by hanging few of its samples or all of them.

The figure is the percentile, by order, of the worst share over the fixed draws, at the case whose own hang
is worst. So many of the draws as lie at the percentile and past it are enough to tell it: whichever draws
are hung, the figure is no less than the share that as many of them reach. Which draws are likely the worst
is guessed from how each path's pull answers to each sling's length and stiffness alone; a bad guess makes
the bound low and nothing else. Nothing is assumed of how a pull grows.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.choose.cases import PERCENTILE
from slingwright.choose.setting import Setting

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Bools = NDArray[np.bool_]
    Places = NDArray[np.int64]
    Shares = Callable[[Places, Floats, Floats], Floats]

__all__ = ["Draws", "Spread", "cases_at_worst"]

_HUNG = 48  # draws hung of each lane where not all are: twice as many as lie past the percentile
_TIED = 1e-6  # relative: cases whose own hangs are so near each other's worst may each be the worst
_TIES_AT_MOST = 6


class Spread(NamedTuple):
    """Of each lane (S,) the least that its sampled figures can be; 0 where they are not told.

    `share` of a part's limit; `lean_deg` of a leg from the own vertical of a lug for a vertical pull.
    """

    share: Floats
    lean_deg: Floats


def cases_at_worst(shares: list[Floats], margin: float, told: Bools) -> Iterator[tuple[int, Places, Places]]:
    """The cases of lanes that may be the one whose own hang is worst: which of the ends, lanes, cases.

    `shares`: the worst share of each lane and case (S, cases), at each end. `told` (S,) is cleared where
    too many cases tie.
    """
    worst = np.max([s.max(axis=1) for s in shares], axis=0)
    near = (worst * (1.0 - 2.0 * margin - _TIED))[:, None]
    tied = [share >= near for share in shares]
    told &= np.sum([t.sum(axis=1) for t in tied], axis=0) <= _TIES_AT_MOST
    for end, mine in enumerate(tied):
        lane, case = np.nonzero(mine & told[:, None])
        if len(lane):
            yield end, lane, case


class Draws:
    """The fixed draws for the paths of one group."""

    def __init__(self, setting: Setting, sling_of: Places) -> None:
        """`sling_of` (P,): which sling each path is of; the sides of a basket share its tolerance evenly."""
        draws, self._sling_of = setting.draws, sling_of
        slings = int(sling_of.max()) + 1
        self._sides = np.bincount(sling_of)[sling_of]
        self._spread = setting.shop.practice.stiffness_spread_rel
        both = [draws.length[:, :slings], draws.stiffness[:, :slings]]
        self._both = np.concatenate(both, axis=1).T  # (2 slings, samples)
        self._samples = draws.samples
        # so many stand at the percentile or past it
        self._from_top = draws.samples - math.ceil(PERCENTILE * draws.samples) + 1

    def least(self, tolerance_m: Floats, shares: Shares, *, whole: bool) -> Floats:
        """What the figure of each lane is not below (S,); `whole`: what it is.

        Parameters
        ----------
        tolerance_m : (S, slings)
            How far each made length may be off.
        shares : callable
            Of lanes (N,), what their paths are longer (N, P) and how many times as soft (N, P): each path's
            pull over its limit (N, P), infinite where it does not hang.
        """
        count, slings = tolerance_m.shape
        one = np.concatenate([np.zeros((1, 2 * slings)), np.eye(2 * slings)])  # each alone, and none
        if whole:
            every = np.broadcast_to(self._both.T, (count, *self._both.T.shape))
            hung = self._hang(every, tolerance_m, shares).max(axis=2)
            return np.asarray(np.sort(hung, axis=1)[:, -self._from_top])
        found = self._hang(np.tile(one, (count, 1, 1)), tolerance_m, shares)
        many = min(max(_HUNG, self._from_top), self._samples)
        picked = np.empty((count, many), dtype=np.int64)
        with np.errstate(invalid="ignore"):
            for k in range(count):  # one by one: a lane's figures are its own, to the bit
                slope = np.nan_to_num(found[k, 1:] - found[k, 0], posinf=0.0, neginf=0.0)
                likely = (found[k, 0][:, None] + slope.T @ self._both).max(axis=0)
                picked[k] = np.argpartition(likely, self._samples - many)[self._samples - many :]
        hung = self._hang(self._both.T[picked], tolerance_m, shares).max(axis=2)
        return np.asarray(np.sort(hung, axis=1)[:, -self._from_top])

    def _hang(self, both: Floats, tolerance_m: Floats, shares: Shares) -> Floats:
        """Shares (S, N, P) of N draws of each lane, `both` (S, N, 2 slings)."""
        slings, paths = tolerance_m.shape[1], len(self._sling_of)
        longer = (both[:, :, :slings] * tolerance_m[:, None])[:, :, self._sling_of] / self._sides
        soft = self._times(both[:, :, slings:])
        at = np.repeat(np.arange(len(both)), both.shape[1])
        found = shares(at, longer.reshape(-1, paths), soft.reshape(-1, paths))
        return found.reshape(len(both), -1, paths)

    def _times(self, soft: Floats) -> Floats:
        return np.asarray(1.0 + self._spread * soft[..., self._sling_of])
