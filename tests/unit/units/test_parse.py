"""Parsers at the border; the judge of conversions is pint (its definitions cite NIST and CODATA)."""

from __future__ import annotations

import pint
import pytest

from slingwright.errors import InputFault
from slingwright.units import (
    parse_angle_deg,
    parse_density_kg_m3,
    parse_length_m,
    parse_lengths,
    parse_ratio,
    parse_temperature_k,
    parse_weight_n,
)


@pytest.fixture(scope="session")
def registry() -> pint.UnitRegistry:
    """An outside unit library."""
    return pint.UnitRegistry()


@pytest.mark.parametrize(
    ("text", "pint_value", "pint_unit"),
    [
        ("9 ft 2 1/2 in", 110.5, "inch"),
        ("9'-2\"", 110, "inch"),
        ("9' 2 1/2\"", 110.5, "inch"),
        ("9’ 2½”", 110.5, "inch"),
        ("9′", 9, "foot"),
        ("9 feet 2-1/2 inches", 110.5, "inch"),
        ("9ft. 2in.", 110, "inch"),
        ("-9 ft 2 in", -110, "inch"),
        ("−3 in", -3, "inch"),
        ("30 in", 30, "inch"),
        ("1/8 in", 0.125, "inch"),
        ("2.8 m", 2.8, "meter"),
        ("350 mm", 350, "millimeter"),
        ("35 cm", 35, "centimeter"),
        ("1 500 mm", 1500, "millimeter"),
        ("12,000 in", 12000, "inch"),
        (".5 m", 0.5, "meter"),
        ("+2 M", 2, "meter"),
        (0, 0, "meter"),
        ("0", 0, "meter"),
    ],
)
def test_length_agrees_with_pint(
    registry: pint.UnitRegistry, text: object, pint_value: float, pint_unit: str
) -> None:
    judged = registry.Quantity(pint_value, pint_unit).to("meter").magnitude
    assert parse_length_m(text, "x") == pytest.approx(judged, rel=1e-14, abs=0)


@pytest.mark.parametrize(
    ("text", "pint_value", "pint_unit"),
    [
        ("11 800 lb", 11800, "pound * standard_gravity"),
        ("11,800 lbs", 11800, "pound * standard_gravity"),
        ("11\u202f800 lb.", 11800, "pound * standard_gravity"),
        ("11\u00a0800 pounds", 11800, "pound * standard_gravity"),
        ("3 lbf", 3, "pound_force"),
        ("5.35 tonne", 5.35, "metric_ton * standard_gravity"),
        ("5.35 metric tons", 5.35, "metric_ton * standard_gravity"),
        ("5350 kg", 5350, "kilogram * standard_gravity"),
        ("1,234,567 kg", 1234567, "kilogram * standard_gravity"),
        ("5 350.5 kgf", 5350.5, "kilogram * standard_gravity"),
        ("52 kN", 52, "kilonewton"),
        ("52000 N", 52, "kilonewton"),
        ("5200 daN", 52, "kilonewton"),
        ("5 kip", 5, "kip"),
        ("2 short tons", 2, "short_ton * standard_gravity"),
        ("1 long ton", 1, "long_ton * standard_gravity"),
    ],
)
def test_weight_agrees_with_pint(
    registry: pint.UnitRegistry, text: str, pint_value: float, pint_unit: str
) -> None:
    judged = registry.Quantity(pint_value, pint_unit).to("newton").magnitude
    assert parse_weight_n(text, "x") == pytest.approx(judged, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "pint_value", "pint_unit"),
    [
        ("110 °F", 110, "degF"),
        ("110 F", 110, "degF"),
        ("-40 deg F", -40, "degF"),
        ("43.5 °C", 43.5, "degC"),
        ("20 degC", 20, "degC"),
        ("-5 Celsius", -5, "degC"),
        ("300 K", 300, "kelvin"),
        ("0 °F", 0, "degF"),
    ],
)
def test_temperature_agrees_with_pint(
    registry: pint.UnitRegistry, text: str, pint_value: float, pint_unit: str
) -> None:
    judged = registry.Quantity(pint_value, pint_unit).to("kelvin").magnitude
    assert parse_temperature_k(text, "x") == pytest.approx(judged, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "pint_value", "pint_unit"),
    [
        ("490 lb/ft³", 490, "pound / foot**3"),
        ("490 lb / cu ft", 490, "pound / foot**3"),
        ("150 pcf", 150, "pound / foot**3"),
        ("7850 kg/m³", 7850, "kilogram / meter**3"),
        ("7.85 g/cm3", 7.85, "gram / centimeter**3"),
    ],
)
def test_density_agrees_with_pint(
    registry: pint.UnitRegistry, text: str, pint_value: float, pint_unit: str
) -> None:
    judged = registry.Quantity(pint_value, pint_unit).to("kilogram / meter**3").magnitude
    assert parse_density_kg_m3(text, "x") == pytest.approx(judged, rel=1e-14)


def test_equal_quantities_have_equal_bits() -> None:
    """Exact definitions: 1 in = 25.4 mm, -40 is -40, 100 lb = 45.359237 kg."""
    assert parse_length_m("9 ft 2 1/2 in", "x") == parse_length_m("2806.7 mm", "x") == 2.8067
    assert parse_length_m("9'-2\"", "x") == parse_length_m("110 in", "x") == parse_length_m("279.4 cm", "x")
    assert parse_temperature_k("-40 °F", "x") == parse_temperature_k("-40 °C", "x") == 233.15
    assert parse_weight_n("100 lb", "x") == parse_weight_n("45.359237 kg", "x") == 444.82216152605
    assert parse_weight_n("2 kip", "x") == parse_weight_n("1 short ton", "x")
    assert parse_ratio("5 %", "x") == parse_ratio(0.05, "x") == parse_ratio("1/20", "x") == 0.05


def test_angle() -> None:
    assert parse_angle_deg("45°", "x") == 45.0
    assert parse_angle_deg("-2.5 deg", "x") == -2.5
    assert parse_angle_deg("1/2 degree", "x") == 0.5
    assert parse_angle_deg(0, "x") == 0.0


@pytest.mark.parametrize("text", ["5 ton", "5 tons", "5 Ton", "5 t", "5 T", "5 mt"])
def test_a_bare_ton_is_refused_with_the_choices(text: str) -> None:
    with pytest.raises(InputFault, match="several tons") as caught:
        parse_weight_n(text, "load.weight")
    assert caught.value.field == "load.weight"
    for choice in ("short ton", "long ton", "tonne", "kip"):
        assert choice in caught.value.hint


def test_a_bare_t_is_the_tonne_under_en_alone() -> None:
    assert parse_weight_n("2 t", "x", regime="en") == parse_weight_n("2000 kg", "x") == 19613.3
    for text in ("2 T", "2 ton", "2 mt"):
        with pytest.raises(InputFault, match="several tons"):
            parse_weight_n(text, "x", regime="en")


@pytest.mark.parametrize(
    ("text", "problem", "hint"),
    [
        ("2,8 m", "comma", 'write "2.8"'),
        ("5,350 kg", "two ways", '"5350" or "5.350"'),
        ("1.234.567 m", "points", '"1 234 567"'),
        ("1.234,5 m", "points", '"1 234.5"'),
        ("1e3 m", "not a unit", "2.8 m"),
        ("5", "no unit", "2.8 m"),
        (5, "without a unit", "2.8 m"),
        (2.5, "without a unit", "2.8 m"),
        (True, "not a text", "2.8 m"),
        (None, "not a text", "2.8 m"),
        (["1 m"], "not a text", "2.8 m"),
        ("", "empty", "2.8 m"),
        ("  ", "empty", "2.8 m"),
        ("nan m", "number", "2.8 m"),
        ("inf m", "number", "2.8 m"),
        ("-inf m", "number", "2.8 m"),
        ("m", "number", "2.8 m"),
        (". m", "not a number", "2.8 m"),
        ("1 2 m", "not a number", "2.8 m"),
        ("11 80 m", "not a number", "2.8 m"),
        ("1,23,456 m", "not a number", "2.8 m"),
        ("1/0 in", "zero", "2.8 m"),
        ("3 5/4 in", "less than one", "2 1/2"),
        ("3 4/4 in", "less than one", "2 1/2"),
        ("9.5 ft 2 in", "whole", "2.8 m"),
        ("9 ft 12 in", "below 12", "2.8 m"),
        ("9 ft 2", "not a unit", "2.8 m"),
        ("5 furlong", "not a unit", "2.8 m"),
        ("5 m 3", "not a unit", "2.8 m"),
        ("2 m 30 cm", "not a unit", "2.8 m"),
        ("1" * 90 + " m", "longer", "2.8 m"),
        ("99999999 m", "more than", "at most"),
        ("--5 m", "not a number", "2.8 m"),
        ("٣ m", "number", "2.8 m"),
    ],
)
def test_refusals_name_the_field_and_the_right_form(text: object, problem: str, hint: str) -> None:
    parse = parse_weight_n if isinstance(text, str) and text.endswith("kg") else parse_length_m
    with pytest.raises(InputFault, match=problem) as caught:
        parse(text, "load.pick_point[2].at[0]")
    assert caught.value.field == "load.pick_point[2].at[0]"
    assert hint in caught.value.hint


@pytest.mark.parametrize("text", ["110", "110°", "110 deg", "five °F", "1,5 °C", "110 R", True, 110, "0"])
def test_temperature_refusals(text: object) -> None:
    with pytest.raises(InputFault) as caught:
        parse_temperature_k(text, "site.temperature")
    assert caught.value.field == "site.temperature"
    assert caught.value.hint


def test_absolute_zero_is_the_floor() -> None:
    assert parse_temperature_k("0 K", "x") == 0.0
    assert parse_temperature_k("-459.67 °F", "x") == 0.0
    with pytest.raises(InputFault, match="absolute zero"):
        parse_temperature_k("-459.68 °F", "x")


@pytest.mark.parametrize("value", [float("nan"), float("inf"), True, None, "5 in", "five", 2e6, -1])
def test_ratio_refusals(value: object) -> None:
    with pytest.raises(InputFault) as caught:
        parse_ratio(value, "load.weight_tolerance", minimum=0)
    assert caught.value.field == "load.weight_tolerance"


def test_bounds_are_the_callers_and_inclusive() -> None:
    assert parse_length_m("2 m", "x", minimum=2.0, maximum=2.0) == 2.0
    assert parse_length_m("2 m", "x", above=1.999) == 2.0
    for keywords in ({"minimum": 2.001}, {"maximum": 1.999}, {"above": 2.0}):
        with pytest.raises(InputFault, match=r"than (2|1\.999|2\.001) m"):
            parse_length_m("2 m", "x", **keywords)
    with pytest.raises(InputFault, match="less than 0 N"):
        parse_weight_n("-1 lb", "x")
    with pytest.raises(InputFault, match="more than 1e\\+09 N"):
        parse_weight_n("1 000 001 kN", "x")
    with pytest.raises(InputFault, match="more than 360"):
        parse_angle_deg("361 deg", "x")
    with pytest.raises(InputFault, match="more than 0"):
        parse_density_kg_m3("0 kg/m3", "x")


def test_a_list_reports_every_fault() -> None:
    assert parse_lengths(["1 m", 0, "1 in"], "at") == (1.0, 0.0, 0.0254)
    with pytest.raises(InputFault) as caught:
        parse_lengths(["1 m", "two", 3], "at", count=3)
    assert [fault.field for fault in caught.value.faults] == ["at[1]", "at[2]"]
    with pytest.raises(InputFault, match="2 lengths, not 3"):
        parse_lengths(["1 m", "2 m"], "at", count=3)
    with pytest.raises(InputFault, match="not a list"):
        parse_lengths("1 m", "at")
    with pytest.raises(InputFault, match="less than 0") as caught:
        parse_lengths(["-1 m"], "at", minimum=0)
    assert caught.value.field == "at[0]"
