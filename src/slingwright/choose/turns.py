"""Legs of unequal length hung in another order than they were made for."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations, permutations
from typing import TYPE_CHECKING

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.arrangement.geometry import level_hook_heights
from slingwright.choose.nominal import SWAPPED_AT_MOST
from slingwright.choose.rows import any_of, in_order

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Places = NDArray[np.int64]
    Turned = Callable[[Floats], tuple[Places, Floats]]

__all__ = ["every_turn", "in_reach", "one_turn", "orders_of", "turned_round", "worst_turn"]

_SOME = 48  # lanes whose every order tells which one stops most
_WORTH = 6  # of so many lanes one must fall in an order that is hung before the others


def orders_of(arrangement: Arrangement) -> list[tuple[int, ...]]:
    """Every other order of legs made to be told apart; none of more legs than are tried."""
    many = len(arrangement.holdings)
    told_apart = arrangement.lengths == "made" and many <= SWAPPED_AT_MOST
    return list(permutations(range(many)))[1:] if told_apart else []


def turned_round(lengths_m: Floats) -> tuple[Places, Floats]:
    """Legs of unequal lengths (S, legs) turned round: the longest where the shortest belongs, and so on.

    Of all orders it is the farthest from the right one. Returns which lane each is of, and its lengths.
    """
    legs = np.ascontiguousarray(lengths_m.T)  # a leg of all lanes at once lies together
    longer = np.zeros(legs.shape, dtype=np.int8)  # how many are, or as long and stand behind
    for i, j in combinations(range(len(legs)), 2):
        first = legs[i] <= legs[j]
        longer[i] += first
        longer[j] += ~first
    shortest, *others = in_order(legs)
    turned = np.empty_like(lengths_m)
    for i, behind in enumerate(longer):
        mine = shortest
        for k, length_m in enumerate(others, 1):
            mine = np.where(behind == k, length_m, mine)
        turned[:, i] = mine
    return np.arange(len(lengths_m)), turned


def every_turn(lengths_m: Floats) -> tuple[Places, Floats]:
    """Legs of unequal lengths (S, legs) in every other order that is not the same lengths again.

    Returns which lane each is of, and its lengths; a lane's own lie together.
    """
    many = lengths_m.shape[1]
    pattern = np.zeros(len(lengths_m), dtype=np.int64)  # which legs are of one length
    for k, (i, j) in enumerate(combinations(range(many), 2)):
        pattern += (lengths_m[:, i] == lengths_m[:, j]).astype(np.int64) << k
    lanes, turned = [], []
    for one in np.unique(pattern).tolist():
        mine = np.flatnonzero(pattern == one)
        first = lengths_m[mine[0]].tolist()
        orders = {tuple(first[i] for i in order): order for order in permutations(range(many))}
        del orders[tuple(first)]
        lanes.append(np.repeat(mine, len(orders)))
        turned.append(lengths_m[mine][:, np.array(list(orders.values())).reshape(-1, many)].reshape(-1, many))
    if not lanes:
        return np.zeros(0, dtype=np.int64), lengths_m[:0]
    return np.concatenate(lanes), np.concatenate(turned)


def one_turn(order: tuple[int, ...]) -> Turned:
    """Legs in one other order; lanes of which that is the same lengths again are left out."""

    def turned(lengths_m: Floats) -> tuple[Places, Floats]:
        out = lengths_m[:, order]
        lanes = np.flatnonzero(any_of(out != lengths_m))
        return lanes, out[lanes]

    return turned


def in_reach(arrangement: Arrangement, lengths_m: Floats) -> tuple[Places, Floats]:
    """Which of lengths (S, legs) reach, and how high their level hook then stands [m]."""
    level = level_hook_heights(arrangement, lengths_m)[:, 0]
    reach = np.flatnonzero(np.isfinite(level))
    return reach, level[reach]


def worst_turn(
    arrangement: Arrangement, lengths_m: Floats, stops: Callable[[Places, Turned], int]
) -> Turned | None:
    """The other order that stops most of a few of many lanes (S, legs), to be hung before all others.

    `stops` tells of how many of some lanes it is so. None where lanes are few, or no order stops many.
    """
    if len(lengths_m) < _SOME * _SOME // 2:
        return None
    few = np.arange(0, len(lengths_m), len(lengths_m) // _SOME)
    turns = [one_turn(order) for order in orders_of(arrangement)]
    stopped = [stops(few, turn) for turn in turns]
    worst = int(np.argmax(stopped)) if stopped else 0
    return turns[worst] if stopped and stopped[worst] * _WORTH > len(few) else None
