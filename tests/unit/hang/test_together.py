"""Problems hung in one go are each its own: the bits of one solve alone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from slingwright.hang._together import together
from slingwright.hang.problem import Body, Path, Point, Problem
from slingwright.hang.result import Status
from slingwright.hang.solve import solve, solve_all

LOAD = Body(name="load", weight_n=2e4, centre_of_gravity_m=(0.1, 0.05, -0.5))
LUGS = ((-1.0, -0.6, 0.0), (1.0, -0.6, 0.0), (1.0, 0.6, 0.0), (-1.0, 0.6, 0.0))


def on_legs(
    *lengths_m: float,
    up_m: float = 2.0,
    strain: float = 0.03,
    centre: tuple[float, float, float] = (0, 0, -0.5),
) -> Problem:
    hook = Point("world", (0.1, 0.0, up_m))
    return Problem(
        bodies=(replace(LOAD, centre_of_gravity_m=centre),),
        paths=tuple(
            Path(name=str(k), points=(hook, Point("load", lug)), length_m=length, rated_n=2e4,
                 strain_at_rated=strain, sling=k)
            for k, (lug, length) in enumerate(zip(LUGS, lengths_m, strict=False))
        ),
    )  # fmt: skip


def corners(problem: Problem) -> list[Problem]:
    """The same slings, the centre elsewhere; above the lugs it capsizes."""
    centres = [(0.1, 0.0, -0.5), (-0.2, 0.1, -0.4), (0.3, -0.1, -0.1), (0.0, 0.0, 4.0)]
    return [replace(problem, bodies=(replace(LOAD, centre_of_gravity_m=c),)) for c in centres]


def test_orders_ends_and_corners_have_the_bits_of_each_alone() -> None:
    told = on_legs(2.0, 2.1, 2.2, 2.3)
    turned = [on_legs(2.1, 2.0, 2.3, 2.2, up_m=2.1), on_legs(2.3, 2.2, 2.1, 2.0, strain=0.08)]
    problems = [told, *turned, *corners(told), *corners(turned[0])]
    made = together(problems)
    assert made is not None
    assert 0 < made[2].todo.sum() < 4  # those that capsize are searched for with care
    for push in (False, True):
        hangs = solve_all(problems, push=push)
        assert hangs == [solve(problem, push=push) for problem in problems]
        assert {hang.status for hang in hangs} == {Status.STABLE, Status.CAPSIZES}
        assert len({hang.tilt_deg for hang in hangs}) == len(hangs)


def beside(problem: Problem) -> Problem:
    """One of its legs on a hook of its own."""
    first, *others = problem.paths
    upper, lower = first.points
    moved = replace(upper, at_m=(0.2, 0.0, upper.at_m[2]))
    return replace(problem, paths=(replace(first, points=(moved, lower)), *others))


def test_one_with_two_hooks_among_them_has_its_own() -> None:
    problems = [on_legs(2.0, 2.0, 2.0), beside(on_legs(2.1, 2.0, 2.0)), on_legs(2.0, 2.2, 2.0)]
    made = together(problems)
    assert made is not None
    assert made[2].todo.tolist() == [False, True, False]
    assert solve_all(problems) == [solve(problem) for problem in problems]


def stretches(problem: Problem, elastic_m: float) -> Problem:
    return replace(problem, paths=tuple(replace(path, elastic_m=elastic_m) for path in problem.paths))


def lies(problem: Problem) -> Problem:
    """Its legs as one sling that renders."""
    hook, legs = problem.paths[0].points[0], [path.points[1] for path in problem.paths]
    way = replace(problem.paths[0], points=(hook, *legs, hook), length_m=6.0)
    return replace(problem, paths=(way,))


BASE = on_legs(2.0, 2.1, 2.2)


@pytest.mark.parametrize(
    ("problems", "told"),
    [
        ([stretches(BASE, 2.4), *corners(stretches(BASE, 2.4))], True),
        ([BASE, stretches(BASE, 2.4)], False),
        ([stretches(BASE, 2.4), stretches(on_legs(2.2, 2.1, 2.0), 2.4)], False),
        ([BASE, replace(BASE, hook_m=(0.0, 0.0, 0.1))], False),
        ([BASE, replace(BASE, bodies=(replace(LOAD, start_m=(0.01, 0.0, 0.0)),))], False),
        ([BASE, replace(BASE, paths=tuple(replace(p, rated_n=3e4) for p in BASE.paths))], False),
        ([BASE, on_legs(2.0, 2.1, 2.2, 2.3)], False),
        ([beside(BASE), beside(on_legs(2.2, 2.1, 2.0))], False),
        ([lies(BASE), lies(on_legs(2.0, 2.1, 2.2, up_m=2.1))], False),
        ([BASE], False),
        ([], False),
    ],
)  # fmt: skip
def test_what_is_not_alike_is_solved_alone(problems: list[Problem], told: bool) -> None:
    assert (len(problems) > 1 and together(problems) is not None) == told
    assert solve_all(problems) == [solve(problem) for problem in problems]
