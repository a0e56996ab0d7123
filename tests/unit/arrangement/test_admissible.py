"""The largest admissible leg tension, against closed forms and an outside linear program (SciPy's HiGHS)."""

import math

import numpy as np
import pytest
from scipy.optimize import linprog

from slingwright.arrangement.admissible import largest_admissible_n


def towards(hook, picks):
    out = []
    for p in picks:
        d = np.subtract(hook, p)
        out.append(tuple(d / np.linalg.norm(d)))
    return out


def test_square_bridle_two_diagonal_legs_carry_all():
    """NAVEDTRA 14081 item 18 (DOMAIN N1): two legs may carry nearly all of a rigid load; closed form."""
    up = towards((0, 0, 2), [(1, 1, 0), (1, -1, 0), (-1, -1, 0), (-1, 1, 0)])
    sine = 2 / math.sqrt(6)
    assert largest_admissible_n(up, 1000.0) == pytest.approx(1000 / (2 * sine), rel=1e-9)


def test_three_legs_have_one_answer_only():
    """Three legs are determinate: WE23 of DOMAIN 4.3 (X6), per 1,000 N."""
    hook = (0.5, 0.4, 2.0)
    up = towards(hook, [(0.1, 0, 0), (0.8, 0.3, 0), (0.1, 0.7, 0)])
    assert largest_admissible_n(up, 1000.0) == pytest.approx(578.5, abs=0.1)


def test_no_balance_is_none():
    up = towards((0, 0, 2), [(1, 0, 0), (2, 0, 0), (1, 1, 0), (2, 1, 0)])
    assert largest_admissible_n(up, 1000.0) == 0.0


@pytest.mark.parametrize("seed", range(25))
def test_equals_an_outside_linear_program(seed):
    """SciPy's linprog (HiGHS): maximise each leg's tension subject to balance and T >= 0."""
    rng = np.random.default_rng(seed)
    legs = int(rng.integers(4, 7))
    angles = np.sort(rng.uniform(0, 2 * np.pi, legs))
    picks = [(float(np.cos(a)), float(np.sin(a)), float(rng.uniform(-0.3, 0.3))) for a in angles]
    up = towards((float(rng.uniform(-0.2, 0.2)), float(rng.uniform(-0.2, 0.2)), 2.0), picks)
    best = 0.0
    for i in range(legs):
        cost = np.zeros(legs)
        cost[i] = -1.0
        found = linprog(cost, A_eq=np.array(up).T, b_eq=[0, 0, 1000.0], bounds=[(0, None)] * legs)
        best = max(best, -found.fun if found.success else 0.0)
    assert largest_admissible_n(up, 1000.0) == pytest.approx(best, rel=1e-6, abs=1e-6)
