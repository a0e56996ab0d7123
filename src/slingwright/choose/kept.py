"""What shop, price book and rulebook say of every make, whatever the lift: kept from search to search.

Prices and masses over the grid of lengths, stretch, rated figures, the shelf's own prices. Nothing here knows
a lift, a date or a language; each figure is what the pricing and rating functions answer, kept by what they
were asked.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.choose.cases import Ends
from slingwright.choose.chosen import Chosen, Kind, choose_from, kinds_of
from slingwright.choose.individual import Apart
from slingwright.choose.makes import Make, makes
from slingwright.choose.rated import SlingRated, rate_slings
from slingwright.choose.setting import Setting
from slingwright.price import PriceBook, PriceLine, Supply, price_line, price_sling
from slingwright.rulebook import Choke, Rulebook
from slingwright.rulebook import Refusal as NoRating
from slingwright.shop import Protection, Refusal, Shop, StockSling, length_um
from slingwright.sling import Hitch, SlingSpec

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Kept", "Looks", "MakeRated", "Shelf", "kept_of"]

_CHOKES = 256  # hitches and chokes whose ratings are kept
_CHOICES = 256  # choices of slings on the shelf that are kept; a stated tolerance is any figure
_LOOKS = 100_000  # ratings of makes of which is kept what rules look at
_AT_ONCE = 4  # shops, price books and rulebooks kept together; a desk has one of each


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """Price [minor], mass [kg] and promise [days] of one sling from the shelf."""

    price_minor: int
    mass_kg: float
    days: int


class MakeRated(NamedTuple):
    """A make's rated figures in every hitch of an arrangement; None and why, where it has none to offer."""

    rated: tuple[SlingRated, ...] | None
    why: str
    ends: Ends


_Looked = tuple[tuple[object, ...], ...]


class Looks(NamedTuple):
    """What some runs of rules that need no hang look at of a sling; a number tells each from all others."""

    numbers: tuple[int, ...]
    seen: tuple[_Looked, ...]


class Kept:
    """All that is kept of one shop, price book and rulebook, each figure made when it is first asked for."""

    def __init__(self, shop: Shop, book: PriceBook, rulebook: Rulebook) -> None:
        self.shop, self.book, self.rulebook = shop, book, rulebook
        self._makes: dict[Hitch, tuple[Make, ...]] = {}
        self._specs: dict[Make, SlingSpec] = {}
        self._ends: dict[Make, Ends] = {}
        self._lines: dict[tuple[Make, Protection], PriceLine | Refusal] = {}
        self._prices: dict[Make, NDArray[np.int64]] = {}
        self._masses: dict[tuple[Make, Protection], NDArray[np.float64]] = {}
        self._price_floors: dict[Make, tuple[float, float]] = {}
        self._mass_floors: dict[Make, tuple[float, float]] = {}
        self._shelves: dict[tuple[str, Protection], Shelf | Refusal] = {}
        self._rated: dict[tuple[object, ...], dict[Make, MakeRated]] = {}
        self._stock_makes: dict[str, Make] = {}
        self._chosen: dict[tuple[Kind, int, Apart], Chosen] = {}
        self._looks: dict[tuple[int, str | None], tuple[object, Looks]] = {}
        self._look_numbers: dict[tuple[int, _Looked], int] = {}

    @cached_property
    def grid_um(self) -> NDArray[np.int64]:
        """Every length on the bridle step that the longest loft sews [µm], by its number of steps."""
        longest = max(loft.max_length_m for loft in self.shop.lofts)
        step_um = length_um(self.shop.practice.bridle_step_m)
        return np.arange(length_um(longest) // step_um + 1, dtype=np.int64) * step_um

    def makes(self, hitch: Hitch) -> tuple[Make, ...]:
        """Every make that a crew would take for this hitch, in a fixed order."""
        if hitch not in self._makes:
            self._makes[hitch] = tuple(makes(self.shop, hitch))
        return self._makes[hitch]

    def spec(self, make: Make) -> SlingSpec:
        """The make's specification at a length of one metre (any length has the same table cell)."""
        if make not in self._specs:
            self._specs[make] = make.spec(self.shop)
        return self._specs[make]

    def ends(self, make: Make) -> Ends:
        """Both ends of the stretch range of the make's webbing under the rulebook."""
        if make not in self._ends:
            webbing = self.shop.webbing(make.fibre, make.webbing_class, make.width_m)
            assert webbing is not None
            stiff, soft = webbing.strain_at_rated(self.rulebook.design_factor.value)
            self._ends[make] = Ends(stiff=stiff, soft=soft)
        return self._ends[make]

    def rated_makes(self, arrangement: Arrangement, choke: Choke) -> dict[Make, MakeRated]:
        """Every make of the arrangement's hitch with its rating there, in a fixed order."""
        key = (tuple(h.hitch for h in arrangement.holdings), choke)
        if key not in self._rated:
            if len(self._rated) >= _CHOKES:  # a stated angle of choke is any figure
                self._rated.clear()
            hitch = arrangement.main[0].hitch
            self._rated[key] = {m: self._rate(arrangement, m, choke) for m in self.makes(hitch)}
        return self._rated[key]

    def _rate(self, arrangement: Arrangement, make: Make, choke: Choke) -> MakeRated:
        rated = rate_slings(arrangement, self.spec(make), self.rulebook, choke)
        if isinstance(rated, NoRating):
            return MakeRated(None, rated.reason, self.ends(make))
        if not rated[0].cell.proposable:
            return MakeRated(None, "not-proposable", self.ends(make))
        return MakeRated(rated, "", self.ends(make))

    def looks(
        self,
        rated: tuple[SlingRated, ...],
        stock: str | None,
        look: Callable[[], tuple[_Looked, ...]],
    ) -> Looks:
        """What `look` tells of a sling so rated, of the shelf's sling `stock` or made to order."""
        key = (id(rated), stock)
        if key not in self._looks:
            if len(self._looks) >= _LOOKS:
                self._looks.clear()
            seen, told = look(), self._look_numbers
            numbers = tuple(told.setdefault(run, len(told)) for run in enumerate(seen))
            self._looks[key] = rated, Looks(numbers, seen)  # held, so that its id stays its own
        return self._looks[key][1]

    def stock_makes(self, stock: Sequence[StockSling]) -> list[Make]:
        """The make of each sling on the shelf."""
        for s in stock:
            if s.id not in self._stock_makes:
                self._stock_makes[s.id] = Make.of(s.spec)
        return [self._stock_makes[s.id] for s in stock]

    @cached_property
    def shelf_kinds(self) -> tuple[Kind, ...]:
        """The kinds of slings on the shelf that are rated by the rulebook, of which there are several."""
        return kinds_of([s for s in self.shop.stock if s.rulebook == self.rulebook.id])

    def chosen(self, kind: Kind, legs: int, apart: Apart) -> Chosen:
        """Every choice among slings of a kind for so many legs that are told apart."""
        key = kind, legs, apart
        found = self._chosen.get(key)
        if found is None:
            if len(self._chosen) >= _CHOICES:
                self._chosen.clear()
            step_m = self.shop.practice.bridle_step_m
            found = self._chosen[key] = choose_from(kind, legs, apart, step_m, len(self.grid_um))
        return found

    def line(self, make: Make, protection: Protection) -> PriceLine | Refusal:
        """The price line of a make with this protection, or why it has no price."""
        key = (make, protection)
        if key not in self._lines:
            self._lines[key] = price_line(
                make.form,
                make.fibre,
                make.webbing_class,
                make.plies,
                make.width_m,
                protection,
                self.book,
                self.shop,
            )
        return self._lines[key]

    def prices(self, line: PriceLine, make: Make) -> NDArray[np.int64]:
        """The line's price [minor] at every step of the grid, what protects it left out.

        That is the same at any length and stands in `line.guard_minor`.
        """
        if make not in self._prices:
            self._prices[make] = line.minors_um(self.grid_um) - line.guard_minor
        return self._prices[make]

    def masses(self, line: PriceLine, make: Make) -> NDArray[np.float64]:
        """The line's mass [kg] at every step of the grid."""
        key = (make, line.protection)
        if key not in self._masses:
            self._masses[key] = line.masses_kg_um(self.grid_um)
        return self._masses[key]

    def steps(self, length_m: float) -> int:
        """The least number of bridle steps that is no shorter than this."""
        step_um = length_um(self.shop.practice.bridle_step_m)
        return min(-(-length_um(length_m) // step_um), len(self.grid_um) - 1)

    def price_floor(self, line: PriceLine, make: Make) -> tuple[float, float]:
        """A line below the price of a sling without protection: (a step's share, at no steps) [minor]."""
        if make not in self._price_floors:
            self._price_floors[make] = _line_below(self.prices(line, make).astype(np.float64))
        return self._price_floors[make]

    def mass_floor(self, bare: PriceLine, make: Make) -> tuple[float, float]:
        """A line below the mass of a sling without protection: (a step's share, at no steps) [mg]."""
        if make not in self._mass_floors:
            self._mass_floors[make] = _line_below(self.masses(bare, make) * 1e6)
        return self._mass_floors[make]

    def shelf(self, stock: StockSling, protection: Protection) -> Shelf | Refusal:
        """One sling from the shelf with this protection."""
        key = (stock.id, protection)
        if key not in self._shelves:
            price = price_sling(stock.spec, Supply.STOCK, protection, self.book, self.shop)
            line = self.line(Make.of(stock.spec), protection)
            self._shelves[key] = (
                price
                if isinstance(price, Refusal)
                else Shelf(
                    price_minor=price.price_minor,
                    mass_kg=0.0 if isinstance(line, Refusal) else line.mass_kg(stock.spec.length_m),
                    days=stock.days,
                )
            )
        return self._shelves[key]


def _line_below(figures: NDArray[np.float64]) -> tuple[float, float]:
    """The line as steep as the figures' upper half that touches them from below: (slope, height at 0)."""
    half = len(figures) // 2
    slope = float(figures[-1] - figures[half]) / max(len(figures) - 1 - half, 1)
    return slope, float((figures - slope * np.arange(len(figures))).min())


_kept: list[Kept] = []


def kept_of(setting: Setting) -> Kept:
    """What is kept of the setting's shop, price book and rulebook: of the last few that were asked for."""
    global _kept  # noqa: PLW0603  (replaced whole, so that two threads never see it half changed)
    for kept in _kept:
        if kept.shop == setting.shop and kept.book == setting.book and kept.rulebook == setting.rulebook:
            return kept
    fresh = Kept(setting.shop, setting.book, setting.rulebook)
    _kept = [fresh, *_kept[: _AT_ONCE - 1]]
    return fresh
