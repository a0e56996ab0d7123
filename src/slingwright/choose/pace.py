"""Which rows that wait are hung together: the next in the order of several columns, more each time."""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from slingwright.choose.column import Column
from slingwright.choose.nominal import LATER

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Pace", "beside"]

Entry = tuple[tuple[int, int, str], int, object]

_AT_FIRST = 8192  # rows hung at once, before a share of those that were is as many
_SHARE = 4
_LOOK = 8  # columns taken before it is looked at whether they are enough


class Pace:
    """How many rows are hung at once: twice as many each time, and soon a share of all that were.

    So what is hung beyond the answer is a share of what had to be hung.
    """

    def __init__(self, first: int) -> None:
        self.next, self._all = first, 0

    def cut(self, keys: Sequence[NDArray[np.int64]]) -> list[int]:
        """How many of each column's next rows, whose keys rise, are hung now: those that come first."""
        most = self.next
        if not keys:
            return []
        first = np.concatenate([k[:most] for k in keys])
        last = np.partition(first, min(most, len(first)) - 1)[min(most, len(first)) - 1]
        many = [int(np.searchsorted(k, last, side="right")) for k in keys]
        self._all += sum(many)
        self.next = max(min(2 * most, _AT_FIRST), self._all // _SHARE)
        return many


def beside(heap: list[Entry], first: Column, most: int, rows: int) -> list[Column]:
    """A column that waits, and of those next in the heap what waits for the same; taken.

    As many as it takes for so many `rows` to be sure to come first of all, `most` things looked at.
    """
    later, columns, aside = first.waits_for() == LATER, [first], []
    for n in range(min(most, len(heap))):
        if n % _LOOK == 0 and _before(columns, heap[0][0][0], later=later) >= rows:
            break
        entry = heapq.heappop(heap)
        thing = entry[2]
        waits = thing.waits_for() if isinstance(thing, Column) else 0
        if isinstance(thing, Column) and waits and (waits == LATER) == later:
            columns.append(thing)
        else:
            aside.append(entry)
    for entry in aside:
        heapq.heappush(heap, entry)
    return columns


def _before(columns: list[Column], key: int, *, later: bool) -> int:
    """How many of their rows that wait stand before a key."""
    return sum(int(np.searchsorted(c.next_keys(later=later), key)) for c in columns)
