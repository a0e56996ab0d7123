"""The second stage: a tidier plan within the cost allowed, the first stage's proof untouched."""

from __future__ import annotations

import itertools
import json
import random
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slingwright.make.cutting import cut_answer, parse_cut
from slingwright.make.cutting.model import build_model
from slingwright.make.cutting.plan import CutPlan, MountedRoll, Tidiness
from slingwright.make.cutting.problem import CutProblem, Piece, Practice, Stock
from slingwright.make.cutting.solve import solve_cut
from slingwright.make.cutting.tidy import in_sequence, tidiness
from slingwright.make.cutting.wishes import _Tries
from tests.judge.cut_plan import recount

Document = dict[str, Any]
PRACTICE = Practice(
    kerf_mm=10,
    head_trim_mm=50,
    remnant_min_mm=2_000,
    discount_mm=500,
    full_length_mm=50_000,
    mount_cost_mm=100,
)


def solve(problem: CutProblem) -> CutPlan:
    return solve_cut(problem, time_limit_s=60.0, clock=time.monotonic)


def day(seed: int, *, permille: int | None, kept: str = "") -> CutProblem:
    """A day of a dozen orders of two to six pieces each, three full rolls and three remnants."""
    rng = random.Random(seed)
    pieces = []
    for order in range(12):
        due = f"2026-12-{rng.randrange(1, 9):02}"
        pieces += [
            Piece(
                length_mm=rng.randrange(1_500, 6_000),
                quantity=rng.randrange(1, 4),
                order=f"A{order}",
                due=due,
                together=f"A{order}/{line}" if kept else "",
            )
            for line in range(2)
        ]
    need = sum((p.length_mm + 10) * p.quantity for p in pieces)
    stock = [Stock(length_mm=50_000, count=need // 40_000 + 2, full=True)]
    stock += [Stock(length_mm=rng.randrange(4_000, 30_000), count=1) for _ in range(3)]
    return CutProblem(stock=tuple(stock), pieces=tuple(pieces), practice=PRACTICE, wish_permille=permille)


def measured_again(plan: CutPlan) -> Tidiness:
    """The three figures from the answer document alone, roll by roll."""
    rolls = [row["pieces"] for row in _body(plan)["plan"] for _ in range(row["times"])]
    places: dict[str, list[int]] = {}
    due: dict[str, str] = {}
    for at, pieces in enumerate(rolls):
        for piece in pieces:
            places.setdefault(piece["order"], []).append(at)
            due[piece["order"]] = piece["due"] or "9999"
    last = {order: max(where) for order, where in places.items()}
    return Tidiness(
        extra_rolls=sum(len(set(where)) - 1 for where in places.values()),
        urgent_wait=sum((last[a] + 1) * sum(due[a] < due[b] for b in places) for a in places),
        most_open=max(
            sum(min(where) <= at < last[order] for order, where in places.items()) for at in range(len(rolls))
        ),
    )


def _body(plan: CutPlan) -> Document:
    request = parse_cut({"capacity": 2, "items": [{"length": 1, "quantity": 1}]})
    return cut_answer(request, [plan], [0.0])


@pytest.mark.parametrize("seed", [0, 1, 3, 4, 5])
def test_the_proof_stands_the_cost_is_within_the_wish_and_the_plan_is_tidier(seed: int) -> None:
    plain, wished = solve(day(seed, permille=None)), solve(day(seed, permille=2))
    assert plain.cost is not None
    assert (wished.status, wished.least_cost, wished.bound, wished.gap) == (
        "optimal",
        plain.cost,
        plain.cost,
        0,
    )
    wishes = wished.wishes
    assert wishes is not None
    assert wished.cost == plain.cost + wished.spent
    assert plain.cost <= wished.cost <= wishes.most_cost == plain.cost * 1002 // 1000
    assert (wishes.before, wishes.after) == (measured_again(plain), measured_again(wished))
    assert wishes.after.extra_rolls < wishes.before.extra_rolls
    assert _recounted(wished) == wished.cost


def _recounted(plan: CutPlan) -> int:
    """Cost by the judge, which knows instances only."""
    practice = plan.problem.practice
    assert practice is not None
    instance = {
        "params": {
            "kerf": practice.kerf_mm,
            "head_trim": practice.head_trim_mm,
            "remnant_min": practice.remnant_min_mm,
            "discount": practice.discount_mm,
            "full_length": practice.full_length_mm,
            "mount_cost": practice.mount_cost_mm,
        },
        "stock": [{"length": s.length_mm, "count": s.count} for s in plan.problem.stock],
        "items": [
            {"length": p.length_mm, "quantity": p.quantity, "order": p.order} for p in plan.problem.pieces
        ],
    }
    return recount(instance, json.loads(json.dumps(_body(plan))))


def test_nothing_is_spent_where_nothing_may_be() -> None:
    """At no thousandth only plans as cheap as the cheapest count, and there may be tidier ones."""
    for seed in (0, 1, 3):
        plain, same = solve(day(seed, permille=None)), solve(day(seed, permille=0))
        assert same.cost == plain.cost == same.least_cost
        assert same.spent == 0
        assert same.wishes is not None
        assert same.wishes.after.extra_rolls <= same.wishes.before.extra_rolls


def test_slings_kept_together_stay_so() -> None:
    plan = solve(day(3, permille=20, kept="sling"))
    where: dict[str, set[int]] = {}
    for at, roll in enumerate(plan.rolls):
        for index, _ in roll.pieces:
            where.setdefault(plan.problem.pieces[index].together, set()).add(at)
    assert all(len(rolls) == 1 for rolls in where.values())


def test_every_piece_goes_to_its_order() -> None:
    plan = solve(day(1, permille=2))
    cut = Counter[int]()
    for roll in plan.rolls:
        for index, count in roll.pieces:
            cut[index] += count * roll.times
    assert cut == {at: piece.quantity for at, piece in enumerate(plan.problem.pieces)}


def test_equal_input_gives_the_equal_plan() -> None:
    assert solve(day(1, permille=2)) == solve(day(1, permille=2))


def test_no_time_for_wishes_is_the_first_plan() -> None:
    """The clock stands still until the first plan is there, then jumps past the end."""
    problem = day(2, permille=2)
    plain = solve(replace(problem, wish_permille=None))
    looks = itertools.count()
    first = _looks_of(problem)
    plan = solve_cut(problem, time_limit_s=1.0, clock=lambda: 0.0 if next(looks) < first else 9.0)
    assert (plan.cost, plan.least_cost, plan.rolls) == (plain.cost, plain.cost, plain.rolls)


def _looks_of(problem: CutProblem) -> int:
    """How often the first stage looks at the clock."""
    looks = itertools.count()
    solve_cut(replace(problem, wish_permille=None), time_limit_s=1.0, clock=lambda: float(next(looks)) * 0)
    return next(looks) - 1


@given(
    st.lists(st.sets(st.integers(0, 6), min_size=1, max_size=4), min_size=2, max_size=5),
    st.lists(st.integers(1, 9), min_size=7, max_size=7),
)
@settings(max_examples=200)
def test_the_sequence_is_the_best_of_all(rows: list[set[int]], days: list[int]) -> None:
    """Few rows: against every permutation."""
    pieces = tuple(
        Piece(length_mm=100, quantity=9, order=f"A{o}", due=f"2026-12-{days[o]:02}") for o in range(7)
    )
    problem = CutProblem(stock=(Stock(length_mm=1_000, count=9),), pieces=pieces)
    rolls = tuple(
        MountedRoll(stock_index=0, times=1, pieces=tuple((o, 1) for o in sorted(row)), leftover_mm=at)
        for at, row in enumerate(rows)
    )

    def rank(some: tuple[MountedRoll, ...]) -> tuple[int, int]:
        found = tidiness(problem, some)
        return found.urgent_wait, found.most_open

    assert rank(in_sequence(problem, rolls)) == min(rank(some) for some in itertools.permutations(rolls))


def test_of_many_rolls_the_urgent_come_first() -> None:
    """More rows than are looked through by sets: no order waits for one that is due later."""
    pieces = tuple(
        Piece(length_mm=900, quantity=1, order=f"A{o}", due=f"2026-12-{28 - o:02}") for o in range(20)
    )
    problem = CutProblem(stock=(Stock(length_mm=1_000, count=20),), pieces=pieces)
    rolls = tuple(MountedRoll(stock_index=0, times=1, pieces=((o, 1),), leftover_mm=100) for o in range(20))
    assert in_sequence(problem, rolls) == rolls[::-1]


def tries(problem: CutProblem, feasible: Callable[[list[str]], bool]) -> tuple[_Tries, list[str]]:
    """The second stage's tries with a judge in place of the planner, and the log of what it is asked."""
    some = _Tries(problem, build_model(problem), 0, 0, lambda: 1.0)
    asked: list[str] = []

    def together(orders: list[str]) -> bool:
        some.left -= 1
        asked.append("".join(orders))
        return feasible(orders)

    some._together = together  # type: ignore[method-assign]  # a judge in its place
    return some, asked


def order(name: str, length_mm: int, quantity: int = 2, uncut_cost_mm: int | None = None) -> Piece:
    return Piece(length_mm=length_mm, quantity=quantity, order=name, due="", uncut_cost_mm=uncut_cost_mm)


def test_orders_that_one_roll_can_hold_are_tried_shortest_first() -> None:
    """Room of a roll: its length less the trim and one kerf more, for its last cut may be its end."""
    pieces = (
        order("just", 4_970),  # two of them and one kerf between: 9,950, and a trim of 50
        order("over", 4_971),
        order("short", 700),
        order("alone", 800, quantity=1),
        order("waits", 900, uncut_cost_mm=5),
        order("", 300),
        order("lines", 600, quantity=1),
        order("lines", 650, quantity=1),
    )
    stock = (
        Stock(length_mm=10_000, count=9, full=True),
        Stock(length_mm=20_000, count=0),
        Stock(length_mm=5_000, count=1),
    )
    problem = CutProblem(stock=stock, pieces=pieces, practice=replace(PRACTICE, kerf_mm=10))
    assert tries(problem, lambda _: True)[0].orders == ["lines", "short", "just"]


@pytest.mark.parametrize(
    ("together", "asked"),
    [
        ("ABCD", ["ABCD"]),
        ("ABD", ["ABCD", "AB", "ABC", "ABD"]),
        ("A", ["ABCD", "AB", "A", "AC", "AD"]),
        ("BCD", ["ABCD", "AB", "A", "B", "BC", "BCD"]),
        ("", ["ABCD", "AB", "A", "B", "C", "D"]),
    ],
)
def test_all_orders_then_half_then_one_more_at_a_time(together: str, asked: list[str]) -> None:
    pieces = tuple(order(name, 700 + 10 * at) for at, name in enumerate("ABCD"))
    problem = CutProblem(stock=(Stock(length_mm=10_000, count=9),), pieces=pieces, practice=PRACTICE)
    some, log = tries(problem, lambda orders: set(orders) <= set(together))
    some.run()
    assert log == asked


def test_no_more_tries_than_are_counted() -> None:
    pieces = tuple(order(f"{at:02}", 700 + 10 * at) for at in range(40))
    problem = CutProblem(stock=(Stock(length_mm=10_000, count=90),), pieces=pieces, practice=PRACTICE)
    some, log = tries(problem, lambda _: False)
    some.run()
    assert (len(log), some.left) == (10, 0)


def test_out_of_time_no_try_is_begun() -> None:
    problem = day(1, permille=2)
    some = _Tries(problem, build_model(problem), 0, 0, lambda: 0.0)
    assert some.run() == []
    assert some.left == 0


def test_a_try_tells_whether_there_is_such_a_plan() -> None:
    problem = day(1, permille=2)
    cost = solve(replace(problem, wish_permille=None)).least_cost
    assert cost is not None
    model = build_model(problem)
    assert _Tries(problem, model, 2 * cost, 0, lambda: 9.0)._together(["A1", "A2"]) is True
    none = _Tries(problem, model, cost - 1, 0, lambda: 9.0)
    assert none._together(["A1", "A2"]) is False
    assert (none.left, none.found) == (9, [])
