"""Parts of the general margins: push with a moment that is known, rise with a Hessian that is known."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from slingwright.hang import _kernel_energy as ke
from slingwright.hang import _kernel_margin as general


@pytest.mark.parametrize(
    ("turns", "push"),
    [
        ([25.0, 15.0, 47.0, 90.0, 200.0, 200.0, 33.0, 21.0], 15.0),
        ([200.0] * 8, np.inf),
        ([200.0] * 7 + [4.0], 4.0),
        ([200.0] * 6 + [89.0, 200.0], 89.0),
        ([12.0] * 8, 12.0),
    ],
)
def test_push_is_the_least_turn_of_eight_ways(monkeypatch, turns, push):
    """With a moment that is known: it brings back up to each way's own angle [deg]."""
    asked = []

    def returning(_model, kept, work, x, y, more):
        # the first figure of a pose stands for how far it is turned
        angle = kept[0, 0] + more
        work.pose[ke.FAR, 0, 0] = angle
        way = round(math.degrees(math.atan2(y, x)) / 45.0) % 8
        asked.append((way, math.degrees(angle)))
        assert math.hypot(x, y) == pytest.approx(1.0)
        return math.radians(turns[way]) - angle

    monkeypatch.setattr(general, "_returning", returning)
    model = SimpleNamespace(figure=np.array([1.0, 1.0, 0.0, 0.0]))
    found = general._push(model, np.zeros((1, 12)), ke.new_work(1, 1, 2))
    assert found == push or push - 10.0 / 2**12 <= found <= push + 1e-9  # to the safe side
    assert {way for way, _ in asked} == set(range(8))
    assert max(angle for _, angle in asked) < 90.5
    # the first way is looked at up to a right angle, the others no farther than the best so far
    first = [angle for way, angle in asked if way == 0]
    assert all(angle <= max(first) + 1e-9 for _, angle in asked)


def test_a_neutral_roll_is_no_way_of_going(monkeypatch):
    """A moment within rounding of nothing at the first looks: a millionth of weight times size."""
    for moment, found in ((-0.9e-6 * 6.0, np.inf), (-1.1e-6 * 6.0, 0.0)):
        monkeypatch.setattr(general, "_returning", lambda *_, m=moment: m)
        model = SimpleNamespace(figure=np.array([2.0, 3.0, 0.0, 0.0]))
        assert general._push(model, np.zeros((1, 12)), ke.new_work(1, 1, 2)) == found


def test_the_moment_that_brings_a_load_back():
    """A load on one stiff leg, turned by hand: weight times pick height times sine of the turn.

    Another body hangs beside it on its own leg, before or after it in the list.
    """
    point = np.array([[0, 0, 5.0], [0, 0, 0.8], [3, 0, 5.0], [0, 0, 0.6]])
    alone = [0, 0, 5 - 3 - 2e-4 - 0.8, 1, 0, 0, 0, 1, 0, 0, 0, 1.0]
    beside = [3, 0, 5 - 3 - 3e-4 - 0.6, 1, 0, 0, 0, 1, 0, 0, 0, 1.0]
    for load in range(2):
        m = ke.Model(
            np.array([20.0, 30.0] if load == 0 else [30.0, 20.0]), point, np.array([-1, load, -1, 1 - load]),
            np.array([0, 2, 4]), np.array([3.0, 3.0]), np.array([1e5, 1e5]), np.array([1.4, 50.0, 0.0, load]),
        )  # fmt: skip
        pose = np.array([alone, beside] if load == 0 else [beside, alone])
        for x, y in ((1.0, 0.0), (0.0, 1.0), (-0.6, 0.8)):
            for angle in (0.2, 1.0):
                moment = general._returning(m, pose, ke.new_work(2, 2, 4), x, y, angle)
                assert moment == pytest.approx(20.0 * 0.8 * math.sin(angle), rel=1e-5)


@pytest.mark.parametrize("load", [0, 1])
@pytest.mark.parametrize(
    ("level", "bound"),
    [
        ((4.0, 9.0), "least"), ((4.0, -9.0), "one"), ((-4.0, -9.0), "both"), ((-4.0, 9.0), "one"),
        ((4.0, 1e-10), "neutral"),
    ],
)  # fmt: skip
def test_rise_from_the_hessian_by_numpys_inverse(monkeypatch, level, bound, load):
    """Raised by t the load's level turns lose t W: where the Hessian, its other unknowns free, turns.

    Stable: the nearest such t above. Gone: the highest t below at which nothing is unstable. A neutral turn
    stays neutral.
    """
    scale, weight = 2.0, np.array([5.0, 7.0])
    q, _ = np.linalg.qr(np.random.default_rng(3).standard_normal((12, 12)))
    values = np.array([*level, 3.0, 5.0, 7.0, 11.0, 2.0, 6.0, 8.0, 10.0, 12.0, 14.0])
    work, o = ke.new_work(2, 0, 0), 6 * load + 3
    if bound != "neutral":  # soft ways that are level turns of the load, skew to the axes
        q = np.eye(12)
        c, s = math.cos(0.4), math.sin(0.4)
        q[:, [0, 1, o, o + 1]] = q[:, [o, o + 1, 0, 1]]
        turn = np.eye(12)
        turn[np.ix_([o, o + 1], [o, o + 1])] = [[c, -s], [s, c]]
        q = turn @ q
    work.mat[ke.HESSIAN] = q @ np.diag(values) @ q.T
    monkeypatch.setattr(general, "energy", lambda *_: 0.0)
    monkeypatch.setattr(general, "hold", lambda *_: None)
    model = SimpleNamespace(figure=np.array([scale, 12.0, 0.0, float(load)]), weight=weight)
    found = general._rise(model, np.zeros((2, 12)), work)
    kept = np.abs(values) > 1e-9 * 12.0 / scale
    inverse = (q[:, kept] / values[kept]) @ q[:, kept].T
    low, high = np.linalg.eigvalsh(inverse[o : o + 2, o : o + 2] * weight[load] / scale**2)
    want = {"least": 1 / high, "neutral": 1 / high, "one": 1 / low, "both": min(1 / low, 1 / high)}[bound]
    assert found == pytest.approx(want, rel=1e-9)


def test_a_rise_without_bound(monkeypatch):
    monkeypatch.setattr(general, "energy", lambda *_: 0.0)
    monkeypatch.setattr(general, "hold", lambda *_: None)
    work = ke.new_work(1, 0, 0)
    work.mat[ke.HESSIAN] = np.diag([1.0, 1.0, 1.0, 1e11, 1e11, 1.0])
    model = SimpleNamespace(figure=np.array([1.0, 1.0, 0.0, 0.0]), weight=np.array([1.0]))
    assert general._rise(model, np.zeros((1, 12)), work) == np.inf
