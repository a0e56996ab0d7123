"""EN 1492-1:2000+A1:2008, mode factors M in full, by two trade user manuals; EN 13414-1 table 4.

The manuals are DOMAIN T1 and T2. The factors of EN 13414-1 (wire rope) were read; it prints loads
to .05 t, rounded down.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from slingwright.rulebook import Choke, ChokeState, RatedCell, Rating, Rulebook
from slingwright.sling import Hitch

FREE = Choke(state=ChokeState.FREE)

# mode: hitch, choke, number of legs, beta from the vertical [deg], M
MODES = [
    ("straight", Hitch.VERTICAL, 1, 0, 1.0),
    ("choked", Hitch.CHOKER, 1, 0, 0.8),
    ("basket, parallel", Hitch.BASKET, 1, 0, 2.0),
    ("basket, to 45", Hitch.BASKET, 1, 45, 1.4),
    ("basket, to 60", Hitch.BASKET, 1, 60, 1.0),
    ("two legs, to 45", Hitch.VERTICAL, 2, 45, 1.4),
    ("two legs, to 60", Hitch.VERTICAL, 2, 60, 1.0),
    ("three legs, to 45", Hitch.VERTICAL, 3, 45, 2.1),
    ("three legs, to 60", Hitch.VERTICAL, 3, 60, 1.5),
    ("four legs, to 45", Hitch.VERTICAL, 4, 45, 2.1),
    ("four legs, to 60", Hitch.VERTICAL, 4, 60, 1.5),
]


def rate(book: Rulebook, leg: RatedCell, hitch: Hitch, legs: int, beta_deg: float) -> float:
    rating = book.rules.rate(leg, hitch, choke=FREE, angle_deg=90.0 - beta_deg, wraps=1, legs=legs)
    assert isinstance(rating, Rating)
    return rating.rated_n / 9806.65


@pytest.mark.parametrize(("mode", "hitch", "legs", "beta_deg", "m"), MODES)
@pytest.mark.parametrize("wll_t", [1, 2, 3, 4, 5, 6, 8, 10])
def test_mode_table(
    en: Rulebook,
    printed_leg: Callable[..., RatedCell],
    mode: str,
    hitch: Hitch,
    legs: int,
    beta_deg: float,
    m: float,
    wll_t: int,
) -> None:
    rated_t = rate(en, printed_leg(str(wll_t), "t"), hitch, legs, beta_deg)
    assert rated_t == pytest.approx(m * wll_t, rel=1e-12), mode


@pytest.mark.parametrize(
    ("wll_t", "hitch", "legs", "beta_deg", "printed_t"),
    [
        ("3", Hitch.CHOKER, 1, 0, 2.4),  # WE27
        ("3", Hitch.BASKET, 1, 0, 6.0),
        ("3", Hitch.BASKET, 1, 30, 4.2),
        ("3", Hitch.BASKET, 1, 50, 3.0),
        ("3", Hitch.VERTICAL, 2, 45, 4.2),
        ("3", Hitch.VERTICAL, 2, 60, 3.0),
        ("3", Hitch.VERTICAL, 3, 45, 6.3),
        ("3", Hitch.VERTICAL, 4, 60, 4.5),
        ("10", Hitch.VERTICAL, 3, 45, 21.0),  # WE28
        ("10", Hitch.VERTICAL, 4, 60, 15.0),
    ],
)
def test_we27_we28(
    en: Rulebook,
    printed_leg: Callable[..., RatedCell],
    wll_t: str,
    hitch: Hitch,
    legs: int,
    beta_deg: float,
    printed_t: float,
) -> None:
    assert rate(en, printed_leg(wll_t, "t"), hitch, legs, beta_deg) == pytest.approx(printed_t, rel=1e-12)


@pytest.mark.parametrize(
    ("legs", "beta_deg", "printed_t"), [(2, 45, 1.05), (2, 60, 0.750), (3, 45, 1.55), (4, 60, 1.10)]
)
def test_we32_en_13414_1(
    en: Rulebook, printed_leg: Callable[..., RatedCell], legs: int, beta_deg: float, printed_t: float
) -> None:
    """A leg of 0.750 t; the table's own .05 t steps downwards leave 1.575 as 1.55 and 1.125 as 1.10."""
    rated_t = rate(en, printed_leg("0.75", "t"), Hitch.VERTICAL, legs, beta_deg)
    assert printed_t - 1e-9 <= rated_t < printed_t + 0.05


@pytest.mark.parametrize(("mode", "hitch", "legs", "beta_deg", "m"), MODES)
def test_modes_are_the_worst_of_their_band(
    us: Rulebook, mode: str, hitch: Hitch, legs: int, beta_deg: float, m: float
) -> None:
    """2 cos 45, 2 cos 60, 3 cos 45, 3 cos 60, rounded down: EN never exceeds the sine (own derivation)."""
    parts = 2 if hitch is Hitch.BASKET else min(legs, 3)
    if hitch is not Hitch.CHOKER:
        exact = parts * us.hitch.sine(90.0 - beta_deg)
        assert m <= exact + 1e-12 < m + 0.1, mode
