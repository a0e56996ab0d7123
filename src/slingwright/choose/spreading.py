"""The least that the sampled figures of lanes under one hook can be: a part's share, a lug's lean.

The careful figure is the percentile's at the case whose own hang is worst; here the least of all cases that
may be it, and of all samples that may stand at the percentile there.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

import numpy as np

from slingwright.choose.drawn import Spread, cases_at_worst
from slingwright.choose.lanes import Laid, Lanes
from slingwright.choose.sampled import WorstSamples
from slingwright.choose.setting import Setting
from slingwright.hang.batch import Out

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from slingwright.choose.sieve import Asked

    Floats = NDArray[np.float64]
    Bools = NDArray[np.bool_]
    Places = NDArray[np.int64]
    Drawn = Callable[[Places, Places], tuple[Floats, Out]]

__all__ = ["OneHookSpread"]

_AT_RANK = 1e-6  # relative: samples so near the percentile's may each stand at it


class _Hangs(Protocol):
    """Lanes as a sieve hangs them."""

    def lay_told(self, strain: Floats) -> Laid:
        """All lanes as they lie told."""

    def hang(self, at: Places, laid: Laid, strain: Floats, centre_m: Floats) -> tuple[Floats, Out]:
        """Lanes as laid, with the worst share of a part's limit."""


class OneHookSpread:
    """Of one lift and one group."""

    def __init__(
        self, setting: Setting, lanes: Lanes, corners_m: Floats, *, margin: float, upright: Bools
    ) -> None:
        """`upright` (P,): which paths are at a lug for a vertical pull."""
        self._setting, self._lanes, self._margin = setting, lanes, margin
        self._centres = np.array([setting.lift.load.centre.nominal_m, *corners_m])
        self._upright = np.flatnonzero(upright).tolist() if lanes.picks_m is not None else []
        self._worst = WorstSamples(setting.draws.samples)
        draws, sling_of = setting.draws, lanes.sling_of
        # of each path, drawn: its share of the tolerance by which it is longer, how many times as soft it is
        self._longer = draws.length[:, sling_of] / np.bincount(sling_of)[sling_of]
        self._soft = 1.0 + setting.shop.practice.stiffness_spread_rel * draws.stiffness[:, sling_of]

    def of(self, sift: _Hangs, lanes: Asked, tolerance_m: Floats, *, whole: bool) -> Spread:
        """The least that the sampled figures of each lane can be; 0 = not told.

        `tolerance_m` (S, slings) is how far each made length may be off. `whole`: of all samples, not only
        of those that are likely the worst; only then a lean is told.
        """
        count, centres = len(lanes.place), self._centres
        many = np.repeat(np.arange(count), len(centres))
        told, ends, worst = np.ones(count, dtype=np.bool_), [], []
        for strain in (lanes.stiff, lanes.soft):
            laid = sift.lay_told(strain)
            share, out = sift.hang(many, laid.take(many), strain[many], np.tile(centres, (count, 1)))
            # where one is careful its samples cost more than judging it
            told &= ~out.todo.reshape(count, -1).any(axis=1)
            ends.append((strain, laid, out.tension_n.argmax(axis=1).reshape(count, -1)))
            worst.append(share.reshape(count, -1))
        least = Spread(np.full(count, np.inf), np.full(count, np.inf))
        for end, at, case in cases_at_worst(worst, self._margin, told):
            strain, laid, hardest = ends[end]
            drawn = self._drawn(sift, at, strain, laid, centres[case], tolerance_m)
            if whole and self._upright:
                found = self._aslant(drawn, centres[case])
            else:
                kinds = [(end, *kind) for kind in zip(case.tolist(), hardest[at, case].tolist(), strict=True)]
                found = Spread(self._worst.least(kinds, _shares(drawn), whole=whole), np.zeros(len(at)))
            np.minimum.at(least.share, at, found.share)
            np.minimum.at(least.lean_deg, at, found.lean_deg)
        told_share, told_lean = (np.where(told, x, 0.0) for x in least)
        return Spread(told_share * (1.0 - self._margin), told_lean)

    def _drawn(
        self, sift: _Hangs, at: Places, strain: Floats, laid: Laid, centre_m: Floats, tolerance_m: Floats
    ) -> Drawn:
        """The worst share of lanes `at` (S,) as drawn: of some of them (N,) and each one's samples (N, K)."""
        tolerance = tolerance_m[at][:, self._lanes.sling_of]

        def shares(some: Places, samples: Places) -> tuple[Floats, Out]:
            mine, paths = np.repeat(at[some], samples.shape[1]), tolerance.shape[1]
            every = len(some) == 1 and samples.shape[1] == len(self._longer)  # in their order, then
            longer, soft = (x[None] if every else x[samples] for x in (self._longer, self._soft))
            off = (longer * tolerance[some][:, None]).reshape(-1, paths)
            other = (soft * strain[at[some]][:, None, None]).reshape(-1, paths)
            told = laid.take(mine)
            lain = Laid(length_m=told.length_m + off, elastic_m=told.elastic_m + off, ends_m=told.ends_m)
            share, out = sift.hang(mine, lain, other, np.repeat(centre_m[some], samples.shape[1], axis=0))
            return np.where(out.status == 0, share, np.inf).reshape(samples.shape), out

        return shares

    def _aslant(self, drawn: Drawn, centre_m: Floats) -> Spread:
        """Of lanes drawn at centres (S, 3), and the least lean of samples that may be the percentile's.

        Which these are is known only of all samples.
        """
        count, samples = len(centre_m), self._setting.draws.samples
        share, out = drawn(np.arange(count), np.tile(np.arange(samples), (count, 1)))
        ranked, lean = self._worst.percentile(share), np.full(count, np.inf)
        low, high = ranked[:, None] * (1.0 - _AT_RANK), ranked[:, None] * (1.0 + _AT_RANK)
        lane, sample = np.nonzero((low <= share) & (share <= high))
        np.minimum.at(lean, lane, self._leans(out, lane * samples + sample, centre_m[lane]))
        return Spread(ranked, lean)

    def _leans(self, out: Out, samples: Places, centre_m: Floats) -> Floats:
        """How far a taut leg at an upright lug leans at most in samples with centres (N, 3) [deg]."""
        picks, worst = self._lanes.picks_m, np.zeros(len(samples))
        assert picks is not None
        hook = centre_m + out.up[samples] * out.hook_above_cg_m[samples][:, None]
        for p in self._upright:
            way = hook - picks[p]
            lean = np.degrees(np.arctan2(np.hypot(way[:, 0], way[:, 1]), way[:, 2]))
            hangs = (out.tension_n[samples, p] > 0.0) & (out.status[samples] == 0)
            np.maximum(worst, np.where(hangs, lean, 0.0), out=worst)
        return worst


def _shares(drawn: Drawn) -> Callable[[Places, Places], Floats]:
    return lambda some, samples: drawn(some, samples)[0]
