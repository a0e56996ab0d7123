"""A screen says of each sample what its whole answer says."""

from __future__ import annotations

import os
from typing import Any

import numpy as np
import pytest

from slingwright.hang import screen
from slingwright.hang.batch import Variations, problem_of_sample
from slingwright.hang.problem import Body, Path, Point, Problem
from slingwright.hang.screen import Holder, Limits, View, screen_many
from slingwright.hang.solve import solve

SIZE = (3.0, 1.6, 1.2)
PICKS = ((0.2, 0.3, 1.2), (2.9, 0.2, 1.1), (2.8, 1.5, 1.2), (0.1, 1.4, 1.0))
LIMIT = np.array([9e3, 1.1e4, 1e4, 8e3])
HOOK = (1.6, 0.8, 4.0)
LIMITS = Limits._make([*[0.0] * 6, 0, True, *[0.0] * 7])


def _problem() -> Problem:
    load = Body(name="load", weight_n=2.2e4, centre_of_gravity_m=(1.6, 0.8, 0.5))
    paths = []
    for k, at in enumerate(PICKS):
        points = (Point("world", HOOK), Point("load", at))
        paths.append(
            Path(
                name="ABCD"[k],
                points=points if k else points[::-1],  # told from the load up: the same leg
                length_m=3.2,
                rated_n=2e4,
                strain_at_rated=0.06,
            )
        )
    return Problem(bodies=(load,), paths=tuple(paths))


def _samples(count: int) -> Variations:
    rng = np.random.default_rng(5)
    centre = np.array([1.6, 0.8, 0.5]) + rng.uniform(-0.3, 0.3, (count, 1, 3))
    return Variations(
        length_m=3.2 + rng.uniform(-0.25, 0.25, (count, 4)),
        strain_at_rated=rng.uniform(0.03, 0.1, (count, 4)),
        centre_of_gravity_m=centre,
    )


def test_each_figure_is_the_worst_that_the_whole_answer_has() -> None:
    problem, samples = _problem(), _samples(40)
    view = View(
        limit_n=np.linspace(8e3, 1.2e4, 40),
        pick_n=LIMIT,
        along=np.array([True, True, False, True]),
        upright=np.array([False, True, True, False]),
        size_m=np.array(SIZE),
    )
    found = screen_many(problem, samples, view)
    slack = 0
    for s in range(40):
        hang = solve(problem_of_sample(problem, samples, s), push=False)
        (pose,) = hang.bodies
        rows, origin = np.array(pose.rotation), np.array(pose.origin_m)
        pulls = np.array([p.tension_n for p in hang.paths])
        ways = np.array(HOOK) - (np.array(PICKS) @ rows.T + origin)
        ups = ways / np.linalg.norm(ways, axis=1)[:, None]
        own = ups @ rows  # in the load's axes
        taut = pulls > 0
        slack += int((~taut).any())
        corners = np.array([[x, y, z] for x in (0, SIZE[0]) for y in (0, SIZE[1]) for z in (0, SIZE[2])])
        low = (corners @ rows.T + origin)[:, 2].min()
        angle = np.degrees(np.arcsin(ups[:, 2]))
        along = np.degrees(np.arctan2(own[:, 2], np.abs(own[:, 0])))
        spread = np.degrees(np.arccos(np.clip(ups[taut] @ ups[taut].T, -1, 1))).max()
        right = {
            "tilt_deg": hang.tilt_deg,
            "hook_above_cg_m": hang.hook_above_cg_m,
            "height_m": HOOK[2] - low,
            "share": (pulls / view.limit_n[s]).max(),
            "pick_share": (pulls / LIMIT).max(),
            "flattest_deg": angle[taut].min(),
            "along_deg": along[taut & view.along].min(),
            "lean_deg": max(np.degrees(np.arccos(own[taut & view.upright, 2])), default=0.0),
            "spread_deg": spread,
        }
        for name, figure in right.items():
            assert getattr(found, name)[s] == pytest.approx(figure, rel=1e-9, abs=1e-7), (s, name)
        assert found.status[s] == 0
        assert found.slack[s] == (~taut).sum()
    assert 0 < slack < 40


def test_a_sample_is_read_the_same_alone_and_on_two_threads() -> None:
    problem, samples = _problem(), _samples(9000)
    view = View(np.full(9000, 1e4), LIMIT, np.ones(4, np.bool_), np.ones(4, np.bool_), np.array(SIZE))
    one, two = (screen_many(problem, samples, view, threads=t) for t in (1, 2))
    for name in one._fields:
        assert (getattr(one, name) == getattr(two, name)).all()
    assert samples.length_m is not None and samples.strain_at_rated is not None  # noqa: PT018
    assert samples.centre_of_gravity_m is not None
    alone = screen_many(
        problem,
        Variations(
            length_m=samples.length_m[7:8],
            strain_at_rated=samples.strain_at_rated[7:8],
            centre_of_gravity_m=samples.centre_of_gravity_m[7:8],
        ),
        view._replace(limit_n=view.limit_n[:1]),
    )
    for name in one._fields:
        assert getattr(alone, name)[0] == getattr(one, name)[7]


def test_another_kind_of_problem_is_refused() -> None:
    problem = _problem()
    basket = Path(
        name="E", points=(*problem.paths[1].points, Point("world", HOOK)), length_m=8.0, rated_n=2e4,
        strain_at_rated=0.06,
    )  # fmt: skip
    view = View(np.ones(1), np.ones(5), np.ones(5, np.bool_), np.ones(5, np.bool_), np.ones(3))
    with pytest.raises(ValueError, match="straight paths"):
        screen_many(Problem(bodies=problem.bodies, paths=(*problem.paths, basket)), Variations(), view)
    with pytest.raises(ValueError, match="straight paths"):
        Holder(Problem(bodies=problem.bodies, paths=(*problem.paths, basket)), view, LIMITS, range(12))
    beam = Body(name="beam", weight_n=1e3, centre_of_gravity_m=(0.0, 0.0, 0.0))
    with pytest.raises(ValueError, match="one body"):
        Holder(Problem(bodies=(*problem.bodies, beam), paths=problem.paths), view, LIMITS, range(12))


@pytest.mark.parametrize(
    ("asked", "cores", "right"), [(3, 8, 3), (None, 8, 8), (None, None, 1), (1, None, 1)]
)
def test_as_many_threads_as_asked_else_one_a_processor(
    monkeypatch: pytest.MonkeyPatch, asked: int | None, cores: int | None, right: int
) -> None:
    told: list[Any] = []

    class StoppedError(Exception):
        """What is solved is of no matter here."""

    def solve_none(_problem: Any, _samples: Any, threads: int) -> None:
        told.append(threads)
        raise StoppedError

    monkeypatch.setattr(screen, "run", solve_none)
    monkeypatch.setattr(screen, "run_ready", solve_none)
    monkeypatch.setattr(os, "cpu_count", lambda: cores)
    view = View(np.ones(1), np.ones(4), np.ones(4, np.bool_), np.ones(4, np.bool_), np.ones(3))
    with pytest.raises(StoppedError):
        screen_many(_problem(), Variations(), view, threads=asked)
    with pytest.raises(StoppedError):
        Holder(_problem(), view, LIMITS, range(12)).hang(Variations(), asked)
    assert told == [right, right]


def test_a_holder_hangs_on_one_thread_what_is_odd_to_the_last_bits(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[Any] = []
    view = View(np.ones(1), np.ones(4), np.ones(4, np.bool_), np.ones(4, np.bool_), np.ones(3))
    holder = Holder(_problem(), view, LIMITS, range(12))
    monkeypatch.setattr(screen, "run_ready", lambda *given: told.append(given))
    holder.hang(Variations())
    ((made, _, threads),) = told
    assert threads == 1
    assert made.one_hook.tolist() == [0, 3, 5, 7]  # the first leg is told from the load up
    assert made.order is not None
