"""The first stage of the cut planner alone: plans recounted, bounds against HiGHS over all patterns.

The integer program of every pattern (`least_cost`) and the search of every filling (`fillable`) are written
here again and share nothing with the stage.
"""

from __future__ import annotations

import itertools
import random
import time
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slingwright.make.cutting import cut_answer, parse_cut
from slingwright.make.cutting._pack import pack_rolls
from slingwright.make.cutting.columns import Columns, Picks
from slingwright.make.cutting.model import _worths, build_model
from slingwright.make.cutting.packing import Packing
from slingwright.make.cutting.problem import Practice
from slingwright.make.cutting.search import search
from slingwright.make.cutting.solve import solve_cut
from tests.judge.cut_plan import recount
from tests.unit.make.test_cut_solve import least_cost, shops

Document = dict[str, Any]


def stage_alone(instance: Document, limit_s: float = 60.0) -> tuple[int, int, int]:
    """Cost of the best plan that the stage offers, its bound, and what no plan at all costs."""
    model = build_model(parse_cut(instance).problems[0])
    columns = Columns(model)
    best = columns.cost_of({})

    def offer(picks: Picks | None) -> None:
        nonlocal best
        assert picks is not None
        best = min(best, columns.cost_of(columns.trim(picks)))

    end = time.monotonic() + limit_s
    stage = Packing(columns, offer, lambda: best, lambda: end - time.monotonic())
    bound = stage.run()
    return best, bound, model.missing_cost


def day_of(seed: int, pieces: int, kinds: int, remnants: int, wait: int = 0) -> Document:
    """A webbing of one day: few lengths often, full rolls and remnants; the last `wait` kinds may wait."""
    rng = random.Random(seed)
    lengths = sorted(rng.sample(range(1_500, 9_000), kinds), reverse=True)
    counts = [1] * kinds
    for _ in range(pieces - kinds):
        counts[rng.randrange(kinds)] += 1
    need = sum((n + 10) * q for n, q in zip(lengths, counts, strict=True))
    stock = [{"length": 91_440, "count": need // 70_000 + 2, "kind": "full"}]
    stock += [
        {"length": rng.randrange(2_000, 60_000), "count": 1, "kind": "remnant"} for _ in range(remnants)
    ]
    items: list[Document] = [
        {"length": n, "quantity": q, "order": f"O{n}"} for n, q in zip(lengths, counts, strict=True)
    ]
    for item in items[kinds - wait :]:
        item["uncut_penalty"] = item["length"] + 10
    params = {
        "kerf": 10,
        "head_trim": 50,
        "remnant_min": 2_000,
        "discount": 500,
        "full_length": 91_440,
        "mount_cost": 100,
        "keep_orders_together": False,
    }
    return {"name": f"day {seed}", "params": params, "stock": stock, "items": items}


@pytest.mark.parametrize(
    ("seed", "pieces", "kinds", "remnants"), [(1, 36, 9, 4), (2, 60, 15, 3), (3, 96, 25, 4)]
)
def test_a_whole_day_is_settled_by_this_stage(seed: int, pieces: int, kinds: int, remnants: int) -> None:
    """Thirty-six pieces and more, each in well under a second of this stage: the tree is not even begun."""
    instance = day_of(seed, pieces, kinds, remnants)
    problem = parse_cut(instance).problems[0]
    cost, bound, _ = stage_alone(instance)
    plan = solve_cut(problem, time_limit_s=60.0, clock=time.monotonic)
    found = cut_answer(parse_cut(instance), [plan], [0.0])
    assert (found["status"], found["bound"]) == ("optimal", bound)
    assert recount(instance, found) == found["cost"] == bound == cost


@given(shops())
@settings(max_examples=100)
def test_no_bound_above_the_optimum_no_plan_below_it(instance: Document) -> None:
    best = least_cost(instance)
    cost, bound, nothing = stage_alone(instance)
    if best is None:
        assert bound <= nothing
        assert cost >= nothing
    else:
        assert bound <= best <= cost


def test_the_optimum_of_the_program_over_all_patterns() -> None:
    """Larger than the drawn shops: sixteen pieces, remnants, in half of them one kind may wait.

    Three kept rolls or more are left to the tree: of these twelve it is one.
    """
    settled = 0
    for seed, wait in itertools.product(range(6), (0, 1)):
        instance = day_of(seed, 16, 4, 2, wait)
        for row in instance["stock"]:
            row["length"] = row["length"] * 2 // 5  # short rolls: fewer patterns, more that matter
        instance["params"]["full_length"] = instance["stock"][0]["length"]
        instance["stock"][0]["count"] = 4
        cost, bound, _ = stage_alone(instance)
        best = least_cost(instance)
        assert best is not None
        assert bound <= best <= cost
        settled += bound == cost
    assert settled == 11


def fillable(
    weight: list[int], count: list[int], rooms: list[int], wastes: int, caps: list[int]
) -> int | None:
    """Most worth of what one or two kept rolls keep (worth = square root, here), over every way to cut."""
    best = None
    splits = [
        [c for c in itertools.product(range(q + 1), repeat=len(rooms) + len(caps)) if sum(c) == q]
        for q in count
    ]
    for way in itertools.product(*splits):
        cut = [sum(w * c[r] for w, c in zip(weight, way, strict=True)) for r in range(len(rooms) + len(caps))]
        free = [room - used for room, used in zip([*rooms, *caps], cut, strict=True)]
        if min(free) >= 0 and sum(free[: len(rooms)]) == wastes:
            kept = sum(int(WORTH[f]) for f in free[len(rooms) :])
            best = kept if best is None else max(best, kept)
    return best


WORTH = np.floor(10 * np.sqrt(np.arange(200))).astype(np.int64)


@given(
    st.lists(st.integers(3, 40), min_size=2, max_size=3, unique=True),
    st.lists(st.integers(1, 3), min_size=3, max_size=3),
    st.lists(st.integers(20, 60), min_size=2, max_size=2),
    st.integers(0, 12),
)
@settings(max_examples=400)
def test_the_walk_misses_no_filling(
    weight: list[int], count: list[int], rooms: list[int], waste: int
) -> None:
    """Two kept rolls: plan and worth as over every way to cut; where there is none, the walk says so."""
    weight, count = sorted(weight, reverse=True), count[: len(weight)]
    rooms, caps = sorted(rooms), [90, 70]
    best = fillable(weight, count, rooms, waste, caps)
    patterns, worth, complete = pack_rolls(
        np.array(weight),
        np.array(count),
        np.array(rooms),
        np.zeros(2, np.bool_),
        np.zeros(2, np.int64),
        np.array(caps),
        WORTH,
        waste,
        -1,
        1 << 40,
        1 << 40,
    )
    assert complete
    assert worth == (-1 if best is None else best)
    if best is not None:
        free = np.array([*rooms, *caps]) - patterns @ np.array(weight)
        assert (patterns.sum(axis=0) == count).all()
        assert free.min() >= 0
        assert (free[:2].sum(), WORTH[free[2:]].sum()) == (waste, best)


@given(
    st.lists(st.integers(3, 40), min_size=2, max_size=3, unique=True),
    st.lists(st.integers(1, 3), min_size=3, max_size=3),
    st.lists(st.integers(20, 60), min_size=2, max_size=2),
    st.integers(0, 12),
    st.integers(0, 2),
)
@settings(max_examples=400)
def test_the_walk_with_one_kept_roll(
    weight: list[int], count: list[int], rooms: list[int], waste: int, at: int
) -> None:
    """What the kept roll takes is given, wherever in the sequence it stands: found where there is a way."""
    weight, count, rooms = sorted(weight, reverse=True), count[: len(weight)], sorted(rooms)
    content = sum(w * q for w, q in zip(weight, count, strict=True)) - sum(rooms) + waste
    best = fillable(weight, count, rooms, waste, [199]) if content >= 0 else None
    size, kept = np.insert(rooms, at, max(content, 0)), np.arange(3) == at
    patterns, worth, complete = pack_rolls(
        np.array(weight),
        np.array(count),
        size,
        kept,
        np.zeros(3, np.int64),
        np.zeros(0, np.int64),
        WORTH,
        waste,
        -1,
        0,
        1 << 40,
    )
    if content < 0:
        return
    assert complete
    assert (worth >= 0) == (best is not None)
    if best is not None:
        free = size - patterns @ np.array(weight)
        assert (patterns.sum(axis=0) == count).all()
        assert (free.min(), free[~kept].sum(), free[at]) >= (0, waste, 0)
        assert free[at] == 0


def test_out_of_time_the_bound_is_no_lie() -> None:
    """The clock stops the stage at its every look: what it has proved by then is never above the optimum."""
    instance = day_of(7, 40, 12, 3)
    best, _, _ = stage_alone(instance)
    model = build_model(parse_cut(instance).problems[0])
    for looks in (1, 2, 3, 5, 9, 17, 33):
        ticks = itertools.count()
        outcome = search(model, lambda ticks=ticks, looks=looks: float(looks - next(ticks)))
        assert outcome.bound <= best <= outcome.cost


@given(
    st.integers(1, 60_000),
    st.integers(0, 4_000),
    st.integers(0, 4_000),
    st.integers(0, 30),
    st.integers(1, 7),
)
def test_the_worth_of_many_rooms_is_that_of_each(
    full: int, remnant: int, discount: int, kerf: int, unit: int
) -> None:
    practice = Practice(
        kerf_mm=kerf, remnant_min_mm=remnant, discount_mm=min(discount, remnant), full_length_mm=full
    )
    worths = _worths(practice, unit, 40, 240)
    assert worths.tolist() == [practice.worth_mm(room * unit - kerf) for room in range(40, 241)]


def test_worths_too_large_for_the_machines_integers() -> None:
    practice = Practice(remnant_min_mm=5_000_000, discount_mm=5_000_000, full_length_mm=5_000_000)
    rooms = range(4_999_999, 5_000_002)
    assert _worths(practice, 1, rooms[0], rooms[-1]).tolist() == [0, 5_000_000, 5_000_001]
