"""Figures of rows are numpy's own along the axis, to the bit."""

from __future__ import annotations

import numpy as np
import pytest

from slingwright.choose.corners import corners_in_order, first_corner
from slingwright.choose.rows import all_of, any_of, first_least, least, most, unequal


@pytest.mark.parametrize("columns", [1, 2, 4, 8])
@pytest.mark.parametrize("rows", [0, 1, 500])
def test_figures_of_rows_are_those_along_the_axis(rows: int, columns: int) -> None:
    rng = np.random.default_rng(columns)
    figures = rng.integers(-3, 3, size=(rows, columns)).astype(np.float64)
    some = figures > 0
    before = figures.copy()
    assert np.array_equal(most(figures), figures.max(axis=1))
    assert np.array_equal(least(figures), figures.min(axis=1))
    assert np.array_equal(first_least(figures), figures.argmin(axis=1))
    assert np.array_equal(any_of(some), some.any(axis=1))
    assert np.array_equal(all_of(some), some.all(axis=1))
    assert np.array_equal(unequal(figures), figures.max(axis=1) != figures.min(axis=1))
    most(figures)[:] = 9.0  # its own
    assert np.array_equal(figures, before)


@pytest.mark.parametrize("high", [0.0, 0.1])
def test_the_first_corner_is_the_first_of_all_in_order(high: float) -> None:
    rng = np.random.default_rng(7)
    box = np.array([(x, y, z) for x in (-0.3, 0.3) for y in (-0.1, 0.1) for z in {-high, high}])
    up, centre = rng.normal(size=(300, 2)), np.array([1.0, 2.0, 0.5])
    order = corners_in_order(up, centre + box, centre)
    assert np.array_equal(np.sort(order, axis=1), np.tile(np.arange(len(box)), (300, 1)))
    assert np.array_equal(first_corner(up, centre + box, centre), order[:, :1])
    assert first_corner(up, box[:0], centre).shape == (300, 0)
    across = np.sign((box[order[:, 0]] * box[order[:, 1]])[:, :2])
    assert (across == -1.0).all()
