"""A sample's model, and what is read off its solved pose."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from slingwright.hang import _kernel_batch as kb
from slingwright.hang import _kernel_energy as ke
from slingwright.hang.batch import Variations, problem_of_sample, run
from slingwright.hang.problem import Body, Path, Point, Problem


def _base(on, first, paths, bodies=1, load=0):
    figure = np.zeros(4)
    figure[ke.LOAD] = load
    none = np.zeros(paths)
    return ke.Model(
        np.ones(bodies), np.zeros((len(on), 3)), np.array(on), np.array(first), none, none, figure
    )


def modelled(point, on, first, lies, given, length, cg=((0.5, -0.25, 1.0),), weight=(2.0,)):
    paths = len(lies)
    base = _base(on, first, paths, len(weight), load=len(weight) - 1)
    return kb.model_at(
        base, np.array(weight), np.array(cg), np.array(point, dtype=float), np.array(lies, dtype=float),
        np.array(given), np.array(length, dtype=float), np.full(paths, 7.0), np.empty((len(on), 3)),
        np.empty(paths), np.empty(4),
    )  # fmt: skip


def test_a_samples_model():
    point = [(0, 0, 5), (0, -1, 1), (0, 2, 1), (0, 0, 5)]
    m = modelled(point, [-1, 0, 0, -1], [0, 4], [0.0], [False], [12.0])
    assert m.arm == pytest.approx(
        np.array(point) - np.array([[0, 0, 0], [0.5, -0.25, 1], [0.5, -0.25, 1], [0, 0, 0]])
    )
    assert m.rest == pytest.approx([12.0 - 3.0])  # the chord lies on the load
    assert m.figure == pytest.approx([math.hypot(0.5, 2.25), 2.0, 0.0, 0.0])
    assert m.stiff == pytest.approx([7.0])
    # given, it is what lies there; longer than its chord it is round
    m = modelled(point, [-1, 0, 0, -1], [0, 4], [3.5], [True], [12.0])
    assert m.rest == pytest.approx([8.5])
    assert m.figure[ke.ROUND] == pytest.approx(1.5)
    for lies, chord in ((3.0 * (1 + 0.9e-6), 0.0), (3.0 * (1 + 1.1e-6), 1.5), (2.0, 0.0)):
        m = modelled(point, [-1, 0, 0, -1], [0, 4], [lies], [True], [12.0])
        assert m.figure[ke.ROUND] == pytest.approx(chord)
    # very long slings set the scale
    assert modelled(point, [-1, 0, 0, -1], [0, 4], [0.0], [False], [40.0]).figure[ke.SCALE] == pytest.approx(
        4.0
    )


def test_a_samples_model_of_many():
    """Two bodies: weights add, the widest round and the longest sling count."""
    point = [(0, 0, 5), (3, 0, 4), (0, -1, 1), (0, 1, 1), (0, 0, 5), (0, -2, 1), (0, 1, 1), (9, 9, 9)]
    on = [-1, -1, 0, 0, 1, 1, 1, -1]
    m = modelled(
        point,
        on,
        [0, 4, 8],
        [4.0, 9.0],
        [True, True],
        [500.0, 9.0],
        cg=((0, 0, 1.0), (0, 0, 1.0)),
        weight=(2.0, 3.0),
    )
    chord = math.dist(point[4], point[5]) + 3.0
    assert m.figure == pytest.approx([50.0, 5.0, 0.5 * chord, 1.0])
    assert m.rest == pytest.approx([496.0, 0.0])
    m = modelled(
        point,
        on,
        [0, 4, 8],
        [4.0, 0.0],
        [True, False],
        [9.0, 500.0],
        cg=((0, 0, 1.0), (0, 0, 1.0)),
        weight=(2.0, 3.0),
    )
    assert m.figure == pytest.approx([50.0, 5.0, 1.0, 1.0])
    assert m.rest == pytest.approx([5.0, 500.0 - chord])


def test_hook_height_and_upper_end():
    point = np.array([[0, 0, 4.0], [0, 0, 5.0], [0, 0, 9.0]])
    on = np.array([-1, -1, 0])
    assert kb._top(on, point, np.array([])) == 5.0
    assert kb._top(on, point, np.array([7.0])) == 7.0
    m = SimpleNamespace(first=np.array([0, 3, 5]))
    x = np.array([[0, 0, 1.0], [0, 0, 8.0], [0, 0, 2.0], [0, 0, 3.0], [0, 0, 3.0]])
    assert kb.upper_end(m, x, 0) == (2, 1)
    assert kb.upper_end(m, x, 1) == (3, 4)
    x[4, 2] = 3.0 + 2e-12
    assert kb.upper_end(m, x, 1) == (4, 3)
    x[4, 2] = 3.0 + 0.5e-12
    assert kb.upper_end(m, x, 1) == (3, 4)


def test_a_small_samples_scale_is_its_own():
    """Nothing of it as long as half a metre; all three axes count."""
    point = [(0, 0, 0.3), (0.02, 0.05, 0.04)]
    m = modelled(point, [-1, 0], [0, 2], [0.0], [False], [0.2], cg=((0.0, 0.0, 0.0),))
    assert m.figure == pytest.approx([math.sqrt(0.02**2 + 0.05**2 + 0.04**2), 2.0, 0.0, 0.0])
    m = modelled(point, [-1, 0], [0, 2], [0.0], [False], [0.9], cg=((0.0, 0.0, 0.0),))
    assert m.figure[ke.SCALE] == pytest.approx(0.09)


def lift(careful):
    """Three legs; for the careful search each goes on along the load, which changes no figure."""
    legs = []
    for x, y in ((-1.0, -0.8), (1.1, -0.9), (0.3, 1.0)):
        points = (Point("world", (0.0, 0.0, 3.0)), Point("load", (x, y, 0.0)))
        more = (Point("load", (0.0, 0.0, 0.0)),) if careful else ()
        legs.append(
            Path(
                name=str(x),
                points=(*points, *more),
                length_m=2.6,
                rated_n=500.0,
                strain_at_rated=0.1,
                lies_m=0.0,
            )
        )
    load = Body(name="load", weight_n=50.0, centre_of_gravity_m=(0.2, 0.3, -0.5))
    return Problem(bodies=(load,), paths=tuple(legs))


@pytest.mark.parametrize("hook", [None, (0.0, 0.0, 3.5)])
def test_the_careful_search_gives_the_quick_kernels_figures(hook):
    quick, careful = (run(replace(lift(c), hook_m=hook), Variations(), poses=True)[2] for c in (False, True))
    assert (quick.todo[0], careful.todo[0]) == (False, True)
    assert careful.tilt_deg == pytest.approx(quick.tilt_deg, abs=1e-6)
    assert quick.tilt_deg[0] > 5.0
    assert careful.hook_above_cg_m == pytest.approx(quick.hook_above_cg_m, abs=1e-9)
    assert careful.tension_n == pytest.approx(quick.tension_n, abs=1e-7)
    # what is up in the load leans by the tilt, and is the same from either
    assert careful.up == pytest.approx(quick.up, abs=1e-9)
    assert np.linalg.norm(quick.up[0]) == pytest.approx(1.0)
    assert math.degrees(math.acos(quick.up[0, 2])) == pytest.approx(quick.tilt_deg[0], abs=1e-9)
    assert quick.up[0] == pytest.approx(quick.h[0] / np.linalg.norm(quick.h[0]), abs=1e-12)
    # the angle at the hook is that of the straight leg
    assert careful.angle_deg == pytest.approx(quick.angle_deg, abs=1e-6)
    assert careful.residual[0] < 1e-9
    assert (careful.roll[0], careful.spin[0]) == (False, False)


@pytest.mark.parametrize("field", Variations.__dataclass_fields__)
def test_each_figure_that_varies_is_the_samples_own(field):
    """Two samples of one varied figure through the careful search are the two single solves, to the bit."""
    problem = lift(True)
    base = {
        "weight_n": [50.0], "centre_of_gravity_m": [(0.2, 0.3, -0.5)], "length_m": [2.6] * 3,
        "strain_at_rated": [0.1] * 3, "points_m": np.zeros((9, 3)),
    }[field]  # fmt: skip
    rows = np.stack([np.array(base), np.array(base) * 1.02])
    if field == "points_m":
        rows[1, 1::3] = 0.02
    both = run(problem, Variations(**{field: rows}))[2]
    for s in range(2):
        one = run(problem_of_sample(problem, Variations(**{field: rows}), s), Variations())[2]
        for name in ("tension_n", "angle_deg", "tilt_deg", "hook_above_cg_m", "up", "status", "residual"):
            assert (getattr(one, name)[0] == getattr(both, name)[s]).all(), name
    assert (both.tension_n[0] != both.tension_n[1]).any()
