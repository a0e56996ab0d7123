"""AS 1353 basket factors by included angle, by a trade data sheet (DOMAIN T3, WE29 and its misprint WE30)."""

from __future__ import annotations

from collections.abc import Callable
from math import floor

import pytest

from slingwright.citation import Cited
from slingwright.rulebook import RatedCell, Rulebook

# included angle between the two parts [deg], printed factor, printed load of a 2,000 kg sling [kg]
BASKET = [(30, 1.9, 3800), (60, 1.73, 3460), (90, 1.41, 2820), (120, 1.0, 2000)]


@pytest.mark.parametrize(("included_deg", "factor", "printed_kg"), BASKET)
def test_we29(
    us: Rulebook,
    printed_leg: Callable[..., RatedCell],
    included_deg: float,
    factor: float,
    printed_kg: int,
) -> None:
    """The printed factors are 2 cos (half the included angle), cut to two places (1.93 to 1.9)."""
    rated = us.rules.basket_rated_n(printed_leg("2", "t"), 90.0 - included_deg / 2)
    assert isinstance(rated, Cited)
    exact = rated.value / 9806.65 / 2
    places = 10 if included_deg == 30 else 100
    assert floor(exact * places + 1e-9) / places == factor
    assert 2000 * factor == pytest.approx(printed_kg)


def test_we30_trap_misprint(us: Rulebook, printed_leg: Callable[..., RatedCell]) -> None:
    """4,000 kg at 90 deg is printed 5,630; its own factor gives 5,640, the exact sine 5,657."""
    rated = us.rules.basket_rated_n(printed_leg("4", "t"), 45.0)
    assert isinstance(rated, Cited)
    assert rated.value / 9.80665 == pytest.approx(5656.9, abs=0.1)
    assert pytest.approx(5640) == 4000 * 1.41
    assert pytest.approx(5630) != 4000 * 1.41
