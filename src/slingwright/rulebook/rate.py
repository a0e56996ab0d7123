"""Rate slings in a hitch: the cell's printed figure times each factor, rounded down as the table prints."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import floor

from slingwright.citation import Citation, Cited
from slingwright.rulebook.hitch import Choke, ChokeState, HitchRules
from slingwright.rulebook.legs import LegRules
from slingwright.rulebook.rated import STYLE, UNIT_N, RatedCell, Refusal
from slingwright.sling import Hitch
from slingwright.units import show_rated_load

__all__ = ["Factor", "RateRules", "Rating"]

_RIGHT_ANGLE_DEG = 90.0
# A share of the last step: H over L through an angle and back may lose the last bits of a round figure.
_LAST_BITS = Fraction(1, 10**9)


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor:
    """One factor of a rating, named, with its source."""

    name: str
    value: float
    citation: Citation


@dataclass(frozen=True, slots=True, kw_only=True)
class Rating:
    """The rated load of slings in a hitch, with every factor on the vertical rated load of one."""

    rated_n: float
    printed: str
    cell: RatedCell
    factors: tuple[Factor, ...]

    @property
    def citation(self) -> Citation:
        """Where the vertical rated load is printed."""
        return self.cell.citation

    @property
    def adopted(self) -> bool:
        """Whether the table behind it was adopted; if not, it is for planning only."""
        return self.cell.adopted


@dataclass(frozen=True, slots=True, kw_only=True)
class RateRules:
    """What a rating needs: hitch and leg rules, and the step it is rounded down to (in table units)."""

    hitch: HitchRules
    legs: LegRules
    step: Fraction

    def choker_units(self, cell: RatedCell) -> Fraction:
        """Return the choker rating in table units, rounded down; an adopted table's own where lower."""
        computed = self._down(cell.rated_units * _exact(self.hitch.factors["choker"].value))
        return computed if cell.choker_units is None else min(computed, cell.choker_units)

    def basket_units(self, cell: RatedCell) -> Fraction:
        """Return the vertical basket rating in table units; an adopted table's own where lower."""
        computed = cell.rated_units * _exact(self.hitch.factors["basket"].value)
        return computed if cell.basket_units is None else min(computed, cell.basket_units)

    def part_limit_n(self, cell: RatedCell, hitch: Hitch, choke: Choke | None) -> Cited[float] | Refusal:
        """Limit of one straight part's tension [N]."""
        unit_n = UNIT_N[cell.unit]
        if hitch is Hitch.VERTICAL:
            return Cited(cell.rated_n, cell.citation)
        if hitch is Hitch.BASKET:
            return Cited(float(self.basket_units(cell) / 2 * unit_n), self.hitch.basket_part)
        band = self.hitch.choke_band(choke or Choke(state=ChokeState.UNKNOWN))
        if isinstance(band, Refusal):
            return band
        return Cited(float(self.choker_units(cell) * _exact(band.value) * unit_n), band.citation)

    def basket_rated_n(self, cell: RatedCell, angle_from_horizontal_deg: float) -> Cited[float] | Refusal:
        """Rated load of one basket whose flatter side stands at this angle [N]."""
        factor = self.hitch.basket_factor(angle_from_horizontal_deg)
        if isinstance(factor, Refusal):
            return factor
        upright = _upright(self.basket_units(cell), self.hitch.factors["basket"].value, UNIT_N[cell.unit])
        over, under = _decimal(factor.value)  # whole numbers: a fraction for each of many angles is slow
        return Cited(upright.numerator * over / (upright.denominator * under), factor.citation)

    def rate(
        self, cell: RatedCell, hitch: Hitch, *, choke: Choke | None, angle_deg: float, wraps: int, legs: int
    ) -> Rating | Refusal:
        """Rate `legs` slings in a hitch, their flattest part at `angle_deg` from the horizontal."""
        more = self._more_factors(hitch, choke, angle_deg, legs)
        if isinstance(more, Refusal):
            return more
        units = {
            Hitch.VERTICAL: cell.rated_units,
            Hitch.CHOKER: self.choker_units(cell),
            Hitch.BASKET: self.basket_units(cell),
        }[hitch]
        for factor in more:
            units *= _exact(factor.value)
        wrapped = (_factor("wraps", self.hitch.factors["wraps"]),) if wraps > 1 else ()
        rated_n = float(self._down(units) * UNIT_N[cell.unit])
        return Rating(
            rated_n=rated_n,
            printed=show_rated_load(rated_n, STYLE[cell.unit]),
            cell=cell,
            factors=(_factor(str(hitch), self.hitch.factors[hitch]), *more, *wrapped),
        )

    def _more_factors(
        self, hitch: Hitch, choke: Choke | None, angle_deg: float, legs: int
    ) -> list[Factor] | Refusal:
        """Every factor after the sling's own straight, choker or basket rating."""
        found: list[Factor] = []
        if hitch is Hitch.CHOKER:
            band = self.hitch.choke_band(choke or Choke(state=ChokeState.UNKNOWN))
            if isinstance(band, Refusal):
                return band
            found.append(_factor("choke", band))
        if self.hitch.banded and (hitch is Hitch.BASKET or legs > 1):
            mode = self._mode(hitch, angle_deg, legs)
            return mode if isinstance(mode, Refusal) else [*found, _factor("mode", mode)]
        if angle_deg < _RIGHT_ANGLE_DEG:
            source = self.hitch.factors["angle"].citation
            found.append(Factor(name="sine", value=self.hitch.sine(angle_deg), citation=source))
        if legs > 1:
            found.append(_factor("legs", self.legs.counted(legs)))
        return found

    def _mode(self, hitch: Hitch, angle_deg: float, legs: int) -> Cited[float] | Refusal:
        if hitch is not Hitch.BASKET:
            return self.hitch.bridle_mode(legs, angle_deg)
        if legs > 1:  # no factor is printed for several baskets under one hook
            return Refusal(reason="no-mode", citation=self.hitch.factors["basket"].citation)
        factor = self.hitch.basket_factor(angle_deg)
        if isinstance(factor, Refusal):
            return factor
        # printed on the straight rating; here it follows the basket's own 2
        share = _exact(factor.value) / _exact(self.hitch.factors["basket"].value)
        return Cited(float(share), factor.citation)

    def _down(self, units: Fraction) -> Fraction:
        return floor(units / self.step + _LAST_BITS) * self.step


def _factor(name: str, cited: Cited[float]) -> Factor:
    return Factor(name=name, value=cited.value, citation=cited.citation)


@lru_cache(maxsize=1024)
def _upright(basket_units: Fraction, basket: float, unit_n: Fraction) -> Fraction:
    """The rating that a basket's factor is a share of [N]."""
    return basket_units / _exact(basket) * unit_n


def _decimal(value: float) -> tuple[int, int]:
    """As `_exact`, numerator and denominator, not cancelled."""
    text = repr(float(value))
    whole, point, part = text.partition(".")
    if not point or not part.isdigit():
        exact = Fraction(text)
        return exact.numerator, exact.denominator
    return int(whole + part), 10 ** len(part)


@lru_cache(maxsize=1024)
def _exact(value: float) -> Fraction:
    """The decimal a float was printed as: 0.8 is 4/5 and not its nearest float."""
    return Fraction(repr(float(value)))
