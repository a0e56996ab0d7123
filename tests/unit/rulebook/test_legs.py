"""The leg rule and the strictest profile; figures by hand."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from slingwright.citation import Cited
from slingwright.rulebook import Choke, ChokeState, Rating, Rulebook, load_rulebook
from slingwright.sling import Hitch, SlingSpec

FREE = Choke(state=ChokeState.FREE)


def test_leg_floor_defaults(us: Rulebook, en: Rulebook) -> None:
    """Legs are a matched set and the bridle symmetric unless said."""
    assert us.leg_floor(4, 1.0, 60.0) == us.leg_floor(4, 1.0, 60.0, matched=True)
    assert us.leg_floor(4, 1.0, 60.0) != us.leg_floor(4, 1.0, 60.0, matched=False)
    assert en.leg_floor(2, 1.0, 60.0) == en.leg_floor(2, 1.0, 60.0, symmetric=True)
    assert en.leg_floor(2, 1.0, 60.0) != en.leg_floor(2, 1.0, 60.0, symmetric=False)


@pytest.mark.parametrize(
    ("legs", "angle", "expected", "two"),
    [
        (1, 90, 10_000.0, False),
        (2, 30, 10_000.0, False),
        (2, 60, 5773.5027, False),
        (3, 30, 6666.6667, False),
        (4, 30, 6666.6667, False),
        (6, 90, 3333.3333, False),
        (4, 30, 10_000.0, True),
        (3, 90, 5_000.0, True),
        (2, 30, 10_000.0, True),
        (1, 90, 10_000.0, True),
    ],
)
def test_leg_floor_us(us: Rulebook, legs: int, angle: float, expected: float, two: bool) -> None:
    floor = us.leg_floor(legs, 10_000.0, angle, two_legs_carry_all=two)
    assert floor.value == pytest.approx(expected, abs=1e-3)
    said = "NAVEDTRA" if two and legs > 2 else "Guidance" if legs > 3 else "statics"
    assert said in floor.citation.document


def test_leg_floor_says_what_else_governs(us: Rulebook) -> None:
    loose = us.leg_floor(4, 10_000.0, 30.0, matched=False)
    assert loose.value == us.leg_floor(4, 10_000.0, 30.0).value
    assert "admissible" in loose.citation.note
    assert us.leg_floor(3, 10_000.0, 30.0, matched=False).citation.note == ""
    assert "admissible" not in us.leg_floor(4, 10_000.0, 30.0).citation.note


def test_leg_floor_stays_finite(us: Rulebook) -> None:
    flat = us.leg_floor(2, 10_000.0, 0.0).value
    assert flat == us.leg_floor(2, 10_000.0, -4.0).value == pytest.approx(5000 / math.sin(math.radians(1)))


@pytest.mark.parametrize(
    # weight over the printed M (1.4 / 1.0, 2.1 / 1.5), but never below the statics of the legs that count
    ("legs", "angle", "symmetric", "expected"),
    [
        (1, 90, True, 10_000.0),
        (2, 80, True, 10_000 / 1.4),
        (2, 45, True, 10_000 / 1.4),
        (2, 44.9, True, 10_000.0),
        (2, 30, True, 10_000.0),
        (3, 60, True, 10_000 / 2.1),
        (4, 30, True, 10_000 / 1.5),
        (4, 60, False, 10_000 / (3 * math.sin(math.radians(60)))),
        (2, 20, True, 10_000 / (2 * math.sin(math.radians(20)))),
        (5, 60, True, 10_000 / (3 * math.sin(math.radians(60)))),
    ],
)
def test_leg_floor_en(en: Rulebook, legs: int, angle: float, symmetric: bool, expected: float) -> None:
    floor = en.leg_floor(legs, 10_000.0, angle, symmetric=symmetric)
    assert floor.value == pytest.approx(expected, rel=1e-12)


def test_strictest_profile(make_spec: Callable[..., SlingSpec]) -> None:
    us, en = load_rulebook("us", "strictest"), load_rulebook("en", "strictest")
    spec = make_spec(2, inches=2)
    assert (us.profile, us.id, us.design_factor.value) == ("strictest", "us", 5.0)
    assert us.choker_factor().value == en.choker_factor().value == 0.75
    choker = us.rate(spec, Hitch.CHOKER, choke=FREE)
    assert isinstance(choker, Rating)
    assert choker.printed == "4,650 lb"
    # an angle counts as the next lower of 30, 45, 60, 90
    for angle, printed in ((89.0, "10,730 lb"), (60.0, "10,730 lb"), (59.0, "8,760 lb"), (44.0, "6,200 lb")):
        basket = us.rate(spec, Hitch.BASKET, angle_from_horizontal_deg=angle)
        assert isinstance(basket, Rating)
        assert basket.printed == printed
    assert us.hitch.counted_angle_deg(20.0) == 20.0
    assert us.leg_floor(4, 10_000.0, 30.0).value == 10_000.0
    assert en.leg_floor(4, 10_000.0, 30.0).value == 10_000.0
    assert us.limit("eye_to_hook_ratio").value == en.limit("eye_to_hook_ratio").value == 3.5
    assert us.limit("max_eye_angle_deg").value == 20.0
    assert us.limit("least_eye_length_m").value == 0.225
    assert us.limit("hook_seat_free_width_m").value == en.limit("hook_seat_free_width_m").value == 0.0
    assert us.limit("max_temperature_polypropylene_k").value == 353.15
    assert us.limit("max_temperature_polyester_k").value == 355.15
    assert en.limit("least_width_m").value == 0.05
    months = {row.id: row.figures.get("months_at_most") for row in us.inspection()}
    assert (months["periodic-normal"], months["periodic-severe"], months["frequent"]) == (6.0, 1.0, None)
    unknown = en.choke_band(ChokeState.UNKNOWN)
    assert isinstance(unknown, Cited)
    assert unknown.value == 0.49


def test_strictest_never_loosens() -> None:
    for book_id in ("us", "en"):
        own, strict = load_rulebook(book_id), load_rulebook(book_id, "strictest")
        assert set(own.limits) <= set(strict.limits)
        for name, cited in own.limits.items():
            at_most = name.startswith("max_") or name == "hook_seat_free_width_m"
            tighter = strict.limit(name).value
            assert tighter <= cited.value if at_most else tighter >= cited.value
        assert [t.sha256 for t in own.tables] == [t.sha256 for t in strict.tables]
