"""What a sieve is asked of lanes, and what it answers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Bools = NDArray[np.bool_]
    Places = NDArray[np.int64]

__all__ = ["Asked", "Sifted"]


class Asked(NamedTuple):
    """S lanes: lengths (S, slings), place of each, level hook's height, and what it is made of."""

    lengths_m: Floats
    place: Places
    level_m: Floats
    rated_n: Floats
    stiff: Floats  # strain at the rated load
    soft: Floats
    limit_n: Floats  # of a part: (S,) under one hook, where all hitches are alike; else (S, slings)
    dry: Floats  # the share of a limit that is left where the webbing gets wet; 1 where nothing is lost


@dataclass(slots=True, kw_only=True)
class Sifted:
    """What is known of each lane (S,).

    `why`: the index in `REASONS` of what it fails first, 0 where it may pass. `share`: the least that its
    worst part's share of the limit can be. `graded`: it carries a grading caution for sure. `miss`: by how
    much of a limit the told hang misses it, of its conditions the largest; 0 = none. `number`: of what
    `WAITS`, for its sieve to go on with.
    """

    why: NDArray[np.int8]
    share: Floats
    graded: Bools
    miss: Floats
    number: Places | None = None
