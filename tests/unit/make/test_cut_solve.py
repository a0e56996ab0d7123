"""The cut planner on small shops, against every pattern written out and HiGHS (by scipy) over all of them."""

from __future__ import annotations

import itertools
import json
import time
from dataclasses import replace
from typing import Any

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from slingwright.make.cutting import cut_answer, parse_cut
from slingwright.make.cutting.plan import CutPlan
from slingwright.make.cutting.problem import CutProblem, Piece, Practice, Stock
from slingwright.make.cutting.solve import solve_cut
from tests.judge.cut_plan import recount, worth

Document = dict[str, Any]


def solve(problem: CutProblem, seconds: float = 60.0) -> CutPlan:
    return solve_cut(problem, time_limit_s=seconds, clock=time.monotonic)


def answer(instance: Document) -> Document:
    request = parse_cut(instance)
    return cut_answer(request, [solve(request.problems[0])], [0.0])


def least_cost(instance: Document) -> int | None:
    """Optimum by brute force: all patterns of every stock row, exact demands, one integer program."""
    params, items = instance["params"], instance["items"]
    columns, costs, upper = [], [], []
    for s, stock in enumerate(instance["stock"]):
        room = stock["length"] - params["head_trim"] + params["kerf"]
        for counts in itertools.product(*(range(i["quantity"] + 1) for i in items)):
            used = sum(n * (i["length"] + params["kerf"]) for n, i in zip(counts, items, strict=True))
            if any(counts) and used <= room:
                rest = max(room - params["kerf"] - used, 0)
                costs.append(worth(stock["length"], params) + params["mount_cost"] - worth(rest, params))
                columns.append([*counts, *(int(k == s) for k in range(len(instance["stock"])))])
                upper.append(stock["count"])
    for i, item in enumerate(items):
        if item.get("uncut_penalty") is not None:
            costs.append(item["uncut_penalty"])
            columns.append([int(k == i) for k in range(len(items) + len(instance["stock"]))])
            upper.append(item["quantity"])
    if not columns:
        return None
    need = [i["quantity"] for i in items]
    have = [s["count"] for s in instance["stock"]]
    result = milp(
        np.array(costs, float),
        constraints=LinearConstraint(np.array(columns, float).T, need + [0] * len(have), need + have),
        integrality=np.ones(len(costs)),
        bounds=Bounds(0, upper),
        options={"mip_rel_gap": 0.0},
    )
    return round(result.fun) if result.status == 0 else None


@st.composite
def shops(draw: st.DrawFn) -> Document:
    """A small shop's day: up to four kinds of piece, three lengths of stock, sometimes too little of it."""
    full = draw(st.sampled_from([300, 500, 1000]))
    least = draw(st.integers(0, 120))
    optional = draw(st.booleans())
    stock = [{"length": full, "count": draw(st.integers(0, 3)), "kind": "full"}]
    remnant = st.fixed_dictionaries(
        {"length": st.integers(40, full), "count": st.integers(1, 2), "kind": st.just("remnant")}
    )
    stock += draw(st.lists(remnant, max_size=2))
    items = []
    for number in range(draw(st.integers(1, 4))):
        item = {
            "length": draw(st.integers(20, 250)),
            "quantity": draw(st.integers(1, 3)),
            "order": f"O{number}",
        }
        if optional and draw(st.booleans()):
            item["uncut_penalty"] = draw(st.integers(0, 400))
        items.append(item)
    params = {
        "kerf": draw(st.integers(0, 5)),
        "head_trim": draw(st.integers(0, 10)),
        "remnant_min": least,
        "discount": draw(st.integers(0, least)),
        "full_length": full,
        "mount_cost": draw(st.integers(0, 30)),
        "keep_orders_together": False,
    }
    stock[0]["count"] = max(stock[0]["count"], int(not _holds(stock, params, items)))
    return {"name": "drawn", "params": params, "stock": stock, "items": items}


def _holds(stock: list[Document], params: Document, items: list[Document]) -> bool:
    """Tell whether the longest stock on the shelf holds each piece (else the file is at fault)."""
    longest = max((s["length"] for s in stock if s["count"]), default=0)
    return all(i["length"] + params["head_trim"] <= longest for i in items)


@given(shops())
def test_equals_the_optimum_over_all_patterns(instance: Document) -> None:
    found, best = answer(instance), least_cost(instance)
    if best is None:
        assert (found["status"], found["cost"], found["plan"]) == ("infeasible", None, [])
    else:
        assert found["status"] == "optimal"
        assert recount(instance, found) == found["cost"] == found["bound"] == best


@given(shops())
@settings(max_examples=60)
def test_every_millimetre_is_accounted_for(instance: Document) -> None:
    scrap = answer(instance)["scrap"]
    parts = ("pieces_mm", "kerf_mm", "trim_mm", "short_ends_mm", "remnants_mm")
    assert scrap["mounted_mm"] == sum(scrap[p] for p in parts)
    assert all(scrap[p] >= 0 for p in parts)


@given(shops(), st.integers(0, 2))
@settings(max_examples=100)
def test_more_stock_never_costs_more(instance: Document, which: int) -> None:
    before = answer(instance)["cost"]
    row = instance["stock"][which % len(instance["stock"])]
    row["count"] += 1
    after = answer(instance)["cost"]
    assert before is None or after <= before


@given(shops(), st.integers(0, 3))
@settings(max_examples=100)
def test_one_piece_more_never_costs_less(instance: Document, which: int) -> None:
    before = answer(instance)["cost"]
    instance["items"][which % len(instance["items"])]["quantity"] += 1
    after = answer(instance)["cost"]
    assert after is None or after >= before


@given(shops(), st.randoms(use_true_random=False))
@settings(max_examples=60)
def test_the_sequence_of_rows_does_not_change_the_cost(instance: Document, shuffler: Any) -> None:
    before = answer(instance)["cost"]
    shuffler.shuffle(instance["items"])
    shuffler.shuffle(instance["stock"])
    assert answer(instance)["cost"] == before


@given(
    st.integers(30, 200), st.lists(st.tuples(st.integers(1, 30), st.integers(1, 6)), min_size=1, max_size=6)
)
@settings(max_examples=100)
def test_rolls_do_not_depend_on_the_unit(capacity: int, items: list[tuple[int, int]]) -> None:
    def rolls(factor: int) -> int:
        rows = [{"length": length * factor, "quantity": count} for length, count in items]
        instance = {"capacity": capacity * factor, "items": rows}
        found = answer(instance)
        assert recount(instance, found) == found["bound"]
        return int(found["rolls"])

    assert rolls(1) == rolls(7)


SHOP = Practice(
    kerf_mm=20,
    head_trim_mm=50,
    remnant_min_mm=2000,
    discount_mm=1000,
    full_length_mm=50_000,
    mount_cost_mm=100,
)


def _problem(stock: list[Stock], pieces: list[Piece], practice: Practice = SHOP) -> CutProblem:
    return CutProblem(stock=tuple(stock), pieces=tuple(pieces), practice=practice)


def test_one_long_leftover_beats_two_short_ones() -> None:
    """The worth a millimetre rises with the length: both pieces come from one remnant, not from two."""
    plan = solve(
        _problem(
            [Stock(length_mm=20_000, count=2)],
            [Piece(length_mm=6_000, quantity=1, order="A"), Piece(length_mm=6_000, quantity=1, order="B")],
        )
    )
    assert [(r.times, r.leftover_mm) for r in plan.rolls] == [(1, 7_910)]
    assert plan.remnants_created == 1


def test_an_order_kept_together_comes_from_one_roll_and_one_lot() -> None:
    loose = [Piece(length_mm=9_000, quantity=2, order="A"), Piece(length_mm=11_000, quantity=1, order="A")]
    stock = [Stock(length_mm=18_100, count=1, lot="L1"), Stock(length_mm=40_000, count=1, lot="L2")]
    apart = solve(_problem(stock, loose))
    tied = solve(_problem(stock, [replace(p, together="A") for p in loose]))
    assert apart.rolls_mounted == 1 or len(apart.orders_split) == 1
    assert [r.stock_index for r in tied.rolls] == [1]
    assert tied.orders_split == ()
    assert apart.cost is not None
    assert tied.cost is not None
    assert apart.cost <= tied.cost


def test_an_order_longer_than_the_longest_roll_is_split_and_said_so() -> None:
    pieces = [Piece(length_mm=30_000, quantity=3, order="A", together="A")]
    plan = solve(_problem([Stock(length_mm=70_000, count=2)], pieces))
    assert plan.groups_split == ("A",)
    assert sorted(n for r in plan.rolls for _, n in r.pieces) == [1, 2]


def test_a_piece_that_may_wait_waits_when_cutting_it_would_cost_more() -> None:
    stock = [Stock(length_mm=10_000, count=1), Stock(length_mm=50_000, count=1, full=True)]
    pieces = [
        Piece(length_mm=9_000, quantity=1, order="now"),
        Piece(length_mm=9_500, quantity=1, order="later", uncut_cost_mm=9_000),
    ]
    cheap = solve(_problem(stock, pieces))
    dear = solve(_problem(stock, [pieces[0], replace(pieces[1], uncut_cost_mm=9_520)]))
    # By hand: "now" from the full roll costs 50 000 + 100 less 40 898, the worth of the 40 930 mm left;
    # "later" from the remnant costs its worth, 9 360, and 100 to mount: more than 9 000, less than 9 520.
    assert (cheap.cost, cheap.uncut) == (9_202 + 9_000, ((1, 1),))
    assert (dear.cost, dear.uncut, dear.rolls_mounted) == (9_202 + 9_460, (), 2)


def test_urgent_rolls_are_mounted_first() -> None:
    pieces = [
        Piece(length_mm=30_000, quantity=1, order="late", due="2026-12-20"),
        Piece(length_mm=29_000, quantity=1, order="rush", due="2026-11-27"),
        Piece(length_mm=28_000, quantity=1, order="whenever"),
    ]
    plan = solve(_problem([Stock(length_mm=50_000, count=3, full=True)], pieces))
    assert [plan.problem.pieces[r.pieces[0][0]].order for r in plan.rolls] == ["rush", "late", "whenever"]


def test_equal_pieces_are_handed_out_order_by_order() -> None:
    """Four rolls of two, two orders of four: no pattern changes, each order still gets whole rolls."""
    pieces = [Piece(length_mm=24_000, quantity=4, order=name) for name in ("A", "B")]
    plan = solve(_problem([Stock(length_mm=50_000, count=4, full=True)], pieces))
    assert [(r.times, r.pieces) for r in plan.rolls] == [(2, ((0, 2),)), (2, ((1, 2),))]


def test_equal_input_gives_the_equal_bytes() -> None:
    instance = {
        "capacity": 1000,
        "items": [
            {"length": n, "quantity": q} for n, q in ((487, 3), (333, 5), (291, 4), (270, 6), (251, 5))
        ],
    }
    assert json.dumps(answer(instance)) == json.dumps(answer(instance))


def test_out_of_time_is_a_plan_with_its_gap_or_none_at_all() -> None:
    """A clock that jumps past the limit: what stands by then is whole, and its bound is no lie."""
    rows = [{"length": n, "quantity": 3} for n in range(2010, 5000, 130)]
    instance = {"capacity": 10_000, "items": rows}
    problem = parse_cut(instance).problems[0]
    ticks = itertools.count()
    plan = solve_cut(problem, time_limit_s=1.0, clock=lambda: float(next(ticks)))
    found = cut_answer(parse_cut(instance), [plan], [1.0])
    best = answer(instance)
    assert recount(instance, found) == found["cost"] >= best["cost"]
    assert found["bound"] <= best["bound"]
    assert (found["status"] == "optimal") == (found["gap"] == 0)


def test_too_little_stock_is_infeasible_and_cuts_nothing() -> None:
    plan = solve(
        _problem([Stock(length_mm=50_000, count=1)], [Piece(length_mm=30_000, quantity=2, order="A")])
    )
    assert (plan.status, plan.cost, plan.bound, plan.gap, plan.rolls) == ("infeasible", None, None, None, ())
    assert plan.uncut == ((0, 2),)
    assert plan.scrap.yield_share is None
