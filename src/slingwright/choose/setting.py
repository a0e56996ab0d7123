"""What stays fixed while one lift is searched: lift, rulebook, shop, and one fixed set of random numbers."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from slingwright.lift.model import Lift, Load
from slingwright.price.book import PriceBook
from slingwright.rulebook import Choke, ChokeState, Rulebook
from slingwright.shop.model import Shop

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["SAMPLES", "Draws", "Setting", "draw"]

SAMPLES = 2048  # DESIGN: at least 2,048, drawn once, so that a candidate has one figure
SLINGS_AT_MOST = 26  # one letter each


@dataclass(frozen=True, slots=True, kw_only=True)
class Draws:
    """Common random numbers, uniform on [-1, 1]: `length` and `stiffness`, shape (samples, slings)."""

    seed: int
    length: NDArray[np.float64]
    stiffness: NDArray[np.float64]

    @property
    def samples(self) -> int:
        """How many."""
        return int(self.length.shape[0])


def draw(seed: int, samples: int = SAMPLES) -> Draws:
    """The fixed set of common random numbers for this seed (Philox: the same on every machine)."""
    rng = np.random.Generator(np.random.Philox(seed))
    both = rng.uniform(-1.0, 1.0, size=(2, samples, SLINGS_AT_MOST))
    return Draws(seed=seed, length=both[0], stiffness=both[1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """Everything one search reads."""

    lift: Lift
    rulebook: Rulebook
    shop: Shop
    book: PriceBook
    draws: Draws
    choke: Choke = field(init=False)
    weight_n: float = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Weight is its upper bound, never a percentile (PRACTICE), times the lift's dynamic factor."""
        high = self.lift.load.weight.high_n
        if high is not None:  # else the lift itself stops, and a search that asked for it would fail loudly
            object.__setattr__(self, "weight_n", high * self.lift.site.dynamic_factor)
        load = self.lift.load
        state = ChokeState(load.choke.value)
        if state is ChokeState.FREE and not _may_hang_free(load):
            state = ChokeState.UNKNOWN  # pulled against a wide flat side the angle is not ours to guess
        object.__setattr__(self, "choke", Choke(state=state, angle_deg=load.choke_angle_deg))


def _may_hang_free(load: Load) -> bool:
    """Whether a free-hanging choke may be assumed: on a round section only (PRACTICE)."""
    return bool(load.sections) and all(s.radius_m is not None for s in load.sections)
