"""Where a walk is likely to end: at the cheapest make seen to hold the load on legs of one length.

Columns are sifted whole, from their cheapest row to their dearest, and up to half of a walk's time went into
rows that are dearer than its answer. Legs of one length hang alike whichever is hung where, so an answer of
grade 0 mostly has them, and they are few. Where anything may win that passes, some of every make's rows are
looked at, of all its lengths. What is told here only says how many rows are hung together: a walk
that comes to its horizon without an answer goes on behind it.
"""

from __future__ import annotations

from operator import itemgetter
from typing import TYPE_CHECKING

import numpy as np

from slingwright.choose.column import Column
from slingwright.choose.known import flat, question
from slingwright.choose.nominal import WAITS
from slingwright.choose.source import Source

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from slingwright.choose.search import Search

    Ints = NDArray[np.int64]

__all__ = ["Ahead"]

_TOGETHER = 12  # makes looked at at once
_FIRST = 4  # rows of a make that are hung to their end, at most
_SOME = 32  # rows of a make that are looked at where the graded may win


class Ahead:
    """How far a walk's columns are sifted whole; `sources`, with their bounds, are all it has."""

    def __init__(self, search: Search, by: str) -> None:
        self._search, self._by = search, by
        self.sources: list[tuple[int, Source]] = []
        self.horizon: int | None = None  # the measure that they are sifted to; None = all of them

    def look(self, *, graded_lose: bool) -> None:
        """Look for the horizon, once; `graded_lose`: only what is not graded can win."""
        if self.sources:
            every, self.sources = sorted(self.sources, key=itemgetter(0)), []
            likely = _likely(self._search, self._by, (source for _, source in every), graded_lose=graded_lose)
            self.horizon = self._first_of(likely, graded_lose=graded_lose)

    def pass_on(self, heap: list[tuple[tuple[int, int, str], int, object]]) -> None:
        """Where the next in a walk's heap stands behind the horizon, all are sifted as if there were none."""
        if self.horizon is None or heap[0][0][0] <= self.horizon:
            return
        self.horizon = None
        for _, _, thing in heap:
            if isinstance(thing, Column) and thing.sifted_to is not None:
                thing.sifted_whole, thing.sifted_to = False, None

    def _first_of(self, likely: list[Source], *, graded_lose: bool) -> int | None:
        """The measure of a row that can win, as far as the sieve tells; None for none."""
        for at in range(0, len(likely), _TOGETHER):
            some = [(s, _looked_at(s, graded_lose=graded_lose)) for s in likely[at : at + _TOGETHER]]
            questions = [question(s, rows) for s, rows in some]
            self._search.ask(questions, graded_lose=graded_lose, wait=True)
            first = (self._first(s, rows, graded_lose=graded_lose) for s, rows in some)
            found = [key for key in first if key is not None]
            if found:
                return min(found)
        return None

    def _first(self, source: Source, rows: Ints, *, graded_lose: bool) -> int | None:
        """The measure of the first of a make's rows that comes through the sieve."""
        search, by = self._search, self._by
        known = search.known(source)
        why = flat(known.why)[rows]
        few = rows[(why == 0) | (why == WAITS)][: _FIRST if graded_lose else _SOME]
        if not len(few):
            return None
        search.go_on([question(source, few)], later=False, graded_lose=graded_lose)
        wins = flat(known.why)[few] == 0
        if graded_lose:
            wins &= ~flat(known.graded)[few]
        few = few[wins]
        measured = search.priced(source).measured(few).by(by) if len(few) else few
        return int(measured[0]) if len(measured) else None


def _looked_at(source: Source, *, graded_lose: bool) -> Ints:
    """The rows of a make that are looked at, in the order of their lengths together."""
    rows = source.rows
    return rows.alike if graded_lose else rows.by_total[:: max(1, len(rows.by_total) // _SOME)]


def _likely(search: Search, by: str, sources: Iterable[Source], *, graded_lose: bool) -> list[Source]:
    """Of those of one strength the first, where no rule stops it."""
    them: dict[tuple[int, int], Source] = {}
    for s in sources:
        key = id(s.strong), id(s.rows)
        if key in them or s.stock or not s.group.straight:
            continue
        if not len(_looked_at(s, graded_lose=graded_lose)) or search.priced(s).line_below(by) is None:
            continue
        opened = search.opened(s)
        if opened.clear is not None or (opened.graded is not None and not graded_lose):
            them[key] = s
    return list(them.values())
