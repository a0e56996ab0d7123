"""Angle and dense algebra against the standard library and LAPACK (through NumPy)."""

import math

import numpy as np
import pytest

from slingwright.hang import _kernel_angle, _kernel_dense

TAN = 0.41421356237309503  # tan(pi/8), where the series changes


def _angle(y, x):
    return _kernel_angle.angle_deg(y, x)


def _off(y, x):
    """Distance from the standard library's arc tangent in units of its last place."""
    exact = math.degrees(math.atan2(y, x))
    return abs(_angle(y, x) - exact) / math.ulp(exact)


def test_angle_is_the_arc_tangent_to_its_last_places():
    """All that a tilt or a leg needs: x >= 0 or y >= 0, from a hair to a right angle and beyond."""
    for t in (1e-300, 1e-9, 0.01, 0.2, 0.4, TAN, 0.4143, 0.5, 0.66, 0.8, 0.9, 0.99, 1.0):
        for a, b in ((t, 1.0), (1.0, t), (3.0 * t, 3.0)):
            for y, x in ((a, b), (a, -b), (-a, b)):
                assert _off(y, x) <= 3.0, (y, x)


def test_angle_on_the_axes():
    for y, x, angle in (
        (0.0, 2.0, 0.0),
        (2.0, 0.0, 90.0),
        (-2.0, 0.0, -90.0),
        (0.0, 0.0, 0.0),
        (0.0, -1.0, 180.0),
    ):
        assert _angle(y, x) == angle
    assert math.copysign(1.0, _angle(0.0, 2.0)) == 1.0
    assert _angle(1.0, 1.0) == 45.0
    assert _angle(1.0, -1.0) == 135.0


def _definite(n, seed=1):
    a = np.random.default_rng(seed).standard_normal((n, n))
    return a @ a.T + 0.1 * np.eye(n)


@pytest.mark.parametrize("n", [1, 3, 7])
def test_cholesky_factors_what_is_definite(n):
    a, low = _definite(n), np.zeros((n, n))
    assert _kernel_dense.cholesky(a, 0.0, low) is True
    assert np.tril(low) == pytest.approx(np.linalg.cholesky(a), abs=1e-13)
    assert _kernel_dense.cholesky(a, 2.5, low) is True
    assert np.tril(low) == pytest.approx(np.linalg.cholesky(a + 2.5 * np.eye(n)), abs=1e-13)
    b, x = np.arange(1.0, n + 1), np.zeros(n)
    _kernel_dense.cholesky_solve(low, b, x)
    assert x == pytest.approx(np.linalg.solve(a + 2.5 * np.eye(n), b), rel=1e-12)


def test_cholesky_refuses_what_is_not():
    low = np.zeros((3, 3))
    a = _definite(3)
    least = np.linalg.eigvalsh(a)[0]
    assert _kernel_dense.cholesky(a, -0.999 * least, low) is True
    assert _kernel_dense.cholesky(a, -1.001 * least, low) is False
    assert _kernel_dense.cholesky(np.zeros((2, 2)), 0.0, low) is False  # a pivot of nothing is not positive
    assert _kernel_dense.cholesky(np.zeros((1, 1)), 0.0, low) is False
    assert _kernel_dense.cholesky(np.diag([1.0, 0.5, 1.0]), 0.0, low) is True


@pytest.mark.parametrize("n", [2, 3, 6, 9])
def test_eigen_agrees_with_lapack(n):
    a = np.random.default_rng(n).standard_normal((n, n))
    a = a + a.T
    values, vectors = np.full(n, np.nan), np.full((n, n), np.nan)
    _kernel_dense.eigen(a.copy(), values, vectors)
    assert sorted(values) == pytest.approx(np.linalg.eigvalsh(a), abs=1e-12)
    assert vectors.T @ vectors == pytest.approx(np.eye(n), abs=1e-12)
    assert a @ vectors == pytest.approx(vectors * values, abs=1e-12)


def test_eigen_of_matrices_with_zeros():
    """Coupled in pairs only: zeros between are passed over, and a matrix at its end is left."""
    a = np.diag([3.0, 1.0, 2.0, 3.0])
    a[0, 3] = a[3, 0] = 1e-9
    values, vectors = np.zeros(4), np.zeros((4, 4))
    _kernel_dense.eigen(a.copy(), values, vectors)
    assert sorted(values) == pytest.approx([1.0, 2.0, 3.0 - 1e-9, 3.0 + 1e-9], abs=1e-15)
    assert np.abs(vectors[:, 0]) == pytest.approx([0.5**0.5, 0.0, 0.0, 0.5**0.5])
    assert vectors[1, 1] == vectors[2, 2] == 1.0


def test_eigen_of_small_and_large_together_keeps_the_small():
    a = np.array([[1e8, 1.0, 0.0], [1.0, 1.0, 1e-6], [0.0, 1e-6, -1e-6]])
    values, vectors = np.zeros(3), np.zeros((3, 3))
    _kernel_dense.eigen(a.copy(), values, vectors)
    assert np.array(sorted(values)) == pytest.approx(np.linalg.eigvalsh(a), abs=1e-7)
    assert a @ vectors == pytest.approx(vectors * values, abs=1e-7)


def test_where_a_change_of_sign_is_looked_for_next():
    """The secant's place, not nearer to an end than a fiftieth; the middle where there is no secant."""
    between = _kernel_dense.between
    assert between(2.0, 4.0, 3.0, -1.0) == pytest.approx(3.5)
    assert between(2.0, 4.0, 1.0, -3.0) == pytest.approx(2.5)
    assert between(2.0, 4.0, 1e-9, -1.0) == pytest.approx(2.04)
    assert between(2.0, 4.0, 1.0, -1e-9) == pytest.approx(3.96)
    assert between(2.0, 4.0, 0.0, -1.0) == 3.0
