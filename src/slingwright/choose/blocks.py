"""Blocks of the search space: an arrangement × a make × a protection × a supply; inside, only lengths vary.

Their measures (price, mass, days) are exact without any statics, so the search opens them in that order.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.choose.candidate import Candidate
from slingwright.choose.lengths import Rows
from slingwright.choose.rated import SlingRated
from slingwright.choose.setting import Setting
from slingwright.price import PriceLine, Supply, price_line, price_sling
from slingwright.shop import Loft, Protection, Refusal, StockSling, grid_length_m, grid_steps, spec_for
from slingwright.sling import Fibre, Form, Hitch, SlingSpec

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["FORMS_BY_USE", "Block", "Make", "makes", "protections_for"]

# Form by use before price (PRACTICE): what a crew would take for this hitch at all
FORMS_BY_USE: dict[Hitch, tuple[Form, ...]] = {
    Hitch.VERTICAL: (Form.FLAT_EYE, Form.TWISTED_EYE, Form.ENDLESS),
    Hitch.BASKET: (Form.FLAT_EYE, Form.ENDLESS, Form.TRIANGLE_TRIANGLE, Form.TRIANGLE_CHOKER),
    Hitch.CHOKER: (Form.TWISTED_EYE, Form.ENDLESS, Form.TRIANGLE_CHOKER),
}

_MICRO = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Make:
    """A sling without its length: form, fibre, class, plies, width."""

    form: Form
    fibre: Fibre
    webbing_class: int
    plies: int
    width_m: float

    def spec(self, setting: Setting, length_m: float = 1.0) -> SlingSpec:
        """The specification at a length (any length has the same table cell)."""
        return spec_for(
            setting.shop, self.form, self.fibre, self.webbing_class, self.plies, self.width_m, length_m
        )


def makes(setting: Setting, hitch: Hitch) -> Iterator[Make]:
    """Every make of the shop that a crew would take for this hitch, in a fixed order."""
    for form in FORMS_BY_USE[hitch]:
        for w in setting.shop.webbings:
            for plies in setting.shop.plies:
                if form.has_eyes and setting.shop.eye_row(w.width_m, plies) is None:
                    continue
                yield Make(
                    form=form, fibre=w.fibre, webbing_class=w.webbing_class, plies=plies, width_m=w.width_m
                )


def protections_for(setting: Setting, arrangement: Arrangement) -> tuple[Protection, ...]:
    """What may lie between sling and load: nothing at pick points, the shop's range round a load."""
    if all(h.round is None for h in arrangement.main):
        return (Protection.NONE,)
    return (Protection.NONE, *(p for p in setting.shop.protections if p is not Protection.NONE))


@dataclass(slots=True, kw_only=True)
class Block:
    """One block with its rows. Made from `made_block` or `stock_block`; read-only afterwards."""

    arrangement: Arrangement
    make: Make
    base: SlingSpec
    protection: Protection
    stock: StockSling | None
    rated: tuple[SlingRated, ...]
    lengths_m: NDArray[np.float64]  # (S, slings)
    price_minor: NDArray[np.int64]  # (S,)
    mass_kg: NDArray[np.float64]  # (S,)
    days: NDArray[np.int64]  # (S,)
    row_of: NDArray[np.int64]  # (S,) which row of the arrangement's lengths each is
    least_length_m: float | None
    able: tuple[Loft, ...]

    def _lofts(self, lengths: NDArray[np.float64]) -> tuple[str, ...]:
        if self.stock is not None:
            return (self.stock.loft,)
        return tuple(loft.id for loft in self.able if _takes(loft, lengths))

    def candidate(self, row: int) -> Candidate:
        """The candidate of one row."""
        lengths = self.lengths_m[row]
        return Candidate(
            arrangement=self.arrangement,
            base=self.base,
            lengths_m=tuple(float(x) for x in lengths),
            protection=self.protection,
            stock=self.stock,
            price_minor=int(self.price_minor[row]),
            mass_kg=float(self.mass_kg[row]),
            days=int(self.days[row]),
            lofts=self._lofts(lengths),
            least_length_m=self.least_length_m,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tables:
    """Price [minor] and mass [kg] of a make with its protection at every step of the length grid."""

    price_minor: NDArray[np.int64]
    mass_kg: NDArray[np.float64]


class PriceLines:
    """The price lines of one search and their tables over the length grid, each made once."""

    def __init__(self, setting: Setting) -> None:
        self._setting = setting
        self._lines: dict[tuple[Make, Protection], PriceLine | Refusal] = {}
        self._tables: dict[tuple[Make, Protection], _Tables] = {}
        longest = max(loft.max_length_m for loft in setting.shop.lofts)
        self._grid_m = [
            grid_length_m(setting.shop, k) for k in range(grid_steps(setting.shop, 0.0, longest).stop)
        ]

    def line(self, make: Make, protection: Protection) -> PriceLine | Refusal:
        """The line of a make with this protection, or why it has no price."""
        key = (make, protection)
        if key not in self._lines:
            self._lines[key] = price_line(
                make.form,
                make.fibre,
                make.webbing_class,
                make.plies,
                make.width_m,
                protection,
                self._setting.book,
                self._setting.shop,
            )
        return self._lines[key]

    def tables(self, line: PriceLine, make: Make) -> _Tables:
        """The line's price and mass at every step of the grid."""
        key = (make, line.protection)
        if key not in self._tables:
            grid_um = np.rint(np.array(self._grid_m) * _MICRO).astype(np.int64)
            self._tables[key] = _Tables(
                price_minor=line.minors_um(grid_um), mass_kg=np.array([line.mass_kg(x) for x in self._grid_m])
            )
        return self._tables[key]


class BlockMaker:
    """Makes blocks for one search; keeps what blocks share."""

    def __init__(self, setting: Setting) -> None:
        self._setting = setting
        self.lines = PriceLines(setting)

    @cached_property
    def currency(self) -> str:
        """The price book's currency."""
        return self._setting.book.currency

    def made(
        self,
        arrangement: Arrangement,
        make: Make,
        protection: Protection,
        rated: tuple[SlingRated, ...],
        rows: Rows,
    ) -> Block | Refusal:
        """The block of slings made to order, only the rows that some loft can sew."""
        line, bare = self.lines.line(make, protection), self.lines.line(make, Protection.NONE)
        if isinstance(line, Refusal):
            return line
        if isinstance(bare, Refusal):
            return bare
        days = _days(line, rows.lengths_m)
        able = (days > 0) & (rows.lengths_m.min(axis=1, initial=np.inf) >= line.least_length_m)
        lengths = rows.lengths_m[able]
        price, mass = np.zeros(len(lengths), dtype=np.int64), np.zeros(len(lengths))
        for i, holding in enumerate(arrangement.holdings):
            mine = line if holding.role == "main" else bare
            tables = self.lines.tables(mine, make)
            price += tables.price_minor[rows.steps[able, i]]
            mass += tables.mass_kg[rows.steps[able, i]]
        return Block(
            arrangement=arrangement,
            make=make,
            base=make.spec(self._setting),
            protection=protection,
            stock=None,
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
        stock: StockSling,
        protection: Protection,
        rated: tuple[SlingRated, ...],
    ) -> Block | Refusal:
        """The block of one kind of stock sling: one row."""
        count = len(arrangement.holdings)
        price = price_sling(stock.spec, Supply.STOCK, protection, self._setting.book, self._setting.shop)
        if isinstance(price, Refusal):
            return price
        spec = stock.spec
        make = Make(
            form=spec.form,
            fibre=spec.fibre,
            webbing_class=spec.webbing_class,
            plies=spec.plies,
            width_m=spec.width_m,
        )
        line = self.lines.line(make, protection)
        mass = 0.0 if isinstance(line, Refusal) else line.mass_kg(spec.length_m)
        return Block(
            arrangement=arrangement,
            make=make,
            base=spec,
            protection=protection,
            stock=stock,
            rated=rated,
            lengths_m=np.full((1, count), spec.length_m),
            price_minor=np.array([price.price_minor * count], dtype=np.int64),
            mass_kg=np.array([mass * count]),
            days=np.array([stock.days], dtype=np.int64),
            row_of=np.zeros(1, dtype=np.int64),
            least_length_m=None,
            able=(),
        )


def _takes(loft: Loft, lengths: NDArray[np.float64]) -> bool:
    return bool(((lengths >= loft.min_length_m) & (lengths <= loft.max_length_m)).all())


def _days(line: PriceLine, lengths: NDArray[np.float64]) -> NDArray[np.int64]:
    """Days at the soonest loft that sews every sling of a row (a set is made in one place); 0 where none."""
    out = np.zeros(len(lengths), dtype=np.int64)
    for loft in reversed(line.lofts):  # soonest last, so that it wins
        takes = ((lengths >= loft.min_length_m) & (lengths <= loft.max_length_m)).all(axis=1)
        out = np.where(takes, loft.days, out)
    return out
