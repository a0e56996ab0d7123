"""The whole space of one lift: every arrangement with its lengths, every make with its rating.

Counted before anything is dropped, and what is dropped is counted under the condition that dropped it.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.arrangement.enumerate import GridSteps, arrangements
from slingwright.check import Finding, Outcome
from slingwright.choose.blocks import Make, makes, protections_for
from slingwright.choose.cases import Ends
from slingwright.choose.lengths import Rows, length_conditions, rows_for, stock_rows
from slingwright.choose.nominal import Nominal
from slingwright.choose.rated import SlingRated, rate_slings
from slingwright.choose.setting import Setting
from slingwright.rulebook import Refusal
from slingwright.shop import StockSling
from slingwright.sling import Fibre, Hitch, SlingSpec

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


Stiffness = tuple[float, Ends]  # vertical rated load [N], and the stretch at it
_Rated = tuple[tuple[SlingRated, ...] | None, str, Stiffness | None]


class Space:
    """The search space of one lift; what its parts share is computed once and kept."""

    def __init__(self, setting: Setting) -> None:
        self.setting = setting
        steps = GridSteps(placement_m=setting.shop.practice.placement_step_m)
        self.arrangements = tuple(arrangements(setting.lift, steps))
        self.pruned: Counter[str] = Counter()
        self.left_out: list[LeftOut] = []  # the same by arrangement and make, for the audit
        self.too_weak: dict[tuple[str, Fibre], Finding] = {}
        self.candidates = 0
        self.hang_problems = 0
        self._rows: dict[int, Rows] = {}
        self._shelf: list[Arrangement] = []  # of the places beyond the arrangements
        self._nominal: dict[tuple[object, ...], Nominal] = {}
        self._rated: dict[tuple[object, ...], _Rated] = {}
        self._makes: dict[Hitch, tuple[Make, ...]] = {}

    def rows(self, place: int) -> Rows:
        """The length choices of an arrangement."""
        if place not in self._rows:
            self._rows[place] = rows_for(self.setting, self.arrangements[place])
        return self._rows[place]

    def arrangement(self, place: int) -> Arrangement:
        """The arrangement at a place; beyond the arrangements come choices from the shelf."""
        many = len(self.arrangements)
        return self.arrangements[place] if place < many else self._shelf[place - many]

    def nominal(self, entry: Entry) -> Nominal:
        """What is known of its lengths' hangs; shared by all makes of the same stiffness and strength."""
        limits = tuple(r.part_limit_n for r in entry.rated)
        key = (entry.place, entry.rated[0].cell.rated_n, entry.ends, limits)
        if key not in self._nominal:
            self._nominal[key] = Nominal(
                self.setting, entry.arrangement, self.rows(entry.place), entry.rated, entry.ends
            )
        return self._nominal[key]

    @cached_property
    def entries(self) -> tuple[Entry, ...]:
        """Every entry that may be made to order or taken from stock, in a fixed order."""
        out: list[Entry] = []
        for place, arrangement in enumerate(self.arrangements):
            stiffnesses: set[Stiffness] = set()
            rows = self.rows(place)
            fitting = len(rows.lengths_m) > 0
            choices = len(protections_for(self.setting, arrangement))
            for make in self._makes_for(arrangement):
                self.candidates += rows.space * choices
                entry = self._entry(place, arrangement, make, rows.space * choices)
                if entry is not None:
                    self._leave_out("no-reach", place, make, rows.no_reach * choices)
                    self._leave_out("too-high", place, make, rows.too_high * choices)
                if entry is not None and fitting:
                    out.append(entry)
                stiffness = self._stiffness(arrangement, make)
                if stiffness is not None:
                    stiffnesses.add(stiffness)
            self.hang_problems += rows.hangs * len(stiffnesses)
            out.extend(self._stock_entries(place, arrangement))
        return tuple(out)

    def _leave_out(self, why: str, place: int, make: Make | None, count: int) -> None:
        if count:
            self.pruned[why] += count
            self.left_out.append(LeftOut(why, place, make, count))

    def _makes_for(self, arrangement: Arrangement) -> tuple[Make, ...]:
        hitch = arrangement.main[0].hitch
        if hitch not in self._makes:
            self._makes[hitch] = tuple(makes(self.setting, hitch))
        return self._makes[hitch]

    def _entry(self, place: int, arrangement: Arrangement, make: Make, count: int) -> Entry | None:
        kind = (arrangement.family, arrangement.lengths, len(arrangement.holdings), make)
        if kind not in self._rated:
            self._rated[kind] = self._rate(arrangement, make)
        rated, why, stiffness = self._rated[kind]
        if rated is None or stiffness is None:
            self._leave_out(why, place, make, count)
            return None
        return Entry(place=place, arrangement=arrangement, make=make, rated=rated, ends=stiffness[1])

    def _stiffness(self, arrangement: Arrangement, make: Make) -> Stiffness | None:
        """What a hang knows of the make; None where it has no rating. Only after `_entry`."""
        return self._rated[arrangement.family, arrangement.lengths, len(arrangement.holdings), make][2]

    def _rate(self, arrangement: Arrangement, make: Make) -> _Rated:
        """Rating and stretch of a make in a family, or the condition that leaves it out at any length."""
        spec = make.spec(self.setting)
        rated = rate_slings(arrangement, spec, self.setting.rulebook, self.setting.choke)
        if isinstance(rated, Refusal):
            return None, rated.reason, None
        if not rated[0].cell.proposable:
            return None, "not-proposable", None
        stiffness = (rated[0].cell.rated_n, self._ends(spec))
        if not self._carries_its_share(arrangement, rated, spec):
            return None, "share-of-weight", stiffness
        return rated, "", stiffness

    def _ends(self, spec: SlingSpec) -> Ends:
        webbing = self.setting.shop.webbing(spec.fibre, spec.webbing_class, spec.width_m)
        assert webbing is not None
        stiff, soft = webbing.strain_at_rated(self.setting.rulebook.design_factor.value)
        return Ends(stiff=stiff, soft=soft)

    def _carries_its_share(
        self, arrangement: Arrangement, rated: tuple[SlingRated, ...], spec: SlingSpec
    ) -> bool:
        """Whether a part's limit holds the rule's floor with every part vertical: true of any stiffness."""
        main = next(i for i, h in enumerate(arrangement.holdings) if h.role == "main")
        parts = 2 if arrangement.holdings[main].hitch is Hitch.BASKET else 1
        floor = self.setting.rulebook.leg_floor(
            arrangement.legs, self.setting.weight_n / parts, 90.0, symmetric=arrangement.lengths != "made"
        )
        limit = rated[main].part_limit_n
        if floor.value < limit:
            return True
        key = (arrangement.family, spec.fibre)
        known = self.too_weak.get(key)
        if known is None or (known.limit or 0.0) < limit:
            self.too_weak[key] = Finding(
                rule="rated-load",
                outcome=Outcome.STOP,
                detail="part-over",
                figure=floor.value,
                limit=limit,
                unit="N",
                citation=rated[main].cell.citation,
                cure="stronger-sling",
                subject=arrangement.holdings[main].id,
            )
        return False

    def _stock_entries(self, place: int, arrangement: Arrangement) -> list[Entry]:
        """Stock slings of one kind: equal lengths, or (at picks) every choice of individual ones."""
        mine = [s for s in self.setting.shop.stock if s.rulebook == self.setting.rulebook.id]
        if not mine:
            return []
        if arrangement.lengths == "equal":
            return self._equal_stock(place, arrangement, mine)
        return self._individual_stock(place, arrangement, mine) if arrangement.lengths == "made" else []

    def _equal_stock(self, place: int, arrangement: Arrangement, mine: list[StockSling]) -> list[Entry]:
        lengths = np.array([[s.spec.length_m] * len(arrangement.holdings) for s in mine])
        reaches, fits, elsewhere = length_conditions(self.setting, arrangement, lengths)
        choices, out = len(protections_for(self.setting, arrangement)), []
        for k, stock in enumerate(mine):
            if elsewhere[k]:
                continue
            self.candidates += choices
            make = self._make_of(arrangement, stock.spec)
            if stock.count < len(arrangement.holdings):
                self._leave_out("stock", place, make, choices)
            elif make is None:
                self._leave_out("form-by-use", place, make, choices)
            elif not fits[k]:
                self._leave_out("too-high" if reaches[k] else "no-reach", place, make, choices)
            else:
                made = self._entry(place, arrangement, make, choices)
                if made is not None:
                    out.append(replace(made, stock=(stock,)))
        return out

    def _individual_stock(
        self, made_place: int, arrangement: Arrangement, mine: list[StockSling]
    ) -> list[Entry]:
        kinds: dict[SlingSpec, list[StockSling]] = {}
        for stock in mine:
            kinds.setdefault(replace(stock.spec, length_m=1.0), []).append(stock)
        every, out = self.rows(made_place).every, []
        assert every is not None
        for spec, slings in kinds.items():
            make = self._make_of(arrangement, spec)
            if len(slings) < 2 or make is None:  # of a kind that no crew takes the equal lengths are told
                continue
            place = len(self.arrangements) + len(self._shelf)
            rows = stock_rows(self.setting, arrangement, slings, every)
            self._shelf.append(arrangement)
            self._rows[place] = rows
            self.candidates += rows.space
            made = self._entry(place, arrangement, make, rows.space)
            if self._stiffness(arrangement, make) is not None:
                self.hang_problems += rows.hangs
            if made is None:
                continue
            self._leave_out("no-reach", place, make, rows.no_reach)
            self._leave_out("too-high", place, make, rows.too_high)
            if len(rows.lengths_m):
                out.append(replace(made, stock=tuple(slings)))
        return out

    def _make_of(self, arrangement: Arrangement, spec: SlingSpec) -> Make | None:
        make = Make(
            form=spec.form,
            fibre=spec.fibre,
            webbing_class=spec.webbing_class,
            plies=spec.plies,
            width_m=spec.width_m,
        )
        return make if make in self._makes_for(arrangement) else None


def _lies_whole(setting: Setting, arrangement: Arrangement, width_m: float) -> bool:
    """Whether every sling's whole width lies where it may bear, and no two lie on each other."""
    load = setting.lift.load
    spans = load.bears_m or ((0.0, load.length_m),)
    places = sorted(h.round.x_m for h in arrangement.main if h.round is not None)
    half = width_m / 2
    on = all(any(low <= x - half and x + half <= high for low, high in spans) for x in places)
    return on and all(b - a >= width_m for a, b in pairwise(places))
