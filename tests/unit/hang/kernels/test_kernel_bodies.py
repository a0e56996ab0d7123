"""Lanes of bodies, uncompiled: the same hang as the general search's, and who is left to it."""

import numpy as np
import pytest

from slingwright.hang.batch import Variations, run
from tests.unit.hang.test_near import PROBLEMS


def _both(name, centre_up=0.0):
    problem = PROBLEMS[name]
    paths, bodies = len(problem.paths), len(problem.bodies)
    told = np.array([b.centre_of_gravity_m for b in problem.bodies])
    centre = np.repeat(told[None], 2, axis=0)
    centre[:, 0] += [(-0.06, 0.05, 0.02), (0.03, -0.04, centre_up)]
    strain = np.array([[0.03], [0.08]]) * np.linspace(0.95, 1.05, paths)
    length = np.array([p.length_m for p in problem.paths]) + np.linspace(-0.004, 0.006, 2 * paths).reshape(
        2, -1
    )
    samples = Variations(length_m=length, strain_at_rated=strain, centre_of_gravity_m=centre)
    assert centre.shape == (2, bodies, 3)
    near, careful = run(problem, samples, near=True)[2], run(problem, samples)[2]
    return near, careful


@pytest.mark.parametrize("name", PROBLEMS)
def test_lanes_go_straight_home_to_the_same_hang(name):
    near, careful = _both(name)
    assert not near.todo.any()
    assert careful.todo.all()
    assert near.residual.max() < 1e-11
    for field in ("status", "tension_n", "angle_deg", "tilt_deg", "hook_above_cg_m", "up"):
        assert getattr(near, field) == pytest.approx(getattr(careful, field), rel=1e-9, abs=1e-9), field


def test_a_load_that_goes_over_is_left_to_the_general_search():
    near, careful = _both("two hooks", centre_up=3.0)
    assert near.todo.tolist() == [False, True]
    assert near.status.tolist() == careful.status.tolist() == [0, 1]
