"""Arrangements that differ in their place along the load alone, and the lengths that fit each place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, count, pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.choose.blocks import days_between
from slingwright.choose.cases import Ends
from slingwright.choose.chosen import Chosen
from slingwright.choose.lengths import Rows, choices, length_conditions, steps_to_metres
from slingwright.choose.makes import Make
from slingwright.choose.rated import SlingRated
from slingwright.choose.rows import any_of, least, most
from slingwright.choose.setting import Setting
from slingwright.lift.model import Centre, Hook, Want
from slingwright.price import PriceLine
from slingwright.shop import Shop, StockSling

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Bools = NDArray[np.bool_]
    Counts = NDArray[np.int64]

__all__ = ["Group", "RowSet", "Shelved", "Strong", "grouped", "shelf_groups"]


class Strong(NamedTuple):
    """A make that is rated for a group's hitches and strong enough for its bare share of the weight."""

    make: Make
    rated: tuple[SlingRated, ...]
    ends: Ends
    dry: float  # the share of its limits that is left at this lift's site


@dataclass(frozen=True, kw_only=True)
class RowSet:
    """Rows of lengths (R, slings), and at which of P places each fits.

    `steps` are of the bridle step (from the shelf: its rows); `level_m` (R, P) is the height of the first
    level hook there.
    """

    steps: Counts
    lengths_m: NDArray[np.float64]
    fits: Bools
    level_m: NDArray[np.float64]

    @cached_property
    def uniform(self) -> bool:
        """Whether all slings of a row are equally long and the rows stand in the order of their length."""
        steps = self.steps
        return bool((steps == steps[:, :1]).all() and (np.diff(steps[:, 0]) > 0).all())

    @cached_property
    def _sewn(self) -> dict[tuple[object, ...], tuple[Bools, Counts]]:
        return {}

    def sewn(self, line: PriceLine) -> tuple[Bools, Counts]:
        """Which rows some loft can sew as this make, and in how many days (R,); lofts alike share them."""
        key = (tuple(loft.id for loft in line.lofts), line.least_length_m)
        if key not in self._sewn:
            shortest, longest = self._between
            days = days_between(line, shortest, longest)
            self._sewn[key] = (days > 0) & (shortest >= line.least_length_m), days
        return self._sewn[key]

    @cached_property
    def _between(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """The shortest and the longest sling of each row (R,)."""
        lengths = self.lengths_m
        return least(lengths), most(lengths)

    @cached_property
    def told(self) -> dict[object, object]:
        """What was found of its rows whatever the load weighs, by what it rests on; kept as they are."""
        return {}

    @cached_property
    def many_at(self) -> Counts:
        """How many rows fit each place (P,)."""
        return np.asarray(self.fits.sum(axis=0))

    @cached_property
    def by_total(self) -> Counts:
        """The rows that fit anywhere, in the order of their slings' lengths together."""
        used = np.flatnonzero(any_of(self.fits))
        return used if self.uniform else used[np.argsort(self.total[used], kind="stable")]

    @cached_property
    def total(self) -> Counts:
        """The steps of each row's slings together (R,)."""
        return np.asarray(self.steps.sum(axis=1))

    @cached_property
    def alike(self) -> Counts:
        """Of these the rows of equally long slings."""
        steps = self.steps[self.by_total]
        return self.by_total[np.flatnonzero((steps == steps[:, :1]).all(axis=1))]

    @cached_property
    def least(self) -> Counts:
        """The least steps of each sling over the rows that fit anywhere."""
        return np.asarray(self.steps[self.by_total].min(axis=0))


class Shelved(NamedTuple):
    """The shelf's rows as equal slings at each place: all (K, P)."""

    fits: Bools
    reaches: Bools
    elsewhere: Bools
    level_m: NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Group:
    """P arrangements of one family; counts are of each place, (P,), before anything was dropped.

    `slings`: every choice among these; () = made to order. `shelf_slings`: each may be taken alone.
    """

    arrangements: tuple[Arrangement, ...]
    places: tuple[int, ...]
    rows: RowSet
    space: Counts
    no_reach: Counts
    too_high: Counts
    hangs: Counts
    every: Counts | None = None  # steps of individually made legs before anything was dropped
    slings: tuple[StockSling, ...] = ()
    shelf: Shelved | None = None
    shelf_slings: tuple[StockSling, ...] = ()
    makes: tuple[Strong, ...] = ()
    stock: tuple[tuple[int, Strong], ...] = ()

    @cached_property
    def straight(self) -> bool:
        """Whether it has one place alone, with straight legs to one hook."""
        only = self.arrangements[0]
        return (
            len(self.places) == 1
            and only.beam is None
            and len(only.hooks_xy_m) == 1
            and all(h.round is None for h in only.holdings)
        )

    @cached_property
    def text_rank(self) -> Counts:
        """Where each place stands among the candidates' texts, all else alike."""
        texts = [a.placement + "/" for a in self.arrangements]
        return np.argsort(np.argsort(np.array(texts), kind="stable"), kind="stable")

    @cached_property
    def shelf_rows(self) -> RowSet:
        """The shelf's rows as equal slings."""
        assert self.shelf is not None
        legs = len(self.arrangements[0].holdings)
        lengths = np.array([s.spec.length_m for s in self.shelf_slings])
        return RowSet(
            steps=np.repeat(np.arange(len(lengths))[:, None], legs, axis=1),
            lengths_m=np.repeat(lengths[:, None], legs, axis=1),
            fits=self.shelf.fits,
            level_m=self.shelf.level_m,
        )


class _LaidOut(NamedTuple):
    """Groups, and all that they rest on."""

    shop: Shop
    mine: tuple[StockSling, ...]
    hooks: tuple[Hook, ...]
    centre: Centre
    want: Want
    every: tuple[Arrangement, ...]
    groups: tuple[Group, ...]


_AT_ONCE = 16  # some three megabytes each
_laid_out: list[_LaidOut] = []


def grouped(setting: Setting, every: Sequence[Arrangement], mine: Sequence[StockSling]) -> tuple[Group, ...]:
    """All groups of a lift's arrangements, in their order; `mine` are the slings on the shelf.

    Kept of the last few lifts: a buyer who asks what a heavier load would take asks for the same again, and
    with it what rests on them alone.
    """
    global _laid_out  # noqa: PLW0603  (replaced whole, so that two threads never see it half changed)
    lift = setting.lift
    asked = setting.shop, tuple(mine), lift.hooks, lift.load.centre, lift.want, tuple(every)
    for kept in _laid_out:
        if kept[: len(asked)] == asked:
            return kept.groups
    fresh = _LaidOut(*asked, groups=tuple(_grouped(setting, every, mine)))
    _laid_out = [fresh, *_laid_out[: _AT_ONCE - 1]]
    return fresh.groups


def _grouped(setting: Setting, every: Sequence[Arrangement], mine: Sequence[StockSling]) -> list[Group]:
    kinds: dict[tuple[object, ...], list[int]] = {}
    for place, a in enumerate(every):
        ways = tuple(h.round is not None and h.round.curved for h in a.holdings)
        alone = place if a.lengths != "equal" or len(a.hooks_xy_m) > 1 else -1
        kinds.setdefault((a.family, a.lengths, len(a.holdings), ways, alone), []).append(place)
    return [_group(setting, tuple(p), tuple(every[i] for i in p), mine) for p in kinds.values()]


def _group(
    setting: Setting,
    places: tuple[int, ...],
    arrangements: tuple[Arrangement, ...],
    mine: Sequence[StockSling],
) -> Group:
    first = arrangements[0]
    steps = choices(setting, first)
    made, many = len(steps), len(first.holdings)
    shelved = list(mine) if first.lengths == "equal" else []
    stock = np.array([s.spec.length_m for s in shelved]).reshape(-1, 1)
    lengths = np.concatenate([steps_to_metres(setting, steps), np.repeat(stock, many, axis=1)])
    found = [length_conditions(setting, a, lengths) for a in arrangements]
    reaches, fits, elsewhere, level = (np.stack(x, axis=1) for x in zip(*found, strict=True))
    here = ~elsewhere[:made]
    some = np.flatnonzero(any_of(fits[:made]))  # what fits nowhere is counted here and seen nowhere else
    return Group(
        arrangements=arrangements,
        places=places,
        rows=RowSet(steps=steps[some], lengths_m=lengths[some], fits=fits[some], level_m=level[some]),
        space=here.sum(axis=0),
        no_reach=(~reaches[:made] & here).sum(axis=0),
        too_high=(reaches[:made] & ~fits[:made]).sum(axis=0),
        hangs=here.sum(axis=0),
        every=steps if first.lengths == "made" else None,
        shelf=Shelved(fits[made:], reaches[made:], elsewhere[made:], level[made:]) if shelved else None,
        shelf_slings=tuple(shelved),
    )


def shelf_groups(
    setting: Setting, arrangement: Arrangement, place: int, chosen: Sequence[Chosen], made: Counts
) -> Iterator[tuple[Rows, Group]]:
    """Choices of individual lengths from the shelf, of each kind at its own place: as rows and as a group.

    The first kind stands at `place`, the others behind it. `made` are the codes of individually made
    legs (M,), in order: what hangs like one of them is no hang of its own.
    """
    if not chosen:
        return
    lengths = np.concatenate([c.lengths_m for c in chosen])
    reaches, fits, _, level = length_conditions(setting, arrangement, lengths)
    ends = accumulate((len(c.steps) for c in chosen), initial=0)
    for at, c, (a, b) in zip(count(place), chosen, pairwise(ends), strict=False):
        kept = a + np.flatnonzero(fits[a:b])
        rows = Rows(
            steps=c.steps[kept - a],
            lengths_m=lengths[kept],
            space=b - a,
            no_reach=int((~reaches[a:b]).sum()),
            too_high=int((reaches[a:b] & ~fits[a:b]).sum()),
            hangs=c.hangs.besides(made),
        )
        yield (
            rows,
            Group(
                arrangements=(arrangement,),
                places=(at,),
                rows=RowSet(
                    steps=rows.steps,
                    lengths_m=rows.lengths_m,
                    fits=np.ones((len(kept), 1), dtype=np.bool_),
                    level_m=level[kept, None],
                ),
                space=np.array([rows.space]),
                no_reach=np.array([rows.no_reach]),
                too_high=np.array([rows.too_high]),
                hangs=np.array([rows.hangs]),
                slings=c.kind.slings,
            ),
        )
