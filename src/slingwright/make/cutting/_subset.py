"""The compiled loops that fill rolls one by one, each as full as can be: subset sums kept as bits.

Serial and without the interpreter's lock, like `_kernel`; imported late with it.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting._kernel import compiled

__all__ = ["fill_lengths", "hull_corners", "least_empty"]

IntArray = npt.NDArray[np.int64]
BitArray = npt.NDArray[np.uint64]

_SHUFFLE = 0.03  # how much further each pair of tries may turn the sequence of the pieces
_SHUFFLE_MOST = 0.9


@compiled
def _has(bits: BitArray, at: int) -> bool:
    return bool((bits[at >> 6] >> np.uint64(at & 63)) & np.uint64(1))


@compiled
def _sums(
    order: IntArray,
    left: IntArray,
    weight: IntArray,
    room: int,
    stop_full: bool,
    part: IntArray,
    bits: BitArray,
) -> int:
    """Row p of `bits` = the sums the first p pieces reach; returns how many rows were made."""
    words = (room >> 6) + 1
    bits[0, :words] = np.uint64(0)
    bits[0, 0] = np.uint64(1)
    parts = 0
    for i in order:
        skip, shift = weight[i] >> 6, np.uint64(weight[i] & 63)
        for _ in range(min(left[i], room // weight[i])):
            for k in range(words):
                found = bits[parts, k]
                if k >= skip:
                    found |= bits[parts, k - skip] << shift
                if k > skip and shift > 0:
                    found |= bits[parts, k - skip - 1] >> (np.uint64(64) - shift)
                bits[parts + 1, k] = found
            part[parts] = i
            parts += 1
            if stop_full and _has(bits[parts], room):
                return parts
    return parts


@compiled
def _take(
    total: int, parts: int, weight: IntArray, part: IntArray, bits: BitArray, pattern: IntArray
) -> None:
    """Walk back through the rows: the pieces, early ones first, that make up `total`."""
    while total > 0:
        while parts > 0 and _has(bits[parts - 1], total):
            parts -= 1
        parts -= 1
        pattern[part[parts]] += 1
        total -= weight[part[parts]]


@compiled
def _fill(
    order: IntArray,
    left: IntArray,
    weight: IntArray,
    room: int,
    part: IntArray,
    bits: BitArray,
    pattern: IntArray,
) -> int:
    """Fill one room as full as can be; returns what stays empty."""
    parts = _sums(order, left, weight, room, True, part, bits)
    total = room
    while not _has(bits[parts], total):
        total -= 1
    _take(total, parts, weight, part, bits, pattern)
    return room - total


@compiled
def hull_corners(worth: IntArray) -> IntArray:
    """Corners of the least concave function above `worth`."""
    at = np.empty(worth.size, np.int64)
    k = 0
    for j in range(worth.size):
        while k >= 2 and (worth[at[k - 1]] - worth[at[k - 2]]) * (j - at[k - 2]) <= (
            worth[j] - worth[at[k - 2]]
        ) * (at[k - 1] - at[k - 2]):
            k -= 1
        at[k] = j
        k += 1
    return at[:k]


@compiled
def least_empty(weight: IntArray, count: IntArray, rooms: IntArray) -> IntArray:
    """What at least stays empty of each room, whatever is cut from it."""
    part = np.empty(count.sum() + 1, np.int64)
    bits = np.empty((count.sum() + 1, (rooms.max() >> 6) + 1), np.uint64)
    order = np.argsort(-weight)
    pattern = np.zeros(weight.size, np.int64)
    empty = np.empty(rooms.size, np.int64)
    for r in range(rooms.size):
        empty[r] = _fill(order, count, weight, rooms[r], part, bits, pattern)
    return empty


@compiled
def _spread(left: IntArray, weight: IntArray, kept: IntArray, patterns: IntArray) -> bool:
    """Longest first into the kept room with most left: leftovers alike are worth most. False = no room."""
    room = kept.copy()
    for i in np.argsort(-weight):
        for _ in range(left[i]):
            r = np.argmax(room)
            if room[r] < weight[i]:
                return False
            room[r] -= weight[i]
            patterns[r, i] += 1
    return True


@compiled
def _fill_kept_first(
    order: IntArray,
    left: IntArray,
    weight: IntArray,
    low: int,
    high: int,
    part: IntArray,
    bits: BitArray,
    pattern: IntArray,
) -> bool:
    """Give the kept roll the least total of at least `low` that pieces make up; False = none up to `high`."""
    parts = _sums(order, left, weight, high, False, part, bits)
    total = low
    while total <= high and not _has(bits[parts], total):
        total += 1
    if total <= high:
        _take(total, parts, weight, part, bits, pattern)
    return total <= high


@compiled
def fill_lengths(
    weight: IntArray, count: IntArray, ended: IntArray, kept: IntArray, tries: int, seed: int
) -> tuple[IntArray, bool]:
    """Cut everything: the `ended` rooms as full as can be, the `kept` rooms take what is over.

    Every try shuffles the sequence of the pieces a little more. With one kept room every other try begins
    with it: it gets the least that the others could not hold, and the last ended room gets the rest.

    Returns the patterns (ended, then kept) of the try that wastes least, and whether any placed every piece.
    """
    n = weight.size
    np.random.seed(seed)  # numba's own generator: same seed, same plan
    largest = max(ended.max() if ended.size else 1, kept.max() if kept.size else 1)
    bits = np.empty((count.sum() + 1, (largest >> 6) + 1), np.uint64)
    part = np.empty(count.sum() + 1, np.int64)
    best = np.zeros((ended.size + kept.size, n), np.int64)
    least = -1
    low = (weight * count).sum() - ended.sum()
    for attempt in range(tries):
        turn = min(_SHUFFLE * (attempt // 2), _SHUFFLE_MOST)
        patterns = np.zeros((ended.size + kept.size, n), np.int64)
        left = count.copy()
        waste = 0
        kept_first = attempt % 2 == 1 and kept.size == 1 and ended.size > 0 and 0 < low <= kept[0]
        if kept_first:
            order = np.argsort(-weight * (1.0 - turn + 2 * turn * np.random.random(n)))
            if not _fill_kept_first(order, left, weight, low, kept[0], part, bits, patterns[ended.size]):
                continue
            left -= patterns[ended.size]
        for r in range(ended.size):
            order = np.argsort(-weight * (1.0 - turn + 2 * turn * np.random.random(n)))
            waste += _fill(order, left, weight, ended[r], part, bits, patterns[r])
            left -= patterns[r]
            if 0 <= least <= waste:
                break
        if 0 <= least <= waste or (kept_first and left.sum() > 0):
            continue
        if (kept_first or _spread(left, weight, kept, patterns[ended.size :])) and (
            least < 0 or waste < least
        ):
            least = waste
            best = patterns
            if waste == 0:
                break
    return best, least >= 0
