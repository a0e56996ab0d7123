"""The compiled loops of the cut planner: one bounded knapsack for all stock lengths, and its enumeration.

Serial and without the interpreter's lock; callers split work over threads if they want to. Everything is a
64-bit integer, so that a bound made from these figures is exact. Imported late: numba costs 0.3 s.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Any, TypeVar, cast

import numba
import numpy as np
import numpy.typing as npt

__all__ = [
    "compiled",
    "enumerate_patterns",
    "price_patterns",
    "table_of_values",
]

IntArray = npt.NDArray[np.int64]
Loop = TypeVar("Loop", bound=Callable[..., Any])


def compiled(loop: Loop) -> Loop:
    """Compile and keep the result on disk; where no folder can be written, compile in memory and say so."""
    try:
        return cast("Loop", numba.njit(cache=True, nogil=True)(loop))
    except RuntimeError:
        logging.getLogger(__name__).info(
            "no folder to keep compiled code in; compiling %s anew", loop.__name__
        )
        return cast("Loop", numba.njit(nogil=True)(loop))


@compiled
def _split(
    weight: IntArray, value: IntArray, count: IntArray, room: int
) -> tuple[IntArray, IntArray, IntArray, IntArray]:
    """Break each piece's count into 1, 2, 4 … and a rest: (piece, copies, weight, value) of each part."""
    parts = 0
    for i in range(weight.size):
        left = min(count[i], room // weight[i])
        step = 1
        while left > 0 and value[i] > 0:
            left -= min(step, left)
            step *= 2
            parts += 1
    piece = np.empty(parts, np.int64)
    copies = np.empty(parts, np.int64)
    at = 0
    for i in range(weight.size):
        left = min(count[i], room // weight[i])
        step = 1
        while left > 0 and value[i] > 0:
            take = min(step, left)
            piece[at] = i
            copies[at] = take
            left -= take
            step *= 2
            at += 1
    return piece, copies, weight[piece] * copies, value[piece] * copies


@compiled
def price_patterns(
    weight: IntArray,
    value: IntArray,
    count: IntArray,
    rooms: IntArray,
    worth: IntArray,
    needed: IntArray,
    wanted: int,
) -> tuple[IntArray, IntArray, IntArray]:
    """Best pattern for each stock class, and up to `wanted` patterns worth more than `needed` of its class.

    One table serves all classes: the leftover's worth is only its terminal row.

    Parameters
    ----------
    weight, value, count : (n,) piece length with its kerf, its price, how many may still be cut
    rooms : (s,) room of each class
    worth : (largest room + 1,) worth of the room left over
    needed : (s,) the value from which a pattern of that class pays
    wanted : the most patterns to hand back

    Returns
    -------
    patterns (k, n), their class (k,), best value of each class (s,)
    """
    room = rooms.max()
    piece, copies, part_weight, part_value = _split(weight, value, count, room)
    parts = piece.size
    take = np.empty((parts, room + 1), np.uint8)
    old = worth[: room + 1].copy()
    new = np.empty(room + 1, np.int64)
    reach = np.empty((parts, rooms.size), np.int64)
    for p in range(parts):
        w, v = part_weight[p], part_value[p]
        for c in range(min(w, room + 1)):
            new[c] = old[c]
            take[p, c] = 0
        for c in range(w, room + 1):
            with_it = old[c - w] + v
            take[p, c] = with_it > old[c]
            new[c] = max(with_it, old[c])
        old, new = new, old
        reach[p] = old[rooms]
    best = old[rooms]
    patterns = np.zeros((wanted, weight.size), np.int64)
    classes = np.zeros(wanted, np.int64)
    found = 0
    # Every part that improved the best value ends one more pattern: cheap, and different from the others.
    for p in range(parts - 1, -1, -1):
        for s in range(rooms.size):
            before = reach[p - 1, s] if p > 0 else worth[rooms[s]]
            if found < wanted and reach[p, s] > needed[s] and reach[p, s] > before:
                c = rooms[s]
                for q in range(p, -1, -1):
                    if take[q, c]:
                        patterns[found, piece[q]] += copies[q]
                        c -= part_weight[q]
                classes[found] = s
                found += 1
    return patterns[:found], classes[:found], best


@compiled
def table_of_values(
    weight: IntArray, value: IntArray, count: IntArray, room: int, worth: IntArray
) -> IntArray:
    """Best value of the pieces from i on, for every i and every room up to `room`: (n + 1, room + 1)."""
    table = np.empty((weight.size + 1, room + 1), np.int64)
    table[weight.size] = worth[: room + 1]
    for i in range(weight.size - 1, -1, -1):
        table[i] = table[i + 1]
        left = count[i]
        step = 1
        while left > 0 and value[i] > 0:
            take = min(step, left)
            w = take * weight[i]
            v = take * value[i]
            for c in range(room, w - 1, -1):
                table[i, c] = max(table[i, c], table[i, c - w] + v)
            left -= take
            step *= 2
    return table


@compiled
def enumerate_patterns(
    weight: IntArray,
    value: IntArray,
    count: IntArray,
    room: int,
    worth: IntArray,
    needed: int,
    table: IntArray,
    wanted: int,
) -> tuple[IntArray, bool]:
    """All patterns of one class worth at least `needed`, or (…, False) once there are more than `wanted`.

    A walk that counts up piece after piece; `table` tells exactly whether a start can still be finished,
    so that no step is wasted.
    """
    n = weight.size
    patterns = np.zeros((wanted, n), np.int64)
    found = 0
    pattern = np.zeros(n, np.int64)
    if table[0, room] < needed:
        return patterns[:0], True
    i = 0
    left = room
    got = 0
    while True:
        if i == n:
            if found == wanted:
                return patterns, False
            patterns[found] = pattern
            found += 1
        # Descend with as many copies as fit; on the way back, one fewer each time.
        if i < n:
            take = min(count[i], left // weight[i])
            while take >= 0:
                if got + take * value[i] + table[i + 1, left - take * weight[i]] >= needed:
                    break
                take -= 1
            if take >= 0:
                pattern[i] = take
                left -= take * weight[i]
                got += take * value[i]
                i += 1
                continue
        while True:
            i -= 1
            if i < 0:
                return patterns[:found], True
            moved = False
            while pattern[i] > 0:
                pattern[i] -= 1
                left += weight[i]
                got -= value[i]
                if got + table[i + 1, left] >= needed:
                    moved = True
                    break
            if moved:
                i += 1
                break
            pattern[i] = 0
