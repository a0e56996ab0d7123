"""Read lengths, weights, temperatures, angles, densities and ratios as people write them.

Parsed exactly as fractions, converted exactly, rounded once to a float: the same quantity written in two
units gives the same bits. Every refusal is an `InputFault` that names the field and shows the right form.
Bounds of the trade (a length above zero, an angle below 90) are the caller's, by `minimum`, `above` and
`maximum` in SI; the widest bounds here only refuse what no lift can hold.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from slingwright.errors import Fault, InputFault, fail
from slingwright.units.number import NumberProblem, clean_text, read_number

__all__ = [
    "FOOT_M",
    "INCH_M",
    "LONG_TON_LB",
    "POUND_KG",
    "STANDARD_GRAVITY",
    "parse_angle_deg",
    "parse_density_kg_m3",
    "parse_length_m",
    "parse_lengths",
    "parse_ratio",
    "parse_temperature_k",
    "parse_weight_n",
]

# Exact by definition: inch and pound (international yard and pound agreement, 1959; NIST SP 811 app. B),
# standard gravity (3rd CGPM, 1901), zero Celsius (SI brochure 2.3.1).
INCH_M = Fraction(254, 10_000)
FOOT_M = 12 * INCH_M
POUND_KG = Fraction(45_359_237, 100_000_000)
STANDARD_GRAVITY = Fraction(980_665, 100_000)
LONG_TON_LB = 2240
_ZERO_CELSIUS_K = Fraction(27_315, 100)
_ZERO_FAHRENHEIT_R = Fraction(45_967, 100)
_POUND_N = POUND_KG * STANDARD_GRAVITY
_CUBIC_FOOT_M3 = FOOT_M**3
_LONGEST_TEXT = 80


@dataclass(frozen=True, slots=True)
class _Unit:
    """One unit: SI per unit, and whether a comma before three digits can only divide thousands."""

    si: Fraction
    us: bool = False


def _units(*rows: tuple[str, Fraction, bool]) -> Mapping[str, _Unit]:
    return {name: _Unit(si, us) for names, si, us in rows for name in names.split("|")}


_LENGTHS = _units(
    ("m|metre|metres|meter|meters", Fraction(1), False),
    ("cm|centimetre|centimetres|centimeter|centimeters", Fraction(1, 100), False),
    ("mm|millimetre|millimetres|millimeter|millimeters", Fraction(1, 1000), False),
    ('in|inch|inches|"', INCH_M, True),
    ("ft|foot|feet|'", FOOT_M, True),
)
_WEIGHTS = _units(
    ("kg|kgs|kilogram|kilograms|kilogramme|kilogrammes|kgf", STANDARD_GRAVITY, False),
    ("tonne|tonnes|metric ton|metric tons", 1000 * STANDARD_GRAVITY, False),
    ("n|newton|newtons", Fraction(1), False),
    ("dan", Fraction(10), False),
    ("kn|kilonewton|kilonewtons", Fraction(1000), False),
    ("lb|lbs|pound|pounds|lbf", _POUND_N, True),
    ("kip|kips", 1000 * _POUND_N, True),
    ("short ton|short tons|us ton|us tons", 2000 * _POUND_N, True),
    ("long ton|long tons|imperial ton|imperial tons", LONG_TON_LB * _POUND_N, True),
)
_DENSITIES = _units(
    ("kg/m3|kg/m^3", Fraction(1), False),
    ("g/cm3|g/cm^3|g/cc|kg/l|kg/dm3", Fraction(1000), False),
    ("lb/ft3|lb/ft^3|lbs/ft3|lbs/ft^3|lb/cu ft|lbs/cu ft|pcf", POUND_KG / _CUBIC_FOOT_M3, True),
)
_LENGTH_HINT = 'write it like "9 ft 2 1/2 in", "30 in", "2.8 m" or "350 mm"'
_WEIGHT_HINT = 'write it like "11,800 lb", "5.35 tonne", "5350 kg" or "52 kN"'
_TON_HINT = 'write "short ton" (2,000 lb), "long ton" (2,240 lb), "tonne" (1000 kg) or "kip" (1,000 lb)'
_TEMPERATURE_HINT = 'write it like "110 °F", "43 °C" or "316 K"'
_ANGLE_HINT = 'write it like "45°" or "45 deg"'
_DENSITY_HINT = 'write it like "490 lb/ft3" or "7850 kg/m3"'
_RATIO_HINT = 'write it like "5 %" or 0.05'

_SPLIT = re.compile(r"([+-]?) ?([\d.,/ -]*\d[\d.,/ -]*|\.?)(.*)", re.ASCII)
_FEET_INCHES = re.compile(
    r"""([+-]?)\ ?([\d.,/\ -]*\d)\ ?(?:ft\.?|foot|feet|')\ ?-?\ ?([\d.,/\ -]*\d)\ ?(?:in\.?|inch|inches|")""",
    re.ASCII | re.VERBOSE | re.IGNORECASE,
)


def parse_length_m(
    text: object,
    field: str,
    *,
    minimum: float | None = None,
    above: float | None = None,
    maximum: float | None = 10_000.0,
) -> float:
    """Read a length [m]: `9 ft 2 1/2 in`, `9'-2"`, `30 in`, `2.8 m`, `350 mm`; a plain 0 needs no unit.

    Raises
    ------
    InputFault
        Not a length, or outside the bounds [m].
    """
    cleaned = _text_of(text, field, _LENGTH_HINT, zero=True)
    both = _FEET_INCHES.fullmatch(cleaned)
    value = _feet_inches(both, field) if both else _scaled(cleaned, field, _LENGTHS, _LENGTH_HINT)
    return _bounded(value, field, (minimum, above, maximum), "m")


def parse_lengths(
    values: object, field: str, *, count: int | None = None, minimum: float | None = None
) -> tuple[float, ...]:
    """Read a list of lengths [m]; all faults at once, each named `field[i]`.

    Raises
    ------
    InputFault
        Not a list, not `count` long, or any item at fault.
    """
    if not isinstance(values, list | tuple):
        raise fail(field, "is not a list of lengths", _LENGTH_HINT)
    if count is not None and len(values) != count:
        raise fail(field, f"has {len(values)} lengths, not {count}", _LENGTH_HINT)
    faults: list[Fault] = []
    lengths: list[float] = []
    for index, value in enumerate(values):
        try:
            lengths.append(parse_length_m(value, f"{field}[{index}]", minimum=minimum))
        except InputFault as fault:
            faults.extend(fault.faults)
    if faults:
        raise InputFault(faults)
    return tuple(lengths)


def parse_weight_n(
    text: object,
    field: str,
    *,
    regime: Literal["us", "en"] = "us",
    minimum: float | None = 0.0,
    above: float | None = None,
    maximum: float | None = 1e9,
) -> float:
    """Read a weight [N]; a mass becomes its weight at g = 9.80665 m/s².

    A bare "ton" is three different loads and is refused; a bare "t" too, except under `en`, where it is
    the tonne.

    Raises
    ------
    InputFault
        Not a weight, an ambiguous ton, or outside the bounds [N].
    """
    cleaned = _text_of(text, field, _WEIGHT_HINT, zero=True)
    unit = _unit_of(cleaned)
    if regime == "en" and unit == "t":
        cleaned = cleaned[:-1] + "tonne"
    elif unit.lower() in ("t", "ton", "tons", "mt"):
        raise fail(field, f'"{unit}" may be one of several tons', _TON_HINT)
    value = _scaled(cleaned, field, _WEIGHTS, _WEIGHT_HINT)
    return _bounded(value, field, (minimum, above, maximum), "N")


def parse_temperature_k(
    text: object, field: str, *, minimum: float | None = None, maximum: float | None = 5000.0
) -> float:
    """Read a temperature [K]: `110 °F`, `43 °C`, `316 K`.

    Raises
    ------
    InputFault
        Not a temperature, below absolute zero, or outside the bounds [K].
    """
    cleaned = _text_of(text, field, _TEMPERATURE_HINT)
    sign, number, unit = _parts(cleaned)
    scale = re.sub(r"^(?:°|deg(?:rees?)?) ?", "", unit)
    if scale.lower() not in ("f", "fahrenheit", "c", "celsius", "k", "kelvin"):
        raise fail(field, f'"{cleaned}" does not say °F, °C or K', _TEMPERATURE_HINT)
    degrees = sign * _number(number, field, _TEMPERATURE_HINT, comma_groups=False)
    letter = scale[0].lower()
    if letter == "f":
        kelvin = (degrees + _ZERO_FAHRENHEIT_R) * Fraction(5, 9)
    else:
        kelvin = degrees + (_ZERO_CELSIUS_K if letter == "c" else 0)
    if kelvin < 0:
        raise fail(field, f'"{cleaned}" is below absolute zero', _TEMPERATURE_HINT)
    return _bounded(kelvin, field, (minimum, None, maximum), "K")


def parse_angle_deg(
    text: object, field: str, *, minimum: float | None = -360.0, maximum: float | None = 360.0
) -> float:
    """Read an angle [deg]: `45°`, `45 deg`; a plain 0 needs no unit.

    Raises
    ------
    InputFault
        Not an angle, or outside the bounds [deg].
    """
    cleaned = _text_of(text, field, _ANGLE_HINT, zero=True)
    one = _Unit(Fraction(1))
    value = _scaled(
        cleaned, field, dict.fromkeys(("°", "deg", "degs", "degree", "degrees"), one), _ANGLE_HINT
    )
    return _bounded(value, field, (minimum, None, maximum), "deg")


def parse_density_kg_m3(
    text: object,
    field: str,
    *,
    minimum: float | None = None,
    above: float | None = 0.0,
    maximum: float | None = 30_000.0,
) -> float:
    """Read a density [kg/m³]: `490 lb/ft³`, `7850 kg/m³`, `7.85 g/cm³`.

    Raises
    ------
    InputFault
        Not a density, or outside the bounds [kg/m³].
    """
    cleaned = re.sub(r" ?/ ?(?=\D)", "/", _text_of(text, field, _DENSITY_HINT))
    value = _scaled(cleaned, field, _DENSITIES, _DENSITY_HINT)
    return _bounded(value, field, (minimum, above, maximum), "kg/m³")


def parse_ratio(
    text: object, field: str, *, minimum: float | None = None, maximum: float | None = 1e6
) -> float:
    """Read a ratio [1]: `5 %`, `0.05`, or a number.

    Raises
    ------
    InputFault
        Not a ratio, or outside the bounds [1].
    """
    if isinstance(text, int | float) and not isinstance(text, bool):
        if not math.isfinite(text):
            raise fail(field, f"{text} is not a finite number", _RATIO_HINT)
        value = Fraction(text)
    else:
        cleaned = _text_of(text, field, _RATIO_HINT)
        percent = _Unit(Fraction(1, 100))
        units = {"": _Unit(Fraction(1)), **dict.fromkeys(("%", "percent", "per cent"), percent)}
        value = _scaled(cleaned, field, units, _RATIO_HINT)
    return _bounded(value, field, (minimum, None, maximum), "")


def _text_of(text: object, field: str, hint: str, *, zero: bool = False) -> str:
    """Take the text of a value, or say why there is none; a plain zero is itself in any unit."""
    if zero and not isinstance(text, bool) and text in (0, "0"):
        return "0"
    if isinstance(text, bool) or not isinstance(text, str):
        is_number = isinstance(text, int | float) and not isinstance(text, bool)
        raise fail(field, "is a number without a unit" if is_number else "is not a text with a unit", hint)
    if len(text) > _LONGEST_TEXT:
        raise fail(field, f"is longer than {_LONGEST_TEXT} characters", hint)
    cleaned = clean_text(text)
    if not cleaned:
        raise fail(field, "is empty", hint)
    return cleaned


def _parts(cleaned: str) -> tuple[int, str, str]:
    """Split into sign, number text and unit text."""
    match = _SPLIT.fullmatch(cleaned)
    if match is None:  # a line break inside; no unit holds one
        return 1, "", cleaned
    sign, number, unit = match.groups()
    return (-1 if sign == "-" else 1), number.strip(), unit.strip()


def _unit_of(cleaned: str) -> str:
    return _parts(cleaned)[2].rstrip(".")


def _scaled(cleaned: str, field: str, units: Mapping[str, _Unit], hint: str) -> Fraction:
    """Read one number and one unit, exactly, in SI."""
    if cleaned == "0" and "" not in units:
        return Fraction(0)
    sign, number, written = _parts(cleaned)
    if not number:
        raise fail(field, f'"{cleaned}" does not begin with a number', hint)
    unit = units.get(written.lower()) or units.get(written.lower().rstrip("."))
    if unit is None and not written:
        raise fail(field, f'"{cleaned}" has no unit', hint)
    if unit is None:
        raise fail(field, f'"{written}" is not a unit known here', hint)
    return sign * _number(number, field, hint, comma_groups=unit.us) * unit.si


def _number(text: str, field: str, hint: str, *, comma_groups: bool) -> Fraction:
    try:
        return read_number(text, comma_groups=comma_groups)
    except NumberProblem as found:
        raise fail(field, found.problem, found.hint or hint) from None


def _feet_inches(match: re.Match[str], field: str) -> Fraction:
    """Feet (whole) and inches (below 12)."""
    sign, feet_text, inches_text = match.groups()
    feet = _number(feet_text, field, _LENGTH_HINT, comma_groups=True)
    inches = _number(inches_text, field, _LENGTH_HINT, comma_groups=True)
    if feet.denominator != 1:
        raise fail(field, f'"{feet_text.strip()} ft" and inches: feet must be whole here', _LENGTH_HINT)
    if inches >= 12:  # inches in a foot
        raise fail(field, f'"{inches_text.strip()} in" after feet must be below 12 in', _LENGTH_HINT)
    return (-1 if sign == "-" else 1) * (feet * FOOT_M + inches * INCH_M)


def _bounded(
    value: Fraction, field: str, bounds: tuple[float | None, float | None, float | None], unit: str
) -> float:
    """Round once to a float and hold it against (minimum, above, maximum)."""
    minimum, above, maximum = bounds
    tail = f" {unit}" if unit else ""
    if maximum is not None and value > Fraction(maximum):
        raise fail(field, f"is more than {maximum:g}{tail}", f"at most {maximum:g}{tail}")
    if minimum is not None and value < Fraction(minimum):
        raise fail(field, f"is less than {minimum:g}{tail}", f"at least {minimum:g}{tail}")
    if above is not None and value <= Fraction(above):
        raise fail(field, f"must be more than {above:g}{tail}", f"more than {above:g}{tail}")
    return float(value)
