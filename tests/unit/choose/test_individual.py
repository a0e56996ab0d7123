"""Legs of individual length: both roundings at every height, the shelf's choices, how many hangs they are."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from slingwright.arrangement.enumerate import GridSteps, arrangements
from slingwright.choose.individual import Apart, made_steps, row_codes, shelf_hangs, stock_choices
from slingwright.choose.setting import Setting, draw
from slingwright.choose.space import Space
from slingwright.rulebook import load_rulebook
from slingwright.shop import Shop
from tests.choosing import small_shop
from tests.lifts import read_document
from tests.shops import harrow_quay, harrow_quay_prices

IN = 0.0254


def fine_shop() -> Shop:
    """Harrow Quay with legs to the eighth of an inch."""
    shop = harrow_quay()
    fine = replace(shop.practice, height_step_m=IN / 8, bridle_step_m=IN / 8)
    return replace(shop, practice=fine)


def lift_on(
    picks: list[tuple[float, float, float]], centre: tuple[float, float], **want: Any
) -> dict[str, Any]:
    """A frame on lugs at these places [in]."""
    return {
        "load": {
            "weight": "5,000 lb", "known_by": "scale", "shape": "frame",
            "length": "100 in", "width": "60 in", "height": "40 in",
            "centre_of_gravity": [f"{centre[0]} in", f"{centre[1]} in", "20 in"],
            "centre_tolerance": "1 in",
            "pick_point": [
                {"name": "ABCD"[i], "at": [f"{x} in" for x in at], "pin": "1 in", "rated": "20,000 lb",
                 "rated_at": "any angle"}
                for i, at in enumerate(picks)
            ],
        },
        "hook": {"headroom": "200 in", "thickness": "1 1/2 in", "width": "6 in"},
        "want": {"level_within": "5 deg", "least_angle": "45 deg"} | want,
    }  # fmt: skip


TWO = lift_on([(0, 30, 40), (100, 30, 40)], (42, 30))
FOUR = lift_on([(0, 0, 40), (100, 0, 40), (100, 60, 40), (0, 60, 40)], (42, 26))


def setting_of(doc: dict[str, Any], shop: Shop) -> Setting:
    lift = read_document(doc)
    return Setting(
        lift=lift,
        rulebook=load_rulebook(lift.rulebook),
        shop=shop,
        book=harrow_quay_prices(),
        draws=draw(1, samples=64),
    )


def steps_of(doc: dict[str, Any], shop: Shop) -> Any:
    setting = setting_of(doc, shop)
    made = next(a for a in arrangements(setting.lift, GridSteps(placement_m=1.0)) if a.lengths == "made")
    return made_steps(setting, made, 36 * IN, 480 * IN)


def test_two_legs_are_rounded_both_ways_at_every_height() -> None:
    """Every pair that the plain reading of the rule gives, and no other."""
    shop = replace(
        harrow_quay(), practice=replace(harrow_quay().practice, height_step_m=IN, bridle_step_m=IN)
    )
    right = set()
    for up in range(1, 480):
        a, b = math.hypot(42, up), math.hypot(58, up)
        if b - a > 1:
            right |= set(itertools.product((math.floor(a), math.ceil(a)), (math.floor(b), math.ceil(b))))
    right = {(a, b) for a, b in right if 36 <= a <= 480 and 36 <= b <= 480 and b - a > 1}
    assert {tuple(row) for row in steps_of(TWO, shop).tolist()} == right
    assert len(right) > 400


def test_legs_that_cannot_be_told_apart_share_one_length() -> None:
    rows = steps_of(FOUR, fine_shop())
    gaps = np.diff(np.sort(rows, axis=1), axis=1)
    assert ((gaps == 0) | (gaps > 8)).all()  # more than an inch of eighths
    assert len(np.unique(rows, axis=0)) == len(rows) > 10_000
    kinds = Counter(len(set(row)) for row in rows.tolist())
    assert kinds[1] == 0
    assert kinds[2] > 0
    assert kinds[4] > 0


def test_a_load_hung_over_its_middle_wants_no_unequal_legs() -> None:
    assert not len(steps_of(lift_on([(0, 30, 40), (100, 30, 40)], (50.2, 30)), fine_shop()))


def test_a_stated_tolerance_tells_legs_apart_or_not() -> None:
    near = lift_on([(0, 30, 40), (100, 30, 40)], (49.6, 30))
    assert not len(steps_of(near, fine_shop()))
    near["want"]["length_tolerance"] = "1/8 in"
    assert len(steps_of(near, fine_shop()))


def test_apart_is_both_tolerances() -> None:
    loose = Apart(0.01, 0.1)
    lengths = np.array([[1.0, 1.24], [1.0, 1.27], [1.0, 1.0]])
    assert loose.told(lengths).tolist() == [False, True, False]


@pytest.mark.parametrize("legs", [2, 3, 4])
def test_the_shelf_gives_every_choice_it_can_fill_once(legs: int) -> None:
    shelf = [s for s in small_shop(widths=("2 in",)).shop.stock if s.spec.plies == 2][:4]
    shelf[1] = replace(shelf[1], spec=replace(shelf[1].spec, length_m=shelf[0].spec.length_m))
    right = set()
    for pick in itertools.product(range(4), repeat=legs):
        if len(set(pick)) > 1 and all(pick.count(k) <= shelf[k].count for k in pick):
            lengths = [shelf[k].spec.length_m for k in pick]
            right.add(
                tuple((x, tuple(sorted(k for k in pick if shelf[k].spec.length_m == x))) for x in lengths)
            )
    found = stock_choices(shelf, legs)
    assert len(found) == len(right) > legs
    assert len(np.unique(found, axis=0)) == len(found)


def test_what_hangs_alike_is_counted_once() -> None:
    lengths = np.array([[1.0, 2.0], [1.0, 2.0], [2.0, 1.0], [1.5, 1.5], [1.0, 3.3]])
    found = shelf_hangs(lengths, 0.25, 20)
    assert (
        found.besides(row_codes(np.array([[4, 8], [4, 13]]), 20)) == 2
    )  # [1, 2] is made too, 3.3 is no step
    assert found.besides(np.zeros(0, dtype=np.int64)) == 3
    assert shelf_hangs(lengths, 0.25, 8).besides(np.array([4 * 8 + 8])) == 3  # 8 steps are never made
    assert shelf_hangs(lengths[3:4], 0.25, 20).besides(np.array([1])) == 0


@pytest.mark.parametrize("doc", [TWO, FOUR])
def test_an_ordinary_lift_has_a_million_candidates_and_a_hundred_thousand_hangs(doc: dict[str, Any]) -> None:
    space = Space(setting_of(doc, fine_shop()))
    assert space.entries
    assert space.candidates >= 1_000_000
    assert space.hang_problems >= 100_000
