"""The compiled walk that fills chosen rolls, one after the other, with the least waste in all of them.

Serial and without the interpreter's lock, like `_kernel`; imported late with it. The walk counts its own
work, so that where it stops does not depend on the machine.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting._kernel import compiled

__all__ = ["pack_rolls"]

IntArray = npt.NDArray[np.int64]
BitArray = npt.NDArray[np.uint64]
BoolArray = npt.NDArray[np.bool_]


@compiled
def _reaches(bits: BitArray, high: int, slack: int) -> bool:
    """Tell whether any of the sums from `high - slack` to `high` is reached."""
    if high <= slack:
        return True  # nothing at all is always reached
    low = high - slack
    one, other = low >> 6, high >> 6
    for k in range(one, other + 1):
        word = bits[k]
        if word == 0:
            continue
        if k == one:
            word = (word >> np.uint64(low & 63)) << np.uint64(low & 63)
        if k == other:
            word &= ~np.uint64(0) >> np.uint64(63 - (high & 63))
        if word != 0:
            return True
    return False


@compiled
def _suffix_sums(weight: IntArray, left: IntArray, room: int, bits: BitArray) -> int:
    """Row i of `bits` = the sums up to `room` that the pieces from i on reach; returns the work done."""
    n, words = weight.size, (room >> 6) + 1
    bits[n, :words] = np.uint64(0)
    bits[n, 0] = np.uint64(1)
    work = words
    for i in range(n - 1, -1, -1):
        row = bits[i]
        row[:words] = bits[i + 1, :words]
        copies, step = min(left[i], room // weight[i]), 1
        while copies > 0:
            take = min(step, copies)
            shift = take * weight[i]
            skip, turn = shift >> 6, np.uint64(shift & 63)
            if turn == 0:
                for k in range(words - 1, skip - 1, -1):
                    row[k] |= row[k - skip]
            else:
                back = np.uint64(64) - turn
                for k in range(words - 1, skip, -1):
                    row[k] |= (row[k - skip] << turn) | (row[k - skip - 1] >> back)
                if skip < words:
                    row[skip] |= row[0] << turn
            copies -= take
            step *= 2
            work += words
        work += words
    return work


@compiled
def _write_sum(weight: IntArray, total: int, bits: BitArray, pattern: IntArray) -> None:
    """Write the pieces, the first ones as few times as can be, that make up `total`."""
    for i in range(weight.size):
        pattern[i] = 0
        while (bits[i + 1, total >> 6] >> np.uint64(total & 63)) & np.uint64(1) == 0:
            pattern[i] += 1
            total -= weight[i]


@compiled
def _split_rest(
    weight: IntArray, left: IntArray, caps: IntArray, worth: IntArray, bits: BitArray, pattern: IntArray
) -> int:
    """Share all that is left between two kept rolls so that their leftovers are worth most; that worth.

    `caps` (2,) = most that may be cut from each; their patterns are written. -1 = does not fit.
    """
    rest = (weight * left).sum()
    _suffix_sums(weight, left, min(rest, caps[0]), bits)
    best, at = -1, -1
    for s in range(max(rest - caps[1], 0), min(rest, caps[0]) + 1):
        if (bits[0, s >> 6] >> np.uint64(s & 63)) & np.uint64(1):
            value = worth[caps[0] - s] + worth[caps[1] - rest + s]
            if value > best:
                best, at = value, s
    if at >= 0:
        _write_sum(weight, at, bits, pattern[0])
        pattern[1] = left - pattern[0]
    return best


@compiled
def _next_pattern(
    weight: IntArray, left: IntArray, slack: int, space: int, first: bool, bits: BitArray, pattern: IntArray
) -> int:
    """Go on to the next pattern that leaves at most `slack` of the room; what it leaves, -1 = no more.

    `space` = what `pattern` leaves of the room now (all of it before the first).
    """
    n = weight.size
    i = 0
    if not first:
        i = n
        moved = False
        while i > 0 and not moved:
            i -= 1
            while pattern[i] > 0 and not moved:
                pattern[i] -= 1
                space += weight[i]
                moved = _reaches(bits[i + 1], space, slack)
        if not moved:
            return -1
        i += 1
    while i < n:  # down again, with as many copies as can be
        take = min(left[i], space // weight[i])
        while not _reaches(bits[i + 1], space - take * weight[i], slack):
            take -= 1
        pattern[i] = take
        space -= take * weight[i]
        i += 1
    return int(space)


@compiled
def _window(
    size: IntArray, kept: BoolArray, later: IntArray, last: int, at: int, waste: int
) -> tuple[int, int]:
    """Most that one bin may hold, and how much less it may be; `waste` = what it and later ones may waste."""
    if kept[at]:
        return size[at], 0
    spare = waste - later[at]
    if spare < 0:
        return -1, 0
    if at == last:  # what is not wasted by now is wasted here
        return size[at] - spare, 0
    return size[at], spare


@compiled
def _twin_before(pattern: IntArray, size: IntArray, kept: BoolArray, at: int) -> bool:
    """Tell whether this bin and the one before it, just like it, have been walked the other way round."""
    if at == 0 or size[at] != size[at - 1] or kept[at] or kept[at - 1]:
        return False
    for i in range(pattern.shape[1]):
        if pattern[at, i] != pattern[at - 1, i]:
            return bool(pattern[at, i] > pattern[at - 1, i])
    return False


@compiled
def pack_rolls(
    weight: IntArray,
    count: IntArray,
    size: IntArray,
    kept: BoolArray,
    later: IntArray,
    caps: IntArray,
    worth: IntArray,
    waste: int,
    least: int,
    goal: int,
    work: int,
) -> tuple[IntArray, int, bool]:
    """Cut everything: fill all rooms so that they waste exactly `waste` in sum, kept rolls take the rest.

    Parameters
    ----------
    weight, count : (n,) the pieces' lengths, in the sequence in which they are preferred, and their counts
    size : (b,) bins in the sequence in which they are filled: rooms, and what a single kept roll takes
    kept, later : (b,) which bin is that of the kept roll; what the rooms after each waste at least
    caps : (k,) most that may be cut from each of several kept rolls, longest first; else empty, and b >= 2
    worth : worth of what is not cut of that
    waste : what the rooms waste in all
    least, goal : kept worth of `least` or less is of no interest, at `goal` or more the walk ends
    work : machine words the walk may touch, about

    Returns
    -------
    patterns (b + k, n); the worth of what two kept rolls keep (else 0; -1: no plan found); whether the walk
    came to its end or to `goal`. The patterns of three kept rolls or more are left empty.
    """
    n, bins, k = weight.size, size.size, caps.size
    best, found = np.zeros((bins + k, n), np.int64), -1
    largest = max(size.max() if bins else 1, caps.max() if k else 1)
    bits = np.empty((bins + 1, n + 1, (largest >> 6) + 1), np.uint64)
    pattern, left = np.zeros((bins + k, n), np.int64), np.zeros((bins + 1, n), np.int64)
    left[0] = count
    wasted, space = np.zeros(bins + 1, np.int64), np.zeros(bins + 1, np.int64)
    last = bins - 1
    while last >= 0 and kept[last]:
        last -= 1
    level, fresh, done = 0, True, 0
    while level >= 0 and done <= work:
        done += 1
        if level == bins:
            value = 0
            if k == 2:
                value = _split_rest(weight, left[level], caps, worth, bits[level], pattern[bins:])
                done += n * (largest >> 6)
            if value > least:
                best[:], found, least = pattern, value, value
                if found >= goal:
                    return best, found, True
            level, fresh = level - 1, False
            continue
        high, slack = _window(size, kept, later, last, level, waste - wasted[level])
        if fresh:
            if high >= 0:
                done += _suffix_sums(weight, left[level], high, bits[level])
            if high < 0 or not _reaches(bits[level, 0], high, slack):
                level, fresh = level - 1, False
                continue
            space[level] = high
        over = _next_pattern(weight, left[level], slack, space[level], fresh, bits[level], pattern[level])
        if over < 0:
            level, fresh = level - 1, False
            continue
        if k == 0 and level == bins - 2:  # the last two bins need no walk: what one leaves fits the other
            pattern[level + 1] = left[level] - pattern[level]
            return pattern, 0, True
        space[level] = over
        fresh = not _twin_before(pattern, size, kept, level)
        if fresh:
            wasted[level + 1] = wasted[level] + (0 if kept[level] else size[level] - high + over)
            left[level + 1] = left[level] - pattern[level]
            level += 1
    return best, found, level < 0
