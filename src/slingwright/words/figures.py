"""Figures as a rigger reads them: which unit for which quantity, and to which side they round."""

from __future__ import annotations

import re

from slingwright.units import (
    Rounding,
    Units,
    show_angle,
    show_force,
    show_length,
    show_ratio,
    show_temperature,
    show_weight,
)
from slingwright.units.parse import STANDARD_GRAVITY
from slingwright.words.catalogue import read_catalogue

__all__ = [
    "hold_figures",
    "show_figure",
    "show_load",
    "show_made_length",
    "show_mass",
    "show_money",
    "show_number",
    "show_share",
]


_BREAKS = re.compile(r"(?<=[\d/]) (?=\d+/\d|(?:ft|in|m|mm|lb|lbf|kg|kN|N|t|%)\b|%)|(?<=\bft) (?=\d)")


def hold_figures(text: str) -> str:
    """Keep each figure and its unit on one line: their spaces become spaces that do not break."""
    return _BREAKS.sub("\u00a0", text)


def show_load(load_n: float, units: Units, *, rounding: Rounding = Rounding.NEAREST) -> str:
    """Write what a sling, lug or hook carries: pounds as its tag reads, or kilonewtons."""
    if units is Units.US:
        return show_weight(load_n, units, rounding=rounding)
    return show_force(load_n, units, rounding=rounding)


def show_mass(mass_kg: float, units: Units) -> str:
    """Write a sling's own mass as a scale shows it."""
    return show_weight(mass_kg * float(STANDARD_GRAVITY), units)


def show_share(share: float) -> str:
    """Write a share of a limit in per cent, rounded up: 100 % is never shown for less than full."""
    return show_ratio(share, rounding=Rounding.UP)


def show_number(value: float) -> str:
    """Write a bare number to two decimals."""
    return f"{value:.2f}"


def show_made_length(length_m: float, units: Units) -> str:
    """Write the length a sling is made to, in the shop's unit with the other system's beside it."""
    other = Units.SI if units is Units.US else Units.US
    return f"{show_length(length_m, units)} ({show_length(length_m, other)})"


def show_money(minor: int, currency: str) -> str:
    """Write an amount of whole minor units; currencies without minor units print none."""
    places = int(read_catalogue().sections["money"].get(currency, "2"))
    if not places:
        return f"{minor:,} {currency}"
    whole, part = divmod(abs(minor), 10**places)
    return f"{'-' if minor < 0 else ''}{whole:,}.{part:0{places}d} {currency}"


def show_figure(
    value: float | None,
    unit: str,
    units: Units,
    *,
    rounding: Rounding = Rounding.NEAREST,
    ratio: str = "percent",
    language: str = "en",
) -> str:
    """Write a finding's figure by its SI unit: N, m, deg, K, 1; a figure that is absent says so."""
    if value is None:
        return read_catalogue(language).word("common", "not-known")
    match unit:
        case "N":
            return show_load(value, units, rounding=rounding)
        case "m":
            return show_length(value, units, rounding=rounding)
        case "deg":
            return show_angle(value, rounding=rounding)
        case "K":
            return show_temperature(value, units, rounding=rounding)
        case "1" if ratio == "percent":
            return show_ratio(value, rounding=rounding)
        case "1":
            return show_number(value)
        case _:
            return f"{value:g}"
