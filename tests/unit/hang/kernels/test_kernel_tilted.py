"""What is sure to tilt, step by step: sixteen rows at once as each by itself, written out plainly here."""

from __future__ import annotations

import math

import numpy as np
import pytest

from slingwright.hang import _kernel_tilted as kt

L = kt.LANES
ABOVE, WEIGHT = 0.7, 0.05  # the picks over the centre [m]; the weight times the stretch of a newton
SINE, COSINE = math.sin(math.radians(4.0)), math.cos(math.radians(4.0))
AT = np.array([(1.5, 0.9), (1.4, -1.1), (-1.6, 1.0), (-1.2, -0.8)])
FAR = np.hypot(AT[:, 0], AT[:, 1])
STIFF = np.array([0.9, 2.1])
ONES = np.ones(len(AT))
FIT = np.column_stack([ONES, AT]).T @ np.column_stack([ONES, -2.0 * AT])
GUESS = np.linalg.inv(FIT)


def drawn(many: int, spread: float = 0.06) -> np.ndarray:
    rng = np.random.default_rng(7)
    return np.hypot(FAR, 3.0) * (1.0 + rng.uniform(-spread, spread, (many, len(AT))))


def lanes(lengths: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Room to work in, with sixteen rows filled in."""
    acc, legs = np.full(kt.ROWS * L, np.nan), np.empty(len(AT) * L)
    kt._fill(legs, lengths, np.arange(len(lengths)), 0)
    return acc, legs


def row(acc: np.ndarray, name: str) -> np.ndarray:
    at = getattr(kt, name)
    return acc[at * L : (at + 1) * L]


def guessed(legs: np.ndarray) -> np.ndarray:
    """Square rise, x, y: where legs taut and stretched alike would balance."""
    d = legs**2 - FAR**2
    pulled = 2.0 * legs.mean() ** 3 * WEIGHT / legs.min()
    return np.asarray(GUESS @ np.array([d.sum() + pulled, d @ AT[:, 0], d @ AT[:, 1]]))


def begun(square: float, x: float, y: float) -> tuple[bool, float, float, float, float]:
    """Whether it is looked at; x, y; the least square there can be, and the one begun with."""
    out = math.hypot(x, y)
    wide = SINE * (COSINE * ABOVE + math.sqrt(max(square - (ABOVE * SINE) ** 2, 1e-6)))
    there, more, u, v = wide + 0.2 * (out - wide), 0.0, x, y
    for _ in range(3):
        long = math.hypot(u, v)
        bend = u * u / (STIFF[0] + more) + v * v / (STIFF[1] + more)
        more += max((long / there - 1.0) * long * long / bend, 0.0)
        u, v = x * STIFF[0] / (STIFF[0] + more), y * STIFF[1] / (STIFF[1] + more)
    least = (u * u + v * v) * (1.0 + 1e-6)
    return out > wide * 1.001, u, v, least, max(square, least)


def sloped(legs: np.ndarray, square: float, x: float, y: float) -> tuple[float, float, float, float]:
    s = np.sqrt(square - 2.0 * (AT @ (x, y)) + FAR**2)
    pull = np.maximum(1.0 / legs - 1.0 / s, 0.0)
    bends = np.where(pull > 0.0, 0.5 / s**3, 0.0)
    return float(pull.sum()), float(bends.sum()), float(pull @ AT[:, 0]), float(pull @ AT[:, 1])


def stepped(
    pulls: float, bends: float, gx: float, gy: float, square: float, x: float, y: float, least: float
):
    """Whether it is proved, whether to go on, and the next square; as `tilted.py` has it."""
    rise = math.sqrt(square - x * x - y * y)
    high = math.sqrt(square + ABOVE**2 + 2.0 * ABOVE * rise)
    load = WEIGHT * (1.0 + ABOVE / rise) / high
    gx, gy = gx - WEIGHT * ABOVE / (rise * high) * x, gy - WEIGHT * ABOVE / (rise * high) * y
    steep, left, low2 = math.hypot(gx, gy), pulls - load, (ABOVE * SINE) ** 2
    over = 2.0 * (gx * x + gy * y) - 2.0 * steep * ABOVE * SINE * COSINE
    over -= left * (square - low2) + (steep * SINE) ** 2 / max(left, 1e-12 * load)
    sure = left > 0.0 and over > 1e-6 * load * (x * x + y * y)
    best, most = steep * SINE / math.sqrt(square - low2), 0.2 * square
    step = (left - best) / bends if bends > 0.0 else -0.5 * most
    after = max(square - min(max(step, -most), most), least)
    return sure, not sure and abs(left - best) > 1e-4 * load, after


def told(legs: np.ndarray) -> bool:
    on, x, y, least, square = begun(*guessed(legs))
    for _ in range(kt._STEPS):
        if not on:
            return False
        sure, on, square = stepped(*sloped(legs, square, x, y), square, x, y, least)
        if sure:
            return True
    return False


def test_the_guess_is_where_legs_stretched_alike_balance() -> None:
    lengths = drawn(L)
    acc, legs = lanes(lengths)
    kt._guess(acc, legs, AT, FAR, GUESS, WEIGHT)
    want = np.array([guessed(one) for one in lengths])
    for k, name in enumerate(("_SQUARE", "_X", "_Y")):
        assert row(acc, name) == pytest.approx(want[:, k], rel=1e-12)
    assert row(acc, "_MEAN") == pytest.approx(lengths.mean(axis=1))


def test_it_begins_between_the_widest_place_and_the_guess_where_the_energy_is_least() -> None:
    lengths = drawn(L)
    acc, legs = lanes(lengths)
    kt._guess(acc, legs, AT, FAR, GUESS, WEIGHT)
    kt._begin(acc, STIFF, ABOVE, SINE, COSINE)
    want = [begun(*guessed(one)) for one in lengths]
    assert {w[0] for w in want} == {True, False}
    assert (row(acc, "_ON") > 0.5).tolist() == [w[0] for w in want]
    on = np.array([w[0] for w in want])
    for k, name in enumerate(("_X", "_Y", "_LEAST", "_SQUARE"), 1):
        assert row(acc, name)[on] == pytest.approx(np.array([w[k] for w in want])[on], rel=1e-12)
    assert not row(acc, "_SURELY").any()


def test_a_guess_that_stands_too_low_begins_where_the_hook_is_over_the_picks() -> None:
    acc, _ = lanes(drawn(L))
    for name, figure in (("_SQUARE", 0.5), ("_X", 3.0), ("_Y", -2.0)):
        row(acc, name)[:] = figure
    kt._begin(acc, STIFF, ABOVE, SINE, COSINE)
    _, x, y, least, square = begun(0.5, 3.0, -2.0)
    assert square == least
    for name, figure in (("_X", x), ("_Y", y), ("_LEAST", least), ("_SQUARE", square)):
        assert row(acc, name) == pytest.approx(np.full(L, figure), rel=1e-12)


def test_the_slope_is_what_taut_legs_pull_and_no_others() -> None:
    lengths = drawn(L, spread=0.2)
    acc, legs = lanes(lengths)
    row(acc, "_SQUARE")[:], row(acc, "_X")[:], row(acc, "_Y")[:] = 9.3, 0.3, -0.2
    kt._slopes(acc, legs, AT, FAR)
    want = np.array([sloped(one, 9.3, 0.3, -0.2) for one in lengths])
    for k, name in enumerate(("_PULLS", "_BENDS", "_GX", "_GY")):
        assert row(acc, name) == pytest.approx(want[:, k], rel=1e-12, abs=1e-15)
    assert (want[:, 1] > 0).any()


# pulls, bends, back along x and y, square, x, y, whether it was on
STEPS = [
    (0.02, 0.1, 0.004, 0.003, 9.0, 0.4, 0.3, 1.0),
    (0.0175, 0.1, 0.02, 0.015, 9.0, 0.4, 0.3, 1.0),
    (0.0175, 0.1, 0.02, 0.015, 9.0, 0.4, 0.3, 0.0),
    (0.03, 0.001, 0.004, 0.003, 9.0, 0.4, 0.3, 1.0),
    (0.001, 0.001, 0.004, 0.003, 9.0, 0.4, 0.3, 1.0),
    (0.0, 0.0, 0.0, 0.0, 9.0, 0.4, 0.3, 1.0),
    (0.018, 0.02, -0.004, 0.003, 9.0, 0.4, 0.3, 1.0),
    (0.017, 0.9, 0.004, 0.003, 9.0, -0.4, 0.3, 1.0),
    (0.5, 0.9, 0.004, 0.003, 0.26, 0.4, 0.3, 1.0),
    (0.0174, 0.05, 0.011, 0.009, 9.0, 0.4, 0.3, 1.0),
    (0.0177, 0.05, 0.0105, 0.009, 9.0, 0.4, 0.3, 1.0),
    (0.0166, 0.05, 0.02, 0.015, 9.0, 0.4, 0.3, 1.0),
]


def test_a_step_proves_or_goes_on_to_what_proves_most() -> None:
    acc, _ = lanes(drawn(L))
    steps = [*STEPS, *STEPS[: L - len(STEPS)]]
    names = ("_PULLS", "_BENDS", "_GX", "_GY", "_SQUARE", "_X", "_Y", "_ON")
    for k, name in enumerate(names):
        row(acc, name)[:] = [s[k] for s in steps]
    least = 0.2501
    row(acc, "_LEAST")[:] = least
    row(acc, "_SURELY")[:] = 0.0
    kt._step(acc, WEIGHT, ABOVE, SINE, COSINE)
    want = [stepped(*s[:7], least) for s in steps]
    sure = [w[0] and s[7] > 0.5 for w, s in zip(want, steps, strict=True)]
    assert set(sure) == {True, False}
    assert (row(acc, "_SURELY") > 0.5).tolist() == sure
    assert (row(acc, "_ON") > 0.5).tolist() == [w[1] and s[7] > 0.5 for w, s in zip(want, steps, strict=True)]
    assert row(acc, "_SQUARE") == pytest.approx([w[2] for w in want], rel=1e-12)
    kt._step(acc, WEIGHT, ABOVE, SINE, COSINE)  # what is sure stays so
    assert (row(acc, "_SURELY") > 0.5)[np.array(sure)].all()


def test_rows_are_told_of_as_one_by_one_and_the_last_few_too() -> None:
    lengths = drawn(3 * L + 5, spread=0.15)
    rows = np.array([4, 4, *range(len(lengths) - 1, -1, -2)])
    tilted = np.zeros(len(rows), dtype=np.bool_)
    room = np.full(kt.ROWS * L, np.nan), np.empty(len(AT) * L)
    kt.tilted_rows(AT, FAR, ABOVE, GUESS, STIFF, SINE, COSINE, WEIGHT, lengths, rows, *room, tilted)
    want = [told(lengths[k]) for k in rows]
    assert 5 < sum(want) < len(want) - 5
    assert tilted.tolist() == want
