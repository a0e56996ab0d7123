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
from slingwright.shop import Loft, Protection, Refusal, StockSling, length_um, spec_for
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

    def candidate(self, row: int) -> Candidate:
        """The candidate of one row."""
        lengths, stock = self.lengths_m[row], self._stock_of(row)
        return Candidate(
            arrangement=self.arrangement,
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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tables:
    """Price [minor] and mass [kg] of a make with its protection at every bridle step."""

    price_minor: NDArray[np.int64]
    mass_kg: NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shelf:
    """Price [minor], mass [kg] and promise [days] of one sling from the shelf."""

    price_minor: int
    mass_kg: float
    days: int


class PriceLines:
    """The price lines of one search and their tables over the length grid, each made once."""

    def __init__(self, setting: Setting) -> None:
        self._setting = setting
        self._lines: dict[tuple[Make, Protection], PriceLine | Refusal] = {}
        self._tables: dict[tuple[Make, Protection], _Tables] = {}
        longest = max(loft.max_length_m for loft in setting.shop.lofts)
        step_um = length_um(setting.shop.practice.bridle_step_m)
        self._grid_um = np.arange(length_um(longest) // step_um + 1, dtype=np.int64) * step_um

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
        """The line's price and mass at every bridle step."""
        key = (make, line.protection)
        if key not in self._tables:
            self._tables[key] = _Tables(
                price_minor=line.minors_um(self._grid_um), mass_kg=line.masses_kg_um(self._grid_um)
            )
        return self._tables[key]


class BlockMaker:
    """Makes blocks for one search; keeps what blocks share."""

    def __init__(self, setting: Setting) -> None:
        self._setting = setting
        self._shelves: dict[tuple[str, Protection], _Shelf | Refusal] = {}
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
        rows: Rows | None,
    ) -> Block | Refusal:
        """The block of one kind of stock slings: one row of the shelf, or every choice among several."""
        found = [self._shelf(s, protection) for s in stock]
        refusal = next((f for f in found if isinstance(f, Refusal)), None)
        if refusal is not None:
            return refusal
        each = np.array([(f.price_minor, f.days) for f in found if isinstance(f, _Shelf)], dtype=np.int64)
        mass = np.array([f.mass_kg for f in found if isinstance(f, _Shelf)])
        drawn = np.zeros((1, len(arrangement.holdings)), dtype=np.int64) if rows is None else rows.steps
        kg = np.zeros(len(drawn))
        for i in range(drawn.shape[1]):  # one by one: the same bits whatever the number of rows
            kg += mass[drawn[:, i]]
        return Block(
            arrangement=arrangement,
            make=_make_of(stock[0].spec),
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

    def stock_bound(self, stock: tuple[StockSling, ...], protection: Protection, by: str) -> int:
        """What no sling of these can be below, in the measure's whole numbers; 0 where it adds nothing."""
        found = [f for f in (self._shelf(s, protection) for s in stock) if isinstance(f, _Shelf)]
        if by == "price":
            return min((f.price_minor for f in found), default=0)
        return int(min((f.mass_kg for f in found), default=0.0) * _MICRO) if by == "weight" else 0

    def _shelf(self, stock: StockSling, protection: Protection) -> _Shelf | Refusal:
        key = (stock.id, protection)
        if key not in self._shelves:
            price = price_sling(stock.spec, Supply.STOCK, protection, self._setting.book, self._setting.shop)
            line = self.lines.line(_make_of(stock.spec), protection)
            self._shelves[key] = (
                price
                if isinstance(price, Refusal)
                else _Shelf(
                    price_minor=price.price_minor,
                    mass_kg=0.0 if isinstance(line, Refusal) else line.mass_kg(stock.spec.length_m),
                    days=stock.days,
                )
            )
        return self._shelves[key]


def _make_of(spec: SlingSpec) -> Make:
    return Make(
        form=spec.form,
        fibre=spec.fibre,
        webbing_class=spec.webbing_class,
        plies=spec.plies,
        width_m=spec.width_m,
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
