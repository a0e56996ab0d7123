"""Level hook heights against brute force, on edges and on curves."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slingwright.arrangement import Arrangement
from slingwright.arrangement.enumerate import GridSteps, arrangements, refit
from slingwright.arrangement.geometry import (
    basket_height,
    beam_low_height,
    leg_height,
    level_hook_heights,
    upper_xy,
)
from slingwright.arrangement.section import taut_string
from slingwright.lift.model import Lift
from tests.lifts import example_lift

STEPS = GridSteps(placement_m=0.3048)
AT = st.floats(-4, 4)


@given(AT, AT, st.floats(0, 3), st.floats(0.3, 12))
def test_a_leg_is_as_long_as_it_is(x: float, y: float, z: float, free: float) -> None:
    height = float(leg_height((0.3, -0.2), (x, y, z), np.array([free]))[0])
    across = math.hypot(x - 0.3, y + 0.2)
    if free <= across:
        assert math.isnan(height)
        return
    assert math.dist((0.3, -0.2, height), (x, y, z)) == pytest.approx(free, rel=1e-9)
    assert height >= z


@given(AT, AT, st.floats(0, 2), AT, AT, st.floats(0, 2), st.floats(0.5, 20))
def test_a_baskets_height_is_where_both_sides_are_taut(
    ax: float, ay: float, az: float, bx: float, by: float, bz: float, free: float
) -> None:
    """Against bisection of the summed distances, which grow with the height above both ends."""
    hook, a, b = (0.1, 0.2), (ax, ay, az), (bx, by, bz)

    def both(height: float) -> float:
        return math.dist((*hook, height), a) + math.dist((*hook, height), b)

    low, high = max(az, bz), max(az, bz) + free
    found = float(basket_height(hook, (a, b), np.array([free]))[0])
    if both(low) >= free * (1 - 1e-12):
        assert math.isnan(found) or found == pytest.approx(low, abs=1e-5)
        return
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if both(middle) < free else (low, middle)
    assert found == pytest.approx(low, abs=1e-6)


@pytest.mark.parametrize(
    "name", ["chiller", "crane_rail_beam", "pontoon_two_hooks", "yard_launch", "duct_section"]
)
def test_the_hook_stands_as_high_as_the_shortest_sling_lets_it(name: str) -> None:
    """At that height the shortest sling is just taut: legs, baskets over both sides, a choker's leg."""
    rng = np.random.default_rng(7)
    for arrangement in arrangements(example_lift(name), STEPS):
        lengths = rng.uniform(3.0, 9.0, (4, len(arrangement.holdings)))
        if arrangement.beam is not None:
            lengths[:, 1] = lengths[:, 0]
            heights = level_hook_heights(arrangement, lengths)[:, 0]
            low = beam_low_height(arrangement, lengths)
            rise = np.sqrt(lengths[:, 0] ** 2 - (arrangement.beam.span_m / 2) ** 2)
            assert heights == pytest.approx(low + arrangement.beam.depth_m + rise, nan_ok=True)
            continue
        for row, heights in zip(lengths, level_hook_heights(arrangement, lengths), strict=True):
            for hook, height in enumerate(heights):
                if math.isfinite(height):
                    spare = [
                        _spare(arrangement, i, length, float(height))
                        for i, length in enumerate(row)
                        if arrangement.holdings[i].hook == hook
                    ]
                    assert min(spare) == pytest.approx(0.0, abs=1e-6)


def _spare(arrangement: Arrangement, index: int, length: float, height: float) -> float:
    """What a sling is longer than the string from this hook height and back [m]."""
    holding = arrangement.holdings[index]
    top = (*upper_xy(arrangement, holding), height)
    way = holding.round
    if way is None:
        assert holding.lower_m is not None
        return length - math.dist(top, holding.lower_m)
    if holding.hitch == "choker":
        return length - way.loop_m - math.dist(top, way.turns_m[0])
    return length - way.lies_m - math.dist(top, way.turns_m[0]) - math.dist(top, way.turns_m[-1])


# -- curved loads -----------------------------------------------------------------------------------------


def _exact_height(lift: Lift, arrangement: Arrangement, length: float) -> float:
    """The level hook height with the leaving points of that very height (bisection); NaN out of reach."""

    def spare(height: float) -> float:
        worst = math.inf
        for index, holding in enumerate(arrangement.holdings):
            way = holding.round
            assert way is not None
            string = taut_string(lift.load.section_at(way.x_m), (arrangement.hooks_xy_m[0][1], height))
            turns = tuple((way.x_m, y, z) for y, z in string.turns_m)
            extra = (holding.wraps - 1) * way.perimeter_m
            now = replace(way, turns_m=turns, lies_m=string.lies_m + extra)
            moved = replace(
                arrangement,
                holdings=tuple(
                    replace(h, round=now) if i == index else h for i, h in enumerate(arrangement.holdings)
                ),
            )
            worst = min(worst, _spare(moved, index, length, height))
        return worst

    low, high = lift.load.height_m * 1.0001, lift.load.height_m + length
    if spare(low) < 0:
        return math.nan
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if spare(middle) > 0 else (low, middle)
    return low


@pytest.mark.parametrize("name", ["pipe_40ft", "conduit_bundle"])
def test_a_basket_round_a_curve_hangs_by_its_tangents(name: str) -> None:
    """The level hook height is the exact taut loop.s, leaning along the load or not, once or twice round."""
    lift = example_lift(name)
    families: dict[str, Arrangement] = {}
    for a in arrangements(lift, STEPS):
        if "basket" in a.family:
            families.setdefault(f"{a.family} {a.placement}", a)
    seen = 0
    for arrangement in list(families.values())[::3]:
        assert arrangement.level_height_m is None
        for length in np.arange(1.5, 12.0, 0.87):
            exact = _exact_height(lift, arrangement, float(length))
            row = np.full((1, len(arrangement.holdings)), length)
            level = float(level_hook_heights(arrangement, row)[0, 0])
            if math.isfinite(exact):
                assert level == pytest.approx(exact, abs=1e-6)
                seen += 1
    assert seen > 50


def test_a_sling_shorter_than_once_round_does_not_close() -> None:
    """A 24 in pipe is 6 ft 3 3/8 in round: what is shorter has no hook height (circumference, by hand)."""
    pipe = next(a for a in arrangements(example_lift("pipe_40ft"), STEPS) if a.family == "basket-1")
    around = math.pi * 24 * 0.0254
    heights = level_hook_heights(pipe, np.array([[around * 0.999], [around * 1.001]]))[:, 0]
    assert math.isnan(heights[0])
    assert heights[1] == pytest.approx(24 * 0.0254, rel=0.05)  # a loop hardly longer stands just over the top


def test_a_string_refit_leaves_by_the_tangent() -> None:
    """Seen from where the hook hangs, the radius at the leaving point stands square on the free part."""
    lift = example_lift("pipe_40ft")
    pipe = next(a for a in arrangements(lift, STEPS) if a.family == "basket-2")
    for height in (0.75, 1.4, 6.0):
        way = refit(lift, pipe, ((6.1, 0.3, height), None)).holdings[0].round
        assert way is not None
        assert way.centre_yz_m is not None
        for turn in (way.turns_m[0], way.turns_m[-1]):
            radius = (turn[1] - way.centre_yz_m[0], turn[2] - way.centre_yz_m[1])
            free = (0.3 - turn[1], height - turn[2])
            assert radius[0] * free[0] + radius[1] * free[1] == pytest.approx(0.0, abs=1e-9)
