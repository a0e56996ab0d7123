"""What a column is made of: a group's rows with one make, protection and supply, and what they cost.

A row's measures need no statics; what no candidate of a source is below is known before any row is priced.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.choose.blocks import Block, BlockMaker
from slingwright.choose.candidate import Candidate
from slingwright.choose.groups import Group, RowSet, Strong
from slingwright.choose.kept import Kept, Shelf
from slingwright.choose.setting import Setting
from slingwright.shop import Protection, Refusal, StockSling
from slingwright.sling import Hitch

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

__all__ = ["MICRO", "Line", "Measured", "Priced", "Source", "reserve_bound", "sources"]

MICRO = 1_000_000


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


class Measured(NamedTuple):
    """Rows that can be had, with price [minor], days and mass [mg], (S,)."""

    row: Ints
    price: Ints
    days: Ints
    mass: Ints

    def by(self, measure: str) -> Ints:
        """The wanted measure; zeros for reserve, which needs the hang."""
        known = {"price": self.price, "delivery": self.days, "weight": self.mass}
        return known.get(measure, np.zeros(len(self.row), dtype=np.int64))


class Line(NamedTuple):
    """A line below a row's measure: slings of S steps together are no less than this."""

    slope: float
    at_zero: float  # of each sling
    more: int  # of the row

    def at(self, steps: int, slings: int) -> int:
        """What slings of so many steps together are not below."""
        return math.floor(self.slope * float(steps) + self.at_zero * slings + self.more) - 1


_NO_ROWS = np.zeros(0, dtype=np.int64)


class Priced:
    """What a source's rows cost."""

    def __init__(self, kept: Kept, maker: BlockMaker, source: Source) -> None:
        self.source, self._kept, self._maker = source, kept, maker

    def line_below(self, by: str) -> Line | None:
        """A line below the measure of its rows; None where it does not grow with the length."""
        source, kept = self.source, self._kept
        if by not in ("price", "weight") or source.stock:
            return None
        line = kept.line(source.strong.make, source.protection)
        if isinstance(line, Refusal):
            return None
        if by == "price":
            guards = line.guard_minor * source.group.arrangements[0].legs
            return Line(*kept.price_floor(line, source.strong.make), guards)
        bare = kept.line(source.strong.make, Protection.NONE)
        return None if isinstance(bare, Refusal) else Line(*kept.mass_floor(bare, source.strong.make), 0)

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

    def had(self, rows: Ints) -> Ints:
        """Those of the rows that can be had at all."""
        if self.source.stock:
            return self._shelved(rows).row
        line = self._kept.line(self.source.strong.make, self.source.protection)
        return _NO_ROWS if isinstance(line, Refusal) else rows[self.source.rows.sewn(line)[0][rows]]

    def prices(self, rows: Ints) -> tuple[Ints, Ints]:
        """Those of the rows that can be had, and their prices [minor]."""
        if self.source.stock:
            found = self._shelved(rows)
            return found.row, found.price
        rows, make = self.had(rows), self.source.strong.make
        price = np.zeros(len(rows), dtype=np.int64)
        for i, holding in enumerate(self.source.group.arrangements[0].holdings):
            guard = self.source.protection if holding.role == "main" else Protection.NONE
            line = self._kept.line(make, guard)
            if isinstance(line, Refusal):
                return _NO_ROWS, _NO_ROWS
            price += self._kept.prices(line, make)[self.source.rows.steps[rows, i]] + line.guard_minor
        return rows, price

    def measured(self, rows: Ints) -> Measured:
        """Those of the rows that can be had, measured."""
        if self.source.stock:
            return self._shelved(rows)
        source, kept, holdings = self.source, self._kept, self.source.group.arrangements[0].holdings
        line = kept.line(source.strong.make, source.protection)
        bare = kept.line(source.strong.make, Protection.NONE)
        if isinstance(line, Refusal) or isinstance(bare, Refusal):
            return Measured(_NO_ROWS, _NO_ROWS, _NO_ROWS, _NO_ROWS)
        able, days = source.rows.sewn(line)
        rows = rows[able[rows]]
        steps = source.rows.steps[rows]
        price = np.zeros(len(rows), dtype=np.int64)
        kg = np.zeros(len(rows))  # sling by sling, as a block has it: the same bits
        for i, holding in enumerate(holdings):
            mine = line if holding.role == "main" else bare
            price += kept.prices(mine, source.strong.make)[steps[:, i]] + mine.guard_minor
            kg += kept.masses(mine, source.strong.make)[steps[:, i]]
        return Measured(rows, price, days[rows], np.asarray(np.rint(kg * MICRO), dtype=np.int64))

    def _shelved(self, rows: Ints) -> Measured:
        block = self.block(rows) if len(rows) else None
        if block is None or isinstance(block, Refusal):
            return Measured(_NO_ROWS, _NO_ROWS, _NO_ROWS, _NO_ROWS)
        mass = np.asarray(np.rint(block.mass_kg * MICRO), dtype=np.int64)
        return Measured(rows[block.row_of], block.price_minor, block.days, mass)


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


def reserve_bound(setting: Setting, group: Group, strong: Strong) -> int:
    """The least share of its limit that the worst part can use [millionths]: no less than hung upright."""
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
        return reserve_bound(setting, group, strong)
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
    legs = 0  # slings whose protection adds to it
    if by == "reserve":
        least = reserve_bound(setting, group, strong)
    elif by == "delivery":
        least = min(loft.days for loft in bare.lofts)
    else:
        shortest = kept.steps(bare.least_length_m)
        steps = [max(step, shortest) for step in group.rows.least.tolist()]
        if by == "weight":  # what protects them adds to it
            mass = kept.masses(bare, make)
            least = math.floor(float(mass[steps].sum()) * MICRO) - 1
        else:
            legs, price = group.arrangements[0].legs, kept.prices(bare, make)
            least = sum(int(price[step]) for step in steps)
    return [None if isinstance(x, Refusal) else least + x.guard_minor * legs for x in lines]
