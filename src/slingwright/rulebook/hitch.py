"""Hitch rules: what a choke, a basket and an angle make of the vertical rated load.

The two regimes differ in kind. The US reduces by the sine and by the angle of choke; EN prints mode
factors by bands of the angle from the vertical and no angle of choke at all.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from slingwright.citation import Citation, Cited
from slingwright.rulebook.rated import Refusal

__all__ = ["Band", "Choke", "ChokeScheme", "ChokeState", "HitchRules", "Mode"]

_RIGHT_ANGLE_DEG = 90.0


class ChokeState(StrEnum):
    """What is known of the choke: it hangs free, its angle is stated, or neither."""

    FREE = "free"
    STATED = "stated"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Choke:
    """A choke as the user knows it; `angle_deg` is the angle of choke, given when the state is `stated`."""

    state: ChokeState
    angle_deg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """From an angle of choke up: the factor on the choker rating."""

    from_deg: float
    open_below: bool  # the band begins just above from_deg, not at it
    factor: float

    def holds(self, angle_deg: float) -> bool:
        """Whether the angle is in this band or above it."""
        return angle_deg > self.from_deg or (angle_deg == self.from_deg and not self.open_below)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChokeScheme:
    """One published set of bands, from the straightest choke down."""

    id: str
    bands: tuple[Band, ...]
    citation: Citation

    def factor(self, angle_deg: float) -> float:
        """Return the printed factor at an angle of choke [deg]; below the last band it is the last."""
        return next((band.factor for band in self.bands if band.holds(angle_deg)), self.lowest)

    @property
    def lowest(self) -> float:
        """Return the factor of the tightest choke."""
        return self.bands[-1].factor


@dataclass(frozen=True, slots=True, kw_only=True)
class Mode:
    """A printed mode factor: up to this angle from the vertical, for this many legs (0: a basket)."""

    to_angle_from_vertical_deg: float
    legs: tuple[int, ...]
    factor: Cited[float]


@dataclass(frozen=True, slots=True, kw_only=True)
class HitchRules:
    """Factors of one rulebook. `modes` is empty where the sine rules."""

    factors: Mapping[str, Cited[float]]
    basket_part: Citation
    choke_citation: Citation
    choke_free: Cited[float]
    schemes: tuple[ChokeScheme, ...]
    basket_modes: tuple[Mode, ...]
    bridle_modes: tuple[Mode, ...]
    angle_steps_deg: tuple[float, ...] = ()  # strictest profile: an angle counts as the next lower step

    @property
    def banded(self) -> bool:
        """Whether this regime prints mode factors by bands instead of the sine."""
        return bool(self.basket_modes)

    def choke_band(self, choke: Choke) -> Cited[float] | Refusal:
        """Return the factor on the choker rating for the angle of choke (lower of all schemes)."""
        if choke.state is ChokeState.FREE:
            return self.choke_free
        if choke.state is ChokeState.STATED and choke.angle_deg is None:
            return Refusal(reason="choke-angle-needed", citation=self.choke_citation)
        if not self.schemes:
            return Refusal(reason="choke-not-covered", citation=self.choke_citation)
        if choke.state is ChokeState.STATED and choke.angle_deg is not None:
            factors = [scheme.factor(choke.angle_deg) for scheme in self.schemes]
        else:
            factors = [scheme.lowest for scheme in self.schemes]
        return Cited(min(factors), self.choke_citation)

    def sine(self, angle_from_horizontal_deg: float) -> float:
        """Sine of an angle from the horizontal, exact at the angles tables print."""
        angle_deg = self.counted_angle_deg(angle_from_horizontal_deg)
        exact = {30.0: 0.5, _RIGHT_ANGLE_DEG: 1.0}
        return exact.get(angle_deg, math.sin(math.radians(angle_deg)))

    def counted_angle_deg(self, angle_from_horizontal_deg: float) -> float:
        """Return the angle itself, or the next lower step where the profile counts by steps."""
        lower = [step for step in self.angle_steps_deg if step <= angle_from_horizontal_deg]
        return max(lower) if lower else angle_from_horizontal_deg

    def basket_factor(self, angle_from_horizontal_deg: float) -> Cited[float] | Refusal:
        """Return the factor of a basket whose flatter side stands at this angle, on the vertical load."""
        if self.banded:
            return self._mode(self.basket_modes, angle_from_horizontal_deg)
        basket, angle = self.factors["basket"], self.factors["angle"]
        return Cited(basket.value * self.sine(angle_from_horizontal_deg), angle.citation)

    def bridle_mode(self, legs: int, angle_from_horizontal_deg: float) -> Cited[float] | Refusal:
        """Return the printed mode factor of a bridle, where this regime prints one."""
        modes = tuple(mode for mode in self.bridle_modes if legs in mode.legs)
        return self._mode(modes, angle_from_horizontal_deg)

    def _mode(self, modes: tuple[Mode, ...], angle_from_horizontal_deg: float) -> Cited[float] | Refusal:
        from_vertical_deg = _RIGHT_ANGLE_DEG - angle_from_horizontal_deg
        for mode in modes:
            if from_vertical_deg <= mode.to_angle_from_vertical_deg:
                return mode.factor
        reason = "below-least-angle" if modes else "no-mode"
        return Refusal(reason=reason, citation=self.factors["vertical"].citation)
