"""Sine and factor tables of the trade, in full, with their misprints asserted as misprints.

WE31: a sling chart on 1,000 lb (trade page, DOMAIN 4.3). Factors: DOMAIN 3.1 after T4, T7 and T8; the printed
factor tables round the sine first and invert then, so 1.104 stands for 1.103.
"""

from __future__ import annotations

import math

import pytest

from slingwright.rulebook import Rulebook


@pytest.mark.parametrize(
    ("angle_deg", "printed"),
    [(90, 1000), (75, 966), (60, 866), (45, 707), (30, 500), (15, 258), (5, 87)],
)
def test_we31_share_of_the_rated_load(us: Rulebook, angle_deg: float, printed: int) -> None:
    """258 at 15 deg is truncated; the exact value is 258.8."""
    assert 1000 * us.hitch.sine(angle_deg) == pytest.approx(printed, abs=1)


@pytest.mark.parametrize("angle_deg", range(1, 91))
def test_sine_in_full(us: Rulebook, angle_deg: int) -> None:
    assert us.hitch.sine(angle_deg) == pytest.approx(math.sin(math.radians(angle_deg)), rel=1e-15)


@pytest.mark.parametrize(
    ("angle_deg", "printed", "exact"),
    [(65, 1.104, 1.1034), (40, 1.555, 1.5557), (35, 1.742, 1.7434), (60, 1.155, 1.1547), (30, 2.0, 2.0)],
)
def test_tension_factors_round_the_sine_first(
    us: Rulebook, angle_deg: float, printed: float, exact: float
) -> None:
    factor = us.leg_floor(2, 2.0, angle_deg).value
    assert factor == pytest.approx(exact, abs=5e-5)
    assert factor == pytest.approx(printed, abs=1.5e-3)


def test_trap_misprint_at_40_degrees(us: Rulebook) -> None:
    """One trade table prints .6248 at 40 deg (T7): the digits of .6428 in the wrong order."""
    assert us.hitch.sine(40.0) == pytest.approx(0.6428, abs=5e-5)
    assert abs(us.hitch.sine(40.0) - 0.6248) > 0.01
