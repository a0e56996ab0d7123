"""Routing against two judges: every assignment tried, and another model given to scipy."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from slingwright.make.route import RouteJob, RouteLoft, RouteProblem, route_cost, route_one_by_one
from slingwright.make.route_solve import solve_route

HOUR = 3600
KEYS = ("polyester/7/0.0508", "nylon/7/0.1016")


def counted(problem: RouteProblem, lofts: dict[str, str]) -> int | None:
    """The cost of an assignment in this file's own words; None where it cannot be done."""
    total = 0
    for loft in problem.lofts:
        mine = [job for job in problem.jobs if lofts[job.number] == loft.id]
        if any(loft.id not in job.lofts for job in mine):
            return None
        total += sum(job.lofts[loft.id][0] for job in mine)
        over = 0
        for day in {job.lofts[loft.id][1] for job in mine}:
            late = sum(job.labour_s for job in mine if job.lofts[loft.id][1] <= day) - day * loft.day_s
            if late > day * loft.overtime_day_s:
                return None
            over = max(over, late)
        total += math.ceil(over / HOUR) * loft.overtime_minor
        for key in KEYS:
            short = sum(job.webbing_mm.get(key, 0) for job in mine) - loft.on_hand_mm.get(key, 0)
            total += math.ceil(max(short, 0) / problem.roll_mm[key]) * loft.fetch_minor
    return total


def tried(problem: RouteProblem) -> int | None:
    """The least over every assignment there is."""
    ids = [loft.id for loft in problem.lofts]
    costs = []
    for choice in itertools.product(ids, repeat=len(problem.jobs)):
        numbers = (job.number for job in problem.jobs)
        cost = counted(problem, dict(zip(numbers, choice, strict=True)))
        if cost is not None:
            costs.append(cost)
    return min(costs, default=None)


def modelled(problem: RouteProblem) -> int | None:
    """Another model, by scipy: overtime hours and rolls as unary binaries, z[k] = at least k + 1 of them."""
    costs: list[float] = []
    rows: list[tuple[dict[int, float], float, float]] = []

    def binary(cost: float) -> int:
        costs.append(cost)
        return len(costs) - 1

    at = {(j.number, loft): binary(cost) for j in problem.jobs for loft, (cost, _) in j.lofts.items()}
    rows += [({at[job.number, loft]: 1.0 for loft in job.lofts}, 1.0, 1.0) for job in problem.jobs]
    for loft in problem.lofts:
        mine = [job for job in problem.jobs if loft.id in job.lofts]
        most = math.ceil(sum(job.labour_s for job in mine) / HOUR) + 1
        hours = [binary(loft.overtime_minor) for _ in range(most)]
        for day in {job.lofts[loft.id][1] for job in mine}:
            work = {at[j.number, loft.id]: float(j.labour_s) for j in mine if j.lofts[loft.id][1] <= day}
            rows.append((work, -np.inf, float(day * (loft.day_s + loft.overtime_day_s))))
            rows.append((work | dict.fromkeys(hours, -float(HOUR)), -np.inf, float(day * loft.day_s)))
        for key in KEYS:
            used = {at[j.number, loft.id]: float(j.webbing_mm[key]) for j in mine if key in j.webbing_mm}
            if used:
                rolls = [
                    binary(loft.fetch_minor)
                    for _ in range(math.ceil(sum(used.values()) / problem.roll_mm[key]))
                ]
                on_hand = float(loft.on_hand_mm.get(key, 0))
                rows.append((used | dict.fromkeys(rolls, -float(problem.roll_mm[key])), -np.inf, on_hand))
    matrix = np.zeros((len(rows), len(costs)))
    for i, (entries, _, _) in enumerate(rows):
        for column, value in entries.items():
            matrix[i, column] = value
    limits = LinearConstraint(matrix, [row[1] for row in rows], [row[2] for row in rows])
    found = milp(
        np.array(costs), constraints=limits, integrality=np.ones(len(costs)), bounds=Bounds(0, 1),
        options={"mip_rel_gap": 0.0},
    )  # fmt: skip
    return None if found.x is None else round(found.fun)


@st.composite
def problems(draw: st.DrawFn) -> RouteProblem:
    ids = ("a", "b", "c")
    amount = st.integers(min_value=0, max_value=9000)
    jobs = []
    for n in range(draw(st.integers(min_value=1, max_value=5))):
        able = draw(st.sets(st.sampled_from(ids), min_size=1))
        keys = draw(st.sets(st.sampled_from(KEYS), min_size=1))
        jobs.append(
            RouteJob(
                number=f"N{n}",
                labour_s=draw(st.integers(min_value=600, max_value=12 * HOUR)),
                webbing_mm={key: draw(st.integers(min_value=500, max_value=90_000)) for key in sorted(keys)},
                lofts={
                    loft: (draw(amount), draw(st.integers(min_value=1, max_value=5))) for loft in sorted(able)
                },
            )
        )
    lofts = tuple(
        RouteLoft(
            id=loft,
            day_s=draw(st.integers(min_value=0, max_value=8)) * HOUR,
            overtime_day_s=draw(st.integers(min_value=0, max_value=3)) * HOUR,
            overtime_minor=draw(amount),
            fetch_minor=draw(amount),
            on_hand_mm={key: draw(st.integers(min_value=0, max_value=120_000)) for key in KEYS},
        )
        for loft in ids
    )
    return RouteProblem(jobs=tuple(jobs), lofts=lofts, roll_mm=dict.fromkeys(KEYS, 60_000))


@given(problems())
def test_nothing_tried_is_cheaper_and_the_cost_is_its_own(problem: RouteProblem) -> None:
    route, least = solve_route(problem), tried(problem)
    if route is None:
        assert least is None
        return
    assert route.cost_minor == least == counted(problem, dict(route.lofts))
    assert route.proved
    greedy = route_one_by_one(problem)
    if greedy is not None:
        needs = route_cost(problem, greedy)
        assert needs is not None
        assert needs.cost_minor == counted(problem, dict(greedy))
        assert needs.cost_minor >= route.cost_minor


def a_day(orders: int, seed: int) -> RouteProblem:
    """A realistic day: twenty or so orders, three lofts, two webbings, hours scarce."""
    draw = np.random.default_rng(seed)
    jobs = []
    for n in range(orders):
        key = KEYS[int(draw.integers(2))]
        able = [loft for loft in "abc" if draw.random() < 0.75] or ["a"]
        jobs.append(
            RouteJob(
                number=f"N{n}",
                labour_s=int(draw.integers(1, 9)) * HOUR,
                webbing_mm={key: int(draw.integers(10_000, 70_000))},
                lofts={loft: (int(draw.integers(20_000, 60_000)), int(draw.integers(3, 9))) for loft in able},
            )
        )
    lofts = tuple(
        RouteLoft(
            id=loft, day_s=8 * HOUR, overtime_day_s=3 * HOUR, overtime_minor=2700, fetch_minor=9000,
            on_hand_mm={KEYS[0]: 60_000, KEYS[1]: 30_000},
        )
        for loft in "abc"
    )  # fmt: skip
    return RouteProblem(jobs=tuple(jobs), lofts=lofts, roll_mm=dict.fromkeys(KEYS, 91_440))


@pytest.mark.parametrize("seed", range(6))
def test_a_days_orders_against_another_model(seed: int) -> None:
    problem = a_day(22, seed)
    route, judged = solve_route(problem), modelled(problem)
    assert route is not None
    assert route.proved
    assert route.cost_minor == judged == counted(problem, dict(route.lofts))


def test_shared_webbing_makes_one_by_one_dearer() -> None:
    """By hand: one roll's charge of 100 serves both orders at b (50 + 50 + 100); alone each prefers a."""
    alone = {"a": (120, 5), "b": (50, 5)}
    jobs = tuple(
        RouteJob(number=n, labour_s=HOUR, webbing_mm={KEYS[0]: 20_000}, lofts=alone) for n in ("one", "two")
    )
    lofts = tuple(
        RouteLoft(
            id=id_, day_s=8 * HOUR, overtime_day_s=0, overtime_minor=0, fetch_minor=100,
            on_hand_mm={KEYS[0]: 40_000 if id_ == "a" else 0},
        )
        for id_ in "ab"
    )  # fmt: skip
    problem = RouteProblem(jobs=jobs, lofts=lofts, roll_mm={KEYS[0]: 60_000, KEYS[1]: 1})
    route, greedy = solve_route(problem), route_one_by_one(problem)
    assert route is not None
    assert dict(route.lofts) == {"one": "b", "two": "b"}
    assert route.cost_minor == 200
    assert greedy == {"one": "a", "two": "a"}
    needs = route_cost(problem, greedy)
    assert needs is not None
    assert needs.cost_minor == 240


def test_no_orders_cost_nothing_and_an_order_no_loft_makes_has_no_route() -> None:
    problem = a_day(3, 0)
    empty = RouteProblem(jobs=(), lofts=problem.lofts, roll_mm=problem.roll_mm)
    nothing = solve_route(empty)
    assert nothing is not None
    assert nothing.cost_minor == 0
    homeless = RouteJob(number="x", labour_s=1, webbing_mm={}, lofts={})
    jobs = (*problem.jobs, homeless)
    assert solve_route(RouteProblem(jobs=jobs, lofts=problem.lofts, roll_mm=problem.roll_mm)) is None
