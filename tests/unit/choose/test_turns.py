"""The other orders of unequal legs: each once, and the one farthest from the right one."""

from __future__ import annotations

from itertools import permutations

import numpy as np

from slingwright.choose.turns import every_turn, turned_round

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
