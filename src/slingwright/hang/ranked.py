"""Which of many samples stands at a rank of its worst utilisation, found without solving all with care."""

from __future__ import annotations

from dataclasses import fields
from functools import reduce
from typing import TYPE_CHECKING

import numpy as np

from slingwright.hang.batch import Batch, Variations, ready, solve_many, solve_ready
from slingwright.hang.problem import Problem

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = ["sample_of_rank"]

_NEAR = 1e-6  # relative: far more than near figures differ from careful ones


def sample_of_rank(problem: Problem, variations: Variations, limit_n: Floats, rank: int) -> int:
    """The sample at `rank` (0 = least) in the order of its worst path's pull over its limit, then of number.

    `limit_n` (P,) [N]. A sample that does not hang counts as worse than any that does. Those whose near
    figures lie close to the rank's are ordered by the careful solve's: the answer is as if all were. (But for
    one: under a beam the near search finds a stable balance that the careful one misses from where it begins
    of two in 86,000 samples as far apart as no shop sews them, and of none in 59,000 of real offers.)
    """
    made = ready(problem, near=True)
    told = solve_ready(made, Variations(), threads=1, poses=True)  # near which all samples hang
    begin = told.pose if told.status[0] == 0 else None
    near = _utilisation(solve_ready(made, variations, begin=begin), limit_n)
    at = float(np.partition(near, rank)[rank])
    if np.isinf(at):
        close = np.flatnonzero(np.isinf(near))
    else:
        close = np.flatnonzero(np.abs(near - at) <= _NEAR * at)
    below = int(np.count_nonzero(near < near[close].min()))
    careful = _utilisation(solve_many(problem, _some(variations, close)), limit_n)
    return int(close[np.argsort(careful, kind="stable")[rank - below]])


def _utilisation(batch: Batch, limit_n: Floats) -> Floats:
    worst = reduce(np.maximum, (batch.tension_n / limit_n).T)  # along so short an axis ten times quicker
    return np.where(batch.status == 0, worst, np.inf)


def _some(variations: Variations, samples: NDArray[np.int64]) -> Variations:
    every = {f.name: getattr(variations, f.name) for f in fields(variations)}
    return Variations(**{name: None if a is None else a[samples] for name, a in every.items()})
