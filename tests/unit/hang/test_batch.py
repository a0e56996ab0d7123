"""A sample's figures are the same bits alone, in any batch, in any order, on one thread or two."""

import json
import threading
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from slingwright.hang.batch import Variations, problem_of_sample, solve_many
from slingwright.hang.document import problem_from_document
from slingwright.hang.problem import Body, Point, Problem
from slingwright.hang.problem import Path as Leg
from slingwright.hang.solve import solve
from slingwright.hang.warm import warm

DATA = Path(__file__).parents[2] / "data" / "hang"
PROBLEMS = {
    e["name"]: problem_from_document(e["problem"]) for e in json.loads((DATA / "contract.json").read_text())
}
CASES = {
    c["id"]: problem_from_document(c["problem"])
    for c in json.loads((DATA / "cases.json").read_text())["cases"]
}
PROBLEMS |= {k: CASES[k] for k in ("C14", "C16", "C18", "C30", "C31", "C40")}


def scatter(problem, samples, seed, points=False):
    rng = np.random.default_rng(seed)
    bodies, paths = len(problem.bodies), len(problem.paths)
    weight = np.array([b.weight_n for b in problem.bodies])
    centre = np.array([b.centre_of_gravity_m for b in problem.bodies])
    length = np.array([p.length_m for p in problem.paths])
    strain = np.array([p.strain_at_rated for p in problem.paths])
    count = sum(len(p.points) for p in problem.paths)
    return Variations(
        weight_n=weight * (1 + 0.05 * rng.standard_normal((samples, bodies))),
        centre_of_gravity_m=centre + 0.03 * rng.standard_normal((samples, bodies, 3)),
        length_m=length * (1 + 0.003 * rng.standard_normal((samples, paths))),
        strain_at_rated=strain * (1 + 0.05 * rng.standard_normal((samples, paths))),
        points_m=0.01 * rng.standard_normal((samples, count, 3)) if points else None,
    )


def rows(variations, pick):
    return Variations(**{
        f: None if getattr(variations, f) is None else getattr(variations, f)[pick]
        for f in Variations.__dataclass_fields__
    })  # fmt: skip


def same(a, b):
    for f in ("status", "tension_n", "slack", "angle_from_horizontal_deg", "tilt_deg", "hook_above_cg_m"):
        assert np.array_equal(getattr(a, f), getattr(b, f)), f


@pytest.mark.parametrize("points", [False, True], ids=["as placed", "points moved"])
@pytest.mark.parametrize("name", PROBLEMS)
def test_a_row_is_the_single_solve_bit_for_bit(name, points):
    problem = PROBLEMS[name]
    variations = scatter(problem, 40, 1, points)
    batch = solve_many(problem, variations, threads=1)
    names = ["stable", "capsizes", "unreachable"]
    for i in range(0, 40, 7):
        hang = solve(problem_of_sample(problem, variations, i))
        assert hang.status == names[batch.status[i]]
        assert [p.tension_n for p in hang.paths] == batch.tension_n[i].tolist()
        assert [p.angle_from_horizontal_deg for p in hang.paths] == batch.angle_from_horizontal_deg[
            i
        ].tolist()
        assert [p.slack for p in hang.paths] == batch.slack[i].tolist()
        assert hang.tilt_deg == batch.tilt_deg[i]
        assert hang.hook_above_cg_m == batch.hook_above_cg_m[i]


@pytest.mark.parametrize("name", ["bridle", "basket, renders", "beam", "C18", "C30"])
def test_order_size_and_threads_change_no_bit(name):
    problem = PROBLEMS[name]
    samples = 200 if name in ("beam", "basket, renders", "C30") else 9000
    variations = scatter(problem, samples, 2)
    batch = solve_many(problem, variations, threads=1)
    same(batch, solve_many(problem, variations, threads=2))
    order = np.random.default_rng(3).permutation(samples)
    mixed = solve_many(problem, rows(variations, order), threads=2)
    for f in ("status", "tension_n", "tilt_deg", "hook_above_cg_m"):
        assert np.array_equal(getattr(mixed, f), getattr(batch, f)[order])
    part = solve_many(problem, rows(variations, slice(5, 16)), threads=1)
    assert np.array_equal(part.tension_n, batch.tension_n[5:16])


def test_two_threads_at_once_give_the_figures_of_one():
    """Without a shared layer between them: nothing to abort, nothing to mix up."""
    jobs = [
        (PROBLEMS[n], scatter(PROBLEMS[n], s, 4))
        for n, s in (("C16", 20000), ("beam", 100))
        for _ in range(2)
    ]
    alone = [solve_many(p, v, threads=1) for p, v in jobs]
    found = [None] * len(jobs)

    def work(i):
        found[i] = solve_many(*jobs[i], threads=2)

    threads = [threading.Thread(target=work, args=(i,)) for i in range(len(jobs))]
    for t in threads:
        t.start()
    for t in threads:
        t.join(60)
    for a, b in zip(alone, found, strict=True):
        same(a, b)


def test_quick_kernel_and_careful_search_agree():
    """Hooks a hair apart need the general search; a leg listed from the load up is the same leg."""
    problem = CASES["C19"]
    quick = solve(problem)
    paths = list(problem.paths)
    top, pick = paths[0].points
    paths[0] = replace(
        paths[0], points=(Point("world", (top.at_m[0] + 1e-9, top.at_m[1], top.at_m[2])), pick)
    )
    careful = solve(replace(problem, paths=tuple(paths)))
    assert [p.tension_n for p in careful.paths] == pytest.approx(
        [p.tension_n for p in quick.paths], abs=1e-6 * 1.6e5
    )
    assert careful.tilt_deg == pytest.approx(quick.tilt_deg, abs=1e-5)
    turned = replace(problem, paths=tuple(replace(p, points=p.points[::-1]) for p in problem.paths))
    assert [p.tension_n for p in solve(turned).paths] == [p.tension_n for p in quick.paths]


def test_what_stretches_follows_the_length():
    problem = PROBLEMS["choker"]
    length = np.array([[5.25, 5.35]])
    changed = problem_of_sample(problem, Variations(length_m=length), 0)
    assert changed.paths[1].elastic_m == pytest.approx(7.2 + 0.1)
    plain = problem_of_sample(PROBLEMS["bridle"], Variations(length_m=np.full((1, 4), 2.8)), 0)
    assert plain.paths[0].elastic_m is None


def test_variations_that_do_not_fit_are_our_error():
    problem = PROBLEMS["bridle"]
    with pytest.raises(ValueError, match="do not fit"):
        solve_many(problem, Variations(length_m=np.ones((3, 2))))
    with pytest.raises(ValueError, match="different length"):
        solve_many(problem, Variations(length_m=np.ones((3, 4)), weight_n=np.ones((2, 1))))


def test_nothing_varied_is_one_sample():
    batch = solve_many(PROBLEMS["bridle"], Variations())
    assert batch.tension_n.shape == (1, 4)
    warm()


def test_up_is_the_world_vertical_in_the_load_as_the_careful_solve_turns_it():
    """One hook and two: the last row of the load's rotation, sample by sample."""
    for second in ((0.0, 0.0, 3.0), (0.6, 0.0, 3.0)):
        legs = tuple(
            Leg(
                name=str(i), points=(Point("world", hook), Point("load", (x, 0.1, 0.0))),
                length_m=3.2 + 0.1 * i, rated_n=2e4, strain_at_rated=0.03,
            )
            for i, (hook, x) in enumerate((((0.0, 0.0, 3.0), -1.0), (second, 1.0)))
        )  # fmt: skip
        body = Body(name="load", weight_n=1e4, centre_of_gravity_m=(0.1, 0.05, -0.5))
        problem = Problem(bodies=(body,), paths=legs)
        batch, hang = solve_many(problem, Variations()), solve(problem)
        assert batch.up[0] == pytest.approx(hang.bodies[0].rotation[2], abs=1e-12)
        assert not np.allclose(batch.up[0], (0.0, 0.0, 1.0))
