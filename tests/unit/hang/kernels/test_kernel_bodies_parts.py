"""Lanes of bodies before and after their steps: how they are filled, placed, read and written."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from slingwright.hang import _kernel_bodies as kb
from slingwright.hang import _kernel_bodies_step as step
from slingwright.hang import _kernel_energy as ke
from slingwright.hang.batch import Variations, new_out, ready, run_ready, solve_ready
from tests.unit.hang.test_near import PROBLEMS

LANES, LEGS = step.LANES, step.LEG_ROWS
ENDS = ((-1, 1), (1, 0), (0, -1))  # world, upper body, lower body, world


def rows(flat):
    """A view (rows, lanes)."""
    return flat.reshape(-1, LANES)


def figures(many):
    """A load and a beam on three paths; `many` rows of what varies."""
    rng = np.random.default_rng(3)
    on = np.array(ENDS).ravel()
    point = rng.uniform(-1, 1, (many, 6, 3))
    point[:, on < 0, :2] = 0.25, -0.5
    given = SimpleNamespace(
        weight_n=rng.uniform(1, 2, (many, 2)), centre_m=rng.uniform(-0.2, 0.2, (many, 2, 3)), point_m=point,
        length_m=rng.uniform(1, 2, (many, 3)), strain=rng.uniform(0.03, 0.1, (many, 3)),
        rated_n=np.array([10.0, 20.0, 30.0]), own_m=np.ones(3), elastic_m=np.array([1.0, 0.5, 1.0]),
        elastic_given=np.array([False, True, False]),
    )  # fmt: skip
    figure = np.zeros(4)
    base = SimpleNamespace(on=on, figure=figure)
    return given, base, rng.uniform(-1, 1, (2, 3))


def filled(given, base, start, at=0, hi=LANES):
    pose, _, _, legs, _, w, _, _ = kb.new_room(2, 3)
    pose[:], legs[:], w[:] = 7.0, 7.0, 7.0
    kb._fill(pose, legs, w, given, base, start, None, at, hi)
    return rows(pose), rows(legs), rows(w)


@pytest.mark.parametrize("many", [1, 20])
@pytest.mark.parametrize(("at", "hi"), [(0, 16), (0, 20), (16, 20), (3, 4)])
def test_lanes_are_filled_with_their_samples_and_past_the_end_with_the_last(many, at, hi):
    given, base, start = figures(many)
    pose, legs, w = filled(given, base, start, at, hi)
    for i in range(LANES):
        s = min(at + i, hi - 1) if many > 1 else 0
        reach = []
        for b in range(2):
            there = pose[12 * b : 12 * b + 12, i]
            assert there[:3] == pytest.approx(start[b] + given.centre_m[s, b])
            assert (there[3:] == np.eye(3).ravel()).all()
            assert w[step.SCALE + 1 + b, i] == given.weight_n[s, b]
        for p, ends in enumerate(ENDS):
            leg = legs[LEGS * p : LEGS * (p + 1), i]
            for e, b in enumerate(ends):
                arm = given.point_m[s, 2 * p + e] - (given.centre_m[s, b] if b >= 0 else 0.0)
                assert leg[3 * e : 3 * e + 3] == pytest.approx(arm)
                if b >= 0:
                    reach.append(float(np.linalg.norm(arm)))
            assert leg[6] == given.length_m[s, p]
            assert leg[7] == ke.stiffness(given, s, p)
            assert leg[8:].tolist() == list(ends)
        assert w[step.WEIGHT, i] == pytest.approx(given.weight_n[s].sum())
        assert w[[step.ONE, step.AXIS_X, step.AXIS_Y], i].tolist() == [1.0, 0.25, -0.5]
        assert w[step.SCALE, i] == pytest.approx(max(reach))
    assert (pose[24:] == 7.0).all()


def test_very_long_paths_set_the_scale():
    given, base, start = figures(1)
    given.length_m[0] = 2.0, 90.0, 70.0
    assert filled(given, base, start)[2][step.SCALE] == pytest.approx(9.0)


@pytest.mark.parametrize("axis", [0, 1])
def test_hooks_one_above_the_other_are_one_vertical_hooks_beside_each_other_are_not(axis):
    given, base, start = figures(LANES)
    given.point_m[1::2, 5, axis] += np.array([0.9e-12, -0.9e-12, 1.2e-12, -1.2e-12, 1.0, -1.0, 0.0, 0.0])
    ones = filled(given, base, start)[2][step.ONE]
    assert ones.tolist() == [1.0, 1.0] * 2 + [1.0, 0.0] * 4 + [1.0, 1.0] * 2


def test_where_a_body_is_told_to_begin():
    for many in (1, 20):
        begin = np.random.default_rng(4).uniform(-1, 1, (many, 2, 12))
        pose = np.full(24 * 2 * LANES, 7.0)
        kb._begin(pose, begin, 8, 20)
        for i in range(LANES):
            s = min(8 + i, 19) if many > 1 else 0
            assert (rows(pose)[:24, i] == begin[s].ravel()).all()
        assert (rows(pose)[24:] == 7.0).all()


def test_which_bodies_come_before():
    order = np.array([2, 0, 1])
    assert [[bool(kb._before(order, k, b)) for b in range(3)] for k in range(3)] == [
        [False, False, False], [False, False, True], [True, False, True],
    ]  # fmt: skip


def chain(one_weak=False):
    """Body 1 on two paths from a hook, body 0 on two from body 1; each lane its own lengths and weights."""
    ends = ((-1, 1), (1, -1), (1, 0), (0, 1))
    pose, _, _, legs, _, w, _, _ = kb.new_room(2, 4)
    for i in range(LANES):
        for b in range(2):
            rows(pose)[12 * b : 12 * b + 12, i] = [0.05 * b, 0.02, 9.0, 1, 0, 0, 0, 1, 0, 0, 0, 1]
            rows(w)[step.SCALE + 1 + b, i] = (3.0, 2.0)[b] + 0.1 * i
        rows(w)[step.WEIGHT, i] = 5.0 + 0.2 * i
        for p, (side, e) in enumerate(((-1, 0), (1, 1), (-1, 0), (1, 1))):
            leg = rows(legs)[LEGS * p : LEGS * (p + 1), i]
            upper, lower = (0.0, 0.0, 5.0) if p < 2 else (0.6 * side, 0.0, -0.1), (0.5 * side, 0.1, 0.2)
            leg[3 * e : 3 * e + 3], leg[3 - 3 * e : 6 - 3 * e] = upper, lower
            # the other of a pair is longer: it would be slack, or carry little
            leg[6] = 1.5 + (0.02 * i if side > 0 else 0.0)
            leg[7] = (30.0 + i) * (0.01 if one_weak and side < 0 else 1.0)
            leg[8:] = ends[p]
    return pose, legs, w, ends


@pytest.mark.parametrize("one_weak", [False, True])
def test_bodies_are_placed_in_balance_from_the_topmost_down_and_no_path_carries_little(one_weak):
    pose, legs, w, ends = chain(one_weak)
    order, share = np.array([1, 0]), np.array([0.5, 0.3])
    before = rows(pose).copy()
    kb._place(pose, legs, w, order, share)
    hung = np.array([rows(w)[step.SCALE + 1], rows(w)[step.SCALE + 1] + rows(w)[step.SCALE + 2]])
    lowered = 0
    for i in range(LANES):
        for k, b in enumerate(order):
            lift, pulls = 0.0, []
            for p, joined in enumerate(ends):
                e = joined.index(b) if b in joined else None
                if e is None or (k == 0 and 0 in joined):
                    continue  # what hangs lower down is not looked at yet
                leg = rows(legs)[LEGS * p : LEGS * (p + 1), i]
                far, other = leg[3 - 3 * e : 6 - 3 * e].copy(), joined[1 - e]
                if other >= 0:
                    far += rows(pose)[12 * other : 12 * other + 3, i]
                way = far - leg[3 * e : 3 * e + 3] - rows(pose)[12 * b : 12 * b + 3, i]
                pulls.append(leg[7] * (np.linalg.norm(way) - leg[6]))
                lift += pulls[-1] * way[2] / np.linalg.norm(way)
            least = kb._LEAST * share[k] * rows(w)[step.WEIGHT, i]
            assert len(pulls) == 2
            assert min(pulls) >= least * (1 - 1e-9)
            if min(pulls) <= least * (1 + 1e-9):  # as low as it must be, and it carries too much
                lowered += 1
                assert lift >= hung[b, i] * (1 - 1e-9)
            else:
                assert lift == pytest.approx(hung[b, i], rel=1e-9)
    assert lowered == 2 * LANES if one_weak else 0 < lowered < 2 * LANES
    same = [k for k in range(24) if k % 12 != 2]
    assert (rows(pose)[same] == before[same]).all()


def test_the_imbalance_is_the_largest_entry_over_the_weight():
    vec, w = np.zeros(4 * 12 * LANES), np.full(40 * LANES, 7.0)
    rows(vec)[:] = np.random.default_rng(5).uniform(-1, 1, (48, LANES))
    rows(vec)[11, 3], rows(vec)[0, 4], rows(vec)[12:] = -2.0, 2.0, 9.0
    rows(w)[step.WEIGHT] = np.linspace(2.0, 5.0, LANES)
    kb._imbalance(vec, None, None, w, 12)
    right = np.abs(rows(vec)[:12]).max(axis=0) / rows(w)[step.WEIGHT]
    assert rows(w)[step.LEFT] == pytest.approx(right)


def test_pulls_angles_and_whether_unstretched_paths_reach():
    """Raised by twice, and six times, the largest stretch a body from the lowest up, paths would be slack."""
    pose, vec, _, legs, ends, w, _, pulls = kb.new_room(2, 3)
    given, base, start = figures(LANES)
    kb._fill(pose, legs, w, given, base, start, None, 0, LANES)
    rows(pose)[2], rows(pose)[14] = -3.0, np.linspace(-2.0, 2.0, LANES)
    # two lanes of which none is as long as its path
    for p in range(3):
        rows(legs)[LEGS * p + 6, -2:] = 50.0
    pulls[:] = 7.0
    rows(w)[step.ROW_E :] += 100.0
    kb._finish(pose, vec, legs, ends, w, pulls, 2)
    signs = set()
    for i in range(LANES):
        placed, ways = [], []
        for p, joined in enumerate(ENDS):
            leg = rows(legs)[LEGS * p : LEGS * (p + 1), i]
            two = [
                leg[3 * e : 3 * e + 3] + (rows(pose)[12 * b : 12 * b + 3, i] if b >= 0 else 0.0)
                for e, b in enumerate(joined)
            ]
            placed.append(two)
            ways.append(two[1] - two[0])
            far = np.linalg.norm(ways[-1])
            pull = max(far - leg[6], 0.0) * leg[7]
            assert rows(pulls)[2 * p, i] == pytest.approx(pull)
            flat = math.degrees(math.atan2(abs(ways[-1][2]), math.hypot(*ways[-1][:2])))
            assert rows(pulls)[2 * p + 1, i] == pytest.approx(flat)
        rest = rows(legs)[[LEGS * p + 6 for p in range(3)], i]
        most = max(*(np.linalg.norm(ways, axis=1) - rest), 0.0)
        assert rows(w)[step.MOST, i] == pytest.approx(most)
        for row, times in ((0, 2.0), (1, 6.0)):
            over = [-1.0]
            for p, joined in enumerate(ENDS):
                up = [times * most * (2 - b) if b >= 0 else 0.0 for b in joined]
                raised = ways[p] + np.array([0.0, 0.0, up[1] - up[0]])
                over.append(raised @ raised - rest[p] ** 2)
            assert rows(w)[step.ROW_E + row, i] == pytest.approx(max(over))
            signs.add((row, max(over) > 0.0))
    assert len(signs) == 4


def written(again=False, todo=None, hook=(), at=0, hi=LANES, many=LANES, poses=True, load=0, change=None):
    """Write lanes that all went straight home but for what `change` does."""
    pose, _, _, _, _, w, _, pulls = kb.new_room(2, 3)
    given, base, start = figures(many)
    rng = np.random.default_rng(6)
    base.figure[ke.LOAD] = load
    given.point_m[:, 0, 2], given.point_m[:, 5, 2] = 5.0 + np.arange(many), 4.0
    kb._fill(pose, np.empty(3 * LEGS * LANES), w, given, base, start, None, at, hi)
    rows(pose)[9:12], rows(pose)[21:24] = (
        np.array([[x], [y], [math.sqrt(1 - x * x - y * y)]]) for x, y in ((0.3, 0.1), (-0.2, 0.15))
    )
    pulls[:] = rng.uniform(1, 90, pulls.shape)
    rows(w)[step.BAD], rows(w)[step.ON], rows(w)[step.LEFT] = 0.0, 0.0, 0.5e-11
    rows(w)[step.ROW_E], rows(w)[step.ROW_E + 1] = -1.0, -1.0
    if change is not None:
        change(rows(pose), rows(w))
    out = new_out(max(hi, at + 1) + 2, 2, 3, poses)
    out.todo[:] = True if todo is None else todo
    for name in ("status", "residual", "tilt_deg", "hook_above_cg_m", "up", "tension_n", "angle_deg", "pose"):
        getattr(out, name)[:] = 77
    odd = kb._write(pose, w, pulls, given, base, np.array(hook), at, hi, again, out)
    return bool(odd), out, rows(pose), rows(w), rows(pulls)


@pytest.mark.parametrize("load", [0, 1])
@pytest.mark.parametrize("hook", [(), (6.5,)])
@pytest.mark.parametrize(("at", "hi", "many"), [(0, 16, 16), (2, 6, 6), (0, 16, 1)])
def test_what_went_straight_home_is_written_to_its_sample(load, hook, at, hi, many):
    odd, out, pose, w, pulls = written(hook=hook, load=load, at=at, hi=hi, many=many)
    assert not odd
    assert out.todo.tolist() == [not at <= s < hi for s in range(len(out.todo))]
    for i, s in enumerate(range(at, hi)):
        o = 12 * load
        assert out.status[s] == 0
        assert out.residual[s] == w[step.LEFT, i]
        assert out.up[s].tolist() == pose[o + 9 : o + 12, i].tolist()
        assert out.tilt_deg[s] == pytest.approx(math.degrees(math.acos(pose[o + 11, i])))
        top = hook[0] if hook else 5.0 + (s if many > 1 else 0)
        assert out.hook_above_cg_m[s] == pytest.approx(top - pose[o + 2, i])
        assert out.tension_n[s].tolist() == pulls[0:6:2, i].tolist()
        assert out.angle_deg[s].tolist() == pulls[1:6:2, i].tolist()
        assert (out.pose[s].ravel() == pose[:24, i]).all()
    for s in (*range(at), hi, hi + 1):
        assert out.status[s] == 77
        assert (out.tension_n[s] == 77.0).all()


def test_no_poses_are_kept_where_none_are_asked_for():
    assert written(poses=False)[1].pose.shape[0] == 0


def _odd(pose, w):
    """Lanes that did not go straight home; each second one did, by a little."""
    w[step.BAD, 1] = w[step.ON, 2] = 1.0
    w[step.LEFT, 3:5] = 1.1e-11, 0.9e-11
    w[step.ROW_E, 5:8] = 0.1, 0.1, -1.0
    w[step.ROW_E + 1, 5:8] = 0.1, -1.0, 0.1
    pose[11, 8:10] = pose[23, 10:12] = 0.79, 0.81
    w[step.ROW_E, 12], w[step.ROW_E + 1, 12] = 0.0, 0.1
    w[step.LEFT, 13] = np.nan


ODD = [i in (1, 2, 3, 5, 8, 10, 13) for i in range(LANES)]


def test_what_is_bad_on_its_way_out_of_balance_too_short_or_leans_is_left_to_be_done():
    odd, out, *_ = written(change=_odd)
    assert odd
    assert out.todo[:LANES].tolist() == ODD
    assert written(change=lambda pose, w: w[step.BAD].__setitem__(15, 1.0))[0]
    assert written(change=lambda pose, w: w[step.BAD].__setitem__(0, 1.0))[0]


def test_a_second_try_is_written_where_something_is_left_to_be_done_alone():
    todo = np.arange(LANES + 2) % 3 == 0
    odd, out, *_ = written(again=True, todo=todo, change=_odd)
    assert odd
    assert out.todo[:LANES].tolist() == [bool(t) and o for t, o in zip(todo, ODD, strict=False)]
    assert (out.status[:LANES] == 77).tolist() == (~todo[:LANES]).tolist()
    assert not written(again=True, todo=False, change=_odd)[0]


class Counted:
    """How often lanes are filled and steps are taken."""

    def __init__(self, monkeypatch):
        self.fills, self.steps = 0, 0
        fill, advance = kb._fill, kb.advance

        def filling(*given):
            self.fills += 1
            return fill(*given)

        def advancing(*given):
            self.steps += 1
            return advance(*given)

        monkeypatch.setattr(kb, "_fill", filling)
        monkeypatch.setattr(kb, "advance", advancing)


def _lengths(name, count):
    problem = PROBLEMS[name]
    length = np.array([p.length_m for p in problem.paths])
    off = np.random.default_rng(8).uniform(-0.004, 0.006, (count, len(length)))
    return ready(problem, near=True), Variations(length_m=length + off)


@pytest.mark.parametrize("name", ["two hooks", "beam"])
def test_from_near_by_few_steps_lead_home_and_none_is_taken_twice(name, monkeypatch):
    made, samples = _lengths(name, 17)
    told = solve_ready(made, Variations(), poses=True).pose
    anew = solve_ready(made, samples)
    counted = Counted(monkeypatch)
    near = run_ready(made, samples, begin=told)[1]
    assert not near.todo.any()
    assert counted.fills == 2  # sixteen lanes and one
    assert counted.steps <= 2 * 7
    assert near.tension_n == pytest.approx(anew.tension_n, rel=1e-10, abs=1e-6)


def test_what_does_not_go_home_from_where_it_is_told_begins_anew_upright(monkeypatch):
    made, samples = _lengths("beam", 2)
    told = solve_ready(made, samples, poses=True)
    begin = told.pose.copy()
    begin[1, :, 2] += 50.0  # all slack
    counted = Counted(monkeypatch)
    found = run_ready(made, samples, begin=begin)[1]
    assert counted.fills == 2
    assert not found.todo.any()
    assert found.tension_n == pytest.approx(told.tension_n, rel=1e-10, abs=1e-6)


def test_what_does_not_go_home_upright_is_not_begun_twice(monkeypatch):
    problem = PROBLEMS["two hooks"]
    centre = np.array([[b.centre_of_gravity_m for b in problem.bodies]])
    centre[0, 0, 2] += 3.0
    counted = Counted(monkeypatch)
    found = run_ready(ready(problem, near=True), Variations(centre_of_gravity_m=centre))[1]
    assert found.todo.all()
    assert counted.fills == 1


@pytest.mark.parametrize("name", PROBLEMS)
def test_placed_in_balance_few_steps_lead_home(name, monkeypatch):
    """From where bodies are drawn, not placed, it takes eleven to fifteen."""
    problem = PROBLEMS[name]
    off = np.random.default_rng(8).uniform(-0.05, 0.06, (4, len(problem.paths)))
    counted = Counted(monkeypatch)
    length = np.array([p.length_m for p in problem.paths]) + off
    assert not run_ready(ready(problem, near=True), Variations(length_m=length))[1].todo.any()
    assert counted.steps <= 8
