"""Pricing where the rolls are too long, in units, for a table with a cell for each unit.

Twice coarse, once exact: with lengths rounded up a small table gives patterns that fit, with lengths rounded
down it gives a bound that holds; between the two a depth-first walk with true lengths decides.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting._kernel import compiled, price_patterns, table_of_values

__all__ = ["price_coarsely", "price_exactly"]

IntArray = npt.NDArray[np.int64]


@compiled
def price_coarsely(
    weight: IntArray,
    value: IntArray,
    count: IntArray,
    rooms: IntArray,
    worth: IntArray,
    needed: IntArray,
    wanted: int,
    grain: int,
) -> tuple[IntArray, IntArray]:
    """Patterns worth more than `needed`, all lengths rounded up to `grain`: (k, n) and their classes (k,).

    Every pattern fits and is worth at least what was seen; none found proves nothing.
    """
    cells = rooms // grain
    coarse_worth = worth[np.arange(cells.max() + 1) * grain]
    patterns, classes, _ = price_patterns(
        (weight + grain - 1) // grain, value, count, cells, coarse_worth, needed, wanted
    )
    return patterns, classes


@compiled
def _bounds(
    weight: IntArray, value: IntArray, count: IntArray, rooms: IntArray, worth: IntArray, grain: int
) -> tuple[IntArray, IntArray]:
    """Upper bound of the pieces from i on for every coarse room, and the shortest of them.

    A length below one cell rounds down to nothing: its copies then count at no room, which only raises the
    bound.
    """
    n = weight.size
    cells = rooms.max() // grain
    ends = np.minimum((np.arange(cells + 1) + 1) * grain - 1, rooms.max())
    table = table_of_values(weight // grain, value, count, cells, worth[ends])
    least = np.full(n + 1, rooms.max() + 1, np.int64)
    for i in range(n - 1, -1, -1):
        least[i] = min(least[i + 1], weight[i])
    return table, least


@compiled
def price_exactly(
    weight: IntArray,
    value: IntArray,
    count: IntArray,
    rooms: IntArray,
    worth: IntArray,
    needed: IntArray,
    wanted: int,
    grain: int,
    steps: int,
) -> tuple[IntArray, IntArray, IntArray]:
    """Ever better patterns worth more than `needed`, their classes, and an upper bound for each class (s,).

    The walk follows the value a millimetre; the table of lengths rounded down ends every branch that cannot
    beat the best. Out of `steps`, the table alone is the bound: weaker, still true.
    """
    use = np.flatnonzero((value > 0) & (count > 0) & (weight <= rooms.max()))
    use = use[np.argsort(-value[use] / weight[use], kind="mergesort")]
    w, v, q, n = weight[use], value[use], count[use], use.size
    table, least = _bounds(w, v, q, rooms, worth, grain)
    patterns = np.zeros((wanted, weight.size), np.int64)
    classes = np.zeros(wanted, np.int64)
    best, found = needed.copy(), 0
    pattern = np.zeros(n, np.int64)
    for s in range(rooms.size):
        pattern[:] = 0
        left, got, i, step = rooms[s], 0, 0, 0
        while i >= 0 and step < steps and found < wanted:
            step += 1
            down = i < n and left >= least[i]
            if not down:
                if got + worth[left] > best[s]:
                    best[s] = got + worth[left]
                    patterns[found, use], classes[found] = pattern, s
                    found += 1
            else:
                take = min(q[i], left // w[i])
                while (
                    take >= 0 and got + take * v[i] + table[i + 1, (left - take * w[i]) // grain] <= best[s]
                ):
                    take -= 1
                down = take >= 0
                if down:
                    pattern[i] = take
                    left, got, i = left - take * w[i], got + take * v[i], i + 1
            while not down:
                i -= 1
                if i < 0:
                    break
                while pattern[i] > 0 and not down:
                    pattern[i] -= 1
                    left += w[i]
                    got -= v[i]
                    down = got + table[i + 1, left // grain] > best[s]
                if down:
                    i += 1
        if i >= 0:  # not walked to the end
            best[s] = max(best[s], table[0, rooms[s] // grain])
    return patterns[:found], classes[:found], best
