"""Parts of the careful search, each on a small problem whose answer is known."""

import math

import numpy as np
import pytest

from slingwright.hang import _kernel_energy as ke
from slingwright.hang import _kernel_search as search

SCALE, FORCE = 2.0, 3.0


def model(arm, on, first, rest, stiff, weight=(3.0,), chord=0.0, load=0):
    figure = [SCALE, float(sum(weight)), chord, load]
    real = (np.array(a, dtype=float) for a in (rest, stiff, figure))
    return ke.Model(np.array(weight), np.array(arm, dtype=float), np.array(on), np.array(first), *real)


def upright(*centres):
    return np.array([[*c, 1, 0, 0, 0, 1, 0, 0, 0, 1] for c in centres], dtype=float)


def one_leg(hook=(0, 0, 5.0), pick=(0, 0, 1.0), rest=2.0, stiff=30.0):
    """One leg, the centre one metre under its pick: it stretches by 3/30 = 0.1 m."""
    return model([hook, pick], [-1, 0], [0, 2], [rest], [stiff])


def held_by(axes, pulls):
    """One leg to each (x, y) at height 5, and its pull."""
    arm = [q for x, y in axes for q in ((x, y, 5.0), (x, y, 1.0))]
    count = len(axes)
    m = model(arm, [-1, 0] * count, 2 * np.arange(count + 1), [2.0] * count, [1.0] * count)
    work = ke.new_work(1, count, 2 * count)
    work.path[ke.PULL] = pulls
    return m, work


@pytest.mark.parametrize(
    ("axes", "pulls", "seen"),
    [
        ([(1, 2), (1, 2)], [3, 4], (True, 1, 2)),
        ([(1, 2), (1, 2.5)], [3, 4], (False, 1, 2)),
        ([(1, 2), (1.5, 2)], [3, 4], (False, 1, 2)),
        ([(1, 2), (0.5, 2)], [3, 4], (False, 1, 2)),
        ([(1, 2), (1, 1.5)], [3, 4], (False, 1, 2)),
        ([(1, 2), (1, 2), (1, 5)], [3, 0.1, 0.1], (False, 1, 2)),  # little is not slack
        ([(1, 2), (1 + 1e-13, 2 - 1e-13)], [3, 4], (True, 1, 2)),
        ([(1, 2), (1 + 1e-11, 2)], [3, 4], (False, 1, 2)),
        ([(1, 2), (5, 6)], [0, 4], (True, 5, 6)),  # a slack leg holds nothing
        ([(1, 2), (5, 6)], [0, 0], (False, 0, 0)),
    ],
)
def test_the_axis_of_what_carries(axes, pulls, seen):
    assert search._axis(*held_by(axes, pulls)) == seen


def filled(work, seed=2):
    rng = np.random.default_rng(seed)
    n = work.vec.shape[1]
    work.vec[ke.GRADIENT] = rng.standard_normal(n)
    a = rng.standard_normal((n, n))
    work.mat[ke.HESSIAN] = a + a.T
    return work.vec[ke.GRADIENT].copy(), work.mat[ke.HESSIAN].copy()


def test_holding_the_heading_of_one_hook():
    m, work = held_by([(1, 2)], [3])
    pose = upright((4.0, 6.0, 0.0))
    g, h = filled(work)
    search.hold(m, work, search.ALL, pose)
    v = np.array([-(6.0 - 2), 4.0 - 1, 0, 0, 0, SCALE])
    assert work.vec[ke.GRADIENT] == pytest.approx(g - v * (v @ g) / (v @ v))
    assert work.mat[ke.HESSIAN] == pytest.approx(h + FORCE / SCALE * np.outer(v, v) / (v @ v))


def test_holding_the_heading_of_two_bodies_together():
    """Both turn about the hook's vertical alike."""
    m = model(
        [(1, 2, 5), (0, 0, 1), (0, 0, -1), (0, 0, 1)], [-1, 0, 0, 1], [0, 2, 4], [2, 2], [1, 1], (1.0, 2.0)
    )
    work = ke.new_work(2, 2, 4)
    work.path[ke.PULL] = 1.0
    g, h = filled(work)
    search.hold(m, work, search.ALL, upright((4.0, 6.0, 0.0), (3.0, -1.0, 0.0)))
    v = np.array([-(6.0 - 2), 4.0 - 1, 0, 0, 0, SCALE, -(-1.0 - 2), 3.0 - 1, 0, 0, 0, SCALE])
    assert work.vec[ke.GRADIENT] == pytest.approx(g - v * (v @ g) / (v @ v))
    assert work.mat[ke.HESSIAN] == pytest.approx(h + FORCE / SCALE * np.outer(v, v) / (v @ v))


def test_two_hooks_are_not_held():
    m, work = held_by([(1, 2), (3, 2)], [3, 3])
    g, h = filled(work)
    search.hold(m, work, search.ALL, upright((4.0, 6.0, 0.0)))
    assert (work.vec[ke.GRADIENT] == g).all()
    assert (work.mat[ke.HESSIAN] == h).all()


@pytest.mark.parametrize("load", [0, 1])
@pytest.mark.parametrize("free", [search.LIFT_ONLY, search.LOAD_UNTURNED])
def test_holding_what_may_not_move(free, load):
    m = model([(0, 0, 5), (0, 0, 1)], [-1, 0], [0, 2], [2], [1], weight=(1.0, 2.0), load=load)
    work = ke.new_work(2, 1, 2)
    g, h = filled(work)
    search.hold(m, work, free, upright((0, 0, 0), (0, 0, 1)))
    held = (
        [i for i in range(12) if i % 6 != 2]
        if free == search.LIFT_ONLY
        else [6 * load + 3 + i for i in range(3)]
    )
    left = [i for i in range(12) if i not in held]
    assert (work.vec[ke.HELD][held] == g[held]).all()  # what pulls on them is kept
    assert not work.vec[ke.GRADIENT][held].any()
    assert (work.vec[ke.GRADIENT][left] == g[left]).all()
    assert (work.mat[ke.HESSIAN][np.ix_(left, left)] == h[np.ix_(left, left)]).all()
    assert not work.mat[ke.HESSIAN][np.ix_(held, left)].any()
    assert not work.mat[ke.HESSIAN][np.ix_(left, held)].any()
    assert work.mat[ke.HESSIAN][np.ix_(held, held)] == pytest.approx(FORCE / SCALE * np.eye(len(held)))


FLOOR = search.FLAT * FORCE / SCALE


def direction(values, g, how, turn=False):
    """Step for a Hessian of given eigenvalues, its axes turned or not; gradient in these axes."""
    m = one_leg()
    work = ke.new_work(1, 1, 2)
    q = np.eye(6)
    if turn:
        q, _ = np.linalg.qr(np.random.default_rng(1).standard_normal((6, 6)))
    work.mat[ke.HESSIAN] = q @ np.diag(values) @ q.T
    work.vec[ke.GRADIENT] = q @ np.array(g, dtype=float)
    definite = search._direction(m, work, how)
    return definite, q.T @ work.vec[ke.STEP]


@pytest.mark.parametrize("turn", [False, True])
@pytest.mark.parametrize("how", [search.DOWNHILL, search.STATIONARY])
def test_direction_of_a_definite_hessian_is_newtons(how, turn):
    definite, step = direction([1, 2, 3, 4, 5, 6], [1, 1, 1, 1, 1, 1], how, turn)
    assert definite is True
    assert step == pytest.approx([1, 1 / 2, 1 / 3, 1 / 4, 1 / 5, 1 / 6])


@pytest.mark.parametrize("turn", [False, True])
def test_direction_where_it_is_not_definite(turn):
    """STATIONARY: Newton's all the same. DOWNHILL: every stiffness raised by three times the softest."""
    values, g = [-0.5, 2, 3, 4, 5, 6], [1, 1, 1, 0, 0, 2]
    definite, step = direction(values, g, search.STATIONARY, turn)
    assert not definite
    assert step == pytest.approx([-2, 1 / 2, 1 / 3, 0, 0, 1 / 3], abs=1e-12)
    definite, step = direction(values, g, search.DOWNHILL, turn)
    assert not definite
    assert step == pytest.approx([1, 1 / 3.5, 1 / 4.5, 0, 0, 2 / 7.5], abs=1e-8)


def test_direction_along_a_neutral_way():
    """No force on it: none taken. A force on it: as against the least stiffness that counts."""
    definite, step = direction([0.0, 2, 3, 4, 5, 6], [0, 1, 1, 1, 1, 1], search.DOWNHILL)
    assert definite
    assert step == pytest.approx([0, 1 / 2, 1 / 3, 1 / 4, 1 / 5, 1 / 6])
    for value in (0.5 * FLOOR, -0.5 * FLOOR):
        definite, step = direction(
            [value, 2, 3, 4, 5, 6], [0.5 * search.FLAT * FORCE, 1, 1, 1, 1, 1], search.DOWNHILL
        )
        assert definite
        assert step[0] == 0.0
        for how in (search.DOWNHILL, search.STATIONARY):
            _, step = direction([value, 2, 3, 4, 5, 6], [1e-6, 1, 1, 1, 1, 1], how)
            assert step[0] == pytest.approx(
                1e-6 / FLOOR if how == search.STATIONARY or value < 0 else 1e-6 / (1.5 * FLOOR)
            )
    # a stiffness just above the floor is one, whether or not a force acts
    definite, step = direction([2.0 * FLOOR, 2, 3, 4, 5, 6], [1e-10, 1, 1, 1, 1, 1], search.DOWNHILL)
    assert definite
    assert step[0] == pytest.approx(1e-10 / (2.0 * FLOOR))
    assert direction([-2.0 * FLOOR, 2, 3, 4, 5, 6], [0, 1, 1, 1, 1, 1], search.STATIONARY)[0] == False  # noqa: E712


@pytest.mark.parametrize(("free", "start"), [(search.LIFT_ONLY, 0.0), (search.ALL, 1.0)])
def test_walk_comes_to_rest_where_the_leg_carries(free, start):
    m, work = one_leg(), ke.new_work(1, 1, 2)
    pose = upright((0, 0, start))
    good, convex, left = search.walk(m, pose, work, 1.0, free, search.DOWNHILL, 0.5, 200.0, 0.0)
    assert good
    assert left < 1e-11
    assert pose[0, :3] == pytest.approx([0, 0, 5 - 2 - 0.1 - 1], abs=1e-12)
    assert work.path[ke.PULL, 0] == pytest.approx(3.0)
    assert isinstance(convex, bool | np.bool_)


def test_walk_says_when_it_ran_out_of_steps_and_of_what_it_saw():
    m, work = one_leg(), ke.new_work(1, 1, 2)
    pose = upright((0.6, 0, 1.8))
    good, _, left = search.walk(m, pose.copy(), work, 1.0, search.ALL, search.DOWNHILL, 0.1, 2.0, 0.0)
    assert not good
    assert left > 1e-6
    good, convex, _ = search.walk(m, pose.copy(), work, 1.0, search.ALL, search.DOWNHILL, 0.5, 300.0, 0.0)
    assert good
    # the load stands on its head: stationary, and not by definite Hessians
    standing = one_leg(hook=(0, 0, 5.0), pick=(0, 0, -1.0))
    there = upright((0, 0, 5 - 2 - 0.1 + 1))
    good, convex, _ = search.walk(standing, there, work, 1.0, search.ALL, search.STATIONARY, 0.5, 60.0, 0.0)
    assert good
    assert search.judge(standing, there, work)[0] == False  # noqa: E712
    # off its head it falls, through Hessians that are not definite, and ends hanging
    lean = upright((0.2, 0, 5 - 2 - 0.1 + 1))
    good, convex, _ = search.walk(standing, lean, work, 1.0, search.ALL, search.DOWNHILL, 0.2, 400.0, 0.0)
    assert good
    assert not convex
    assert lean[0, 11] == pytest.approx(-1.0)
    assert lean[0, 2] == pytest.approx(5 - 2 - 0.1 - 1)


def ring(centre_z, stiff=1e3, x=0.0, length=2.5):
    """Three legs from (0,0,2) to a ring of radius 1.5 whose plane is `centre_z` under the centre."""
    arm = []
    for k in range(3):
        a = 2 * math.pi * k / 3
        arm += [(0, 0, 2.0), (1.5 * math.cos(a) - x, 1.5 * math.sin(a), -centre_z)]
    return model(arm, [-1, 0] * 3, [0, 2, 4, 6], [length] * 3, [stiff] * 3, weight=(3.0,))


@pytest.mark.parametrize(("centre_z", "status"), [(-0.5, 0), (1.0, 0), (1.98, 0), (1.999, 1), (2.5, 1)])
def test_find_tells_what_hangs_from_what_goes(centre_z, status):
    """Stiff legs: the load turns about its hook; it hangs to within W / (3 k c^2 / 2) = 5.6 mm below it."""
    work = ke.new_work(1, 3, 6)
    m = ring(centre_z)
    found, left, roll, spin = search.find(m, np.array([[0.0, 0.0, centre_z]]), work)
    assert (found, roll, spin) == (status, False, False)
    assert left < 1e-9
    pull = work.path[ke.PULL]
    assert pull == pytest.approx([3.0 / 3 / (2 / 2.5)] * 3, rel=2e-3)
    assert work.pose[ke.NOW, 0, 11] == pytest.approx(1.0)  # both upright: the upright state's figures


def test_find_follows_the_flow_of_an_off_centre_load():
    work = ke.new_work(1, 3, 6)
    found, *_ = search.find(ring(-0.5, x=0.4), np.array([[0.4, 0.0, -0.5]]), work)
    assert found == search.STABLE
    # the plumb line through the hook: 0.4 m aside, 2.5 m under it
    assert work.pose[ke.NOW, 0, 11] == pytest.approx(2.5 / math.hypot(2.5, 0.4), rel=1e-3)
    assert work.pose[ke.NOW, 0, :2] == pytest.approx([0.0, 0.0], abs=1e-8)


def test_find_tells_what_does_not_reach():
    work = ke.new_work(1, 3, 6)
    for length, status in ((1.501, search.STABLE), (1.499, search.UNREACHABLE)):
        found, _, _, _ = search.find(ring(-0.5, length=length), np.array([[0.0, 0.0, -0.5]]), work)
        assert found == status


def test_find_tells_points_that_are_drawn_together(monkeypatch):
    """Where the search cannot come to rest: points that met are told as such, anything else as our fault."""
    monkeypatch.setattr(search, "walk", lambda *_: (False, False, 0.25))
    work = ke.new_work(1, 1, 2)
    found = search.find(one_leg(rest=-1.0), np.array([[0.0, 0.0, 4.0]]), work)
    assert found[:2] == (search.DRAWN_IN, 0.0)
    found = search.find(one_leg(rest=-1.0), np.array([[0.0, 0.0, 3.9]]), work)
    assert found[:2] == (search.FAILED, 0.25)


def test_drawn_in_names_the_taut_path_whose_points_meet():
    m = model(
        [(0, 0, 5), (0, 0, 1), (1, 0, 5), (1, 0, 1), (1, 0, 1.00001), (2, 0, 5)], [-1, 0, -1, 0, 0, -1],
        [0, 2, 6], [2.0, 2.0], [1.0, 1.0],
    )  # fmt: skip
    work = ke.new_work(1, 2, 6)
    x = work.point[ke.PLACE]
    x[:] = m.arm
    work.path[ke.PULL] = 1.0
    assert search._drawn_in(m, work) == -1  # neighbours on one body may lie close
    x[2] = x[3] + (0, 0, 0.99e-4 * SCALE)
    assert search._drawn_in(m, work) == 1
    x[2] = x[3] + (1.01e-4 * SCALE, 0, 0)
    assert search._drawn_in(m, work) == -1
    x[0] = x[1]
    assert search._drawn_in(m, work) == 0
    work.path[ke.PULL, 0] = 0.0
    assert search._drawn_in(m, work) == -1


def test_apart_looks_at_verticals_alone():
    a, b = upright((0, 0, 0), (0, 0, 0)), upright((5, 5, 5), (1, 1, 1))
    b[0, 3:9] = 7.0
    assert search._apart(a, b) == 0.0
    b[0, 9:] = 0.6, 0.0, 0.8
    b[1, 9:] = 0.0, 1.0, 0.0
    assert search._apart(a, b) == pytest.approx(math.sqrt(0.36 + 0.04 + 1 + 1))


def test_longest_extension():
    work = ke.new_work(1, 3, 6)
    work.path[ke.EXTENSION] = -1, 2, 0.5
    assert search._longest(work) == 2.0
    work.path[ke.EXTENSION] = -1, -2, -3
    assert search._longest(work) == 0.0


def test_judge_sees_heading_roll_and_fall():
    work = ke.new_work(1, 1, 2)
    m = one_leg()
    pose = upright((0, 0, 1.9))
    stable, roll, spin, heading = search.judge(m, pose, work)
    # one leg: the load may spin about it, but that heading is held
    assert (stable, roll, spin, heading) == (True, False, False, False)
    # another under it may spin on its own, which is neutral and no fall
    chain = model(
        [(0, 0, 5), (0, 0, 1), (0, 0, -1), (0, 0, 1)], [-1, 0, 0, 1], [0, 2, 4], [1.0, 1.0], [30.0, 30.0],
        weight=(1.0, 2.0),
    )  # fmt: skip
    pose, work = upright((0, 0, 2.9), (0, 0, -1.0 - 1 / 15 + 0.9)), ke.new_work(2, 2, 4)
    search.walk(chain, pose, work, 1.0, search.ALL, search.STATIONARY, 0.5, 60.0, 0.0)
    assert search.judge(chain, pose, work) == (True, False, True, False)
    standing = one_leg(pick=(0, 0, -1.0))
    stable, roll, spin, heading = search.judge(standing, upright((0, 0, 3.9)), work)
    assert (stable, roll, heading) == (False, False, False)


def test_judge_knows_an_unstable_heading():
    """Two crossed legs between two hooks: only the heading is unstable, tilt is not."""
    arm = [(-2, 0, 5), (1, 0, 1.0), (2, 0, 5), (-1, 0, 1.0)]
    m = model(arm, [-1, 0, -1, 0], [0, 2, 4], [4.8, 4.8], [300.0, 300.0])
    work = ke.new_work(1, 2, 4)
    pose = upright((0, 0, 0.0))
    search.walk(m, pose, work, 1.0, search.ALL, search.STATIONARY, 0.5, 60.0, 0.0)
    assert pose[0, 3:] == pytest.approx([1, 0, 0, 0, 1, 0, 0, 0, 1], abs=1e-9)
    stable, roll, spin, heading = search.judge(m, pose, work)
    assert (stable, roll, spin, heading) == (False, False, False, True)
