"""What is read off a solved pose, by hand; the flat arrays; a batch's rows and errors."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from slingwright.errors import InputFault
from slingwright.hang import _answer, _flat, batch
from slingwright.hang import _kernel_search as search
from slingwright.hang.problem import Body, Path, Point, Problem
from slingwright.hang.result import Status
from slingwright.hang.solve import solve

HOOK = (0.0, 0.0, 4.0)


def leg(name, pick, top=HOOK, on="load", **more):
    points = (Point("world", top), *(Point(on, p) for p in (pick if isinstance(pick, list) else [pick])))
    return Path(
        name=name, points=points, **{"length_m": 3.0, "rated_n": 1e4, "strain_at_rated": 0.03, **more}
    )


def lifted(*paths, bodies=None, hook_m=None):
    load = Body(name="load", weight_n=1e4, centre_of_gravity_m=(0.5, 0.25, -1.0))
    return Problem(bodies=bodies or (load,), paths=paths, hook_m=hook_m)


TURN = np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])


def out(paths, bodies=1, status=0, **more):
    """One solved sample: centre of gravity at (1, 2, 3), a quarter turn about the vertical."""
    pose = np.zeros((1, bodies, 12))
    pose[0, :, :3], pose[0, :, 3:] = (1.0, 2.0, 3.0), TURN.ravel()
    given = {
        "todo": np.ones(1, bool), "status": np.array([status], np.int8), "residual": np.array([1e-12]),
        "tilt_deg": np.array([5.0]), "hook_above_cg_m": np.array([2.5]),
        "up": np.array([[0.0, 0.0, 1.0]]),
        "tension_n": np.arange(100.0, 100.0 * (paths + 1), 100.0)[None],
        "angle_deg": np.arange(30.0, 30.0 + paths)[None], "roll": np.zeros(1, bool),
        "spin": np.zeros(1, bool), "h": np.zeros((1, 3)), "pose": pose,
    } | more  # fmt: skip
    return batch.Out(**given)


def answered(problem, solved, margins=(0.5, 20.0, 0.75), place=None, slopes=None):
    points = [q.at_m for p in problem.paths for q in p.points]
    slopes = np.eye(len(problem.paths), 6) if slopes is None else slopes
    rank = _answer.rank_of(problem, solved, slopes)
    return _answer.answer(
        problem, solved, np.array(points if place is None else place, dtype=float), margins, rank
    )


def test_an_answer_holds_what_was_solved():
    problem = lifted(leg("a", (1, 0, 0), elastic_m=2.0), leg("b", (-1, 0, 0)))
    hang = answered(problem, out(2))
    assert (hang.status, hang.tilt_deg, hang.hook_above_cg_m, hang.residual) == ("stable", 5.0, 2.5, 1e-12)
    assert hang.null_modes == ("yaw",)
    a, b = hang.paths
    assert (a.name, a.tension_n, a.slack) == ("a", 100.0, False)
    assert (a.angle_from_horizontal_deg, a.angle_from_vertical_deg) == (30.0, 60.0)
    assert (a.lower_angle_from_horizontal_deg, a.lower_angle_from_vertical_deg) == (None, None)
    assert a.stretch_m == pytest.approx(100.0 * 0.03 * 2.0 / 1e4)
    assert b.stretch_m == pytest.approx(200.0 * 0.03 * 3.0 / 1e4)
    (pose,) = hang.bodies
    assert pose.name == "load"
    assert np.array(pose.rotation) == pytest.approx(TURN)
    # origin = centre - turn x centre's own place
    assert pose.origin_m == pytest.approx((1.0 + 0.25, 2.0 - 0.5, 3.0 + 1.0))


@pytest.mark.parametrize(
    ("status", "margins", "rise", "push", "reach"),
    [
        (0, (0.5, 20.0, 0.75), 0.5, 20.0, 0.75),
        (0, (math.inf, math.inf, -0.25), None, None, 0.0),  # what hangs does reach
        (1, (-0.5, 20.0, 0.75), -0.5, None, 0.75),
        (2, (0.5, 20.0, -0.75), None, None, -0.75),
        (2, (0.5, 20.0, 0.25), None, None, 0.0),
    ],
)
def test_margins_by_status(status, margins, rise, push, reach):
    hang = answered(lifted(leg("a", (1, 0, 0))), out(1, status=status), margins)
    assert hang.status is (Status.STABLE, Status.CAPSIZES, Status.UNREACHABLE)[status]
    assert hang.stability.centre_may_rise_m == rise
    assert hang.stability.push_deg == push
    assert hang.reach_margin_m == reach


def test_a_leg_that_pulls_a_little_is_not_slack():
    hang = answered(
        lifted(leg("a", (1, 0, 0)), leg("b", (-1, 0, 0))), out(2, tension_n=np.array([[0.1, 0.0]]))
    )
    assert [p.slack for p in hang.paths] == [False, True]


def test_the_low_side_is_where_the_vertical_leans_from():
    def low(x, y):
        solved = out(1)
        solved.pose[0, 0, 9:11] = x, y
        return answered(lifted(leg("a", (1, 0, 0))), solved).tilt_direction_deg

    assert abs(low(0.1, 0.0)) == pytest.approx(180.0)
    assert low(-0.1, 0.0) == pytest.approx(0.0)
    assert low(0.0, -0.1) == pytest.approx(90.0)
    assert low(0.1, 0.1) == pytest.approx(-135.0)
    assert low(0.6e-12, 0.6e-12) is None
    assert low(0.9e-12, 0.9e-12) is not None


def test_null_modes():
    two = lifted(leg("a", (1, 0, 0)), leg("b", (-1, 0, 0), top=(0.5, 0.0, 4.0)))
    assert answered(two, out(2)).null_modes == ()
    assert answered(two, out(2, spin=np.ones(1, bool), roll=np.ones(1, bool))).null_modes == ("yaw", "roll")
    # what is slack holds nothing; one vertical is one heading, whatever the heights
    assert answered(two, out(2, tension_n=np.array([[100.0, 0.0]]))).null_modes == ("yaw",)
    assert answered(two, out(2, tension_n=np.array([[100.0, 0.1]]))).null_modes == ()  # little is not slack
    over = lifted(leg("a", (1, 0, 0)), leg("b", (-1, 0, 0), top=(0.0, 0.0, 5.0)))
    assert answered(over, out(2)).null_modes == ("yaw",)
    aside = lifted(leg("a", (1, 0, 0)), leg("b", (-1, 0, 0), top=(0.0, 0.5, 4.0)))
    assert answered(aside, out(2)).null_modes == ()
    for gap, modes in ((0.9e-12, ("yaw",)), (1.1e-12, ())):
        near = lifted(leg("a", (1, 0, 0)), leg("b", (-1, 0, 0), top=(gap, 0.0, 4.0)))
        assert answered(near, out(2)).null_modes == modes


def basket(*points):
    return Path(name="b", points=points, length_m=9.0, rated_n=1e4, strain_at_rated=0.03)


def test_the_other_ends_angle_of_a_path_over_points():
    """A basket: each part rises to its own end; ended on the load, the last part rises from it."""
    top = Point("world", HOOK)
    path = basket(top, Point("load", (-1, 0, 0)), Point("load", (2, 0, 0)), top)
    plain = leg("a", (1, 0, 0))

    def lower(paths, place):
        return [
            p.lower_angle_from_horizontal_deg
            for p in answered(lifted(*paths), out(len(paths)), place=place).paths
        ]

    place = [(0, 0, 4), (1, 0, 0), (0, 0, 4), (-1, 0, 0), (2, 0, 1), (0, 0, 4)]
    found = lower([plain, path], place)
    assert found[0] is None
    assert found[1] == pytest.approx(math.degrees(math.atan2(3, 2)))
    # the last end higher: the first is the other
    found = lower([path], [(0, 0, 4), (-1, 2, 0), (2, 0, 1), (0, 0, 5)])
    assert found == [pytest.approx(math.degrees(math.atan2(4, math.hypot(1, 2))))]
    # higher by less than any length: level
    found = lower([path], [(0, 0, 4), (-1, 2, 0), (2, 0, 1), (0, 0, 4 + 0.5e-12)])
    assert found == [pytest.approx(math.degrees(math.atan2(3, 2)))]
    # from the world round a point of the load to the load: the part at the lower end rises from it
    path = basket(top, Point("load", (-1, 0, 0)), Point("load", (2, 0, 0)))
    assert lower([path], [(0, 0, 4), (-1, 0, 1), (2, 0, 0)]) == [
        pytest.approx(math.degrees(math.atan2(1, 3)))
    ]
    vertical = answered(lifted(path), out(1), place=[(0, 0, 4), (-1, 0, 1), (2, 0, 0)]).paths[0]
    assert vertical.lower_angle_from_vertical_deg == pytest.approx(90 - math.degrees(math.atan2(1, 3)))


def test_supports_add_what_each_world_point_carries():
    """A basket and a leg on one hook, another leg on its own: forces along the parts that leave them."""
    top, far = Point("world", HOOK), (3.0, 0.0, 4.0)
    path = basket(top, Point("load", (-1, 0, 0)), Point("load", (2, 0, 0)), top)
    problem = lifted(path, leg("c", (0, 0, 0), top=far), leg("d", (0, 0, 0)))
    place = [(0, 0, 4), (-3, 0, 0), (3, 0, 0), (0, 0, 4), (3, 0, 4), (3, 0, 0), (0, 0, 4), (0, 4, 1)]
    one, two = answered(problem, out(3), place=place).supports
    assert (one.at_m, two.at_m) == (HOOK, far)
    assert one.force_n == pytest.approx((0.0, 300 * 0.8, 2 * 100 * -0.8 + 300 * -0.6))
    assert two.force_n == pytest.approx((0.0, 0.0, -200.0))
    # a part without length pulls in no direction
    place[5] = (3, 0, 4)
    assert answered(problem, out(3), place=place).supports[1].force_n == (0.0, 0.0, 0.0)


def test_determinate_is_independence_of_the_taut_paths_pulls():
    two_hooks = lifted(leg("a", (1, 0, 0)), leg("b", (-1, 0, 0), top=(1.0, 0.0, 4.0)))

    def told(problem, slopes, tension=None):
        more = {} if tension is None else {"tension_n": np.array([tension], dtype=float)}
        return answered(
            problem, out(len(problem.paths), **more), slopes=np.array(slopes, dtype=float)
        ).determinate

    alike = [[1, 0, 0, 1, 0, 0], [1, 0, 0, 1, 0, 0]]
    assert told(two_hooks, [[1, 0, 0, 1, 0, 0], [1, 0, 0, -1, 0, 0]]) is True
    assert told(two_hooks, alike) is False
    assert told(two_hooks, alike, [100, 0]) is True  # one alone
    assert told(two_hooks, alike, [0, 0]) is True
    assert told(two_hooks, alike, [100, 0.1]) is False  # little is not slack
    # nearly alike counts as alike: a twentieth of the largest singular value
    for small, independent in ((0.055, True), (0.045, False)):
        assert told(two_hooks, [[1, 0, 0, 0, 0, 0], [0, small, 0, 0, 0, 0]]) is independent
    # one hook, straight legs: turns do not count, as the forces meet there
    one_hook = lifted(leg("a", (1, 0, 0)), leg("b", (-1, 0, 0)))
    turned = [[1, 0, 0, 1, 0, 0], [1, 0, 0, -1, 0, 0]]
    assert told(one_hook, turned) is False
    # not so with more points on a path, or more bodies
    over = lifted(leg("a", [(1, 0, 0), (2, 0, 0)]), leg("b", (-1, 0, 0)))
    assert told(over, turned) is True
    beam = Body(name="beam", weight_n=1.0, centre_of_gravity_m=(0.0, 0.0, 0.0))
    many = lifted(*one_hook.paths, bodies=(one_hook.bodies[0], beam))
    more = answered(many, out(2, bodies=2), slopes=np.array(turned, dtype=float))
    assert more.determinate is True
    assert [b.name for b in more.bodies] == ["load", "beam"]


def test_flat_arrays_are_the_problems_figures():
    beam = Body(name="beam", weight_n=5.0, centre_of_gravity_m=(0.0, 0.0, 0.5), start_m=(1.0, 2.0, 3.0))
    load = Body(name="load", weight_n=7.0, centre_of_gravity_m=(0.1, 0.2, 0.3))
    eye = Point("beam", (0.0, 0.0, 1.0))
    problem = Problem(
        bodies=(beam, load),
        paths=(
            Path(name="t", points=(Point("world", HOOK), eye), length_m=2.0, rated_n=9.0,
                 strain_at_rated=0.1),
            Path(name="l", points=(eye, Point("load", (1.0, 0.0, 0.0)), Point("load", (2.0, 0.0, 0.0))),
                 length_m=3.0, rated_n=8.0, strain_at_rated=0.2, lies_m=0.5, elastic_m=2.5),
        ),
    )  # fmt: skip
    flat = _flat.flatten(problem)
    assert flat.weight_n.tolist() == [5.0, 7.0]
    assert flat.centre_m.tolist() == [[0.0, 0.0, 0.5], [0.1, 0.2, 0.3]]
    assert flat.start_m.tolist() == [[1.0, 2.0, 3.0], [0.0, 0.0, 0.0]]
    assert flat.point_m.tolist() == [[0, 0, 4], [0, 0, 1], [0, 0, 1], [1, 0, 0], [2, 0, 0]]
    assert flat.on.tolist() == [-1, 0, 0, 1, 1]
    assert flat.first.tolist() == [0, 2, 5]
    assert (flat.lies_m.tolist(), flat.lies_given.tolist()) == ([0.0, 0.5], [False, True])
    assert (flat.elastic_m.tolist(), flat.elastic_given.tolist()) == ([2.0, 2.5], [False, True])
    assert (flat.length_m.tolist(), flat.rated_n.tolist(), flat.strain.tolist()) == (
        [2, 3],
        [9, 8],
        [0.1, 0.2],
    )
    assert _flat.load_index(problem) == 1
    assert _flat.load_index(Problem(bodies=(beam, beam), paths=())) == 0
    assert _flat.hook_height(problem).tolist() == []
    assert _flat.hook_height(lifted(hook_m=(1.0, 2.0, 3.0))).tolist() == [3.0]
    base = _flat.base_of(flat, 1)
    assert base.figure.tolist() == [0.0, 0.0, 0.0, 1.0]
    assert base.on is flat.on


def stopped(todo, status, residual):
    return batch._stop_if_unsolved(
        SimpleNamespace(todo=np.array(todo), status=np.array(status), residual=np.array(residual))
    )


def test_what_did_not_converge_is_an_error_and_never_a_figure():
    stopped([True, False, True], [0, search.FAILED, 2], [0, 0, 0])  # answered by the quick kernel: no matter
    with pytest.raises(RuntimeError, match=r"sample 1 did not converge \(imbalance 2\.5e-01\)"):
        stopped([True, True, True], [0, search.FAILED, search.DRAWN_IN], [0, 0.25, 1])
    with pytest.raises(InputFault) as told:
        stopped([False, True], [search.FAILED, search.DRAWN_IN], [0, 3.0])
    assert told.value.field == "paths[3].length_m"
    assert told.value.hint == "check length_m, and lies_m where it is given"


@pytest.mark.parametrize("call", [solve, lambda p: batch.solve_many(p, batch.Variations())])
def test_no_unconverged_figure_leaves_the_solver(monkeypatch, call):
    def failing(*given):
        given[-1].status[:], given[-1].residual[:] = search.FAILED, 0.5

    monkeypatch.setattr(batch, "run_general", failing)
    problem = lifted(leg("a", [(1, 0, 0), (2, 0, 0)]), leg("b", (-1, 0, 0)))
    with pytest.raises(RuntimeError, match="sample 0 did not converge"):
        call(problem)


def test_variations_count_and_shape():
    assert batch.Variations().count() == 1
    assert batch.Variations(length_m=np.ones((4, 2)), weight_n=np.ones((4, 1))).count() == 4
    flat = _flat.flatten(lifted(leg("a", (1, 0, 0)), leg("b", (-1, 0, 0))))
    whole = batch._inputs(flat, batch.Variations(length_m=np.full((2, 2), 3, dtype=np.int64)))
    assert whole.length_m.dtype == np.float64
    assert [a.shape[0] for a in whole[:5]] == [1, 1, 1, 2, 1]
    moved = batch._inputs(flat, batch.Variations(points_m=np.full((3, 4, 3), 0.5)))
    assert (moved.point_m == flat.point_m + 0.5).all()


def test_where_the_quick_kernel_can_answer():
    def quick(problem, moves=None):
        flat = _flat.flatten(problem)
        return batch.one_hook_of(flat, batch._inputs(flat, batch.Variations(points_m=moves)))

    legs = leg("a", (1, 0, 0)), leg("b", (-1, 0, 0))
    picks, one = quick(lifted(*legs))
    assert (picks.tolist(), one.tolist()) == ([1, 3], [True])
    assert quick(lifted(legs[0], leg("b", (-1, 0, 0), top=(0.0, 0.0, 4.001)))) is None
    # one of three apart is enough
    assert quick(lifted(*legs, leg("c", (0, 1, 0), top=(0.0, 0.001, 4.0)))) is None
    assert quick(lifted(legs[0], leg("b", [(-1, 0, 0), (1, 0, 0)]))) is None
    load = lifted(*legs).bodies[0]
    assert quick(lifted(*legs, bodies=(load, load))) is None
    moves = np.zeros((3, 4, 3))
    moves[1, 0, 1] = 0.1
    assert quick(lifted(*legs), moves)[1].tolist() == [True, False, True]
    # some samples with hooks apart: those go to the careful search, the others do not
    todo = batch.run(lifted(*legs), batch.Variations(points_m=moves))[2].todo
    assert todo.tolist() == [False, True, False]


def test_parts_are_shared_among_threads_only_where_there_are_more_than_one():
    import threading

    done, names = [], set()

    def task(part):
        done.append(part)
        names.add(threading.current_thread().name)

    batch._share(task, range(0, 10, 5), 1)
    batch._share(task, range(0, 1, 5), 4)
    assert names == {threading.current_thread().name}
    batch._share(task, range(0, 10, 5), 2)
    assert sorted(done) == [0, 0, 0, 5, 5]
    assert len(names) > 1


def test_a_samples_problem_is_its_row():
    problem = lifted(leg("a", (1, 0, 0), elastic_m=2.0), leg("b", (-1, 0, 0)))
    rows = batch.Variations(
        weight_n=np.array([[1.0], [2.0]]), centre_of_gravity_m=np.array([[[0, 0, 0]], [[1, 2, 3.0]]]),
        length_m=np.array([[1, 1], [3.5, 4.0]]), strain_at_rated=np.array([[1, 1], [0.5, 0.25]]),
        points_m=np.arange(24.0).reshape(2, 4, 3),
    )  # fmt: skip
    sample = batch.problem_of_sample(problem, rows, 1)
    (load,) = sample.bodies
    assert (load.name, load.weight_n, load.centre_of_gravity_m) == ("load", 2.0, (1.0, 2.0, 3.0))
    a, b = sample.paths
    assert (a.length_m, a.elastic_m, a.strain_at_rated) == (3.5, 2.5, 0.5)
    assert (b.length_m, b.elastic_m, b.strain_at_rated) == (4.0, None, 0.25)
    assert [q.at_m for q in a.points] == [(12.0, 13.0, 18.0), (16.0, 16.0, 17.0)]
    assert [q.at_m for q in b.points] == [(18.0, 19.0, 24.0), (20.0, 22.0, 23.0)]
    assert [q.on for q in b.points] == ["world", "load"]
    assert batch.problem_of_sample(problem, batch.Variations(), 0) == problem


@pytest.mark.parametrize("careful", [False, True])
def test_leaving_out_the_push_changes_nothing_else(careful):
    """A tall load, in either kernel: its push is the same but for the axes, None unasked."""
    legs = []
    for i, (x, y) in enumerate(((-1.0, -0.8), (1.1, -0.9), (0.9, 1.0), (-1.2, 0.7))):
        picks = [(x, y, 0.1 * i), (0.0, 0.0, 0.0)] if careful else (x, y, 0.1 * i)
        legs.append(leg(str(i), picks, length_m=2.6, rated_n=50.0, strain_at_rated=0.2, lies_m=0.0))
    load = Body(name="load", weight_n=50.0, centre_of_gravity_m=(0.05, 0.02, 1.0))
    problem = lifted(*legs, bodies=(load,))
    full, bare = solve(problem), solve(problem, push=False)
    assert full.stability.push_deg == pytest.approx(32.86, abs=0.02)
    assert bare.stability.push_deg is None
    assert bare.stability.centre_may_rise_m == full.stability.centre_may_rise_m
    assert (bare.paths, bare.bodies, bare.reach_margin_m) == (full.paths, full.bodies, full.reach_margin_m)
