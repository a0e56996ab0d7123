"""Properties of the border: unit choice changes no bit, and no paper ever shows more than was rated."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from slingwright.units import (
    RatedStyle,
    Rounding,
    Units,
    parse_angle_deg,
    parse_length_m,
    parse_temperature_k,
    parse_weight_n,
    show_angle,
    show_force,
    show_length,
    show_rated_load,
    show_weight,
)

MANY = settings(max_examples=250, deadline=None)


def decimal_text(value: Fraction) -> str:
    """Exact decimal text of a fraction whose denominator divides a power of ten."""
    scaled = value * 10**12
    assert scaled.denominator == 1
    digits = f"{abs(scaled.numerator):013d}"
    return f"{'-' if value < 0 else ''}{digits[:-12]}.{digits[-12:]}".rstrip("0").rstrip(".")


@MANY
@given(sixteenths=st.integers(min_value=0, max_value=16 * 12 * 400))
def test_a_length_in_any_unit_is_the_same_bits(sixteenths: int) -> None:
    inches = Fraction(sixteenths, 16)
    feet, rest = divmod(inches, 12)
    whole, part = divmod(rest, 1)
    compound = f"{feet} ft {whole}{f' {part}' if part else ''} in"
    expected = parse_length_m(compound, "x")
    for text in (
        f"{decimal_text(inches)} in",
        f"{decimal_text(inches * Fraction(254, 10))} mm",
        f"{decimal_text(inches * Fraction(254, 100))} cm",
        f"{decimal_text(inches * Fraction(254, 10000))} m",
        f"{feet}'-{whole}{f' {part}' if part else ''}\"",
    ):
        assert parse_length_m(text, "x") == expected


@MANY
@given(pounds=st.integers(min_value=0, max_value=5_000_000))
def test_a_weight_in_any_unit_is_the_same_bits(pounds: int) -> None:
    expected = parse_weight_n(f"{pounds} lb", "x")
    grams = Fraction(pounds) * Fraction(45359237, 10**8)
    for text in (
        f"{pounds:,} lbs",
        f"{pounds:,} lbf".replace(",", "\u202f"),
        f"{decimal_text(Fraction(pounds, 1000))} kip",
        f"{decimal_text(Fraction(pounds, 2000))} short tons",
        f"{decimal_text(grams)} kg",
        f"{decimal_text(grams / 1000)} tonne",
    ):
        assert parse_weight_n(text, "x") == expected


@MANY
@given(ninths=st.integers(min_value=-273, max_value=1000))
def test_a_temperature_in_any_unit_is_the_same_bits(ninths: int) -> None:
    celsius = f"{ninths} °C"
    fahrenheit = f"{decimal_text(Fraction(ninths * 9, 5) + 32)} °F"
    kelvin = f"{decimal_text(ninths + Fraction(27315, 100))} K"
    bits = {parse_temperature_k(text, "x") for text in (celsius, fahrenheit, kelvin)}
    assert len(bits) == 1


@MANY
@given(rated_n=st.floats(min_value=1, max_value=1e7), style=st.sampled_from(RatedStyle))
def test_showing_never_raises_a_rated_load(rated_n: float, style: RatedStyle) -> None:
    printed = show_rated_load(rated_n, style)
    back = parse_weight_n(printed, "x", regime="en")
    assert back <= rated_n
    step_n = {RatedStyle.US: 44.5, RatedStyle.EN: 98.1, RatedStyle.KG: 9.81}[style]
    assert rated_n - back < step_n
    assert show_rated_load(back, style) == printed


@MANY
@given(
    value=st.floats(min_value=0, max_value=50),
    units=st.sampled_from(Units),
    rounding=st.sampled_from(Rounding),
)
def test_what_is_shown_reads_back_within_its_step(value: float, units: Units, rounding: Rounding) -> None:
    steps = {
        parse_length_m(show_length(value, units, rounding=rounding), "x") - value: 0.00636,
        parse_angle_deg(show_angle(value, rounding=rounding), "x") - value: 0.101,
        parse_weight_n(show_weight(value * 1e4, units, rounding=rounding), "x") - value * 1e4: 9.81,
        parse_weight_n(show_force(value * 1e4, units, rounding=rounding), "x") - value * 1e4: 100.1,
    }
    for off, step in steps.items():
        slack = 1e-6 * step + 1e-9 * value * 1e4
        low = -step if rounding is not Rounding.UP else -slack
        high = step if rounding is not Rounding.DOWN else slack
        share = 0.51 if rounding is Rounding.NEAREST else 1.0
        assert low * share <= off <= high * share
