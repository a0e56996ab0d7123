"""A column: one group's lengths and places with one make, protection and supply, leaving in exact order.

Measures need no statics, so rows are priced in windows, as few as the walk comes to. `bound` says what no
row can be below; rows leave sorted by (measure, mass), those of both alike by their text.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.choose.blocks import Block, BlockMaker
from slingwright.choose.candidate import Candidate
from slingwright.choose.groups import Group, RowSet, Strong
from slingwright.choose.kept import Kept, Shelf
from slingwright.choose.known import Known
from slingwright.choose.nominal import BEATEN
from slingwright.choose.setting import Setting
from slingwright.shop import Protection, Refusal, StockSling
from slingwright.sling import Hitch

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

__all__ = ["MICRO", "Column", "Pairs", "Source", "sources"]

MICRO = 1_000_000
_SLICE = 256  # rows let out at once at most, the first time; four times as many each time after that
_WINDOW = 512  # rows priced at once, the first time; four times as many each time after that

Key = tuple[int, int, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """What a column is made of. `stock`: () = made to order, one: a row of the shelf, more: a choice of them.

    `shelf_row` is the row of the group's `shelf_rows` where the sling is one row of the shelf.
    """

    group: Group
    strong: Strong
    protection: Protection
    stock: tuple[StockSling, ...] = ()
    shelf_row: int | None = None

    @property
    def rows(self) -> RowSet:
        """The rows that its candidates are of."""
        return self.group.rows if self.shelf_row is None else self.group.shelf_rows

    @property
    def rows_at(self) -> Ints:
        """How many of its rows fit each place (P,)."""
        if self.shelf_row is not None:
            return np.asarray(self.rows.fits[self.shelf_row], dtype=np.int64)
        return self.rows.many_at

    @property
    def row_numbers(self) -> Ints:
        """Which of those rows, in the order of their slings' lengths together."""
        return self.rows.by_total if self.shelf_row is None else np.array([self.shelf_row])


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


def sources(
    setting: Setting, kept: Kept, group: Group, by: str, guards: tuple[Protection, ...]
) -> list[tuple[int, Source]]:
    """Everything the group's columns may be made of, each with a bound on its measure, least first."""
    out: list[tuple[int, Source]] = []
    for strong in group.makes:
        bounds = _bounds(setting, kept, group, strong, guards, by)
        for guard, bound in zip(guards, bounds, strict=True):
            if bound is not None:
                out.append((bound, Source(group=group, strong=strong, protection=guard, stock=group.slings)))
    for guard in guards:
        for k, strong in group.stock:
            stock = (group.shelf_slings[k],)
            bound = _stock_bound(setting, kept, group, strong, stock, guard, by)
            if bound is not None:
                one = Source(group=group, strong=strong, protection=guard, stock=stock, shelf_row=k)
                out.append((bound, one))
    out.sort(key=lambda x: x[0])
    return out


def _reserve_bound(setting: Setting, group: Group, strong: Strong) -> int:
    """No part carries less than its share of the weight hung upright."""
    arrangement = group.arrangements[0]
    main = next(i for i, h in enumerate(arrangement.holdings) if h.role == "main")
    parts = arrangement.legs * (2 if arrangement.holdings[main].hitch is Hitch.BASKET else 1)
    return int(setting.weight_n / parts / strong.rated[main].part_limit_n * MICRO)


def _stock_bound(
    setting: Setting,
    kept: Kept,
    group: Group,
    strong: Strong,
    stock: tuple[StockSling, ...],
    guard: Protection,
    by: str,
) -> int | None:
    """On the shelf, whether or not a loft still sews it; None where one has no price."""
    found = [kept.shelf(s, guard) for s in stock]
    priced = [f for f in found if isinstance(f, Shelf)]
    if len(priced) < len(found):
        return None
    legs = len(group.arrangements[0].holdings)
    if by == "reserve":
        return _reserve_bound(setting, group, strong)
    if by == "price":
        return min(f.price_minor for f in priced) * legs
    if by == "weight":
        return math.floor(min(f.mass_kg for f in priced) * legs * MICRO) - 1
    return min(f.days for f in priced)


def _bounds(
    setting: Setting,
    kept: Kept,
    group: Group,
    strong: Strong,
    guards: tuple[Protection, ...],
    by: str,
) -> list[int | None]:
    """What no candidate with each protection is below; None where there can be none."""
    make, slings = strong.make, group.slings
    if slings:
        return [_stock_bound(setting, kept, group, strong, slings, guard, by) for guard in guards]
    bare = kept.line(make, Protection.NONE)
    if isinstance(bare, Refusal) or not bare.lofts:
        return [None] * len(guards)
    lines = [bare if guard is Protection.NONE else kept.line(make, guard) for guard in guards]
    if by == "reserve":
        least, more = _reserve_bound(setting, group, strong), [0] * len(lines)
    elif by == "delivery":
        least, more = min(loft.days for loft in bare.lofts), [0] * len(lines)
    else:
        steps = np.maximum(group.rows.least, kept.steps(bare.least_length_m))
        if by == "weight":  # what protects them adds to it
            least, more = (
                math.floor(float(kept.masses(bare, make)[steps].sum()) * MICRO) - 1,
                [0] * len(lines),
            )
        else:
            legs = group.arrangements[0].legs
            least = int(kept.prices(bare, make)[steps].sum())
            more = [0 if isinstance(line, Refusal) else line.guard_minor * legs for line in lines]
    return [None if isinstance(x, Refusal) else least + y for x, y in zip(lines, more, strict=True)]


class Column:
    """Rows of a source at the places where they may lie, on their way out.

    Pushed on the heap at `key`; `passing` came through the sieve, `ready` are priced and in order, `floor`
    is what no unpriced row is below.
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
        self._kept, self._maker, self._by = kept, maker, by
        self._alive = np.flatnonzero(alive)
        self._waiting = source.row_numbers
        self._window = _WINDOW
        self._at, self._slice = 0, _SLICE
        self._ready, self._pending, self.passing = _NONE, _NONE, _NONE
        self._head: Candidate | None = None
        self._guards = 0
        self._grows = by in ("price", "weight") and not source.stock  # the measure, with the length
        self._slope = self._floor_line()

    # -- order ----------------------------------------------------------------------------------------

    def key(self) -> Key | None:
        """Where its next row stands in the order; None where none is left."""
        if len(self.passing.row):
            return (int(self.passing.key[0]), int(self.passing.mass[0]), self.head().text)
        self._price()
        if not len(self._ready.row):
            return None
        return (int(self._ready.key[0]), int(self._ready.mass[0]), "")

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

    def drop_fallen(self, *, graded_lose: bool) -> Ints:
        """Take out the rows of which it is known that they fall, unpriced; those of them that can be had.

        Of a fresh column at one place. `graded_lose`: those that are sure to be graded fall, too.
        """
        if self.source.shelf_row is None:
            self._waiting, fallen = self.known.halves(self._waiting, graded_lose=graded_lose)
        else:
            why = self.known.why[self._waiting, 0]
            falls = (why > 0) | (why == BEATEN) if graded_lose else why > 0
            self._waiting, fallen = self._waiting[~falls], self._waiting[falls]
        if not len(fallen):
            return fallen
        if self.source.stock:
            return _NO_ROWS if isinstance(self.block(fallen), Refusal) else fallen
        line = self._kept.line(self.source.strong.make, self.source.protection)
        if isinstance(line, Refusal):
            return _NO_ROWS
        able = self.source.rows.sewn(line)[0]
        return fallen[able[fallen]]

    def measured_as(self, pairs: Pairs) -> None:
        """All of its rows, with measures found otherwise."""
        self._at, self._ready = len(self._waiting), pairs.in_order()

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

    def _floor_line(self) -> tuple[float, float] | None:
        """A line below a sling's measure at any number of steps; None: all rows are measured at once.

        The measure of slings of S steps together is then no less than slope * S + slings * at_zero.
        """
        source, kept = self.source, self._kept
        if not self._grows:
            return None
        line = kept.line(source.strong.make, source.protection)
        if isinstance(line, Refusal):
            return None
        if self._by == "price":
            self._guards = line.guard_minor * source.group.arrangements[0].legs
            return kept.price_floor(line, source.strong.make)
        bare = kept.line(source.strong.make, Protection.NONE)
        return None if isinstance(bare, Refusal) else kept.mass_floor(bare, source.strong.make)

    def _floor(self) -> int | None:
        """What no row still waiting is below; None where none waits."""
        if self._at >= len(self._waiting):
            return None
        if self._slope is None:
            self._window = len(self._waiting)
            return -1  # nothing is sure before all are measured
        slope, low = self._slope
        steps = self.source.rows.steps[self._waiting[self._at]]
        return math.floor(slope * float(steps.sum()) + low * len(steps) + self._guards) - 1

    # -- rows -----------------------------------------------------------------------------------------

    def block(self, rows: Ints) -> Block | Refusal:
        """Rows of lengths as slings, those that can be had."""
        source = self.source
        arrangement, rated = source.group.arrangements[0], source.strong.rated
        if source.stock:
            drawn = None if source.shelf_row is not None else source.rows.steps[rows]
            return self._maker.stock(arrangement, source.stock, source.protection, rated, drawn)
        steps, lengths = source.rows.steps[rows], source.rows.lengths_m[rows]
        return self._maker.made(arrangement, source.strong.make, source.protection, rated, steps, lengths)

    def candidate(self, row: int, place: int) -> Candidate:
        """The candidate of one row at one place."""
        block = self.block(np.array([row]))
        assert not isinstance(block, Refusal)
        return block.candidate(0, self.source.group.arrangements[place])

    def _measured(self, rows: Ints) -> Pairs:
        """Rows at every place where they fit, with measures; what cannot be had is left out."""
        if self.source.stock:
            return self._shelved(rows)
        source, kept, holdings = self.source, self._kept, self.source.group.arrangements[0].holdings
        line = kept.line(source.strong.make, source.protection)
        bare = kept.line(source.strong.make, Protection.NONE)
        if isinstance(line, Refusal) or isinstance(bare, Refusal):
            return _NONE
        able, days = source.rows.sewn(line)
        rows = rows[able[rows]]
        steps = source.rows.steps[rows]
        price = np.zeros(len(rows), dtype=np.int64)
        kg = np.zeros(len(rows))  # sling by sling, as a block has it: the same bits
        for i, holding in enumerate(holdings):
            mine = line if holding.role == "main" else bare
            price += kept.prices(mine, source.strong.make)[steps[:, i]] + mine.guard_minor
            kg += kept.masses(mine, source.strong.make)[steps[:, i]]
        mass = np.asarray(np.rint(kg * MICRO), dtype=np.int64)
        return self._at_places(rows, {"price": price, "delivery": days[rows], "weight": mass}, mass)

    def _at_places(self, rows: Ints, measures: dict[str, Ints], mass: Ints) -> Pairs:
        keys = measures.get(self._by)
        keys = np.zeros(len(rows), dtype=np.int64) if keys is None else keys
        fits = self.source.rows.fits
        if fits.shape[1] == 1:  # one place, and every row that is asked for fits it
            return Pairs(rows, np.zeros(len(rows), dtype=np.int64), keys, mass)
        at, place = np.nonzero(fits[rows][:, self._alive])
        return Pairs(rows[at], self._alive[place], keys[at], mass[at])

    def _shelved(self, rows: Ints) -> Pairs:
        block = self.block(rows)
        if isinstance(block, Refusal) or not len(block.row_of):
            return _NONE
        mass = np.asarray(np.rint(block.mass_kg * MICRO), dtype=np.int64)
        measures = {"price": block.price_minor, "delivery": block.days, "weight": mass}
        return self._at_places(rows[block.row_of], measures, mass)

    def places(self) -> Iterator[int]:
        """The places it lies at."""
        return iter(self._alive.tolist())
