"""Lanes of beams and several hooks: the general search's figures, and the very sample at a rank."""

from __future__ import annotations

import math

import numpy as np
import pytest

from slingwright.hang.batch import Batch, Variations, ready, run, solve_many, solve_near, solve_ready
from slingwright.hang.problem import Body, Path, Point, Problem
from slingwright.hang.ranked import sample_of_rank

SPAN_M, FREE_M, TOP_M = 1.0, 2.0, 2.0


def _path(name: str, upper: Point, lower: Point, length_m: float) -> Path:
    return Path(name=name, points=(upper, lower), length_m=length_m, rated_n=2e4, strain_at_rated=0.05)


def _load() -> Body:
    return Body(name="load", weight_n=2e4, centre_of_gravity_m=(1.1, 0.5, 0.4))


def _hooks() -> Problem:
    """A load on two legs to a hook each, one told from the load up."""
    tops, picks = ((0.25, 0.5, 3.2), (2.19, 0.52, 3.1)), ((0.2, 0.5, 1.2), (2.2, 0.5, 1.1))
    ends = [(Point("world", top), Point("load", at)) for top, at in zip(tops, picks, strict=True)]
    ends[1] = ends[1][::-1]
    return Problem(bodies=(_load(),), paths=tuple(_path(str(i), *e, FREE_M) for i, e in enumerate(ends)))


def _beam(legs: int) -> Problem:
    """A load on `legs` legs under a beam, which hangs by two from one hook."""
    low = 1.2 + FREE_M
    beam = Body(name="beam", weight_n=1e3, centre_of_gravity_m=(0.0, 0.0, 0.0), start_m=(1.2, 0.5, low + 0.1))
    hook = Point("world", (1.2, 0.5, low + 0.2 + math.sqrt(TOP_M**2 - SPAN_M**2)))
    paths = []
    for side in (-1, 1):
        paths.append(_path(f"top {side}", hook, Point("beam", (side * SPAN_M, 0.0, 0.1)), TOP_M))
        for y in (0.5,) if legs == 2 else (0.1, 0.9):
            lower = Point("load", (1.2 + side * SPAN_M, y, 1.2))
            length = math.hypot(FREE_M, y - 0.5)
            paths.append(_path(f"{side} {y}", Point("beam", (side * SPAN_M, 0.0, -0.1)), lower, length))
    return Problem(bodies=(_load(), beam), paths=tuple(paths))


PROBLEMS = {"two hooks": _hooks(), "beam": _beam(2), "four legs": _beam(4)}


def _samples(problem: Problem, count: int, *, off_m: float, aside_m: float) -> Variations:
    rng = np.random.default_rng(7)
    paths, bodies = len(problem.paths), len(problem.bodies)
    centre = np.array([b.centre_of_gravity_m for b in problem.bodies]) + np.zeros((count, bodies, 1))
    centre[:, 0] += rng.uniform(-aside_m, aside_m, (count, 3))
    length = np.array([p.length_m for p in problem.paths]) + rng.uniform(-off_m, off_m, (count, paths))
    strain = rng.uniform(0.01, 0.12, (count, 1)) * rng.uniform(0.9, 1.1, (count, paths))
    return Variations(length_m=length, strain_at_rated=strain, centre_of_gravity_m=centre)


def _same(near: Batch, careful: Batch) -> None:
    assert (near.status == careful.status).all()
    stable = careful.status == 0
    for name, scale in (
        ("tension_n", 2e4),
        ("tilt_deg", 1.0),
        ("angle_from_horizontal_deg", 1.0),
        ("hook_above_cg_m", 1.0),
        ("up", 1.0),
    ):
        off = np.abs(getattr(near, name) - getattr(careful, name))[stable].max() / scale
        assert off < 1e-10, name


@pytest.mark.parametrize("name", PROBLEMS)
def test_lanes_have_the_figures_of_the_general_search(name: str) -> None:
    problem = PROBLEMS[name]
    for off_m, aside_m in ((0.01, 0.1), (0.05, 0.3)):
        samples = _samples(problem, 70, off_m=off_m, aside_m=aside_m)
        _same(solve_near(problem, samples, threads=1), solve_many(problem, samples, threads=1))
    _, _, out = run(problem, _samples(problem, 70, off_m=0.005, aside_m=0.1), near=True)
    assert np.count_nonzero(out.todo) <= 7  # the rest went straight home, else this were no test


@pytest.mark.parametrize("name", PROBLEMS)
def test_lanes_that_begin_near_where_they_hang_have_the_same_figures(name: str) -> None:
    """From one pose for all, and from each sample's own, moved aside; alone and beside others."""
    problem = PROBLEMS[name]
    made = ready(problem, near=True)
    samples = _samples(problem, 37, off_m=0.02, aside_m=0.1)
    careful = solve_many(problem, samples, threads=1)
    told = solve_ready(made, Variations(), poses=True)
    own = solve_ready(made, samples, poses=True).pose
    aside = own.copy()
    aside[:, :, :3] += np.random.default_rng(5).uniform(-0.02, 0.02, aside[:, :, :3].shape)
    for begin in (told.pose, own, aside):
        near = solve_ready(made, samples, begin=begin, threads=1)
        _same(near, careful)
        assert samples.length_m is not None
        assert samples.strain_at_rated is not None
        assert samples.centre_of_gravity_m is not None
        for k in (0, 16, 36):
            one = Variations(
                length_m=samples.length_m[k : k + 1],
                strain_at_rated=samples.strain_at_rated[k : k + 1],
                centre_of_gravity_m=samples.centre_of_gravity_m[k : k + 1],
            )
            alone = solve_ready(made, one, begin=begin if len(begin) == 1 else begin[k : k + 1])
            assert (alone.tension_n[0] == near.tension_n[k]).all()
    # where it hangs cannot be found from there: it begins anew upright
    far = np.tile(told.pose, (37, 1, 1))
    far[::2, :, 2] += 50.0
    _same(solve_ready(made, samples, begin=far), careful)


@pytest.mark.parametrize("name", ["two hooks", "beam"])
def test_lanes_of_which_a_path_begins_slack_go_home_without_the_general_search(name: str) -> None:
    problem = PROBLEMS[name]
    samples = _samples(problem, 70, off_m=0.05, aside_m=0.1)
    _, _, out = run(problem, samples, near=True)
    assert np.count_nonzero(out.todo) <= 2


@pytest.mark.parametrize("name", PROBLEMS)
def test_what_capsizes_or_reaches_not_is_left_to_the_general_search(name: str) -> None:
    problem = PROBLEMS[name]
    samples = _samples(problem, 40, off_m=0.01, aside_m=0.05)
    assert samples.centre_of_gravity_m is not None
    assert samples.length_m is not None
    samples.centre_of_gravity_m[::4, 0, 2] += 3.0  # far above the picks
    samples.length_m[1::4, -1] *= 0.3  # far too short
    near, careful = solve_near(problem, samples), solve_many(problem, samples)
    assert {0, 1} <= set(careful.status.tolist())
    _same(near, careful)


@pytest.mark.parametrize("name", PROBLEMS)
def test_a_lane_has_the_same_bits_alone_and_beside_others(name: str) -> None:
    problem = PROBLEMS[name]
    samples = _samples(problem, 37, off_m=0.03, aside_m=0.2)
    every = solve_near(problem, samples, threads=2)
    length, strain, centre = samples.length_m, samples.strain_at_rated, samples.centre_of_gravity_m
    assert length is not None
    assert strain is not None
    assert centre is not None
    for k in (0, 5, 17, 36):
        one = Variations(
            length_m=length[k : k + 1],
            strain_at_rated=strain[k : k + 1],
            centre_of_gravity_m=centre[k : k + 1],
        )
        alone = solve_near(problem, one, threads=1)
        assert (alone.tension_n[0] == every.tension_n[k]).all()
        assert alone.tilt_deg[0] == every.tilt_deg[k]
        assert alone.hook_above_cg_m[0] == every.hook_above_cg_m[k]


@pytest.mark.parametrize("name", PROBLEMS)
def test_the_sample_of_a_rank_is_the_one_that_careful_figures_put_there(name: str) -> None:
    problem = PROBLEMS[name]
    samples = _samples(problem, 60, off_m=0.01, aside_m=0.1)
    assert samples.length_m is not None
    assert samples.strain_at_rated is not None
    assert samples.centre_of_gravity_m is not None
    for alike in (samples.length_m, samples.strain_at_rated, samples.centre_of_gravity_m):
        alike[20:25] = alike[7]  # figures that tie: the first number comes first
    samples.centre_of_gravity_m[::9, 0, 2] += 3.0  # goes over: worse than any that hangs
    limit = np.linspace(1e4, 1.2e4, len(problem.paths))
    careful = solve_many(problem, samples)
    worst = np.where(careful.status == 0, (careful.tension_n / limit).max(axis=1), np.inf)
    order = np.argsort(worst, kind="stable")
    assert np.isinf(worst[order[-1]])
    for rank in range(60):
        assert sample_of_rank(problem, samples, limit, rank) == order[rank], rank


def test_a_body_that_hangs_from_none_above_it_and_a_path_round_something_go_to_the_general_search() -> None:
    load, other = _load(), Body(name="other", weight_n=5e3, centre_of_gravity_m=(0.0, 0.0, 0.0))
    hooks = _hooks()
    below = _path("below", Point("load", (1.1, 0.5, 0.0)), Point("other", (0.0, 0.0, 0.5)), 1.0)
    chain = Problem(bodies=(load, other), paths=(*hooks.paths, below))
    _same(solve_near(chain, Variations()), solve_many(chain, Variations()))
    ends = [Point("load", (x, 0.5, 0.0)) for x in (0.2, 2.2)]
    hook = Point("world", (1.2, 0.5, 4.0))
    basket = Path(name="round", points=(hook, *ends, hook), length_m=11.0, rated_n=2e4, strain_at_rated=0.05)
    round_it = Problem(bodies=(load,), paths=(basket,))
    near, careful = solve_near(round_it, Variations()), solve_many(round_it, Variations())
    assert (near.tension_n == careful.tension_n).all()


def test_what_the_quick_kernel_leaves_under_one_hook_is_answered_to_the_last_bits() -> None:
    """Held just above its centre by short soft slings: unsteady higher up, where the quick kernel begins."""
    height, hook = 0.006, Point("world", (0.0, 0.0, 0.2))
    ends = [Point("load", (0.0, y, height)) for y in (-0.15, 0.15)]
    paths = tuple(
        Path(name=str(i), points=(hook, end), length_m=0.22, rated_n=8e3, strain_at_rated=0.1)
        for i, end in enumerate(ends)
    )
    body = Body(name="load", weight_n=1e4, centre_of_gravity_m=(0.0, 0.0, 0.0))
    samples = Variations(length_m=np.array([[0.22, 0.22], [0.24, 0.22], [0.225, 0.225], [0.222, 0.2222]]))
    problem = Problem(bodies=(body,), paths=paths)
    _, _, careful = run(problem, samples)
    _, _, near = run(problem, samples, near=True)
    assert careful.todo.sum() >= 2  # both kinds
    assert not careful.todo.all()
    assert not near.todo.any()
    assert (near.status == careful.status).all()
    for told, right in ((near.tension_n / 1e4, careful.tension_n / 1e4), (near.up, careful.up)):
        assert np.abs(told - right).max() < 1e-12
    assert np.abs(near.tilt_deg - careful.tilt_deg).max() < 1e-9
    quick = ~careful.todo
    assert (near.tension_n[quick] == careful.tension_n[quick]).all()  # nothing else is changed
