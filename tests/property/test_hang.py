"""What must hold of every hang: frames, scales, order, and no bad problem that hurts."""

import json
import math
import warnings
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slingwright.errors import InputFault
from slingwright.hang.document import hang_to_document, problem_from_document
from slingwright.hang.problem import WORLD, Point
from slingwright.hang.solve import solve
from tests.judge.generate import KINDS, random_problem

DRAWN = st.tuples(st.sampled_from(KINDS), st.integers(0, 2**32 - 1))


def _problem(drawn):
    kind, seed = drawn
    return problem_from_document(random_problem(kind, np.random.default_rng(seed)))


def _safe(hang):
    """Verdicts within rounding of a limit may fall to either side."""
    rise = hang.stability.centre_may_rise_m
    return (rise is None or abs(rise) > 1e-3) and abs(hang.reach_margin_m) > 1e-4


def _same(a, b, *, force=1.0, length=1.0, weight):
    if not (_safe(a) and _safe(b)):
        return
    assert a.status == b.status
    assert a.null_modes == b.null_modes
    for p, q in zip(a.paths, b.paths, strict=True):
        assert q.tension_n == pytest.approx(force * p.tension_n, abs=1e-6 * weight * force)
    if math.sin(math.radians(a.tilt_deg)) < 0.9:
        assert b.tilt_deg == pytest.approx(a.tilt_deg, abs=1e-4)
        assert b.hook_above_cg_m == pytest.approx(length * a.hook_above_cg_m, rel=1e-6)


def _moved(problem, world, own):
    """Every point and place through `world`, or through `own` for what is in a body's coordinates."""
    bodies = tuple(
        replace(b, start_m=world(b.start_m), centre_of_gravity_m=own(b.centre_of_gravity_m))
        for b in problem.bodies
    )
    paths = tuple(
        replace(
            p, points=tuple(Point(q.on, world(q.at_m) if q.on == WORLD else own(q.at_m)) for q in p.points)
        )
        for p in problem.paths
    )
    return replace(problem, bodies=bodies, paths=paths)


@given(DRAWN, st.floats(-50, 50), st.floats(-50, 50), st.floats(-3, 30))
def test_moving_the_world_changes_nothing(drawn, x, y, z):
    problem = _problem(drawn)
    moved = _moved(problem, lambda v: (v[0] + x, v[1] + y, v[2] + z), lambda v: v)
    weight = sum(b.weight_n for b in problem.bodies)
    _same(solve(problem), solve(moved), weight=weight)


@given(DRAWN, st.floats(0, 2 * math.pi))
def test_turning_the_world_turns_the_low_side_with_it(drawn, angle):
    problem = _problem(drawn)
    c, s = math.cos(angle), math.sin(angle)

    def turn(v):
        return (c * v[0] - s * v[1], s * v[0] + c * v[1], v[2])

    weight = sum(b.weight_n for b in problem.bodies)
    before, after = solve(problem), solve(_moved(problem, turn, turn))
    _same(before, after, weight=weight)
    if before.status == after.status == "stable" and 0.1 < before.tilt_deg < 80 and _safe(before):
        apart = after.tilt_direction_deg - before.tilt_direction_deg - math.degrees(angle)
        assert abs((apart + 180) % 360 - 180) < 1e-2


@given(DRAWN)
def test_the_mirror_image_hangs_alike(drawn):
    problem = _problem(drawn)
    mirrored = _moved(problem, lambda v: (v[0], -v[1], v[2]), lambda v: (v[0], -v[1], v[2]))
    _same(solve(problem), solve(mirrored), weight=sum(b.weight_n for b in problem.bodies))


@given(DRAWN, st.floats(0.05, 20))
def test_weight_and_rated_load_scale_together(drawn, factor):
    problem = _problem(drawn)
    heavier = replace(
        problem,
        bodies=tuple(replace(b, weight_n=factor * b.weight_n) for b in problem.bodies),
        paths=tuple(replace(p, rated_n=factor * p.rated_n) for p in problem.paths),
    )
    _same(solve(problem), solve(heavier), force=factor, weight=sum(b.weight_n for b in problem.bodies))


@given(DRAWN, st.floats(0.3, 3.3))
def test_every_length_scales_together(drawn, factor):
    """Unit of length: tensions stay, heights scale."""
    problem = _problem(drawn)

    def scale(v):
        return tuple(factor * a for a in v)

    larger = _moved(problem, scale, scale)
    paths = [replace(p, length_m=factor * p.length_m) for p in larger.paths]
    paths = [p if p.elastic_m is None else replace(p, elastic_m=factor * p.elastic_m) for p in paths]
    larger = replace(larger, paths=tuple(paths))
    _same(solve(problem), solve(larger), length=factor, weight=sum(b.weight_n for b in problem.bodies))


@given(DRAWN, st.randoms(use_true_random=False))
def test_the_order_of_the_paths_does_not_matter(drawn, random):
    problem = _problem(drawn)
    order = list(range(len(problem.paths)))
    random.shuffle(order)
    mixed = solve(replace(problem, paths=tuple(problem.paths[i] for i in order)))
    hang = solve(problem)
    back = replace(mixed, paths=tuple(mixed.paths[order.index(i)] for i in range(len(order))))
    _same(hang, back, weight=sum(b.weight_n for b in problem.bodies))


@given(DRAWN)
def test_the_answer_is_in_equilibrium(drawn):
    """Forces and moments on the whole rig: the supports carry the weight through its centre of gravity."""
    problem = _problem(drawn)
    hang = solve(problem)
    weight = sum(b.weight_n for b in problem.bodies)
    force, moment = np.zeros(3), np.zeros(3)
    for support in hang.supports:
        force += support.force_n
        moment += np.cross(support.at_m, support.force_n)
    for body, pose in zip(problem.bodies, hang.bodies, strict=True):
        centre = np.array(pose.origin_m) + np.array(pose.rotation) @ np.array(body.centre_of_gravity_m)
        # what hangs below pulls the supports down: their load and the weights balance about every axis
        force -= (0.0, 0.0, -body.weight_n)
        moment -= np.cross(centre, (0.0, 0.0, -body.weight_n))
    assert np.abs(force).max() < 1e-7 * weight
    assert np.abs(moment).max() < 1e-6 * weight
    assert hang.residual < 1e-7
    assert all(p.tension_n >= 0.0 for p in hang.paths)


GRID = st.one_of(st.sampled_from([-1.0, -0.5, 0.0, 0.5, 1.0]), st.floats(-2, 2))
JUNK = st.one_of(
    st.floats(allow_nan=True, allow_infinity=True), st.integers(-3, 10**30), st.none(), st.text(max_size=3)
)  # fmt: skip


def _power(low, high):
    return st.floats(low, high).map(lambda e: 10.0**e)


@st.composite
def _documents(draw):
    """Odd problems: coincident picks, hooks inside the load, far too short legs, six decades of stiffness.

    One in eight has one figure replaced by what is no figure.
    """
    point = st.lists(GRID, min_size=3, max_size=3)
    hooks = [
        [*draw(st.lists(GRID, min_size=2, max_size=2)), draw(st.sampled_from([2.0, 5.0]))] for _ in range(2)
    ]
    weight = draw(_power(-1, 7))
    names = ["load", "beam"][: draw(st.integers(1, 2))]
    bodies = [
        {"name": n, "weight_n": weight * draw(_power(-2, 0)), "centre_of_gravity_m": draw(point)}
        for n in names
    ]
    paths = []
    for i in range(draw(st.integers(len(names), 5))):
        inner = [
            {"on": names[-1 - i % len(names)], "at_m": draw(point)}
            for _ in range(draw(st.sampled_from([1, 1, 1, 2])))
        ]
        first = {"on": "world", "at_m": draw(st.sampled_from(hooks))}
        if len(names) == 2 and i % 2:
            first = {"on": "beam", "at_m": draw(point)}
        end = [{"on": "world", "at_m": draw(st.sampled_from(hooks))}] if draw(st.integers(0, 3)) == 0 else []
        length = draw(st.one_of(_power(-1, 1), st.floats(1, 8)))
        paths.append({
            "name": str(i), "points": [first, *inner, *end], "length_m": length,
            "rated_n": weight * draw(_power(-1, 2)), "strain_at_rated": draw(_power(-3, -0.5)),
        })  # fmt: skip
        if draw(st.integers(0, 5)) == 0:
            paths[-1]["lies_m"] = draw(st.floats(0, 3))
    if draw(st.integers(0, 7)) == 0:
        spoiled = draw(st.sampled_from([*bodies, *paths]))
        spoiled[draw(st.sampled_from(sorted(spoiled)))] = draw(JUNK)
    return {"bodies": bodies, "paths": paths}


@settings(max_examples=250)
@given(_documents())
def test_no_problem_hangs_the_solver_or_gives_a_figure_that_is_none(doc):
    """A refusal with a field, or finite figures; never a warning, a NaN, a traceback."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            hang = solve(problem_from_document(doc))  # also refuses what is too short to have a direction
        except InputFault as fault:
            refused = fault
        else:
            json.dumps(hang_to_document(hang), allow_nan=False)
            assert hang.residual < 1e-6
            return
    assert all(f.problem for f in refused.faults)
