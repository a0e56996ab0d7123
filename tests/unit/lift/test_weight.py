"""Weight and centre of gravity: how far off each may be, by how it is known, and what is computed."""

from __future__ import annotations

import math
from typing import Any

import pytest

from slingwright.citation import Known
from slingwright.errors import InputFault
from slingwright.lift.assumptions import assumptions
from slingwright.lift.model import KnownBy, Load
from tests.lifts import read_document, smallest_document

LB = 4.4482216152605
FT = 0.3048
IN = 0.0254


def load_of(**keys: Any) -> Load:
    """The load of the smallest document with keys set, or taken out where None."""
    doc = smallest_document()
    doc["load"] |= keys
    return read_document(doc).load


def notes_of(**keys: Any) -> tuple[str, ...]:
    doc = smallest_document()
    doc["load"] |= keys
    return read_document(doc).notes


# own judgement, no source: shares of the weight, and of each extent for the centre
TOLERANCES = {"scale": (0.01, 0.01), "plate": (0.03, 0.02), "drawing": (0.05, 0.02), "estimate": (0.2, 0.1)}


@pytest.mark.parametrize("known_by", sorted(TOLERANCES))
def test_tolerance_follows_how_it_is_known(known_by: str) -> None:
    weight_share, centre_share = TOLERANCES[known_by]
    load = load_of(known_by=known_by, centre_of_gravity=["3 ft", "2 ft", "1 ft"])
    assert load.weight.known_by == load.centre.known_by == known_by
    assert load.weight.high_n == pytest.approx(2000 * LB * (1 + weight_share))
    assert load.weight.low_n == pytest.approx(2000 * LB * (1 - weight_share))
    assert not load.weight.stated_tolerance
    reach = [high - middle for high, middle in zip(load.centre.high_m, load.centre.nominal_m, strict=True)]
    assert reach == pytest.approx([centre_share * size * FT for size in (6, 4, 3)])


def test_the_assumptions_say_that_they_are_judgement() -> None:
    assert assumptions().citation.known is Known.JUDGEMENT


def test_nothing_said_counts_as_from_a_drawing_and_is_noted() -> None:
    assert load_of().weight.known_by is KnownBy.DRAWING
    assert "weight-known-by-not-stated" in notes_of()


def test_weight_and_centre_may_be_known_in_different_ways() -> None:
    load = load_of(
        known_by={"weight": "scale", "centre_of_gravity": "estimate"},
        centre_of_gravity=["3 ft", "2 ft", "1 ft"],
    )
    assert (load.weight.known_by, load.centre.known_by) == (KnownBy.SCALE, KnownBy.ESTIMATE)


@pytest.mark.parametrize(
    ("tolerance", "low_lb", "high_lb"),
    [
        ("5 %", 1900, 2100),
        ("100 lb", 1900, 2100),
        ({"low": "1 %", "high": "10 %"}, 1980, 2200),
        ({"low": "20 lb", "high": "200 lb"}, 1980, 2200),
        ({"sd": "2 %"}, 1880, 2120),  # three standard deviations, own judgement
    ],
)
def test_stated_tolerance(tolerance: Any, low_lb: float, high_lb: float) -> None:
    weight = load_of(weight_tolerance=tolerance).weight
    assert (weight.low_n, weight.high_n) == (pytest.approx(low_lb * LB), pytest.approx(high_lb * LB))
    assert weight.stated_tolerance


def test_centre_box_never_leaves_the_load() -> None:
    centre = load_of(centre_of_gravity=["1 in", "2 ft", "35 in"], centre_tolerance="6 in").centre
    assert centre.low_m == pytest.approx((0.0, 18 * IN, 29 * IN))
    assert centre.high_m == pytest.approx((7 * IN, 30 * IN, 36 * IN))


def test_stated_centre_tolerance_by_axis_and_by_share() -> None:
    at = ["3 ft", "2 ft", "1 ft"]
    by_axis = load_of(centre_of_gravity=at, centre_tolerance=["3 in", "2 in", "1 in"]).centre
    assert by_axis.high_m == pytest.approx((39 * IN, 26 * IN, 13 * IN))
    share = load_of(centre_of_gravity=at, centre_tolerance="10 %").centre
    assert share.high_m == pytest.approx((3.6 * FT, 2.4 * FT, 1.3 * FT))


def test_a_spread_of_the_centre_is_taken_at_three_standard_deviations() -> None:
    at = ["3 ft", "2 ft", "1 ft"]
    assert load_of(centre_of_gravity=at, centre_tolerance={"sd": "1 in"}).centre.high_m == pytest.approx(
        (39 * IN, 27 * IN, 15 * IN)
    )
    assert load_of(centre_of_gravity=at, centre_tolerance={"sd": "1 %"}).centre.low_m == pytest.approx(
        ((3 - 0.18) * FT, (2 - 0.12) * FT, (1 - 0.09) * FT)
    )


@pytest.mark.parametrize(
    ("said", "share", "length_m"),
    [
        ("1.5 %", 0.015, None),
        ("1 in", None, IN),
        (["1 in", "1 %"], 0.01, IN),
        ({"sd": ["0.5 %", "1/2 in"]}, 0.015, 1.5 * IN),
    ],
)
def test_length_tolerance(said: Any, share: float | None, length_m: float | None) -> None:
    want = read_document(smallest_document() | {"want": {"length_tolerance": said}}).want
    assert want.tolerance_length_rel == (None if share is None else pytest.approx(share))
    assert want.tolerance_length_m == (None if length_m is None else pytest.approx(length_m))


@pytest.mark.parametrize("said", ["unknown", None])
def test_centre_not_known_is_planning_only(said: str | None) -> None:
    centre = load_of(centre_of_gravity=said).centre
    assert (centre.known, centre.known_by) == (False, KnownBy.ESTIMATE)
    assert centre.low_m == pytest.approx((1.5 * FT, FT, 0.75 * FT))
    assert centre.high_m == pytest.approx((4.5 * FT, 3 * FT, 2.25 * FT))


def test_weight_of_a_solid_box_is_computed() -> None:
    """6 × 4 × 3 ft of concrete at 150 lb/ft³: 10,800 lb, centre in the middle."""
    load = load_of(weight=None, material="concrete")
    assert load.weight.nominal_n == pytest.approx(10_800 * LB)
    assert load.weight.known_by is KnownBy.COMPUTED
    assert load.weight.high_n == pytest.approx(1.05 * 10_800 * LB)
    assert load.centre.nominal_m == pytest.approx((3 * FT, 2 * FT, 1.5 * FT))
    assert load.centre.known
    assert load.computed_by == "shape"


def test_weight_unknown_with_a_density_is_computed_too() -> None:
    assert load_of(weight="unknown", density="150 lb/ft3").weight.nominal_n == pytest.approx(10_800 * LB)


def test_stated_weight_wins_over_a_computed_one() -> None:
    load = load_of(material="concrete")
    assert load.weight.nominal_n == pytest.approx(2000 * LB)
    assert load.centre.nominal_m == pytest.approx((3 * FT, 2 * FT, 1.5 * FT))


def test_hollow_box_is_closed_on_six_sides_and_taken_empty() -> None:
    """Tank of 1/2 in plate: outside less inside, at 495 lb/ft³."""
    load = load_of(weight=None, material="steel", wall="1/2 in")
    volume_in3 = 72 * 48 * 36 - 71 * 47 * 35
    assert load.weight.nominal_n == pytest.approx(volume_in3 / 1728 * 495 * LB)
    assert "taken-empty" in notes_of(weight=None, material="steel", wall="1/2 in")


PARTS = [
    {"shape": "box", "at": ["0 in", "0 in", "0 in"], "length": "6 ft", "width": "4 ft", "height": "1 ft",
     "density": "100 lb/ft3"},
    {"shape": "sphere", "at": ["4 ft", "1 ft", "1 ft"], "diameter": "2 ft", "density": "200 lb/ft3",
     "wall": "3 in"},
    {"shape": "cylinder", "axis": "y", "at": ["0 in", "0 in", "1 ft"], "length": "3 ft", "diameter": "18 in",
     "weight": "500 lb"},
]  # fmt: skip


def test_parts_of_every_shape_add_up() -> None:
    load = load_of(weight=None, parts=PARTS)
    ball = math.pi / 6 * (2**3 - 1.5**3) * 200
    total = 2400 + ball + 500
    assert load.weight.nominal_n == pytest.approx(total * LB)
    # centres by hand, ft: (3, 2, .5); (5, 2, 2); (.75, 1.5, 1.75)
    rows = zip((3, 2, 0.5), (5, 2, 2), (0.75, 1.5, 1.75), strict=True)
    centre = [(2400 * box + ball * sphere + 500 * bar) / total * FT for box, sphere, bar in rows]
    assert load.centre.nominal_m == pytest.approx(centre)


@pytest.mark.parametrize("axis", ["x", "y", "z"])
def test_a_part_may_point_any_way_and_weighs_the_same(axis: str) -> None:
    """π · 0.5² · 2 ft³ at 100 lb/ft³; the box round it turns with it."""
    part = {"shape": "cylinder", "axis": axis, "at": ["0 in", "0 in", "0 in"], "length": "2 ft",
            "diameter": "1 ft", "density": "100 lb/ft3"}  # fmt: skip
    load = load_of(weight=None, parts=[part], length=None, width=None, height=None, shape="frame")
    assert load.weight.nominal_n == pytest.approx(math.pi / 2 * 100 * LB)
    assert load.centre.nominal_m == pytest.approx([FT if way == axis else FT / 2 for way in "xyz"])
    assert load.length_m == pytest.approx(2 * FT if axis == "x" else FT)


def test_parts_alone_give_the_sizes_of_the_load() -> None:
    load = load_of(weight=None, parts=PARTS, length=None, width=None, height=None)
    assert (load.length_m, load.width_m, load.height_m) == pytest.approx((6 * FT, 4 * FT, 3 * FT))


@pytest.mark.parametrize(
    ("keys", "field", "words"),
    [
        ({"parts": [PARTS[0] | {"density": None}]}, "load.parts[0].density", "missing"),
        ({"parts": [PARTS[0] | {"weight": "1 lb"}]}, "load.parts[0].weight", "beside a density"),
        ({"parts": [PARTS[0] | {"diameter": "1 ft"}]}, "load.parts[0].diameter", "no size of a box"),
        ({"parts": [PARTS[1] | {"diameter": None}]}, "load.parts[0].diameter", "missing"),
        ({"parts": [PARTS[1] | {"wall": "1 ft"}]}, "load.parts[0].wall", "half the body"),
        ({"parts": [PARTS[0] | {"at": ["1 ft", "0 in", "0 in"]}]}, "load.parts[0].at", "outside the load"),
        ({"parts": PARTS, "material": "steel"}, "load.material", "belongs to each part"),
        ({"material": "steel", "density": "1 kg/m3"}, "load.density", "beside a material"),
        ({"shape": "hull", "material": "steel"}, "load.material", "does not give the weight of a hull"),
    ],
)
def test_what_cannot_be_computed_is_a_fault(keys: dict[str, Any], field: str, words: str) -> None:
    with pytest.raises(InputFault) as caught:
        load_of(weight=None, **keys)
    found = {fault.field: fault.problem for fault in caught.value.faults}
    assert words in found[field]
