"""A column: one group's lengths and places with one make, protection and supply, leaving in exact order.

Measures need no statics, so rows are priced in windows, as few as the walk comes to. `bound` says what no
row can be below; rows leave sorted by (measure, mass), those of both alike by their text.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.choose.blocks import BlockMaker
from slingwright.choose.candidate import Candidate
from slingwright.choose.kept import Kept
from slingwright.choose.known import Halves, Known, Question, question
from slingwright.choose.nominal import LATER
from slingwright.choose.source import Priced, Source

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

__all__ = ["Column", "Pairs"]

_SLICE = 256  # rows let out at once at most, the first time; four times as many each time after that
_WINDOW = 512  # rows priced at once, the first time; four times as many each time after that

Key = tuple[int, int, str]


class Pairs(NamedTuple):
    """Rows at places, each with its measure and mass as whole numbers."""

    row: Ints
    place: Ints
    key: Ints
    mass: Ints

    def take(self, at: Ints | slice) -> Pairs:
        """Some of them."""
        return Pairs(self.row[at], self.place[at], self.key[at], self.mass[at])

    def in_order(self) -> Pairs:
        """By measure, then mass."""
        return self.take(np.lexsort((self.mass, self.key)))

    def joined(self, other: Pairs) -> Pairs:
        """Both."""
        return Pairs(*(np.concatenate(both) for both in zip(self, other, strict=True)))


_NO_ROWS = np.zeros(0, dtype=np.int64)
_NONE = Pairs(_NO_ROWS, _NO_ROWS, _NO_ROWS, _NO_ROWS)


class Column:
    """Rows of a source at the places where they may lie, on their way out.

    Pushed on the heap at `key`; `passing` came through the sieve as far as they were hung, `behind` are to be
    hung later, `ready` are priced and in order, `floor` is what no unpriced row is below.
    """

    def __init__(
        self,
        kept: Kept,
        maker: BlockMaker,
        source: Source,
        known: Known,
        alive: NDArray[np.bool_],
        by: str,
        graded: bool,
    ) -> None:
        self.source, self.known, self.graded = source, known, graded
        self.priced, self._by = Priced(kept, maker, source), by
        self._alive = np.flatnonzero(alive)
        self._waiting = source.row_numbers
        self._window = _WINDOW
        self._at, self._slice = 0, _SLICE
        self._ready, self._pending, self.passing, self.behind = _NONE, _NONE, _NONE, _NONE
        self._head: Candidate | None = None
        self.sifted_whole = False  # what was left of it by then, as far as `sifted_to` where that is given
        self.sifted_to: int | None = None
        self._grows = by in ("price", "weight") and not source.stock  # the measure, with the length
        self._slope = self.priced.line_below(by)

    # -- order ----------------------------------------------------------------------------------------

    def key(self) -> Key | None:
        """Where its next row stands in the order; None where none is left."""
        if self.waits_for():
            next_of = self.passing if len(self.passing.row) else self.behind
            return (int(next_of.key[0]), int(next_of.mass[0]), "")
        if len(self.passing.row):
            return (int(self.passing.key[0]), int(self.passing.mass[0]), self.head().text)
        self._price()
        if not len(self._ready.row):
            return None
        return (int(self._ready.key[0]), int(self._ready.mass[0]), "")

    def least_key(self) -> Key | None:
        """Where no row stands before, while none is priced; as `key` where no such line is known."""
        floor = None if self._at else self._floor()
        return self.key() if floor is None or floor < 0 else (floor, 0, "")

    def head(self) -> Candidate:
        """The candidate of the first row that came through; of those that tie the one whose text is first."""
        if self._head is None:
            p = self.passing
            tied = np.flatnonzero((p.key == p.key[0]) & (p.mass == p.mass[0]))
            if (p.row[tied] == p.row[0]).all():  # then only the place tells them apart
                first = int(tied[np.argmin(self.source.group.text_rank[p.place[tied]])])
            else:
                texts = [self.candidate(int(p.row[i]), int(p.place[i])).text for i in tied]
                first = int(tied[texts.index(min(texts))])
            order = np.arange(len(p.row))
            order[0], order[first] = first, 0
            self.passing = p.take(order)
            self._head = self.candidate(int(p.row[first]), int(p.place[first]))
        return self._head

    def waits_for(self) -> int:
        """What its next row waits for before it can be judged; 0 for nothing.

        `LATER`, `WAITS`, or what it fell under by now: a make of the same strength may have asked for it. Of
        rows that tie none is judged while another waits: their texts decide.
        """
        p = self.passing
        if not len(p.row):
            return LATER if len(self.behind.row) else 0
        tied = int(np.searchsorted(p.key, p.key[0], side="right"))
        why = self.known.why[p.row[:tied], p.place[:tied]][p.mass[:tied] == p.mass[0]]
        return int(why[np.argmax(why != 0)])

    def came_through(self) -> int:
        """How many rows are on their way through the sieve or came through."""
        return len(self.passing.row) + len(self.behind.row)

    def next_keys(self, *, later: bool) -> Ints:
        """The measures of the rows that came through, or of those `later`, in order."""
        return self.behind.key if later else self.passing.key

    def next_of(self, *, later: bool, many: int) -> Pairs:
        """The next rows of those that came through; of those `later`, which are taken from them."""
        if not later:
            return self.passing.take(slice(0, many))
        head, self.behind = self.behind.take(slice(0, many)), self.behind.take(slice(many, None))
        return head

    def keep_head(self, kept: NDArray[np.bool_]) -> None:
        """Leave some of the first that came through, and all others."""
        if not kept.all():
            rest = np.ones(len(self.passing.row) - len(kept), dtype=np.bool_)
            self.keep_passing(np.concatenate([kept, rest]))

    def raise_passing(self, keys: Ints) -> None:
        """The first that came through measure no less than these; all stand in order again."""
        key = self.passing.key.copy()
        np.maximum(key[: len(keys)], keys, out=key[: len(keys)])
        self.passing, self._head = self.passing._replace(key=key).in_order(), None

    def drop_head(self) -> None:
        """It was judged."""
        self.passing, self._head = self.passing.take(slice(1, None)), None

    def keep_passing(self, kept: NDArray[np.bool_]) -> None:
        """Leave some of those that came through."""
        self.passing, self._head = self.passing.take(np.flatnonzero(kept)), None

    def next_slice(self, most: int) -> Pairs:
        """The rows to be sifted next, about as many as asked; those that tie stay together."""
        self._price()
        ready, end = self._ready, min(most, self._slice, len(self._ready.row))
        if self.sifted_to is not None:  # what stands behind is sifted together, if its turn comes
            end = max(1, min(end, int(np.searchsorted(ready.key, self.sifted_to, side="right"))))
        while end < len(ready.row) and (
            ready.key[end] == ready.key[end - 1] and ready.mass[end] == ready.mass[end - 1]
        ):
            end += 1
        self._slice *= 4
        self._ready = ready.take(slice(end, None))
        return ready.take(slice(0, end))

    def all_pairs(self) -> Pairs:
        """Every row at every place; leaves the column as it is."""
        return self._measured(self.source.row_numbers)

    def waiting_pairs(self) -> Pairs:
        """Every row that is not priced yet, at every place."""
        rows = self._waiting[self._at :]
        return self._measured(rows) if len(rows) else _NONE

    def drop_fallen(self, *, graded_lose: bool) -> Halves:
        """Take out the rows of which it is known that they fall, unpriced, whether or not they can be had.

        Of a column at one place. `graded_lose`: those that are sure to be graded fall, too.
        """
        every = self._waiting is self.source.rows.by_total and not self._at  # none has left before
        halves = self.known.halves(self.rest, graded_lose=graded_lose, all_rows=every)
        self._begin_again(halves.left)
        return halves

    @property
    def rest(self) -> Ints:
        """The rows that were not let out yet and may be had, in the order of their lengths together."""
        if not self._at:
            return self._waiting
        priced, left = self._waiting[: self._at], np.zeros(len(self.source.rows.steps), dtype=np.bool_)
        left[self._ready.row] = left[self._pending.row] = True
        return np.concatenate([priced[left[priced]], self._waiting[self._at :]])

    def rest_to(self, key: int | None) -> Ints:
        """Of the rest the rows whose line stands at no more than a measure; all where none is given."""
        rest, slope = self.rest, self._slope
        if key is None or slope is None:
            return rest
        total, slings = self.source.rows.total, self.source.rows.steps.shape[1]
        return rest[: bisect_right(rest, key, key=lambda row: slope.at(int(total[row]), slings))]

    def question(self, pairs: Pairs) -> Question:
        """What the sieve is asked of some of its rows."""
        return question(self.source, pairs.row, pairs.place)

    def measured_as(self, pairs: Pairs) -> None:
        """All of its rows, with measures found otherwise."""
        self._at, self._ready = len(self._waiting), pairs.in_order()

    def _begin_again(self, rows: Ints) -> None:
        """With some of the rest alone, unpriced."""
        self._waiting, self._at, self._window = rows, 0, _WINDOW
        self._ready = self._pending = _NONE

    def _price(self) -> None:
        """Price windows of rows until the next in order is known."""
        while not len(self._ready.row) and (self._at < len(self._waiting) or len(self._pending.row)):
            rows = self._waiting[self._at : self._at + self._window]
            self._at += len(rows)
            self._window *= 4
            known = self._measured(rows)
            if len(self._pending.row):
                known = self._pending.joined(known)
            if not (self._grows and self.source.rows.uniform):  # else in order by now
                known = known.in_order()
            floor = self._floor()
            sure = len(known.row) if floor is None else int(np.searchsorted(known.key, floor))
            self._ready, self._pending = known.take(slice(0, sure)), known.take(slice(sure, None))

    def _floor(self) -> int | None:
        """What no row still waiting is below; None where none waits."""
        if self._at >= len(self._waiting):
            return None
        if self._slope is None:
            self._window = len(self._waiting)
            return -1  # nothing is sure before all are measured
        steps = self.source.rows.steps[self._waiting[self._at]]
        return self._slope.at(int(steps.sum()), len(steps))

    # -- rows -----------------------------------------------------------------------------------------

    def candidate(self, row: int, place: int) -> Candidate:
        """The candidate of one row at one place."""
        return self.priced.candidate(row, place)

    def _measured(self, rows: Ints) -> Pairs:
        """Rows at every place where they fit, with measures; what cannot be had is left out."""
        found = self.priced.measured(rows)
        keys, fits = found.by(self._by), self.source.rows.fits
        if fits.shape[1] == 1:  # one place, and every row that is asked for fits it
            return Pairs(found.row, np.zeros(len(found.row), dtype=np.int64), keys, found.mass)
        at, place = np.nonzero(fits[found.row][:, self._alive])
        return Pairs(found.row[at], self._alive[place], keys[at], found.mass[at])

    def places(self) -> Iterator[int]:
        """The places it lies at."""
        return iter(self._alive.tolist())
