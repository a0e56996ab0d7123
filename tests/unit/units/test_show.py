"""What people read: the figures by hand, rated loads as the tables print them."""

from __future__ import annotations

import pytest

from slingwright.units import (
    RatedStyle,
    Rounding,
    Units,
    parse_weight_n,
    show_angle,
    show_density,
    show_force,
    show_length,
    show_rated_load,
    show_ratio,
    show_temperature,
    show_weight,
)

INCH = 0.0254


@pytest.mark.parametrize(
    ("length_m", "us", "si"),
    [
        (110.5 * INCH, "9 ft 2 1/2 in", "2.807 m"),
        (108 * INCH, "9 ft", "2.743 m"),
        (108.25 * INCH, "9 ft 1/4 in", "2.75 m"),
        (12 * INCH, "1 ft", "305 mm"),
        (11.9 * INCH, "1 ft", "302 mm"),
        (0.125 * INCH, "1/8 in", "3 mm"),
        (2.5 * INCH, "2 1/2 in", "64 mm"),
        (0.0, "0 in", "0 mm"),
        (-2 * INCH, "-2 in", "-51 mm"),
        (2.8, "9 ft 2 1/4 in", "2.8 m"),
        (0.9996, "3 ft 3 1/4 in", "1 m"),
    ],
)
def test_length(length_m: float, us: str, si: str) -> None:
    assert show_length(length_m, Units.US) == us
    assert show_length(length_m, Units.SI) == si


def test_rounding_keeps_to_its_side() -> None:
    assert show_length(10.1 * INCH, Units.US, rounding=Rounding.UP) == "10 1/4 in"
    assert show_length(10.2 * INCH, Units.US, rounding=Rounding.DOWN) == "10 in"
    # a float that is the step but for its last bit stays on it
    assert show_length(10.25 * INCH, Units.US, rounding=Rounding.UP) == "10 1/4 in"
    assert show_length(10.25 * INCH, Units.US, rounding=Rounding.DOWN) == "10 1/4 in"
    assert show_ratio(0.7201, rounding=Rounding.UP) == "73 %"
    assert show_ratio(0.7299, rounding=Rounding.DOWN) == "72 %"
    assert show_ratio(0.726) == "73 %"
    assert show_weight(parse_weight_n("10.2 lb", "x"), Units.US, rounding=Rounding.UP) == "11 lb"
    assert show_force(15_801.0, Units.SI, rounding=Rounding.UP) == "15.9 kN"
    assert show_angle(44.81, rounding=Rounding.UP) == "44.9°"
    assert show_temperature(300.0, Units.SI, rounding=Rounding.DOWN) == "26 °C"


def test_weight_and_force() -> None:
    weight_n = parse_weight_n("11,800 lb", "x")
    assert show_weight(weight_n, Units.US) == "11,800 lb"
    assert show_weight(weight_n, Units.SI) == "5\u00a0352 kg"
    assert show_weight(parse_weight_n("4.5 lb", "x"), Units.US) == "4.5 lb"
    assert show_weight(parse_weight_n("9.96 kg", "x"), Units.SI) == "10 kg"
    assert show_force(15_844.0, Units.SI) == "15.8 kN"
    assert show_force(7_507.0, Units.SI) == "7.51 kN"
    assert show_force(999.4, Units.SI) == "999 N"
    assert show_force(15_844.0, Units.US) == "3,562 lbf"


def test_temperature_angle_density() -> None:
    assert show_temperature(316.483333333, Units.US) == "110 °F"
    assert show_temperature(316.15, Units.SI) == "43 °C"
    assert show_temperature(233.15, Units.US) == "-40 °F"
    assert show_angle(44.83) == "44.8°"
    assert show_angle(60.0) == "60°"
    assert show_angle(-0.01) == "0°"
    assert show_density(7850.0, Units.SI) == "7\u00a0850 kg/m³"
    assert show_density(7850.0, Units.US) == "490 lb/ft³"


@pytest.mark.parametrize(
    ("text", "style", "printed"),
    [
        ("6,200 lb", RatedStyle.US, "6,200 lb"),
        ("6,209.9 lb", RatedStyle.US, "6,200 lb"),
        ("4,960 lb", RatedStyle.US, "4,960 lb"),
        ("2 tonne", RatedStyle.EN, "2 t"),
        ("2.409 tonne", RatedStyle.EN, "2.4 t"),
        ("1.05 tonne", RatedStyle.EN, "1.05 t"),
        ("6,200 lb", RatedStyle.KG, "2\u00a0812 kg"),
        ("2000 kg", "en", "2 t"),
    ],
)
def test_rated_load_is_rounded_down_as_the_table_prints(text: str, style: str, printed: str) -> None:
    assert show_rated_load(parse_weight_n(text, "x"), style) == printed
