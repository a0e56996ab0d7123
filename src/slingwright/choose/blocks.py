"""Blocks of the search space: an arrangement × a make × a protection × a supply; inside, only lengths vary.

Their measures (price, mass, days) are exact without any statics, so the search opens them in that order.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.choose.candidate import Candidate
from slingwright.choose.kept import Kept, Shelf
from slingwright.choose.makes import Make
from slingwright.choose.rated import SlingRated
from slingwright.price import PriceLine
from slingwright.shop import Loft, Protection, Refusal, StockSling
from slingwright.sling import SlingSpec

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Block", "BlockMaker", "days_at", "days_between"]


@dataclass(slots=True, kw_only=True)
class Block:
    """One block with its rows. Made from `made_block` or `stock_block`; read-only afterwards."""

    arrangement: Arrangement
    make: Make
    base: SlingSpec
    protection: Protection
    stock: tuple[StockSling, ...]  # the shelf's rows it draws on; () = made to order
    rated: tuple[SlingRated, ...]
    lengths_m: NDArray[np.float64]  # (S, slings)
    price_minor: NDArray[np.int64]  # (S,)
    mass_kg: NDArray[np.float64]  # (S,)
    days: NDArray[np.int64]  # (S,)
    row_of: NDArray[np.int64]  # (S,) which row of the arrangement's lengths each is
    drawn: NDArray[np.int64] | None = None  # (S, slings) which of `stock` each sling is
    least_length_m: float | None
    able: tuple[Loft, ...]

    def _stock_of(self, row: int) -> tuple[StockSling, ...]:
        return () if self.drawn is None else tuple(self.stock[k] for k in self.drawn[row])

    def _lofts(self, lengths: NDArray[np.float64]) -> tuple[str, ...]:
        return tuple(loft.id for loft in self.able if _takes(loft, lengths))

    def candidate(self, row: int, arrangement: Arrangement | None = None) -> Candidate:
        """The candidate of one row; in another arrangement of the same slings, where one is given."""
        lengths, stock = self.lengths_m[row], self._stock_of(row)
        return Candidate(
            arrangement=self.arrangement if arrangement is None else arrangement,
            base=stock[0].spec if stock else self.base,
            lengths_m=tuple(float(x) for x in lengths),
            protection=self.protection,
            stock=stock,
            price_minor=int(self.price_minor[row]),
            mass_kg=float(self.mass_kg[row]),
            days=int(self.days[row]),
            lofts=tuple(dict.fromkeys(s.loft for s in stock)) if stock else self._lofts(lengths),
            least_length_m=self.least_length_m,
        )


class BlockMaker:
    """Makes the blocks of one search."""

    def __init__(self, kept: Kept) -> None:
        self._kept = kept

    def made(
        self,
        arrangement: Arrangement,
        make: Make,
        protection: Protection,
        rated: tuple[SlingRated, ...],
        steps: NDArray[np.int64],
        lengths_m: NDArray[np.float64],
    ) -> Block | Refusal:
        """The block of slings made to order, only the rows that some loft can sew.

        `steps` (S, slings) of the bridle step are the lengths `lengths_m`.
        """
        line, bare = self._kept.line(make, protection), self._kept.line(make, Protection.NONE)
        if isinstance(line, Refusal):
            return line
        if isinstance(bare, Refusal):
            return bare
        days = days_at(line, lengths_m)
        able = (days > 0) & (lengths_m.min(axis=1, initial=np.inf) >= line.least_length_m)
        lengths = lengths_m[able]
        price, mass = np.zeros(len(lengths), dtype=np.int64), np.zeros(len(lengths))
        for i, holding in enumerate(arrangement.holdings):
            mine = line if holding.role == "main" else bare
            price += self._kept.prices(mine, make)[steps[able, i]] + mine.guard_minor
            mass += self._kept.masses(mine, make)[steps[able, i]]
        return Block(
            arrangement=arrangement,
            make=make,
            base=self._kept.spec(make),
            protection=protection,
            stock=(),
            rated=rated,
            lengths_m=lengths,
            price_minor=price,
            mass_kg=mass,
            days=days[able],
            row_of=np.flatnonzero(able),
            least_length_m=line.least_length_m,
            able=line.lofts,
        )

    def stock(
        self,
        arrangement: Arrangement,
        stock: tuple[StockSling, ...],
        protection: Protection,
        rated: tuple[SlingRated, ...],
        drawn: NDArray[np.int64] | None,
    ) -> Block | Refusal:
        """The block of one kind of stock slings: one row of the shelf, or every choice among several.

        `drawn` (S, slings) says which of `stock` each sling is; None: all are its first.
        """
        found = [self._kept.shelf(s, protection) for s in stock]
        refusal = next((f for f in found if isinstance(f, Refusal)), None)
        if refusal is not None:
            return refusal
        each = np.array([(f.price_minor, f.days) for f in found if isinstance(f, Shelf)], dtype=np.int64)
        mass = np.array([f.mass_kg for f in found if isinstance(f, Shelf)])
        if drawn is None:
            drawn = np.zeros((1, len(arrangement.holdings)), dtype=np.int64)
        kg = np.zeros(len(drawn))
        for i in range(drawn.shape[1]):  # one by one: the same bits whatever the number of rows
            kg += mass[drawn[:, i]]
        return Block(
            arrangement=arrangement,
            make=Make.of(stock[0].spec),
            base=stock[0].spec,
            protection=protection,
            stock=stock,
            rated=rated,
            lengths_m=np.array([s.spec.length_m for s in stock])[drawn],
            price_minor=each[drawn, 0].sum(axis=1),
            mass_kg=kg,
            days=each[drawn, 1].max(axis=1),
            row_of=np.arange(len(drawn)),
            least_length_m=None,
            able=(),
            drawn=drawn,
        )


def _takes(loft: Loft, lengths: NDArray[np.float64]) -> bool:
    return bool(((lengths >= loft.min_length_m) & (lengths <= loft.max_length_m)).all())


def days_at(line: PriceLine, lengths: NDArray[np.float64]) -> NDArray[np.int64]:
    """Days at the soonest loft that sews every sling of a row (a set is made in one place); 0 where none."""
    return days_between(line, lengths.min(axis=1, initial=np.inf), lengths.max(axis=1, initial=0.0))


def days_between(
    line: PriceLine, shortest: NDArray[np.float64], longest: NDArray[np.float64]
) -> NDArray[np.int64]:
    """As `days_at`, of rows whose shortest and longest slings are these (S,)."""
    out = np.zeros(len(shortest), dtype=np.int64)
    for loft in reversed(line.lofts):  # soonest last, so that it wins
        out[(shortest >= loft.min_length_m) & (longest <= loft.max_length_m)] = loft.days
    return out
