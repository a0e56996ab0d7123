"""The compiled loops that need no prices: rolls filled one by one, first fit, all full patterns.

Serial and without the interpreter's lock, like `_kernel`; imported late with it.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting._kernel import compiled

__all__ = ["enumerate_full_patterns", "fill_rolls", "fill_shelf", "first_fit_rolls"]

IntArray = npt.NDArray[np.int64]


@compiled
def _reach(
    weight: IntArray,
    order: IntArray,
    left: IntArray,
    room: int,
    pattern: IntArray,
    via: IntArray,
    from_part: IntArray,
) -> int:
    """Fill `room` as full as can be, pieces early in `order` first; returns what stays empty.

    A room is remembered by the first piece that reached it, so walking back never cuts one piece twice;
    the walk ends as soon as the room is exactly full.
    """
    for c in range(room + 1):
        via[c] = -1
    top = 0
    part = 0
    done = False
    for i in order:
        w = weight[i]
        for _ in range(min(left[i], room // w)):
            for c in range(min(room, top + w), w - 1, -1):
                if via[c] < 0 and (c == w or via[c - w] >= 0):
                    via[c] = part
            from_part[part] = i
            part += 1
            top = min(room, top + w)
            if via[room] >= 0:
                done = True
                break
        if done:
            break
    c = room
    while c > 0 and via[c] < 0:
        c -= 1
    empty = room - c
    while c > 0:
        i = from_part[via[c]]
        pattern[i] += 1
        c -= weight[i]
    return empty


@compiled
def fill_rolls(
    weight: IntArray, count: IntArray, room: int, goal: int, tries: int, work: int, seed: int
) -> tuple[IntArray, IntArray]:
    """Cut everything from rolls of one length: the longest piece left, then the fullest filling of the rest.

    Long pieces are preferred, so that short ones stay for the end; every try after the first shuffles that
    preference a little more. Stops at `goal` rolls, or when the steps of work are used up.

    Returns the patterns (k, n) of the best try and how often each is cut (k,).
    """
    n = weight.size
    np.random.seed(seed)  # numba's own generator: same seed, same plan
    via = np.empty(room + 1, np.int64)
    from_part = np.empty(count.sum(), np.int64)
    best_rolls = count.sum() + 1
    best_patterns = np.zeros((0, n), np.int64)
    best_times = np.zeros(0, np.int64)
    patterns = np.zeros((count.sum(), n), np.int64)
    times = np.zeros(count.sum(), np.int64)
    spent = 0
    for attempt in range(tries):
        spread = 0.02 * attempt
        order = np.argsort(-weight * (1.0 - spread + 2 * spread * np.random.random(n)))
        left = count.copy()
        kinds = 0
        rolls = 0
        while left.sum() > 0 and rolls < best_rolls:
            patterns[kinds] = 0
            first = order[0]
            for i in order:
                if left[i] > 0:
                    first = i
                    break
            patterns[kinds, first] = 1
            left[first] -= 1
            _reach(weight, order, left, room - weight[first], patterns[kinds], via, from_part)
            left[first] += 1
            spent += left.sum() * room
            again = count.sum()
            for i in range(n):
                if patterns[kinds, i] > 0:
                    again = min(again, left[i] // patterns[kinds, i])
            left -= again * patterns[kinds]
            times[kinds] = again
            rolls += again
            kinds += 1
        if rolls < best_rolls and left.sum() == 0:
            best_rolls = rolls
            best_patterns = patterns[:kinds].copy()
            best_times = times[:kinds].copy()
        if best_rolls <= goal or spent > work:
            break
    return best_patterns, best_times


@compiled
def fill_shelf(
    weight: IntArray, count: IntArray, ended: IntArray, kept: IntArray, tries: int, seed: int
) -> tuple[IntArray, bool]:
    """Fill the `ended` rooms one by one as full as can be, then place the rest in the `kept` rooms.

    The first try prefers long pieces, every later one shuffles that preference. Returns the patterns of the
    try that wastes least in the ended rooms, ended then kept, and whether any try placed every piece.
    """
    n = weight.size
    np.random.seed(seed)  # numba's own generator: same seed, same plan
    via = np.empty(ended.max() + 1 if ended.size else 1, np.int64)
    from_part = np.empty(count.sum() + 1, np.int64)
    best = np.zeros((ended.size + kept.size, n), np.int64)
    least = -1
    for attempt in range(tries):
        spread = min(0.05 * attempt, 0.9)
        order = np.argsort(-weight * (1.0 - spread + 2 * spread * np.random.random(n)))
        patterns = np.zeros((ended.size + kept.size, n), np.int64)
        left = count.copy()
        waste = 0
        for r in range(ended.size):
            waste += _reach(weight, order, left, ended[r], patterns[r], via, from_part)
            left -= patterns[r]
        for r in range(kept.size):
            room = kept[r]
            for i in range(n):
                take = min(left[i], room // weight[i])
                patterns[ended.size + r, i] = take
                left[i] -= take
                room -= take * weight[i]
        if left.sum() == 0 and (least < 0 or waste < least):
            least = waste
            best = patterns
            if waste == 0:
                break
    return best, least >= 0


@compiled
def first_fit_rolls(
    weight: IntArray, count: IntArray, room: IntArray, supply: IntArray, smallest: bool
) -> tuple[IntArray, IntArray]:
    """First fit in the order given: into the first open roll with room, else a new one.

    The new one is the smallest that holds the piece, or the longest on the shelf (rooms are sorted falling).
    Pieces without room stay uncut. Returns the patterns (k, n) and their classes (k,).
    """
    n = weight.size
    stock = supply.copy()
    most = min(count.sum(), supply.sum())
    patterns = np.zeros((most, n), np.int64)
    classes = np.zeros(most, np.int64)
    left = np.zeros(most, np.int64)
    rolls = 0
    for i in range(n):
        start = 0
        for _ in range(count[i]):
            while start < rolls and left[start] < weight[i]:
                start += 1
            if start == rolls:
                found = -1
                for k in range(room.size):
                    s = room.size - 1 - k if smallest else k
                    if stock[s] > 0 and room[s] >= weight[i]:
                        found = s
                        break
                if found < 0:
                    break
                stock[found] -= 1
                classes[rolls] = found
                left[rolls] = room[found]
                rolls += 1
            patterns[start, i] += 1
            left[start] -= weight[i]
    return patterns[:rolls], classes[:rolls]


@compiled
def enumerate_full_patterns(
    weight: IntArray, count: IntArray, room: int, spare: int, wanted: int
) -> tuple[IntArray, bool]:
    """All patterns that leave at most `spare` of one room, or (…, False) if there are more than `wanted`."""
    n = weight.size
    ends = np.zeros((n + 1, room + 1), np.uint8)  # can the pieces from i on fill this room but for the spare?
    for c in range(min(spare, room) + 1):
        ends[n, c] = 1
    for i in range(n - 1, -1, -1):
        w = weight[i]
        ends[i] = ends[i + 1]
        for _ in range(min(count[i], room // w)):
            for c in range(room, w - 1, -1):
                ends[i, c] |= ends[i, c - w]
    patterns = np.zeros((wanted, n), np.int64)
    found = 0
    pattern = np.zeros(n, np.int64)
    if not ends[0, room]:
        return patterns[:0], True
    left = room
    i = 0
    while True:
        if i == n:
            if found == wanted:
                return patterns, False
            patterns[found] = pattern
            found += 1
        else:
            take = min(count[i], left // weight[i])
            while take >= 0 and not ends[i + 1, left - take * weight[i]]:
                take -= 1
            if take >= 0:
                pattern[i] = take
                left -= take * weight[i]
                i += 1
                continue
        while True:
            i -= 1
            if i < 0:
                return patterns[:found], True
            moved = False
            while pattern[i] > 0 and not moved:
                pattern[i] -= 1
                left += weight[i]
                moved = ends[i + 1, left] == 1
            if moved:
                i += 1
                break
