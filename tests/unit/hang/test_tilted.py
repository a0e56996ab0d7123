"""Rows of legs that are sure to tilt a load too far, against their hangs: none of them hangs level."""

from __future__ import annotations

import numpy as np
import pytest

from slingwright.hang.batch import Variations, solve_many
from slingwright.hang.problem import Body, Path, Point, Problem
from slingwright.hang.tilted import Tilted

RATED_N = 1e4
MANY = 300


def problem_of(at_m: np.ndarray, weight_n: float, strain: float) -> Problem:
    """Legs from one hook to picks seen from the centre of gravity; their lengths vary."""
    hook = Point("world", (0.0, 0.0, 10.0))
    legs = tuple(
        Path(
            name=str(k), points=(hook, Point("load", tuple(at))), length_m=1.0, rated_n=RATED_N,
            strain_at_rated=strain,
        )
        for k, at in enumerate(at_m.tolist())
    )  # fmt: skip
    load = Body(name="load", weight_n=weight_n, centre_of_gravity_m=(0.0, 0.0, 0.0))
    return Problem(bodies=(load,), paths=legs)


def drawn(number: int, legs: int) -> tuple[np.ndarray, float, float, np.ndarray]:
    """Picks in one level, weight, stretch at the rated load, and rows of lengths about what is level."""
    rng = np.random.default_rng([number, legs])
    turn = np.linspace(0.0, 2.0 * np.pi, legs, endpoint=False) + rng.uniform(0.0, 0.5)
    out = rng.uniform(0.5, 1.5, (legs, 1)) * rng.uniform(0.4, 2.0, 2)
    at = np.column_stack([out * np.column_stack([np.cos(turn), np.sin(turn)]), np.zeros(legs)])
    at[:, :2] += rng.uniform(-0.2, 0.2, 2)
    at[:, 2] = rng.choice([0.0, rng.uniform(0.0, 1.5)])
    rise = rng.uniform(1.0, 6.0)
    level = np.hypot(np.hypot(at[:, 0], at[:, 1]), rise)
    lengths = level * (1.0 + rng.uniform(-1.0, 1.0, (MANY, legs)) * rng.choice([0.01, 0.05, 0.15]))
    return at, float(rng.uniform(2e3, 3e4)), float(rng.choice([0.003, 0.03, 0.1])), lengths


@pytest.mark.parametrize("legs", [3, 4, 6])
def test_what_is_sure_to_tilt_tilts_when_it_is_hung(legs: int) -> None:
    sure = clear = found = 0
    for number in range(40):
        at, weight_n, strain, lengths = drawn(number, legs)
        level_deg = (0.5, 3.0, 10.0)[number % 3]
        told = Tilted(at, weight_n, level_deg)
        assert told.tells
        tilted = told.of(lengths, np.arange(MANY), strain / RATED_N)
        hung = solve_many(problem_of(at, weight_n, strain), Variations(length_m=lengths), threads=1)
        stable = hung.status == 0
        tilt_deg = hung.tilt_deg.reshape(MANY, -1)[:, 0]
        assert (tilt_deg[tilted & stable] > level_deg).all(), number
        sure += int((tilted & stable).sum())
        clear += int((stable & (tilt_deg > 1.5 * level_deg)).sum())
        found += int((tilted & stable & (tilt_deg > 1.5 * level_deg)).sum())
    assert sure > 1000
    assert found > 0.6 * clear  # what tilts far is told of, or nothing is gained


def test_rows_are_told_of_one_by_one() -> None:
    at, weight_n, strain, lengths = drawn(4, 4)
    told = Tilted(at, weight_n, 3.0)
    every = told.of(lengths, np.arange(MANY), strain / RATED_N)
    some = np.array([7, 299, 0, 7, 123])
    assert every.any()
    assert not every.all()
    assert (told.of(lengths, some, strain / RATED_N) == every[some]).all()
    assert (told.of(np.asfortranarray(lengths), some, strain / RATED_N) == every[some]).all()
    assert len(told.of(lengths, some[:0], strain / RATED_N)) == 0


def test_the_axes_that_the_load_is_told_in_do_not_matter() -> None:
    at, weight_n, strain, lengths = drawn(5, 4)
    turned = at @ np.array([[0.6, 0.8, 0.0], [-0.8, 0.6, 0.0], [0.0, 0.0, 1.0]])
    each = [Tilted(a, weight_n, 3.0).of(lengths, np.arange(MANY), strain / RATED_N) for a in (at, turned)]
    assert each[0].any()
    assert (each[0] != each[1]).sum() <= 2  # by rounding


@pytest.mark.parametrize(
    "at",
    [
        [(-1.0, 0.0, 0.5), (1.0, 0.0, 0.5)],
        [(-1.0, 0.0, 0.5), (0.0, 0.0, 0.5), (1.0, 0.0, 0.5)],
        [(-1.0, 0.0, 0.5), (1.0, 1.0, 0.5), (1.0, -1.0, 0.6)],
        [(-1.0, 0.0, -0.1), (1.0, 1.0, -0.1), (1.0, -1.0, -0.1)],
    ],
    ids=["two", "in a line", "of two heights", "below the centre"],
)
def test_of_other_picks_nothing_is_told(at: list[tuple[float, float, float]]) -> None:
    told = Tilted(np.array(at), 1e4, 1.0)
    assert not told.tells
    lengths = np.linspace(2.0, 4.0, 5 * len(at)).reshape(5, -1)
    assert not told.of(lengths, np.arange(5), 1e-6).any()


def test_a_load_level_on_equal_legs_is_told_of_at_no_stretch() -> None:
    at = np.array([(x, y, 0.5) for x in (-1.0, 1.0) for y in (-1.0, 1.0)])
    for strain_per_n in (1e-9, 1e-6, 1e-5):
        assert not Tilted(at, 1e4, 1e-3).of(np.full((3, 4), 3.0), np.arange(3), strain_per_n).any()


def test_where_any_tilt_is_wanted_nothing_is_told() -> None:
    at, weight_n, strain, lengths = drawn(8, 4)
    assert Tilted(at, weight_n, 0.1).of(lengths, np.arange(MANY), strain / RATED_N).any()
    for level_deg in (89.0, 120.0, 180.0):
        assert not Tilted(at, weight_n, level_deg).of(lengths, np.arange(MANY), strain / RATED_N).any()
