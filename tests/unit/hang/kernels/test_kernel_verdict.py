"""When a walk stops, how its steps are cut, and what a Hessian's eigenvalues are taken for."""

import math

import numpy as np
import pytest

from slingwright.hang import _kernel_energy as ke
from slingwright.hang import _kernel_search as search

SCALE, FORCE = 2.0, 3.0
FLOOR = search.FLAT * FORCE / SCALE


def model(chord=0.0, bodies=2):
    """Figures alone: what the paths do is put in by hand."""
    none = np.zeros(0)
    return ke.Model(
        np.full(bodies, FORCE / bodies), np.zeros((0, 3)), np.zeros(0, int), np.zeros(1, int), none, none,
        np.array([SCALE, FORCE, chord, 0.0]),
    )  # fmt: skip


def poses(bodies):
    return np.tile([0.0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1], (bodies, 1))


def judged(monkeypatch, value, vector, chord=0.0):
    """Judge a Hessian of which all is stiff but one way {unknown: share of its square}."""
    work, way = ke.new_work(2, 0, 0), np.zeros(12)
    for unknown, share in vector.items():
        way[unknown] = math.sqrt(share)
    # stiff enough, level turns too, to be neither a roll nor a fall
    work.mat[ke.HESSIAN] = 9.0 * np.eye(12) + (value - 9.0) * np.outer(way, way)
    monkeypatch.setattr(search, "energy", lambda *_: 0.0)
    monkeypatch.setattr(search, "hold", lambda *_: None)
    return tuple(bool(x) for x in search.judge(model(chord), poses(2), work))


STABLE, GONE = (True, False, False, False), (False, False, False, False)
SPIN, HEADING, ROLLS = (True, False, True, False), (False, False, False, True), (True, True, False, False)


@pytest.mark.parametrize("body", [0, 6])
@pytest.mark.parametrize(
    ("value", "vector", "found"),
    [
        (1.0, {5: 1.0}, STABLE),
        (0.0, {5: 1.0}, SPIN),
        (0.9 * FLOOR, {5: 1.0}, SPIN),
        (-0.9 * FLOOR, {5: 1.0}, SPIN),
        (1.1 * FLOOR, {5: 1.0}, STABLE),
        (-1.1 * FLOOR, {5: 1.0}, HEADING),
        (-1.0, {5: 1.0}, HEADING),
        (0.0, {5: 0.51, 0: 0.49}, SPIN),
        (0.0, {5: 0.49, 0: 0.51}, HEADING),  # no turn of its own: a fall without a level turn
        (0.0, {3: 1.0}, GONE),
        (-1.0, {4: 1.0}, GONE),
        (-1.0, {3: 0.018, 5: 0.982}, HEADING),
        (-1.0, {3: 0.022, 5: 0.978}, GONE),
        (-1.0, {4: 0.022, 5: 0.978}, GONE),
        (-1.0, {3: 0.012, 4: 0.012, 5: 0.976}, GONE),
        (0.9 * FLOOR, {3: 1.0}, GONE),
        (1.1 * FLOOR, {3: 1.0}, STABLE),
    ],
)
def test_what_a_soft_way_is_taken_for(monkeypatch, value, vector, found, body):
    """Without a round contact."""
    assert judged(monkeypatch, value, {k + body: v for k, v in vector.items()}) == found


@pytest.mark.parametrize("body", [0, 6])
@pytest.mark.parametrize(
    ("value", "vector", "found"),
    [
        # rolling is neutral below 0.05 x 3 N x 0.8 m = 0.12 N m; a value of v is 4 v / level N m
        (0.029, {3: 1.0}, ROLLS),
        (0.031, {3: 1.0}, STABLE),
        (-0.029, {4: 1.0}, ROLLS),
        (-0.031, {4: 1.0}, GONE),
        (0.014, {3: 0.5, 0: 0.5}, ROLLS),
        (0.016, {3: 0.5, 0: 0.5}, STABLE),
        (0.003, {4: 0.11, 2: 0.89}, ROLLS),
        (0.002, {4: 0.09, 2: 0.91}, STABLE),
        (-0.002, {4: 0.09, 2: 0.91}, GONE),
        (0.0, {5: 1.0}, SPIN),
    ],
)
def test_a_round_load_may_roll(monkeypatch, value, vector, found, body):
    assert judged(monkeypatch, value, {k + body: v for k, v in vector.items()}, 0.8) == found


class Walk:
    """A walk whose energies, imbalances and Newton steps are given; keeps what was tried."""

    def __init__(self, monkeypatch, imbalances, energies=(), noise=1e-12, step=1.0, definite=True):
        self.left, self.energies, self.tried, self.looks = iter(imbalances), iter(energies), [], 0
        self.last, self.step, self.definite = None, step, definite
        monkeypatch.setattr(search, "_noise", lambda *_: noise)
        monkeypatch.setattr(search, "hold", lambda *_: None)
        monkeypatch.setattr(search, "energy", self.energy)
        monkeypatch.setattr(search, "slopes", lambda *_: None)
        monkeypatch.setattr(search, "imbalance", self.imbalance)
        monkeypatch.setattr(search, "_direction", self.direction)
        monkeypatch.setattr(search, "move", self.move)

    def energy(self, _model, _pose, _work, _load, derivatives):
        return next(self.energies, 0.0) if derivatives == ke.NONE else 0.0

    def imbalance(self, *_):
        self.looks += 1
        self.last = next(self.left, self.last)
        return self.last

    def direction(self, _model, work, _how):
        work.vec[ke.STEP] = 0.0
        work.vec[ke.STEP, 0:2] = 0.6 * self.step, -0.8 * self.step
        return self.definite

    def move(self, _pose, taken, scale, to):
        assert scale == SCALE
        assert taken[1] == pytest.approx(-taken[0] * 0.8 / 0.6)
        self.tried.append(round(-taken[0] / 0.6, 12))
        to[:] = 5.0

    def go(self, free=search.ALL, how=search.DOWNHILL, cap=10.0, most=7.0, rough=0.0):
        work, pose = ke.new_work(1, 0, 0), poses(1)
        return search.walk(model(bodies=1), pose, work, 1.0, free, how, cap, most, rough)


@pytest.mark.parametrize(
    ("imbalances", "noise", "looks", "good"),
    [
        ([1e-12], 1e-12, 2, True),  # within noise: one more step polishes it
        ([1.0, 1e-3, 0.9e-12, 0.9e-12], 1e-12, 4, True),
        ([1.0, 1e-3, 0.9e-12, 0.8e-12], 1e-12, 4, True),
        ([5e-11], 1e-12, 2, True),  # no better than before and near enough to noise
        ([2e-10], 1e-12, 8, True),  # not near enough: goes on to the last step
        ([2e-10, 1e-10, 2e-11, 3e-11], 1e-12, 4, True),
        ([2e-9], 1e-10, 8, True),
        ([0.9e-9], 1e-11, 2, True),
        ([0.9e-8], 1e-12, 8, True),
        ([1.1e-8], 1e-12, 8, False),
        ([0.9e-7], 1e-8, 8, True),
        ([1.1e-7], 1e-8, 8, False),
        ([0.9e-6], 1e-5, 2, True),
        ([1.1e-6], 1e-5, 2, False),  # never more than a millionth, whatever the noise
    ],
)
def test_when_a_walk_stops(monkeypatch, imbalances, noise, looks, good):
    walk = Walk(monkeypatch, imbalances, noise=noise)
    converged, convex, left = walk.go()
    assert (walk.looks, bool(converged), convex) == (looks, good, True)
    assert left == imbalances[-1]


def test_a_rough_walk_is_not_polished(monkeypatch):
    """It ends at the imbalance that was asked for, or at the noise where that is more."""
    for imbalances, noise, looks in (
        ([0.9e-7, 1e-9], 1e-12, 1), ([1.1e-7, 0.9e-7, 1e-9], 1e-12, 2), ([0.9e-6, 0.8e-6], 1e-6, 2),
    ):  # fmt: skip
        walk = Walk(monkeypatch, imbalances, noise=noise)
        walk.go(rough=1e-7)
        assert walk.looks == looks


def test_steps_are_cut_until_the_energy_falls(monkeypatch):
    """A quarter of the smaller of step and radius each time; then the radius doubles, up to its cap."""
    walk = Walk(monkeypatch, [1.0], [1.0, 1.0, -1.0, -1.0, -1.0, -1.0])
    walk.go(cap=0.5, most=4.0)
    assert walk.tried == [0.5, 0.125, 0.03125, 0.0625, 0.125, 0.25]
    walk = Walk(monkeypatch, [1.0], [1.0, -1.0, -1.0], step=0.2)
    walk.go(cap=0.5, most=2.0)
    assert walk.tried == [0.2, 0.05, 0.1]
    # a whole step that fits is taken whole
    walk = Walk(monkeypatch, [1.0], step=0.5)
    walk.go(cap=0.5, most=2.0)
    assert walk.tried == [0.5, 0.5]


def test_each_step_is_measured_by_the_energy_of_the_last(monkeypatch):
    """Not by that of the start: after a fall by two a rise by one is too much."""
    walk = Walk(monkeypatch, [1.0], [-2.0, -1.0, -2.5], step=0.4)
    walk.go(most=2.0)
    assert walk.tried == [0.4, 0.4, 0.1]


def test_slopes_are_taken_at_each_place_that_is_kept(monkeypatch):
    """Once at the start within `energy`, then once a step at what was tried last: never a trial twice."""
    walk, taken = Walk(monkeypatch, [1.0], [1.0, -1.0, -2.0]), []
    monkeypatch.setattr(search, "slopes", lambda _model, _work, load: taken.append((load, len(walk.tried))))
    walk.go(most=2.0)
    assert taken == [(1.0, 2), (1.0, 3)]


def test_lifting_straight_up_knows_no_cap(monkeypatch):
    walk = Walk(monkeypatch, [1.0], step=3.0)
    walk.go(free=search.LIFT_ONLY, cap=0.5, most=4.0)
    assert walk.tried == [0.5, 1.0, 2.0, 3.0]


def test_energy_may_rise_by_rounding_alone(monkeypatch):
    """1e-14 of force times size (and of the energy itself)."""
    rounding = 1e-14 * FORCE * SCALE
    for rise, tries in ((0.9 * rounding, 1), (1.1 * rounding, 2)):
        walk = Walk(monkeypatch, [1.0], [rise, -1.0])
        walk.go(most=1.0)
        assert len(walk.tried) == tries
    # towards a stationary state it may, but only where the Hessian is not definite
    for how, definite, tries in (
        (search.STATIONARY, False, 1),
        (search.STATIONARY, True, 2),
        (search.DOWNHILL, False, 2),
    ):
        walk = Walk(monkeypatch, [1.0], [1.0, -1.0], definite=definite)
        assert walk.go(how=how, most=1.0)[1] is definite
        assert len(walk.tried) == tries


def test_where_no_step_lowers_the_energy_it_ends(monkeypatch):
    walk = Walk(monkeypatch, [0.9e-8], [1.0] * 100)
    assert walk.go() == (True, True, 0.9e-8)
    assert len(walk.tried) == 60


def reaching(monkeypatch, slack_at, walked=1.0):
    """Whether paths reach that are slack once their bodies are that much higher; 0.5 m too short at first."""
    m, work = model(), ke.new_work(2, 1, 0)
    work.path[ke.EXTENSION, 0] = 0.5
    pose, rises = poses(2), []

    def energy(_model, at, _work, load, _derivatives):
        assert load == 0.0
        rises.append((at[0, 2], at[1, 2]))
        work.path[ke.EXTENSION, 0] = -0.1 if slack_at is not None and at[0, 2] >= slack_at else walked
        return 0.0

    walks = []
    monkeypatch.setattr(search, "energy", energy)
    monkeypatch.setattr(search, "walk", lambda *given: walks.append(given[3:]))
    return bool(search._reaches(m, pose, work)), rises, walks


def test_reach_is_proved_by_a_little_more_height(monkeypatch):
    """Twice, then six times the largest extension for the last body, as much again for each above it."""
    found, rises, walks = reaching(monkeypatch, 1.9)
    assert (found, walks) == (True, [])
    assert rises == [(2.0, 1.0)]
    found, rises, walks = reaching(monkeypatch, 5.9)
    assert (found, walks) == (True, [])
    assert rises == [(2.0, 1.0), (6.0, 3.0)]
    for walked, reaches in ((0.9e-7 * SCALE, True), (1.1e-7 * SCALE, False), (1.0, False)):
        found, rises, walks = reaching(monkeypatch, None, walked)
        assert found is reaches
        assert rises[-1] == (0.0, 0.0)  # followed down from where it hangs
        assert walks == [(0.0, search.ALL, search.DOWNHILL, 0.5 * SCALE, 60.0, 0.0)]


def finding(monkeypatch, walks, judges, reaches=True, end=None):
    """`find` with the results of its walks and judgements given; the flow's end leans as `end` says."""
    work, said = ke.new_work(1, 0, 0), []
    walks, judges = iter(walks), iter(judges)

    def walk(_model, pose, _work, load, free, how, cap, most, rough):
        assert rough == 0.0
        said.append((load, free, how, cap, most))
        if how == search.STATIONARY:
            pose[0, 9:] = 0.1, 0.0, 0.9
        elif free == search.ALL:
            pose[0, 9:] = end
        return next(walks)

    monkeypatch.setattr(search, "energy", lambda *_: 0.0)
    monkeypatch.setattr(search, "walk", walk)
    monkeypatch.setattr(search, "judge", lambda *_: next(judges))
    monkeypatch.setattr(search, "_reaches", lambda *_: reaches)
    found = search.find(model(bodies=1), np.array([[1.0, 2.0, 3.0]]), work)
    assert work.pose[ke.NOW, 0, :9].tolist() == [1, 2, 3, 1, 0, 0, 0, 1, 0]
    return tuple(found), work.pose[ke.NOW, 0, 9:].tolist(), said


OK, BAD, ODD = (True, True, 1e-12), (False, False, 0.5), (True, False, 2e-12)
UP = [0.1, 0.0, 0.9]
NEAR, FAR, UNDER = [0.05, 0.0, 0.95], [0.8, 0.0, 0.6], [0.0, 0.6, -0.8]


@pytest.mark.parametrize(
    ("walks", "judges", "end", "found", "lean"),
    [
        # stable at once
        ([OK, OK], [STABLE], None, (0, 1e-12, False, False), UP),
        ([OK, OK], [SPIN], None, (0, 1e-12, False, True), UP),
        ([OK, ODD], [ROLLS], None, (0, 2e-12, True, False), UP),
        # through Hessians that were not definite: the flow decides
        ([OK, ODD, OK], [STABLE, STABLE], NEAR, (0, 1e-12, False, False), NEAR),
        # unstable upright: nearer than where the flow ends, so its figures are the answer
        ([OK, OK, OK], [GONE], FAR, (1, 1e-12, False, False), UP),
        ([OK, ODD, BAD], [GONE], NEAR, (1, 2e-12, False, False), UP),
        # the flow ends nearer: that is the answer
        ([OK, OK, ODD], [GONE, STABLE], NEAR, (0, 2e-12, False, False), NEAR),
        # only the heading went: the flow's end, wherever it is
        ([OK, OK, OK], [HEADING, STABLE], FAR, (0, 1e-12, False, False), FAR),
        # no stationary state: likewise
        ([OK, BAD, OK], [STABLE], FAR, (0, 1e-12, False, False), FAR),
        # hanging upside down is no answer to stand by
        ([OK, BAD, OK], [STABLE], UNDER, (1, 1e-12, False, False), UNDER),
        ([OK, BAD, OK], [STABLE], [1.0, 0.0, 0.1], (0, 1e-12, False, False), [1.0, 0.0, 0.1]),
        # nothing came to rest
        ([OK, BAD, BAD], [STABLE], FAR, (search.FAILED, 0.5, False, False), FAR),
    ],
)
def test_which_state_is_the_answer(monkeypatch, walks, judges, end, found, lean):
    got, at, said = finding(monkeypatch, walks, judges, end=end)
    assert got == found
    assert at == lean
    down, search_all = (search.DOWNHILL, search.ALL)
    assert (
        said
        == [
            (1.0, search.LIFT_ONLY, down, 0.25 * SCALE, 200.0),
            (1.0, search_all, search.STATIONARY, 0.3 * SCALE, 60.0),
            (1.0, search_all, down, 0.1 * SCALE, 20000.0),
        ][: len(walks)]
    )


def test_what_does_not_reach_is_neither_stable_nor_gone(monkeypatch):
    assert finding(monkeypatch, [OK, OK], [STABLE], False)[0][0] == search.UNREACHABLE
