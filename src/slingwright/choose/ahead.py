"""Where a walk is likely to end: at the cheapest make seen to hold the load on legs of one length.

Columns are sifted whole, from their cheapest row to their dearest, and up to half of a walk's time went into
rows that are dearer than its answer. Legs of one length hang alike whichever is hung where, so an answer of
grade 0 mostly has them, and they are few. What is told here only says how many rows are hung together: a walk
that comes to its horizon without an answer goes on behind it.
"""

from __future__ import annotations

from operator import itemgetter
from typing import TYPE_CHECKING

from slingwright.choose.column import Column
from slingwright.choose.known import flat, question
from slingwright.choose.nominal import WAITS
from slingwright.choose.source import Source

if TYPE_CHECKING:
    from collections.abc import Iterable

    from slingwright.choose.search import Search

__all__ = ["Ahead"]

_TOGETHER = 12  # makes looked at at once
_FIRST = 4  # rows of a make that are hung to their end, at most


class Ahead:
    """How far a walk's columns are sifted whole; `sources`, with their bounds, are all it has."""

    def __init__(self, search: Search, by: str) -> None:
        self._search, self._by = search, by
        self.sources: list[tuple[int, Source]] = []
        self.horizon: int | None = None  # the measure that they are sifted to; None = all of them

    def look(self) -> None:
        """Look for the horizon, once, where only what is not graded can win."""
        if self.sources:
            every, self.sources = sorted(self.sources, key=itemgetter(0)), []
            self.horizon = self._first_of(_likely(self._search, self._by, (source for _, source in every)))

    def pass_on(self, heap: list[tuple[tuple[int, int, str], int, object]]) -> None:
        """Where the next in a walk's heap stands behind the horizon, all are sifted as if there were none."""
        if self.horizon is None or heap[0][0][0] <= self.horizon:
            return
        self.horizon = None
        for _, _, thing in heap:
            if isinstance(thing, Column) and thing.sifted_to is not None:
                thing.sifted_whole, thing.sifted_to = False, None

    def _first_of(self, likely: list[Source]) -> int | None:
        """The measure of a row neither stopped nor graded, as far as the sieve tells; None for none."""
        for at in range(0, len(likely), _TOGETHER):
            some = likely[at : at + _TOGETHER]
            self._search.ask([question(s, s.rows.alike) for s in some], graded_lose=True, wait=True)
            found = [key for s in some if (key := _first(self._search, self._by, s)) is not None]
            if found:
                return min(found)
        return None


def _likely(search: Search, by: str, sources: Iterable[Source]) -> list[Source]:
    """Of those of one strength the first, where no rule stops it."""
    them: dict[tuple[int, int], Source] = {}
    for s in sources:
        key = id(s.strong), id(s.rows)
        if key in them or s.stock or not (s.group.straight and len(s.rows.alike)):
            continue
        if search.priced(s).line_below(by) is not None and search.opened(s).clear is not None:
            them[key] = s
    return list(them.values())


def _first(search: Search, by: str, source: Source) -> int | None:
    """The measure of the first of a make's rows that comes through the sieve."""
    known, rows = search.known(source), source.rows.alike
    why = flat(known.why)[rows]
    few = rows[(why == 0) | (why == WAITS)][:_FIRST]
    if not len(few):
        return None
    search.go_on([question(source, few)], later=False, graded_lose=True)
    few = few[(flat(known.why)[few] == 0) & ~flat(known.graded)[few]]
    measured = search.priced(source).measured(few).by(by) if len(few) else few
    return int(measured[0]) if len(measured) else None
