"""Margins: against their definition on the legs' energy alone, and one kernel against the other."""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.optimize import brentq, minimize

from slingwright.hang import _kernel_hook_margin as quick
from slingwright.hang import _kernel_margin as general
from slingwright.hang import solve as door
from slingwright.hang.problem import Body, Path, Point, Problem

LEGS = np.array([[-1.0, -0.8, 0.1], [1.1, -0.9, 0.0], [0.9, 1.0, -0.1], [-1.2, 0.7, 0.05]])
REST = np.array([2.4, 2.5, 2.45, 2.55])
STIFF = np.array([90.0, 110.0, 100.0, 95.0])


def pull(h, legs=LEGS, rest=REST, stiff=STIFF):
    """Energy of the legs alone with the hook at h."""
    ext = np.maximum(np.linalg.norm(h - legs, axis=1) - rest, 0.0)
    return 0.5 * stiff @ ext**2


def test_energy_of_the_legs_and_its_slopes():
    rest = REST + np.array([0, 0, 9.0, 0])  # one slack
    h, g, k = np.array([0.2, -0.1, 2.4]), np.full(3, 7.0), np.full((3, 3), 7.0)
    assert quick._pull(LEGS, rest, STIFF, h, g, k) == pytest.approx(pull(h, rest=rest))
    d = 1e-4
    for i in range(3):
        e = d * np.eye(3)[i]
        assert g[i] == pytest.approx((pull(h + e, rest=rest) - pull(h - e, rest=rest)) / (2 * d), abs=1e-5)
        for m in range(3):
            f = d * np.eye(3)[m]
            cross = [pull(h + a * e + b * f, rest=rest) * a * b for a in (-1, 1) for b in (-1, 1)]
            assert k[i, m] == pytest.approx(sum(cross) / (4 * d * d), rel=1e-5, abs=1e-3)


def test_a_leg_just_at_its_length_pulls_not():
    h, g, k = np.array([0.0, 0.0, 2.0]), np.zeros(3), np.zeros((3, 3))
    assert quick._pull(np.zeros((1, 3)), np.array([2.0]), np.array([9.0]), h, g, k) == 0.0
    assert not k.any()


def test_small_systems_are_solved_where_they_are_definite():
    rng = np.random.default_rng(1)
    a, b, x = rng.standard_normal((3, 3)), rng.standard_normal(3), np.zeros(3)
    a = a @ a.T + np.eye(3)
    assert quick._solve3(a, b, x)
    assert x == pytest.approx(np.linalg.solve(a, b))
    for flat in ([0, 1, 1], [1, 0, 1], [1, 1, 0], [-1, 1, 1], [1, -1, 1], [1, 1, -1]):
        assert not quick._solve3(np.diag(np.array(flat, dtype=float)), b, x)


@pytest.mark.parametrize(
    "u", [(0, 0, 1), (0.8, 0, 0.6), (-0.8, 0.6, 0), (0.36, 0.48, 0.8), (-0.59, 0.3, 0.75)]
)
def test_sides_are_square(u):
    u = np.array(u, dtype=float) / np.linalg.norm(u)
    e, f = np.zeros(3), np.zeros(3)
    quick._side(u, e, f)
    assert np.array([u, e, f]) @ np.array([u, e, f]).T == pytest.approx(np.eye(3), abs=1e-15)
    assert np.linalg.det([u, e, f]) == pytest.approx(1.0)
    # the axis that is farther from u is taken: never one that it nearly is
    assert abs(e[0]) > abs(e[1]) if abs(u[0]) < 0.6 else abs(e[1]) > 0.5


def at_rest(w, u):
    """Where the hook comes to rest when the plumb line is held along u (SciPy's minimiser judges)."""
    found = minimize(
        lambda h: (pull(h) - w * u @ h) / w, 2.5 * u, jac=lambda h: slope(h) / w - u, method="BFGS",
        options={"gtol": 1e-12},
    )  # fmt: skip
    return found.x


def slope(h):
    v = h - LEGS
    d = np.linalg.norm(v, axis=1)
    return (STIFF * np.maximum(d - REST, 0.0) / d) @ v


@pytest.mark.parametrize("turn", [0.0, 0.3, 1.2])
@pytest.mark.parametrize("start", [(0.0, 0.0, 2.6), (0.1, 0.0, 0.3)])  # the other where no leg is taut
def test_rest_of_the_hook_under_a_held_plumb_line(turn, start):
    w, u = 50.0, np.array([math.sin(turn), 0.0, math.cos(turn)])
    h = np.array(start)
    quick._returning(LEGS, REST, STIFF, w, u, h, np.empty((6, 3)))
    assert np.abs(slope(h) - w * u).max() <= 1e-7 * w
    assert h == pytest.approx(at_rest(w, u), abs=1e-6)


def hung(w=50.0):
    """The hook at rest over a centre of gravity at the origin: |h| is the plumb length."""
    h = np.array([0.0, 0.0, 2.4])
    for _ in range(60):
        u = h / np.linalg.norm(h)
        quick._returning(LEGS, REST, STIFF, w, u, h, np.empty((6, 3)))
    return h


def raised(h, centre):
    """The same legs and hook seen from a centre that much higher along the plumb line."""
    u = h / np.linalg.norm(h)
    return LEGS - centre * u, h - centre * u


def test_rise_is_where_the_hessian_turns():
    """Definition: raised by the margin the 3 x 3 Hessian has a zero eigenvalue, a little less it has not."""
    w, h = 50.0, hung()
    rise = quick._rise(LEGS, REST, STIFF, w, h)

    def softest(t):
        legs, at = raised(h, t)
        g, k = np.zeros(3), np.zeros((3, 3))
        quick._pull(legs, REST, STIFF, at, g, k)
        rho = np.linalg.norm(at)
        u = at / rho
        return np.linalg.eigvalsh(k - w / rho * (np.eye(3) - np.outer(u, u)))[0]

    assert softest(rise - 0.01) > 0.0 > softest(rise + 0.001)
    assert rise == pytest.approx(brentq(softest, 0.0, np.linalg.norm(h) - 1e-6, xtol=1e-12), abs=1e-8)


def test_push_is_where_the_moment_turns():
    """Definition, in one of the eight planes: at rest the hook is no longer on the bringing-back side."""
    w, h0 = 50.0, hung()
    t = quick._rise(LEGS, REST, STIFF, w, h0) - 0.05
    legs, h0 = raised(h0, t)
    push = quick._push(legs, REST, STIFF, w, h0)
    u0 = h0 / np.linalg.norm(h0)
    e, f = np.zeros(3), np.zeros(3)
    quick._side(u0, e, f)

    def moment(n, angle):
        side = math.cos(math.pi * n / 4) * e + math.sin(math.pi * n / 4) * f
        u = math.cos(angle) * u0 + math.sin(angle) * side
        h = h0.copy()
        quick._returning(legs, REST, STIFF, w, u, h, np.empty((6, 3)))
        return -(math.cos(angle) * side - math.sin(angle) * u0) @ h

    bounds = []
    for n in range(8):
        looks = [k * math.pi / 18 for k in range(1, 10)]
        first = next((a for a in looks if moment(n, a) < 0.0), None)
        if first:
            low = first - math.pi / 18 + 1e-3
            bounds.append(math.degrees(brentq(lambda a, n=n: moment(n, a), low, first, xtol=1e-9)))
    assert 1.0 < min(bounds) < 80.0
    assert push == pytest.approx(min(bounds), abs=10.0 / 2**15)


def test_push_of_a_low_load_has_no_bound():
    legs, h = raised(hung(), -6.0)
    assert quick._push(legs, REST, STIFF, 50.0, h) == np.inf


def least_excess(legs, rest):
    """SciPy's minimiser on a bound of the same figure."""
    return minimize(
        lambda x: x[3], [0, 0, 0.5, 1.0], method="SLSQP",
        constraints={"type": "ineq", "fun": lambda x: x[3] - np.linalg.norm(x[:3] - legs, axis=1) + rest},
        options={"ftol": 1e-14, "maxiter": 300},
    ).fun  # fmt: skip


def test_reach_is_the_least_of_the_largest_excess():
    """Against SciPy, and a ring's closed form; never a larger margin."""
    least = quick._reach(LEGS, REST, np.array([0.0, 0.0, 2.4]))
    assert least == pytest.approx(least_excess(LEGS, REST), abs=1e-7)
    ring = np.array([[1.5, 0, 0], [0, 1.5, 0], [-1.5, 0, 0], [0, -1.5, 0.0]])
    for length in (1.2, 2.0):
        least = quick._reach(ring, np.full(4, length), np.array([0.1, 0.0, 2.0]))
        assert -1e-12 <= least - (1.5 - length) <= 3e-8
    # one leg: it may come down to its pick
    assert quick._reach(LEGS[:1], REST[:1], np.array([0.0, 0.0, 2.4])) == pytest.approx(-2.4, abs=1e-6)


def test_largest_excess():
    over = np.linalg.norm(np.array([0.2, -0.1, 1.0]) - LEGS, axis=1) - REST
    assert quick._most(LEGS, REST, np.array([0.2, -0.1, 1.0])) == pytest.approx(over.max())


def test_a_step_towards_the_centre_is_newtons():
    """On sharp t - sum log(t - excess), four unknowns at once, by differences; and the fall it promises."""
    at, sharp = np.array([0.2, -0.1, 1.0, 0.4]), 3.0

    def barrier(y):
        return sharp * y[3] - np.log(y[3] - (np.linalg.norm(y[:3] - LEGS, axis=1) - REST)).sum()

    d = 1e-4 * np.eye(4)
    g = np.array([(barrier(at + e) - barrier(at - e)) / 2e-4 for e in d])
    pairs = [(a, b) for a in (-1, 1) for b in (-1, 1)]
    h = np.array([[sum(barrier(at + a * e + b * f) * a * b for a, b in pairs) / 4e-8 for e in d] for f in d])
    want = -np.linalg.solve(h, g)
    s = np.zeros(3)
    dt, fall = quick._centring(LEGS, REST, at[:3].copy(), at[3], sharp, np.zeros(3), np.zeros((3, 3)), s)
    assert [*s, dt] == pytest.approx(want, rel=1e-5)
    assert fall == pytest.approx(-g @ want, rel=1e-4)


def test_a_load_stands_under_its_hook_by_the_least_turn():
    point = np.array([[7.0, 8.0, 9.0], [1.0, 0.5, 0.25], [-1.0, 0.0, 0.0], [7.0, 8.0, 9.0]])
    on, centre, h = np.array([-1, 0, 0, -1]), np.array([0.5, 0.25, -1.0]), np.array([0.6, -1.2, 3.0])
    pose, place, legs = np.full(12, 9.0), np.full((4, 3), 9.0), np.full((2, 3), 9.0)
    quick._stand(point, on, centre, h, pose, place, legs)
    rho = np.linalg.norm(h)
    turn = pose[3:].reshape(3, 3)
    assert pose[:3] == pytest.approx([7.0, 8.0, 9.0 - rho])
    assert turn @ h == pytest.approx([0, 0, rho], abs=1e-12)
    assert turn @ turn.T == pytest.approx(np.eye(3), abs=1e-14)
    # about a level axis square to the plumb line: that axis stays
    assert turn @ [1.2, 0.6, 0.0] == pytest.approx([1.2, 0.6, 0.0])
    assert legs == pytest.approx(point[1:3] - centre)
    assert place[1:3] == pytest.approx(pose[:3] + legs @ turn.T)
    assert (place[[0, 3]] == point[[0, 3]]).all()


@pytest.mark.parametrize(
    ("ends", "pulls", "rank"),
    [
        ([(1, 0, -1), (-1, 0, -1), (0, 1, -1)], [1, 1, 1], 3),
        ([(1, 0, -1), (-1, 0, -1), (0, 0, -1)], [1, 1, 1], 2),
        ([(1, 0, -1), (-1, 0, -1), (0, 1, -1)], [1, 0, 1], 2),
        ([(1, 0, -1), (2, 0, -2)], [1, 1], 1),
        # the second singular value is half the angle between, about: a twentieth of the first decides
        ([(0.11, 0, -2), (-0.11, 0, -2)], [1, 1], 2),
        ([(0.09, 0, -2), (-0.09, 0, -2)], [1, 1], 1),
    ],
)
def test_how_many_legs_pull_independently(ends, pulls, rank):
    hook = np.array([0.5, 0.25, 3.0])
    assert quick._rank(hook + np.array(ends, dtype=float), hook, np.array(pulls, dtype=float)) == rank


def test_all_in_one_call():
    """The pose, the places and the margins of a lift whose centre is the origin of the legs' figures."""
    h = hung()
    point = np.concatenate([[[1.0, 2.0, 9.0], np.add(leg, (0.5, 0.0, 0.25))] for leg in LEGS])
    given = SimpleNamespace(
        centre_m=np.array([[[0.5, 0.0, 0.25]]]), weight_n=np.array([[50.0]]), length_m=REST[None],
        own_m=REST, strain=np.full((1, 4), 0.1), rated_n=STIFF * 0.1 * REST, elastic_m=REST,
        elastic_given=np.zeros(4, bool),
    )  # fmt: skip
    on, pose, place = np.array([-1, 0] * 4), np.zeros(12), np.zeros((8, 3))
    rise, push, reach, rank = quick.look_hook(point, on, given, h, np.ones(4), pose, place, True)
    assert rise == pytest.approx(quick._rise(LEGS, REST, STIFF, 50.0, h))
    assert push == pytest.approx(quick._push(LEGS, REST, STIFF, 50.0, h))
    assert reach == pytest.approx(-quick._reach(LEGS, REST, h))
    assert rank == 3
    assert place[1] == pytest.approx(pose[:3] + pose[3:].reshape(3, 3) @ LEGS[0])
    assert quick.look_hook(point, on, given, h, np.ones(4), pose, place, False)[1] == np.inf


def bridle(careful, centre=(0.05, 0.02, 1.0), length=2.6):
    """Four legs; for the careful search each goes on along the load, which changes no figure."""
    legs = []
    for i, (x, y) in enumerate(((-1.0, -0.8), (1.1, -0.9), (0.9, 1.0), (-1.2, 0.7))):
        points = (Point("world", (0.0, 0.0, 3.0)), Point("load", (x, y, 0.1 * i)))
        if careful:
            points = (*points, Point("load", (0.0, 0.0, 0.0)))
        legs.append(
            Path(name=str(i), points=points, length_m=length, rated_n=50.0, strain_at_rated=0.2, lies_m=0.0)
        )
    load = Body(name="load", weight_n=50.0, centre_of_gravity_m=centre)
    return Problem(bodies=(load,), paths=tuple(legs))


def test_the_general_margins_are_the_quick_ones():
    one, many = (door.solve(bridle(careful), push=False) for careful in (False, True))
    assert many.status == one.status == "stable"
    assert many.stability.centre_may_rise_m == pytest.approx(one.stability.centre_may_rise_m, rel=1e-5)
    assert many.reach_margin_m == pytest.approx(one.reach_margin_m, abs=1e-6)
    assert many.determinate is one.determinate


def test_the_general_reach_is_the_least_of_the_largest_excess():
    """A ring's closed form, and SciPy's minimiser on the picks of a skew bridle."""
    many = door.solve(bridle(True, (0.2, 0.1, -0.5)), push=False)
    picks = np.array([p.points[1].at_m for p in bridle(False).paths])
    assert many.reach_margin_m == pytest.approx(-least_excess(picks, 2.6), abs=1e-6)


def test_margins_of_what_has_gone():
    """Capsized on paper: how far the centre must come down; not reaching: by how much."""
    tall = bridle(True, (0.0, 0.0, 2.6))
    gone = door.solve(tall, push=False)
    assert gone.status == "capsizes"
    down = gone.stability.centre_may_rise_m
    assert down < 0.0
    up = gone.bodies[0].rotation[2]
    # a little lower it may still slide off; a tenth lower it hangs as it was, with a tenth to spare
    centre = tuple(c + 1.1 * down * u for c, u in zip((0.0, 0.0, 2.6), up, strict=True))
    low = door.solve(bridle(True, centre), push=False)
    assert low.status == "stable"
    assert low.tilt_deg == pytest.approx(gone.tilt_deg, abs=1e-6)
    assert low.stability.centre_may_rise_m == pytest.approx(-0.1 * down, rel=1e-6)
    one, many = (door.solve(bridle(careful, (0.0, 0.0, -0.5), 1.0), push=False) for careful in (False, True))
    assert one.status == many.status == "unreachable"
    assert many.reach_margin_m == pytest.approx(one.reach_margin_m, abs=1e-6)
    assert many.reach_margin_m < -0.3


def test_a_load_under_a_load_keeps_its_own_margin():
    """Two bodies: the load hangs by one leg under a heavy block that hangs by one leg; closed forms.

    The load turns about its own pick, 0.5 m over its centre, whatever hangs above it.
    """

    def path(name, a, b, length):
        return Path(name=name, points=(a, b), length_m=length, rated_n=1e4, strain_at_rated=0.01)

    block = Body(name="block", weight_n=100.0, centre_of_gravity_m=(0.0, 0.0, 0.0), start_m=(0.0, 0.0, 3.0))
    load = Body(name="load", weight_n=50.0, centre_of_gravity_m=(0.0, 0.0, 0.0))
    hang = door.solve(Problem(bodies=(block, load), paths=(
        path("top", Point("world", (0.0, 0.0, 6.0)), Point("block", (0.0, 0.0, 0.5)), 2.0),
        path("low", Point("block", (0.0, 0.0, -0.5)), Point("load", (0.0, 0.0, 0.5)), 1.0),
    )), push=False)  # fmt: skip
    assert hang.stability.centre_may_rise_m == pytest.approx(0.5, rel=1e-6)
    assert [p.tension_n for p in hang.paths] == pytest.approx([150.0, 50.0])
    assert hang.reach_margin_m > 0.5
    assert hang.null_modes == ("yaw",)


def test_push_is_looked_for_where_it_is_asked_and_hangs(monkeypatch):
    monkeypatch.setattr(general, "_push", lambda *_: 12.5)
    assert door.solve(bridle(True)).stability.push_deg == 12.5
    assert door.solve(bridle(True), push=False).stability.push_deg is None
    assert door.solve(bridle(True, (0.0, 0.0, 2.6))).stability.push_deg is None
