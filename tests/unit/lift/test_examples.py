"""Every example lift reads to the figures its own text gives, worked out by hand in pounds and inches."""

from __future__ import annotations

import math

import pytest

from slingwright.lift import folder_reader, lift_from_text
from slingwright.lift.model import ChokeStated, KnownBy, Shape
from slingwright.lift.notes import NOTES
from tests.lifts import EXAMPLES, NAMES, example_lift

LB = 4.4482216152605  # newtons, exact by definition
IN = 0.0254


def test_every_example_lift_is_in_the_list_and_reads() -> None:
    other = {"shop", "stock", "rolls", "price_book"}
    on_disk = {path.stem for path in EXAMPLES.glob("*.toml")} - other
    assert set(NAMES) <= on_disk
    for name in NAMES:
        lift = lift_from_text(
            (EXAMPLES / f"{name}.toml").read_bytes(), "toml", mesh_reader=folder_reader(EXAMPLES)
        )
        assert lift == example_lift(name)
        assert set(lift.notes) <= NOTES


def test_chiller_is_read_key_by_key() -> None:
    lift = example_lift("chiller")
    load, hook = lift.load, lift.hooks[0]
    assert lift.title == "Chiller onto the plant-room roof"
    assert (lift.rulebook, lift.profile, lift.units) == ("us", "own", "us")
    assert load.shape is Shape.BOX
    assert (load.length_m, load.width_m, load.height_m) == pytest.approx((108 * IN, 60 * IN, 76 * IN))
    assert load.weight.nominal_n == pytest.approx(11_800 * LB)
    assert (load.weight.low_n, load.weight.high_n) == pytest.approx((11_210 * LB, 12_390 * LB))
    assert load.weight.stated_tolerance
    assert load.weight.known_by is KnownBy.PLATE
    assert load.centre.known
    assert load.centre.nominal_m == pytest.approx((50 * IN, 30 * IN, 30 * IN))
    assert load.centre.low_m == pytest.approx((49 * IN, 29 * IN, 29 * IN))
    assert load.centre.high_m == pytest.approx((51 * IN, 31 * IN, 31 * IN))
    assert load.edge.radius_m == pytest.approx(IN / 8)
    assert load.surface_temperature_k == pytest.approx((110 - 32) / 1.8 + 273.15)
    assert [pick.name for pick in load.pick_points] == ["A", "B", "C", "D"]
    assert load.pick_points[1].at_m == pytest.approx((102 * IN, 6 * IN, 76 * IN))
    assert load.pick_points[1].rated_n == pytest.approx(8_800 * LB)
    assert (load.pick_points[1].vertical_only, load.pick_points[1].rated_at_stated) == (False, True)
    assert hook.headroom_m == pytest.approx(168 * IN)
    assert (hook.thickness_m, hook.width_m) == pytest.approx((2 * IN, 6 * IN))
    assert hook.capacity_n == pytest.approx(30_000 * LB)
    assert hook.at_m is None
    assert lift.site.touches == ("diesel", "sea water")
    assert lift.site.temperature_low_k == pytest.approx((20 - 32) / 1.8 + 273.15)
    assert (lift.want.level_within_deg, lift.want.least_angle_deg, lift.want.by) == (3.0, 45.0, "price")


def test_pipe_weight_and_middle_are_computed() -> None:
    """π (24 - 3/8) 3/8 × 480 in³ at 495 lb/ft³ (the higher of the two printed) = 3,827 lb."""
    load = example_lift("pipe_40ft").load
    by_hand_lb = math.pi * (24 - 0.375) * 0.375 * 480 / 1728 * 495
    assert load.weight.nominal_n == pytest.approx(by_hand_lb * LB)
    assert load.weight.high_n == pytest.approx(1.05 * by_hand_lb * LB)
    assert load.weight.known_by is KnownBy.COMPUTED
    assert load.computed_by == "shape"
    assert load.centre.nominal_m == pytest.approx((240 * IN, 12 * IN, 12 * IN))
    assert load.surface_friction == 0.25
    assert load.bears_m[0] == pytest.approx((48 * IN, 432 * IN))
    assert load.sections[0].radius_m == pytest.approx(12 * IN)


def test_skid_weight_is_the_sum_of_its_parts() -> None:
    """Plate, motor, casing and pipe by hand; steel 495 and cast iron 7,210 kg/m³ = 450.1 lb/ft³."""
    load = example_lift("pump_skid_parts").load
    iron = 7210 / 16.018463373960142
    plate = 96 * 48 * 1.25 / 1728 * 495
    casing = math.pi * (24 - 1.5) * 1.5 * 22 / 1728 * iron
    pipe = math.pi * (8.625 - 0.5) * 0.5 * 46 / 1728 * 495
    parts = {plate: (48, 24), 1150: (8 + 17, 24), casing: (54 + 11, 24), pipe: (80 + 4.3125, 20 + 4.3125)}
    total = sum(parts)
    assert load.weight.nominal_n == pytest.approx(total * LB, rel=1e-6)
    x, y = (sum(w * at[axis] for w, at in parts.items()) / total for axis in (0, 1))
    assert load.centre.nominal_m[:2] == pytest.approx((x * IN, y * IN), rel=1e-6)
    assert load.computed_by == "parts"


def test_barrier_weight_comes_from_its_mesh() -> None:
    """Shoelace area of the outline × 144 in at 2,550 kg/m³; the outline's own centroid."""
    load = example_lift("barrier_mesh").load
    # by trapezoids: 24×3, (24+10)/2×10, (10+8)/2×19 in²
    area = 24 * 3 + 17 * 10 + 9 * 19
    by_hand_kg = area * 144 * IN**3 * 2550
    assert load.weight.nominal_n == pytest.approx(by_hand_kg * 9.80665, rel=1e-6)
    assert load.centre.nominal_m[:2] == pytest.approx((72 * IN, 12 * IN), rel=1e-6)
    assert (load.length_m, load.width_m, load.height_m) == pytest.approx(
        (144 * IN, 24 * IN, 32 * IN), rel=1e-6
    )
    assert len(load.mesh_sha256) == 64
    # a taut sling bridges the hollow flank: base corners, heel corners, top corners
    assert len(load.sections[0].points_m) == 6


def test_pontoon_spread_becomes_an_upper_bound() -> None:
    load = example_lift("pontoon_two_hooks").load
    assert load.weight.high_n == pytest.approx(1.03 * 20_000 * LB)  # three standard deviations of 1 %
    assert load.centre.low_m == pytest.approx((200 * IN, 47 * IN, 22 * IN))
    assert load.centre.nominal_m == pytest.approx((204 * IN, 48 * IN, 24 * IN))
    assert [hook.at_m for hook in example_lift("pontoon_two_hooks").hooks] == [
        pytest.approx((72 * IN, 48 * IN)),
        pytest.approx((360 * IN, 48 * IN)),
    ]


def test_stair_tolerance_reaches_further_up_than_down() -> None:
    load = example_lift("precast_stair").load
    assert (load.weight.low_n, load.weight.high_n) == pytest.approx((0.97 * 4900 * LB, 1.08 * 4900 * LB))
    assert load.choke is ChokeStated.UNKNOWN


def test_bundle_range_needs_no_tolerance() -> None:
    load = example_lift("conduit_bundle").load
    assert (load.weight.low_n, load.weight.nominal_n, load.weight.high_n) == pytest.approx(
        (2750 * LB, 2900 * LB, 3050 * LB)
    )
    assert load.loose


def test_unknown_centre_is_the_middle_half_of_the_load() -> None:
    centre = example_lift("hot_casting").load.centre
    assert not centre.known
    assert centre.low_m == pytest.approx((12 * IN, 9 * IN, 7.5 * IN))
    assert centre.high_m == pytest.approx((36 * IN, 27 * IN, 22.5 * IN))


def test_compressor_is_metric_and_a_bare_t_is_the_tonne_there() -> None:
    lift = example_lift("compressor_en")
    assert (lift.rulebook, lift.units) == ("en", "si")
    assert lift.load.weight.nominal_n == pytest.approx(2400 * 9.80665)
    assert lift.hooks[0].capacity_n == pytest.approx(8000 * 9.80665)
    assert lift.load.weight.high_n == pytest.approx(1.01 * 2400 * 9.80665)


def test_duct_beams_keep_what_is_not_stated() -> None:
    lift = example_lift("duct_section")
    assert [beam.least_top_angle_deg for beam in lift.beams] == [45.0, None]
    assert [beam.lugs for beam in lift.beams] == [2, 2]
    assert all(pick.vertical_only for pick in lift.load.pick_points)


def test_launch_has_the_tools_own_hull_and_says_so() -> None:
    lift = example_lift("yard_launch")
    assert lift.load.sections_assumed
    assert "hull-section-assumed" in lift.notes
    assert lift.site.dynamic_factor == 1.15
    middle = lift.load.section_at(lift.load.length_m / 2)
    assert max(y for y, _ in middle.points_m) == pytest.approx(96 * IN)
    assert max(z for _, z in middle.points_m) == pytest.approx(60 * IN)
