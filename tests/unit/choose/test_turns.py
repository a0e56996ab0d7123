"""The other orders of unequal legs: each once, and the one farthest from the right one."""

from __future__ import annotations

from itertools import permutations
from typing import Any

import numpy as np
import pytest

from slingwright.arrangement import Arrangement
from slingwright.arrangement.enumerate import GridSteps, arrangements
from slingwright.choose.turns import every_turn, one_turn, turned_round, worst_turn
from tests.lifts import example_lift

LENGTHS = np.array([[1.0, 2.0, 3.0, 4.0], [2.0, 1.0, 2.0, 1.0], [5.0, 5.0, 5.0, 6.0], [3.0, 1.0, 2.0, 1.0]])


def test_every_order_that_differs_comes_once() -> None:
    of, turned = every_turn(LENGTHS)
    for k, own in enumerate(LENGTHS.tolist()):
        mine = [tuple(x) for x in turned[of == k].tolist()]
        assert len(mine) == len(set(mine))
        assert set(mine) == set(permutations(own)) - {tuple(own)}


def test_turned_round_the_longest_hangs_where_the_shortest_belongs() -> None:
    of, turned = turned_round(LENGTHS)
    assert of.tolist() == [0, 1, 2, 3]
    assert turned[0].tolist() == [4.0, 3.0, 2.0, 1.0]
    assert turned[1].tolist() == [1.0, 2.0, 1.0, 2.0]
    assert turned[3].tolist()[:1] == [1.0]
    for own, other in zip(LENGTHS, turned, strict=True):
        assert sorted(own) == sorted(other)
        farthest = max(float(((np.array(o) - own) ** 2).sum()) for o in permutations(own))
        assert ((other - own) ** 2).sum() == farthest


def test_no_lanes_have_no_turns() -> None:
    of, turned = every_turn(LENGTHS[:0])
    assert of.shape == (0,)
    assert turned.shape == (0, 4)


def test_lanes_of_which_an_order_is_the_same_lengths_are_left_out() -> None:
    of, turned = one_turn((2, 1, 0, 3))(LENGTHS)
    assert of.tolist() == [0, 3]
    assert turned.tolist() == [[3.0, 2.0, 1.0, 4.0], [2.0, 1.0, 3.0, 1.0]]


def _on_four_legs() -> Arrangement:
    every = arrangements(example_lift("chiller"), GridSteps(placement_m=0.3))
    return next(a for a in every if a.lengths == "made" and len(a.holdings) == 4)


@pytest.mark.parametrize(("least", "found"), [(3.9, True), (9.0, False)])
def test_the_worst_order_is_the_one_that_stops_most_of_a_few(least: float, found: bool) -> None:
    """Stopped: whatever has its longest leg second, which orders that leave it last do not."""
    lengths = np.tile(LENGTHS[:1], (2000, 1))
    asked: list[int] = []

    def stops(few: np.ndarray, turned: Any) -> int:
        asked.append(len(few))
        return int((turned(lengths[few])[1][:, 1] > least).sum())

    turn = worst_turn(_on_four_legs(), lengths, stops)
    assert len(asked) == 23
    assert max(asked) < 60
    assert (turn is not None) is found
    if turn is not None:
        assert (turn(lengths)[1][:, 1] == 4.0).all()
    assert worst_turn(_on_four_legs(), lengths[:100], stops) is None
