"""Write SI floats as people read them, to the precision that matters.

Rated loads are the exception: they print as the standard's table prints them and are only ever rounded
down, so that no paper shows more than the table gives.
"""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from math import ceil, floor

from slingwright.units.parse import FOOT_M, INCH_M, POUND_KG, STANDARD_GRAVITY

__all__ = [
    "RatedStyle",
    "Rounding",
    "Units",
    "show_angle",
    "show_density",
    "show_force",
    "show_length",
    "show_rated_load",
    "show_ratio",
    "show_temperature",
    "show_weight",
]

_POUND_N = POUND_KG * STANDARD_GRAVITY
_POUND_FT3_KG_M3 = POUND_KG / FOOT_M**3
_NO_BREAK = "\u00a0"  # between thousands in SI: understood by every font, never broken over a line


class Units(StrEnum):
    """Which units a reader wants."""

    US = "us"
    SI = "si"


class Rounding(StrEnum):
    """To which side a shown figure may stray; the unsafe side is the caller's to know."""

    NEAREST = "nearest"
    DOWN = "down"
    UP = "up"


class RatedStyle(StrEnum):
    """How a rated load prints: pounds by tens, tonnes by hundredths, or whole kilograms; always down."""

    US = "us"
    EN = "en"
    KG = "kg"


@lru_cache(maxsize=8192)  # a page says the same lengths many times over, and exact fractions take their time
def show_length(length_m: float, units: Units, *, rounding: Rounding = Rounding.NEAREST) -> str:
    """Write a length: to 1/4 in (1/16 in under 3 in), or to the millimetre."""
    if units is Units.US:
        return _feet_inches(Fraction(length_m) / INCH_M, rounding)
    millimetres = _to_step(Fraction(length_m) * 1000, Fraction(1), rounding)
    if abs(millimetres) < 1000:  # below a metre the trade writes millimetres
        return f"{int(millimetres)} mm"
    return f"{_decimal(millimetres / 1000, 3)} m"


def show_weight(weight_n: float, units: Units, *, rounding: Rounding = Rounding.NEAREST) -> str:
    """Write a weight as the mass a scale would show: pounds or kilograms, whole from ten up."""
    if units is Units.US:
        return f"{_whole_or_tenth(Fraction(weight_n) / _POUND_N, rounding, ',')} lb"
    return f"{_whole_or_tenth(Fraction(weight_n) / STANDARD_GRAVITY, rounding, _NO_BREAK)} kg"


def show_force(force_n: float, units: Units, *, rounding: Rounding = Rounding.NEAREST) -> str:
    """Write a force: whole lbf, or kN to three or four figures (whole newtons under 1 kN)."""
    if units is Units.US:
        return f"{_grouped(_to_step(Fraction(force_n) / _POUND_N, Fraction(1), rounding), ',')} lbf"
    newtons = _to_step(Fraction(force_n), Fraction(1), rounding)
    if abs(newtons) < 1000:  # below a kilonewton
        return f"{int(newtons)} N"
    places = 2 if abs(newtons) < 10_000 else 1  # three figures either side of 10 kN
    step = Fraction(1, 10**places)
    return f"{float(_to_step(Fraction(force_n) / 1000, step, rounding)):.{places}f} kN"


def show_temperature(temperature_k: float, units: Units, *, rounding: Rounding = Rounding.NEAREST) -> str:
    """Write a temperature in whole °F or °C."""
    celsius = Fraction(temperature_k) - Fraction(27_315, 100)
    if units is Units.US:
        return f"{int(_to_step(celsius * Fraction(9, 5) + 32, Fraction(1), rounding))} °F"
    return f"{int(_to_step(celsius, Fraction(1), rounding))} °C"


def show_angle(angle_deg: float, *, rounding: Rounding = Rounding.NEAREST) -> str:
    """Write an angle to a tenth of a degree."""
    return f"{_decimal(_to_step(Fraction(angle_deg), Fraction(1, 10), rounding), 1)}°"


def show_density(density_kg_m3: float, units: Units) -> str:
    """Write a density: lb/ft³ or kg/m³, whole from ten up."""
    density = Fraction(density_kg_m3)
    if units is Units.US:
        return f"{_whole_or_tenth(density / _POUND_FT3_KG_M3, Rounding.NEAREST, ',')} lb/ft³"
    return f"{_whole_or_tenth(density, Rounding.NEAREST, _NO_BREAK)} kg/m³"


def show_ratio(ratio: float, *, rounding: Rounding = Rounding.NEAREST) -> str:
    """Write a ratio in whole per cent (round a utilisation up and a reserve down)."""
    return f"{int(_to_step(Fraction(ratio) * 100, Fraction(1), rounding))} %"


def show_rated_load(rated_n: float, how: RatedStyle | str) -> str:
    """Write a rated load as its table prints it: `6,200 lb`, `2 t`; rounded down, never up."""
    style = RatedStyle(how)
    if style is RatedStyle.US:
        return f"{_grouped(_rated_steps(rated_n, 10 * _POUND_N) * 10, ',')} lb"
    if style is RatedStyle.KG:
        return f"{_grouped(_rated_steps(rated_n, STANDARD_GRAVITY), _NO_BREAK)} kg"
    hundredths = _rated_steps(rated_n, 10 * STANDARD_GRAVITY)
    return f"{_decimal(Fraction(hundredths, 100), 2)} t"


def _rated_steps(rated_n: float, step: Fraction) -> int:
    """Whole steps in a rated load: the largest whose own float does not exceed it."""
    steps = round(Fraction(rated_n) / step)
    # a table value is a rounded float itself: 6,200 lb must not print as 6,190 for the last bit
    return steps if float(steps * step) <= rated_n else steps - 1


def _to_step(value: Fraction, step: Fraction, rounding: Rounding) -> Fraction:
    count = value / step
    if rounding is Rounding.NEAREST:
        return floor(count + Fraction(1, 2)) * step
    # a float that is a step but for its last bits counts as that step
    nearest = round(count)
    if abs(count - nearest) <= Fraction(1, 10**9) * max(1, abs(nearest)):
        return nearest * step
    return (floor(count) if rounding is Rounding.DOWN else ceil(count)) * step


def _whole_or_tenth(value: Fraction, rounding: Rounding, divider: str) -> str:
    whole = _to_step(value, Fraction(1), rounding)
    if abs(whole) >= 10:  # below ten a whole unit is too coarse
        return _grouped(whole, divider)
    return _decimal(_to_step(value, Fraction(1, 10), rounding), 1)


def _grouped(value: Fraction | int, divider: str) -> str:
    return f"{int(value):,}".replace(",", divider)


def _decimal(value: Fraction, places: int) -> str:
    """Decimal text without trailing zeros."""
    text = f"{float(value):.{places}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _feet_inches(inches: Fraction, rounding: Rounding) -> str:
    step = Fraction(1, 16) if abs(inches) < 3 else Fraction(1, 4)  # an edge radius needs it
    rounded = _to_step(inches, step, rounding)
    sign, rounded = ("-" if rounded < 0 else ""), abs(rounded)
    feet, rest = divmod(rounded, 12)
    whole, part = divmod(rest, 1)
    figures = [f"{int(whole)}"] if whole or not part else []
    figures += [str(part)] if part else []
    words = [f"{feet} ft"] if feet else []
    words += [f"{' '.join(figures)} in"] if rest or not feet else []
    return sign + " ".join(words)
