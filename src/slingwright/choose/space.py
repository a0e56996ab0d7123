"""The whole space of one lift: every arrangement with its lengths, every make with its rating.

Counted before anything is dropped, and what is dropped is counted under the condition that dropped it.
Arrangements that differ in their place along the load alone are a group: they share their lengths' grid,
their makes and their prices.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import count
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.arrangement.enumerate import GridSteps, arrangements
from slingwright.check import Finding, Outcome
from slingwright.check.wet import gets_wet
from slingwright.choose.cases import Ends
from slingwright.choose.groups import Group, Strong, grouped, shelf_groups
from slingwright.choose.individual import row_codes, stock_apart
from slingwright.choose.kept import Kept, MakeRated, kept_of
from slingwright.choose.lengths import Rows, rows_for
from slingwright.choose.makes import Make, protections_for
from slingwright.choose.rated import SlingRated
from slingwright.choose.setting import Setting
from slingwright.choose.source import Source
from slingwright.shop import StockSling
from slingwright.sling import Fibre, Hitch

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Entry", "LeftOut", "Space"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """An arrangement with a make that is rated for it and strong enough for its bare share of the weight."""

    place: int  # index of the arrangement in the space
    arrangement: Arrangement
    make: Make
    rated: tuple[SlingRated, ...]
    ends: Ends
    stock: tuple[StockSling, ...] = ()  # () = made to order; several: every choice among them


class LeftOut(NamedTuple):
    """Candidates of one arrangement and make that a condition of every stiffness rules out."""

    why: str
    place: int
    make: Make | None  # None: stock of a make that nobody would take for this hitch
    candidates: int


class _Dropped(NamedTuple):
    """As `LeftOut`, of each place of a group."""

    why: str
    places: tuple[int, ...]
    make: Make | None
    candidates: NDArray[np.int64]


class Space:
    """The search space of one lift; what its parts share is computed once and kept."""

    def __init__(self, setting: Setting) -> None:
        self.setting = setting
        self.kept: Kept = kept_of(setting)
        steps = GridSteps(placement_m=setting.shop.practice.placement_step_m)
        self.arrangements = tuple(arrangements(setting.lift, steps))
        self.pruned: Counter[str] = Counter()
        self.too_weak: dict[tuple[str, Fibre], Finding] = {}
        self._dropped: list[_Dropped] = []
        self._candidates = 0
        self._hang_problems = 0
        self._rows: dict[int, Rows] = {}
        self._shelf: list[Arrangement] = []  # of the places beyond the arrangements
        self._upright: dict[int, tuple[Arrangement, int, float]] = {}

    # -- counted --------------------------------------------------------------------------------------

    @property
    def candidates(self) -> int:
        """How many candidates there are, before anything is dropped."""
        return self._candidates if self.groups else 0

    @property
    def hang_problems(self) -> int:
        """How many different hangs there are among them."""
        return self._hang_problems if self.groups else 0

    @property
    def left_out(self) -> Iterator[LeftOut]:
        """What is dropped for every stiffness, by arrangement and make."""
        for d in self._dropped:
            for place, many in zip(d.places, d.candidates.tolist(), strict=True):
                if many:
                    yield LeftOut(d.why, place, d.make, many)

    # -- groups ---------------------------------------------------------------------------------------

    @cached_property
    def groups(self) -> tuple[Group, ...]:
        """Every group with the makes that may be made to order or taken from stock, in a fixed order."""
        mine = [s for s in self.setting.shop.stock if s.rulebook == self.setting.rulebook.id]
        out: list[Group] = []
        for group in grouped(self.setting, self.arrangements, mine):
            table = self.kept.rated_makes(group.arrangements[0], self.setting.choke)
            choices = len(protections_for(self.setting.shop, group.arrangements[0]))
            strong = self._made_to_order(group, table, choices)
            stock = self._equal_stock(group, table, mine, choices)
            out.append(replace(group, makes=strong, stock=stock))
            if group.arrangements[0].lengths == "made":
                out.extend(self._individual_stock(group, table))
        return tuple(out)

    def _made_to_order(self, group: Group, table: dict[Make, MakeRated], choices: int) -> tuple[Strong, ...]:
        out, stiffnesses = [], set()
        space, short, high = (choices * x for x in (group.space, group.no_reach, group.too_high))
        many, many_short, many_high = (int(x.sum()) for x in (space, short, high))
        self._candidates += len(table) * many
        fitting = bool(group.rows.fits.any())
        for make, found in table.items():
            strong = self._strong(group, make, found, space, many)
            if found.rated is not None:
                stiffnesses.add((found.rated[0].cell.rated_n, found.ends))
            if strong is None:
                continue
            self._drop("no-reach", group.places, make, short, many_short)
            self._drop("too-high", group.places, make, high, many_high)
            if fitting:
                out.append(strong)
        self._hang_problems += int(group.hangs.sum()) * len(stiffnesses)
        return tuple(out)

    def _drop(
        self,
        why: str,
        places: tuple[int, ...],
        make: Make | None,
        counts: NDArray[np.int64],
        total: int | None = None,
    ) -> None:
        """`total`: of the counts, where it is known."""
        total = int(counts.sum()) if total is None else total
        if total:
            self.pruned[why] += total
            self._dropped.append(_Dropped(why, places, make, counts))

    def _strong(
        self,
        group: Group,
        make: Make,
        found: MakeRated,
        counts: NDArray[np.int64],
        total: int | None = None,
    ) -> Strong | None:
        if found.rated is None:
            self._drop(found.why, group.places, make, counts, total)
            return None
        if not self._carries_its_share(group.arrangements[0], found.rated, make.fibre):
            self._drop("share-of-weight", group.places, make, counts, total)
            return None
        return Strong(make=make, rated=found.rated, ends=found.ends, dry=self._dry.get(make.fibre, 1.0))

    def _carries_its_share(
        self, arrangement: Arrangement, rated: tuple[SlingRated, ...], fibre: Fibre
    ) -> bool:
        """Whether a part's limit holds the rule's floor with every part vertical: true of any stiffness."""
        if id(arrangement) not in self._upright:
            main = next(i for i, h in enumerate(arrangement.holdings) if h.role == "main")
            parts = 2 if arrangement.holdings[main].hitch is Hitch.BASKET else 1
            floor = self._upright_floor(arrangement.legs, parts, arrangement.lengths != "made")
            self._upright[id(arrangement)] = arrangement, main, floor  # held, so that its id stays its own
        _, main, floor = self._upright[id(arrangement)]
        limit = rated[main].part_limit_n
        if floor < limit:
            return True
        key = (arrangement.family, fibre)
        known = self.too_weak.get(key)
        if known is None or (known.limit or 0.0) < limit:
            self.too_weak[key] = Finding(
                rule="rated-load",
                outcome=Outcome.STOP,
                detail="part-over",
                figure=floor,
                limit=limit,
                unit="N",
                citation=rated[main].cell.citation,
                cure="stronger-sling",
                subject=arrangement.holdings[main].id,
            )
        return False

    def _upright_floor(self, legs: int, parts: int, symmetric: bool) -> float:
        key = ("floor", legs, parts, symmetric)
        if key not in self._floors:
            floor = self.setting.rulebook.leg_floor(
                legs, self.setting.weight_n / parts, 90.0, symmetric=symmetric
            )
            self._floors[key] = floor.value
        return self._floors[key]

    @cached_property
    def _dry(self) -> dict[Fibre, float]:
        """What is left of a fibre's limits at the lift's site, where not all of it is."""
        book = self.setting.rulebook
        wet = gets_wet(self.setting.lift, book)
        return {Fibre.NYLON: 1.0 - book.limit("wet_nylon_loss").value} if wet else {}

    @cached_property
    def _floors(self) -> dict[tuple[object, ...], float]:
        return {}

    def _equal_stock(
        self, group: Group, table: dict[Make, MakeRated], mine: list[StockSling], choices: int
    ) -> tuple[tuple[int, Strong], ...]:
        """Slings of one row of the shelf: (which row, what it is rated for), where it fits anywhere."""
        shelf, out = group.shelf, []
        if shelf is None:
            return ()
        legs = len(group.arrangements[0].holdings)
        here = np.asarray(~shelf.elsewhere, dtype=np.int64) * choices  # (rows of the shelf, places)
        for k, (stock, make) in enumerate(zip(mine, self.kept.stock_makes(mine), strict=True)):
            self._candidates += int(here[k].sum())
            found = table.get(make)
            if stock.count < legs:
                self._drop("stock", group.places, make if found else None, here[k])
            elif found is None:
                self._drop("form-by-use", group.places, None, here[k])
            else:
                fits = shelf.fits[k]
                self._drop("too-high", group.places, make, here[k] * (shelf.reaches[k] & ~fits))
                self._drop("no-reach", group.places, make, here[k] * ~shelf.reaches[k])
                if fits.any():
                    strong = self._strong(group, make, found, here[k] * fits)
                    if strong is not None:
                        out.append((k, strong))
        return tuple(out)

    def _individual_stock(self, group: Group, table: dict[Make, MakeRated]) -> Iterator[Group]:
        """Every choice of individual lengths among the shelf's rows of one kind."""
        kept, arrangement = self.kept, group.arrangements[0]
        legs, apart = len(arrangement.holdings), stock_apart(self.setting)
        # of a kind that no crew takes the equal lengths are told
        chosen = [kept.chosen(kind, legs, apart) for kind in kept.shelf_kinds if kind.make in table]
        first = len(self.arrangements) + len(self._shelf)
        assert group.every is not None
        made = row_codes(group.every, len(kept.grid_um))
        for place, c, (rows, mine_group) in zip(
            count(first), chosen, shelf_groups(self.setting, arrangement, first, chosen, made), strict=False
        ):
            make, found = c.kind.make, table[c.kind.make]
            self._shelf.append(arrangement)
            self._rows[place] = rows
            self._candidates += rows.space
            strong = self._strong(mine_group, make, found, mine_group.space)
            if found.rated is not None:
                self._hang_problems += rows.hangs
            if strong is None:
                continue
            self._drop("no-reach", (place,), make, mine_group.no_reach)
            self._drop("too-high", (place,), make, mine_group.too_high)
            if len(rows.lengths_m):
                yield replace(mine_group, makes=(strong,))

    # -- one arrangement ------------------------------------------------------------------------------

    def rows(self, place: int) -> Rows:
        """The length choices of an arrangement."""
        if place not in self._rows:
            self._rows[place] = rows_for(self.setting, self.arrangements[place])
        return self._rows[place]

    def arrangement(self, place: int) -> Arrangement:
        """The arrangement at a place; beyond the arrangements come choices from the shelf."""
        many = len(self.arrangements)
        return self.arrangements[place] if place < many else self._shelf[place - many]

    @cached_property
    def entries(self) -> tuple[Entry, ...]:
        """Every arrangement with every make that may be made to order or taken from stock."""
        return tuple(e for g in self.groups for p in range(len(g.places)) for e in self.entries_at(g, p))

    def entries_at(self, group: Group, at: int) -> Iterator[Entry]:
        """The entries of one place of a group."""
        place, arrangement = group.places[at], group.arrangements[at]
        if group.rows.fits[:, at].any():
            for s in group.makes:
                yield Entry(
                    place=place, arrangement=arrangement, make=s.make, rated=s.rated, ends=s.ends,
                    stock=group.slings,
                )  # fmt: skip
        for k, s in group.stock:
            if group.shelf is not None and group.shelf.fits[k, at]:
                yield Entry(
                    place=place, arrangement=arrangement, make=s.make, rated=s.rated, ends=s.ends,
                    stock=(group.shelf_slings[k],),
                )  # fmt: skip

    def entry(self, source: Source, at: int) -> Entry:
        """A source at one of its group's places."""
        group, strong = source.group, source.strong
        return Entry(
            place=group.places[at],
            arrangement=group.arrangements[at],
            make=strong.make,
            rated=strong.rated,
            ends=strong.ends,
            stock=source.stock,
        )
