"""Weights and centres of gravity from teaching pages (X7, X8, X9 of the check values, read)."""

from __future__ import annotations

import pytest

from slingwright.lift.solids import block_mass_kg, composite_centre_m, pipe_mass_kg
from slingwright.units import parse_density_kg_m3, parse_length_m

FT = 0.3048
LB = 0.45359237


def test_we24_centre_of_two_rectangles() -> None:
    """6 x 3 ft at (14, 9.5) and 20 x 8 ft at (10, 4): printed 10.4 and 4.56 ft (X7)."""
    x, y, z = composite_centre_m([(6 * 3, (14 * FT, 9.5 * FT, 0.0)), (20 * 8, (10 * FT, 4 * FT, 0.0))])
    assert (x / FT, y / FT, z) == pytest.approx((10.4, 4.56, 0.0), abs=0.05)
    assert (x / FT, y / FT) == pytest.approx((10.4045, 4.5562), abs=5e-4)


def test_we25_concrete_block() -> None:
    """2 x 2 x 4 ft at 150 lb/ft3: 2,400 lb (X8)."""
    density = parse_density_kg_m3("150 lb/ft3", "density")
    assert block_mass_kg(2 * FT, 2 * FT, 4 * FT, density_kg_m3=density) / LB == pytest.approx(2400, rel=1e-12)


def test_we26_pipe() -> None:
    """36 in schedule 40, wall 3/4 in, 20 ft: 282.36 lb/ft, 5,647.2 lb (X9)."""
    outside, wall = parse_length_m("36 in", "diameter"), parse_length_m("3/4 in", "wall")
    # handbook steel of 0.2833 lb/in3, from memory: 10.68 lb/ft per in2 of (D - t) t
    density = parse_density_kg_m3("489.54 lb/ft3", "density")
    mass = pipe_mass_kg(20 * FT, outside, wall, density_kg_m3=density) / LB
    assert mass == pytest.approx(5647.2, abs=0.5)
    assert mass / 20 == pytest.approx(282.36, abs=0.03)
