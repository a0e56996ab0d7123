"""How samples are shared out and read, without solving any."""

from __future__ import annotations

import os
import threading
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from slingwright.errors import InputFault
from slingwright.hang import _kernel_search as search
from slingwright.hang import batch
from slingwright.hang.batch import Inputs, Variations, ready, run, run_ready
from tests.unit.hang.test_near import PROBLEMS
from tests.unit.hang.test_screen import _problem

CHUNK = batch._CHUNK


@pytest.mark.parametrize(
    ("asked", "samples", "cores", "right"),
    [
        (3, 1, 8, 3), (3, CHUNK + 1, 8, 3), (None, 1, 8, 1), (None, CHUNK, 8, 1), (None, CHUNK + 1, 8, 8),
        (None, CHUNK + 1, None, 1),
    ],
)  # fmt: skip
def test_so_many_threads(
    monkeypatch: pytest.MonkeyPatch, asked: int | None, samples: int, cores: int | None, right: int
) -> None:
    monkeypatch.setattr(os, "cpu_count", lambda: cores)
    assert batch._many(asked, Variations(length_m=np.zeros((samples, 1)))) == right


@pytest.mark.parametrize(
    ("threads", "parts", "pooled"), [(1, 3, 0), (0, 3, 0), (2, 3, 2), (2, 1, 0), (2, 2, 2), (5, 2, 5)]
)
def test_parts_are_shared_where_there_are_threads_and_parts(
    monkeypatch: pytest.MonkeyPatch, threads: int, parts: int, pooled: int
) -> None:
    pools: list[int] = []
    real = batch.ThreadPoolExecutor

    def pool(max_workers: int) -> Any:
        pools.append(max_workers)
        return real(max_workers=max_workers)

    monkeypatch.setattr(batch, "ThreadPoolExecutor", pool)
    done: list[int] = []
    lock = threading.Lock()

    def task(part: int) -> None:
        with lock:
            done.append(part)

    batch._share(task, range(0, 10 * parts, 10), threads)
    assert sorted(done) == list(range(0, 10 * parts, 10))
    assert pools == ([pooled] if pooled else [])


def test_a_fault_of_a_thread_is_told() -> None:
    def task(part: int) -> None:
        raise ValueError(part)

    with pytest.raises(ValueError, match="0"):
        batch._share(task, range(2), 2)


def test_variations_are_counted() -> None:
    assert Variations().count() == 1
    assert Variations(length_m=np.zeros((7, 2)), weight_n=np.zeros((7, 1))).count() == 7


def _out(todo: list[bool], status: list[int], residual: list[float]) -> Any:
    return SimpleNamespace(todo=np.array(todo), status=np.array(status), residual=np.array(residual))


def test_what_was_not_solved_stops_with_the_first_and_its_reason() -> None:
    late, drawn = search.FAILED, search.DRAWN_IN
    batch._stop_if_unsolved(_out([True, True], [0, 2], [0.0, 0.0]))
    batch._stop_if_unsolved(
        _out([False, True], [late, 1], [0.0, 0.0])
    )  # the quick kernel's status is no fault
    with pytest.raises(RuntimeError, match=r"sample 1 did not converge \(imbalance 2\.5e-03\)"):
        batch._stop_if_unsolved(_out([True, True, True], [0, late, drawn], [0.0, 2.5e-3, 1.0]))
    with pytest.raises(InputFault, match="drawn together") as told:
        batch._stop_if_unsolved(_out([False, True, True], [late, drawn, late], [0.0, 3.0, 0.0]))
    assert "paths[3].length_m" in str(told.value)


def test_figures_of_some_samples() -> None:
    """What varies is cut; what is of all, and what is the problem's own, stays."""
    figures = {name: np.arange(5.0) for name in Inputs._fields}
    given = Inputs(**{**figures, "weight_n": np.array([7.0]), "centre_m": np.arange(5.0) + 1.0})
    some = batch.figures_at(given, np.array([3, 1]))
    assert some.weight_n.tolist() == [7.0]
    assert some.centre_m.tolist() == [4.0, 2.0]
    for name in ("point_m", "length_m", "strain"):
        assert getattr(some, name).tolist() == [3.0, 1.0]
    for name in ("rated_n", "own_m", "elastic_m", "elastic_given"):
        assert getattr(some, name) is getattr(given, name)


@pytest.mark.parametrize("poses", [True, False])
def test_room_for_answers(poses: bool) -> None:
    out = batch.new_out(5, 2, 3, poses)
    kept = 5 if poses else 0
    shapes = {
        "todo": (5,), "status": (5,), "residual": (5,), "tilt_deg": (5,), "hook_above_cg_m": (5,),
        "up": (5, 3), "tension_n": (5, 3), "angle_deg": (5, 3), "roll": (kept,), "spin": (kept,),
        "h": (kept, 3), "pose": (kept, 2, 12),
    }  # fmt: skip
    assert {name: getattr(out, name).shape for name in out._fields} == shapes
    assert out.todo.all()
    assert not out.roll.any()
    assert not out.spin.any()


def test_where_the_quick_kernel_can_answer() -> None:
    made = ready(_problem())
    given, _ = run_ready(made, Variations())

    def asked(points: Any) -> Any:
        return batch.one_hook_of(made.flat, given._replace(point_m=points))

    picks, one = asked(given.point_m)
    assert picks.tolist() == [0, 3, 5, 7]
    assert one.tolist() == [True]
    aside = given.point_m.copy()
    aside[0, 4, 2] += 1e-9  # a hair apart
    assert asked(aside) is None
    assert asked(np.concatenate([aside, aside])) is None
    for rows in ([0, 1], [1, 0], [0, 1, 0]):  # a row a sample, each its own
        both = asked(np.concatenate([(given.point_m, aside)[k] for k in rows]))
        assert both[1].tolist() == [k == 0 for k in rows]
    for name in ("beam", "two hooks"):
        other = ready(PROBLEMS[name])
        assert batch.one_hook_of(other.flat, batch._inputs(other.flat, Variations())) is None


def test_a_problem_is_made_ready_as_far_as_is_asked() -> None:
    legs = _problem()
    assert ready(legs).one_hook is None
    assert ready(legs).order is None
    hook = ready(legs, one_hook=True).one_hook
    assert hook is not None
    assert hook.tolist() == [0, 3, 5, 7]
    order = ready(legs, near=True).order
    assert order is not None
    assert order[0].tolist() == [0]


def test_samples_of_which_some_move_the_hook_are_each_answered_by_who_can() -> None:
    """The first and last hang from one hook, the second does not."""
    points = np.zeros((3, 8, 3))
    points[1, 2, 0] = 0.02
    samples = Variations(points_m=points)
    _, _, out = run(_problem(), samples)
    assert out.todo.tolist() == [False, True, False]
    assert (out.tension_n[0] == out.tension_n[2]).all()
    assert out.tension_n[1] == pytest.approx(out.tension_n[0], rel=0.1)
    assert abs(out.tension_n[1] - out.tension_n[0]).max() > 50.0
    near = run(_problem(), samples, near=True)[2]
    assert not near.todo.any()
    assert near.tension_n == pytest.approx(out.tension_n, rel=1e-9, abs=1e-6)


def test_answers_without_poses_have_none_and_what_pulls_at_all_is_not_slack() -> None:
    out = batch.new_out(2, 1, 2, poses=False)
    out.tension_n[:] = [(0.1, 0.0), (-0.0, 5.0)]
    told = batch._batch(out)
    assert told.slack.tolist() == [[False, True], [True, False]]
    assert told.pose.shape[0] == 0
    plain = {f: getattr(told, f) for f in batch.Batch.__dataclass_fields__ if f != "pose"}
    assert batch.Batch(**plain).pose.shape == (0, 0, 12)


def test_lanes_begin_at_no_pose_where_none_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Room that nothing was written into would be one."""
    begins: list[Any] = []
    real = batch.run_bodies

    def noted(*given: Any) -> Any:
        begins.append(given[4])
        return real(*given)

    monkeypatch.setattr(batch, "run_bodies", noted)
    made = ready(PROBLEMS["beam"], near=True)
    _, out = run_ready(made, Variations(), poses=True)
    run_ready(made, Variations(), begin=out.pose)
    assert [len(begin) for begin in begins] == [0, 1]
    assert (begins[1] == out.pose).all()
