"""Trade teaching sheets, recomputed; cited by their ids alone (DOMAIN T6, T8, T9, T13, T14)."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from slingwright.rulebook import Choke, ChokeState, RatedCell, Rating, Rulebook
from slingwright.rulebook.rate import RateRules
from slingwright.sling import Hitch

LB_N = 4.4482216152605
FREE = Choke(state=ChokeState.FREE)


def rise_deg(height: float, length: float) -> float:
    return math.degrees(math.asin(height / length))


@pytest.mark.parametrize(
    ("legs", "weight_lb", "angle_deg", "printed_lb"),
    [
        (2, 1_000, 60.0, 577),  # WE02, T13 and T14
        (2, 1_000, 45.0, 707),  # WE03, T13
        (2, 2_400, rise_deg(96, 120), 1_500),  # WE06, T8: 1,200 lb a sling, factor 1.25
        (2, 1_000, rise_deg(5, 10), 1_000),  # WE08, T9: factor 2
    ],
)
def test_tension_of_one_leg(
    us: Rulebook, legs: int, weight_lb: float, angle_deg: float, printed_lb: float
) -> None:
    assert us.leg_floor(legs, weight_lb * LB_N, angle_deg).value / LB_N == pytest.approx(printed_lb, abs=1)


def test_we04_basket_rating_two_parts_need(
    us: Rulebook, by_the_pound: RateRules, printed_leg: Callable[..., RatedCell]
) -> None:
    """1,000 lb on two parts at 60 deg: printed basket rating 1,154 lb (T14)."""
    part_lb = us.leg_floor(2, 1_000 * LB_N, 60.0).value / LB_N
    assert 2 * part_lb == pytest.approx(1_154, abs=1)
    enough = by_the_pound.basket_rated_n(printed_leg("578"), 60.0)
    short = by_the_pound.basket_rated_n(printed_leg("577"), 60.0)
    assert enough.value > 1_000 * LB_N > short.value


@pytest.mark.parametrize(
    ("vertical", "choker", "height", "length", "printed_lb", "tolerance"),
    [
        ("10000", "8000", 84, 96, 7_000, 0),  # WE05, T8: factor .875
        ("7500", "6000", 4, 6, 4_000, 1),  # WE07, T9: factor .667
    ],
)
def test_choker_at_an_angle(
    us: Rulebook,
    printed_leg: Callable[..., RatedCell],
    vertical: str,
    choker: str,
    height: float,
    length: float,
    printed_lb: float,
    tolerance: float,
) -> None:
    rating = us.rules.rate(
        printed_leg(vertical, choker=choker),
        Hitch.CHOKER,
        choke=FREE,
        angle_deg=rise_deg(height, length),
        wraps=1,
        legs=1,
    )
    assert isinstance(rating, Rating)
    assert rating.rated_n / LB_N == pytest.approx(printed_lb, abs=tolerance + 1e-6)


@pytest.mark.parametrize(("angle_deg", "printed_lb"), [(90.0, 1_000), (60.0, 866), (45.0, 707), (30.0, 500)])
def test_we09_basket(
    by_the_pound: RateRules, printed_leg: Callable[..., RatedCell], angle_deg: float, printed_lb: float
) -> None:
    """A sling of 500 lb in a basket (T6)."""
    rating = by_the_pound.rate(
        printed_leg("500"), Hitch.BASKET, choke=None, angle_deg=angle_deg, wraps=1, legs=1
    )
    assert isinstance(rating, Rating)
    assert rating.rated_n / LB_N == pytest.approx(printed_lb, abs=1)


def test_we09_choker(us: Rulebook) -> None:
    """The same sling choked at the older .75: 375 lb (T6)."""
    assert 500 * us.hitch.factors["choker_older"].value == 375


def test_ratios_of_a_trade_listing(us: Rulebook) -> None:
    """T17 lists 8,984 / 7,184 / 17,967 kg: choker .7996 and basket 1.9999 of the vertical."""
    assert us.choker_factor().value == pytest.approx(7_184 / 8_984, abs=5e-4)
    assert us.hitch.factors["basket"].value == pytest.approx(17_967 / 8_984, abs=5e-4)
