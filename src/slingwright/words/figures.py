"""Figures as a rigger reads them: unit for each quantity, to which side they round, which decimal sign.

A figure of ours has the reader's decimal sign. Where that is a comma, thousands stand apart by a space that
does not break (ISO 80000-1): half of the readers would take a point there for a decimal sign. A rated load as
its table prints it is not one of these: it prints as the standard has it, in every language.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache, lru_cache

from slingwright import units as plain
from slingwright.units import Rounding, Units
from slingwright.units.parse import INCH_M, STANDARD_GRAVITY
from slingwright.words.catalogue import read_catalogue

__all__ = [
    "hold_figures",
    "show_angle",
    "show_count",
    "show_figure",
    "show_force",
    "show_length",
    "show_load",
    "show_made_length",
    "show_made_width",
    "show_mass",
    "show_money",
    "show_number",
    "show_ratio",
    "show_share",
    "show_short",
    "show_temperature",
    "show_weight",
    "show_width",
]

_UNITS = (
    r"(?:lbf?|kip|kN|N|kgf?|tonnes?|t|MB|ft|in|mm|cm|m|%|°[CF]|deg|[A-Z]{3}"
    r"|ply|plies|capas?|working|days?|días?)(?![\w-])"
)
_BREAKS = re.compile(
    rf"(?<=[\d)]) (?={_UNITS})"  # 10 %, 135.20 USD
    r"|(?<=\bft) (?=\d)|(?<=\d) (?=\d+/\d)"  # 6 ft 6 1/2
    r"|(?<=±) (?=\d)|(?<=\d) (?=×)|(?<=\d ×) "  # ± 1, 4 × endless
    r"|(?<=\bEN) (?=\d)|(?<=\bCFR) (?=\d)|(?<=\bWAC) (?=\d)"  # EN 1492-1
    r"|(?<=[Cc]lass) (?=\d)|(?<=[Cc]lase) (?=\d)"
)
_MINUS = re.compile(r"(?<![\w.,)-])-(?=\d)")
_NO_BREAK = "\u00a0"


@lru_cache(maxsize=4096)  # a page says most of its sentences again and again
def hold_figures(text: str) -> str:
    """Keep each figure and its unit on one line: their spaces become spaces that do not break.

    The catalogue's own are plain, so that a terminal, a search and a program find them. A minus that is
    written as a hyphen becomes one: a hyphen may end a line, and is easily overlooked.
    """
    return _MINUS.sub("\u2212", _BREAKS.sub(_NO_BREAK, text))


def show_length(
    length_m: float, units: Units, *, language: str, rounding: Rounding = Rounding.NEAREST
) -> str:
    """Write a length; see `slingwright.units.show_length`."""
    return _local(plain.show_length(length_m, units, rounding=rounding), language)


def show_width(width_m: float, units: Units, *, language: str) -> str:
    """Write how wide webbing is: in inches however wide, as the trade names it, or millimetres."""
    quarters = round(Fraction(width_m) / INCH_M * 4)
    if units is not Units.US or quarters < 48:
        return show_length(width_m, units, language=language)
    whole, rest = divmod(quarters, 4)
    return f"{whole}{('', ' 1/4', ' 1/2', ' 3/4')[rest]} in"


def show_weight(
    weight_n: float, units: Units, *, language: str, rounding: Rounding = Rounding.NEAREST
) -> str:
    """Write a weight as the mass a scale would show."""
    return _local(plain.show_weight(weight_n, units, rounding=rounding), language)


def show_force(force_n: float, units: Units, *, language: str, rounding: Rounding = Rounding.NEAREST) -> str:
    """Write a force."""
    return _local(plain.show_force(force_n, units, rounding=rounding), language)


def show_temperature(
    temperature_k: float, units: Units, *, language: str, rounding: Rounding = Rounding.NEAREST
) -> str:
    """Write a temperature in whole degrees."""
    return _local(plain.show_temperature(temperature_k, units, rounding=rounding), language)


def show_angle(angle_deg: float, *, language: str, rounding: Rounding = Rounding.NEAREST) -> str:
    """Write an angle to a tenth of a degree."""
    return _local(plain.show_angle(angle_deg, rounding=rounding), language)


def show_ratio(ratio: float, *, language: str, rounding: Rounding = Rounding.NEAREST) -> str:
    """Write a ratio in whole per cent."""
    return _local(plain.show_ratio(ratio, rounding=rounding), language)


def show_load(load_n: float, units: Units, *, language: str, rounding: Rounding = Rounding.NEAREST) -> str:
    """Write what a sling, lug or hook carries: pounds as its tag reads, or kilonewtons."""
    show = show_weight if units is Units.US else show_force
    return show(load_n, units, rounding=rounding, language=language)


def show_mass(mass_kg: float, units: Units, *, language: str) -> str:
    """Write a sling's own mass as a scale shows it."""
    return show_weight(mass_kg * float(STANDARD_GRAVITY), units, language=language)


def show_share(share: float, *, language: str) -> str:
    """Write a share of a limit in per cent, rounded up: 100 % is never shown for less than full."""
    return show_ratio(share, rounding=Rounding.UP, language=language)


def show_number(value: float, *, language: str) -> str:
    """Write a bare number to two decimals."""
    return _local(f"{value:.2f}", language)


def show_short(value: float, *, language: str, figures: int = 6) -> str:
    """Write a bare number as short as it is, to so many figures."""
    return _local(f"{value:.{figures}g}", language)


def show_count(count: int, *, language: str) -> str:
    """Write a whole number, thousands set apart."""
    return _local(f"{count:,}", language)


def show_made_length(length_m: float, units: Units, *, language: str) -> str:
    """Write the length a sling is made to, in the shop's unit with the other system's beside it."""
    return "{} ({})".format(*(show_length(length_m, one, language=language) for one in _both(units)))


def show_made_width(width_m: float, units: Units, *, language: str) -> str:
    """Write the width of webbing likewise."""
    return "{} ({})".format(*(show_width(width_m, one, language=language) for one in _both(units)))


def _both(units: Units) -> tuple[Units, Units]:
    return (Units.US, Units.SI) if units is Units.US else (Units.SI, Units.US)


def show_money(minor: int, currency: str, *, language: str) -> str:
    """Write an amount of whole minor units, with as many places as the currency has."""
    from babel.numbers import get_currency_precision

    places = get_currency_precision(currency)
    if not places:
        return f"{_local(f'{minor:,}', language)} {currency}"
    whole, part = divmod(abs(minor), 10**places)
    amount = f"{'-' if minor < 0 else ''}{whole:,}.{part:0{places}d}"
    return f"{_local(amount, language)} {currency}"


def show_figure(
    value: float | None,
    unit: str,
    units: Units,
    *,
    language: str,
    rounding: Rounding = Rounding.NEAREST,
    ratio: str = "percent",
) -> str:
    """Write a finding's figure by its SI unit: N, m, deg, K, 1; a figure that is absent says so."""
    if value is None:
        return read_catalogue(language).word("common", "not-known")
    match unit:
        case "N":
            return show_load(value, units, rounding=rounding, language=language)
        case "m":
            return show_length(value, units, rounding=rounding, language=language)
        case "deg":
            return show_angle(value, rounding=rounding, language=language)
        case "K":
            return show_temperature(value, units, rounding=rounding, language=language)
        case "1" if ratio == "percent":
            return show_ratio(value, rounding=rounding, language=language)
        case "1":
            return show_number(value, language=language)
        case _:
            return show_short(value, language=language)


def _local(figure: str, language: str) -> str:
    """A figure with a language's decimal sign; it comes with a point, thousands by comma or space."""
    sign = _decimal_sign(language)
    return figure if sign == "." else figure.replace(",", _NO_BREAK).replace(".", sign)


@cache
def _decimal_sign(language: str) -> str:
    from babel.numbers import get_decimal_symbol  # Babel takes its time to load: only where a figure is shown

    return get_decimal_symbol(read_catalogue(language).locale)
