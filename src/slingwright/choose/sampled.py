"""The least that sampled figures can be, from those few samples that are likely the worst.

All candidates are drawn with the same random numbers, so lanes that hang alike have nearly the same samples
at the far end of their order. Which those are is found once, of the first lane of its kind, with all samples.
The percentile of all is the n-th largest of them, and the n-th largest of some is never above that: what is
told here is a lower bound whichever samples were taken. The careful figure is always of all.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from typing import TYPE_CHECKING

import numpy as np

from slingwright.choose.cases import PERCENTILE

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

__all__ = ["WorstSamples"]

_FEW = 96  # samples of a lane: some four times as many as lie above the percentile of 2,048


class WorstSamples:
    """Of each kind of lane the samples that are likely its worst."""

    def __init__(self, samples: int) -> None:
        self._samples = samples
        self._above = samples - (math.ceil(PERCENTILE * samples) - 1)  # those no less than the percentile
        self._of: dict[Hashable, Ints] = {}

    def least(
        self, kinds: Sequence[Hashable], shares: Callable[[Ints, Ints], Floats], *, whole: bool = False
    ) -> Floats:
        """What the percentile of each lane's share is not below, (S,); `whole`: what it is.

        `kinds` (S,): lanes alike share the samples that are tried. `shares(lanes, samples)` gives the share
        of each of some lanes (N,) in each of its own samples, both (N, K).
        """
        if whole:
            tried = np.tile(np.arange(self._samples), (len(kinds), 1))
            return self.percentile(shares(np.arange(len(kinds)), tried))
        firsts = {kind: lane for lane, kind in reversed(list(enumerate(kinds))) if kind not in self._of}
        if firsts:
            lanes = np.array(list(firsts.values()))
            every = np.tile(np.arange(self._samples), (len(lanes), 1))
            order = np.argsort(-shares(lanes, every), axis=1, kind="stable")
            few = max(_FEW, self._above)
            self._of |= dict(zip(firsts, order[:, :few], strict=True))
        tried = np.array([self._of[kind] for kind in kinds])
        return self.percentile(shares(np.arange(len(tried)), tried))

    def percentile(self, share: Floats) -> Floats:
        """The percentile of each lane's shares (S, samples); of some of its samples, what it is not below."""
        return np.asarray(np.sort(share, axis=1)[:, -self._above])
