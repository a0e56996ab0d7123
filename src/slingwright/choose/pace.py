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

_AT_FIRST = 2048  # rows hung at once, before a share of those that were is as many
_SHARE = 4


class Pace:
    """How many rows are hung at once: twice as many each time, and soon a share of all that were.

    So what is hung beyond the answer is a share of what had to be hung.
    """

    def __init__(self, first: int) -> None:
        self._next, self._all = first, 0

    def cut(self, keys: Sequence[NDArray[np.int64]]) -> list[int]:
        """How many of each column's next rows, whose keys rise, are hung now: those that come first."""
        most = self._next
        if not keys:
            return []
        first = np.concatenate([k[:most] for k in keys])
        last = np.partition(first, min(most, len(first)) - 1)[min(most, len(first)) - 1]
        many = [int(np.searchsorted(k, last, side="right")) for k in keys]
        self._all += sum(many)
        self._next = max(min(2 * most, _AT_FIRST), self._all // _SHARE)
        return many


def beside(heap: list[tuple[tuple[int, int, str], int, object]], first: Column, most: int) -> list[Column]:
    """A column that waits, and of the next so many things in the heap those that wait for the same; taken."""
    later, columns, aside = first.waits_for() == LATER, [first], []
    for _ in range(min(most, len(heap))):
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
