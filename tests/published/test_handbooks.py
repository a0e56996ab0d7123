"""Crane-safety quiz answers and the US Navy's rigging handbooks.

C5: BC Association for Crane Safety, rigging practice quiz (WE01, WE14 to WE16, read).
N1, N2: NAVEDTRA 14081 pp. 13-20 ff. and 14080 p. 3-24 (bridle formulas, read).
"""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from slingwright.rulebook import Choke, ChokeState, RatedCell, Rating, Rulebook, load_rulebook
from slingwright.rulebook.rate import RateRules
from slingwright.sling import Hitch

LB_N = 4.4482216152605
FREE = Choke(state=ChokeState.FREE)


def rise_deg(height: float, length: float) -> float:
    """Angle from the horizontal of a leg of this length and rise."""
    return math.degrees(math.asin(height / length))


def rated_lb(rating: object) -> float:
    assert isinstance(rating, Rating)
    return rating.rated_n / LB_N


def test_we01_two_slings_on_15000_lb(us: Rulebook) -> None:
    """L 16 ft, H 12 ft: L W / (2 H) = 10,000 lb, "within a 13,000 lb shackle" (C5)."""
    floor = us.leg_floor(2, 15_000 * LB_N, rise_deg(12, 16)).value / LB_N
    assert floor == pytest.approx(10_000, abs=1)
    assert floor <= 13_000


@pytest.mark.parametrize(
    ("bridle_lb", "printed_lb", "load_lb"),
    [("9900", 7_425, 7_000), ("16627", 12_470, 11_800)],  # WE14, WE15
)
def test_we14_we15_choked_at_three_quarters(
    us: Rulebook,
    by_the_pound: RateRules,
    printed_leg: Callable[..., RatedCell],
    bridle_lb: str,
    printed_lb: int,
    load_lb: int,
) -> None:
    """C5 chokes at .75, the older US figure: selectable, and what the strictest profile takes."""
    older = us.hitch.factors["choker_older"].value
    assert float(bridle_lb) * older == pytest.approx(printed_lb, abs=1)
    strict = load_rulebook("us", "strictest")
    assert strict.choker_factor().value == older
    at_ten = strict.rules.rate(
        printed_leg(bridle_lb), Hitch.CHOKER, choke=FREE, angle_deg=90.0, wraps=1, legs=1
    )
    assert load_lb <= rated_lb(at_ten)
    assert printed_lb - 10 < rated_lb(at_ten) < printed_lb + 1e-6


def test_we16_web_sling_in_a_basket(by_the_pound: RateRules, printed_leg: Callable[..., RatedCell]) -> None:
    """6,220 lb x 2: printed 12,400 (rounded down to 100); a load of 12,000 passes (C5)."""
    rating = by_the_pound.rate(printed_leg("6220"), Hitch.BASKET, choke=None, angle_deg=90.0, wraps=1, legs=1)
    assert rated_lb(rating) == pytest.approx(12_440, abs=1e-6)
    assert 12_000 < 12_400 <= rated_lb(rating) < 12_500


@pytest.mark.parametrize(("height", "length"), [(1.0, 2.0), (3.0, 4.0), (7.0, 8.0), (11.9, 12.0)])
def test_navy_bridle_and_double_basket(
    by_the_pound: RateRules, printed_leg: Callable[..., RatedCell], height: float, length: float
) -> None:
    """Bridle SWL = V (H/L) 2 (N2); double basket, two slings: V (H/L) 4 (N1)."""
    leg = printed_leg("24000")
    angle = rise_deg(height, length)
    bridle = by_the_pound.rate(leg, Hitch.VERTICAL, choke=None, angle_deg=angle, wraps=1, legs=2)
    assert rated_lb(bridle) == pytest.approx(24_000 * height / length * 2, abs=1)
    double = by_the_pound.rate(leg, Hitch.BASKET, choke=None, angle_deg=angle, wraps=1, legs=2)
    assert rated_lb(double) == pytest.approx(24_000 * height / length * 4, abs=1)


@pytest.mark.parametrize(("height", "length"), [(1.0, 2.0), (3.0, 4.0), (7.0, 8.0), (1.0, 1.0)])
def test_trap_navy_single_basket(
    by_the_pound: RateRules, printed_leg: Callable[..., RatedCell], height: float, length: float
) -> None:
    """N1 and N2 print V (H/L) 4 for the single basket: a misprint, twice what its two parts can carry."""
    angle = rise_deg(height, length)
    single = by_the_pound.rate(
        printed_leg("24000"), Hitch.BASKET, choke=None, angle_deg=angle, wraps=1, legs=1
    )
    misprint = 24_000 * height / length * 4
    assert rated_lb(single) == pytest.approx(misprint / 2, abs=1)
    # wound twice round the load it is still one sling with two parts to the hook
    double_wrap = by_the_pound.rate(
        printed_leg("24000"), Hitch.BASKET, choke=None, angle_deg=angle, wraps=2, legs=1
    )
    assert rated_lb(double_wrap) == rated_lb(single)


@pytest.mark.parametrize(("height_m", "angle_deg"), [(2.0, 45.0), (3.0, 60.0)])
def test_navy_two_of_four_legs(us: Rulebook, height_m: float, angle_deg: float) -> None:
    """N1 item 18: two legs may carry a rigid load while the others balance: W / (2 sin a), selectable."""
    floor = us.leg_floor(4, 10_000.0, angle_deg, two_legs_carry_all=True).value
    length_m = height_m / math.sin(math.radians(angle_deg))
    assert floor == pytest.approx(10_000.0 / 2 * length_m / height_m, rel=1e-12)
    assert floor > us.leg_floor(4, 10_000.0, angle_deg).value
