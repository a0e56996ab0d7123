"""One walk's heap: entries wait at a bound, blocks at their next row, verdicts at their exact measure."""

from __future__ import annotations

import heapq
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import count
from typing import TYPE_CHECKING

import numpy as np

from slingwright.check import Finding
from slingwright.choose.blocks import Block, protections_for
from slingwright.choose.candidate import Candidate
from slingwright.choose.evaluate import Verdict
from slingwright.choose.hangless import chokes_on_eye
from slingwright.choose.lost import Lost
from slingwright.choose.nominal import REASONS
from slingwright.choose.space import Entry
from slingwright.shop import Protection, Refusal

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from slingwright.choose.nominal import Nominal
    from slingwright.choose.search import Search

__all__ = ["Found", "Walk"]

MICRO = 1_000_000
_SLICE = 256  # rows of a block sifted at once, the first time; four times as many each time after that
_DEARER = "grade-1-and-dearer"

Key = tuple[int, int, str]


@dataclass(slots=True)
class Found:
    """What one walk found: the first of grade 0, the first of grade 1, and what it went through."""

    best: Verdict | None = None
    best_grade_1: Verdict | None = None
    solved: int = 0
    rejected: Counter[str] = field(default_factory=Counter)
    lost: list[Lost] = field(default_factory=list)  # the same one by one; only where the search keeps them
    proved: bool = True

    @property
    def answer(self) -> Verdict | None:
        """The best there is: grade 0 before grade 1."""
        return self.best or self.best_grade_1


@dataclass(slots=True, kw_only=True)
class _Pile:
    """A block whose rows leave in order; those past `sifted` have not been through the sieve."""

    entry: Entry
    block: Block
    nominal: Nominal | None  # None: one row needs no sieve
    graded: bool  # every row carries a grading caution
    order: NDArray[np.int64]
    keys: NDArray[np.int64]
    mass: NDArray[np.float64]
    at: int = 0
    sifted: int = 0
    slice: int = _SLICE
    passing: list[int] = field(default_factory=list)  # rows that came through, last first

    def key(self, row: int, text: str) -> Key:
        """A row's place in the order."""
        return (int(self.keys[row]), int(self.mass[row]), text)

    def next_slice(self) -> NDArray[np.int64]:
        """The rows to be sifted next; rows of equal measure and mass stay together."""
        end = min(self.sifted + self.slice, len(self.order))
        while end < len(self.order) and self._tied(end):
            end += 1
        rows = self.order[self.sifted : end]
        self.sifted, self.slice = end, self.slice * 4
        return rows

    def _tied(self, at: int) -> bool:
        one, other = self.order[at - 1], self.order[at]
        return bool(self.keys[one] == self.keys[other] and self.mass[one] == self.mass[other])


class Walk:
    """One walk's heap."""

    def __init__(self, search: Search, by: str, only: Callable[[Entry], bool]) -> None:
        self.search, self.by, self.found = search, by, Found()
        self._heap: list[tuple[Key, int, object]] = []
        self._ticket = count()  # equal keys leave in the order they came; never compared further
        for entry in search.space.entries:
            if only(entry):
                self._push_entry(entry, Protection.NONE)

    def _push(self, key: Key, thing: object) -> None:
        heapq.heappush(self._heap, (key, next(self._ticket), thing))

    def _push_entry(self, entry: Entry, protection: Protection) -> None:
        bound = self.search.bound(entry, protection, self.by)
        if bound is not None:
            self._push((bound, 0, ""), (entry, protection))

    def verdicts(self) -> Iterator[Verdict | None]:
        """Every judged candidate, in key order; None for one whose turn comes by its exact measure."""
        while self._heap:
            _, _, thing = heapq.heappop(self._heap)
            if isinstance(thing, Verdict):
                yield thing
            elif isinstance(thing, _Pile):
                if thing.passing:
                    yield from self._judge(thing)
                else:
                    self._sift(thing)
            else:
                self._open(*thing)  # type: ignore[misc]

    def _open(self, entry: Entry, protection: Protection) -> None:
        if protection is Protection.NONE:  # siblings cost at least as much
            for other in protections_for(self.search.setting, entry.arrangement)[1:]:
                self._push_entry(entry, other)
        ruling = self.search.ruling(entry, protection)
        if ruling.stop is not None:
            self._reject_all(entry, protection, ruling.stop.rule)
            return
        if ruling.graded and self.found.best_grade_1 is not None:
            self._reject_all(entry, protection, _DEARER)
            return
        block = self.search.block(entry, protection)
        if isinstance(block, Refusal) or not len(block.lengths_m):
            return
        nominal = None if len(entry.stock) == 1 else self.search.space.nominal(entry)
        keys, mass = self._measures(block, nominal), np.rint(block.mass_kg * MICRO)
        on_eye = chokes_on_eye(self.search.setting, block.arrangement, block.base, block.lengths_m)
        self._lose_rows(entry, block, "choke", np.flatnonzero(on_eye))
        rows = np.flatnonzero(~on_eye)
        order = rows[np.lexsort((mass[rows], keys[rows]))]
        pile = _Pile(
            entry=entry, block=block, nominal=nominal, graded=ruling.graded, order=order, keys=keys, mass=mass
        )
        self._push_pile(pile)

    def _measures(self, block: Block, nominal: Nominal | None) -> NDArray[np.int64]:
        if self.by == "price":
            return block.price_minor
        if self.by == "delivery":
            return block.days
        figures = block.mass_kg
        if self.by == "reserve":
            figures = np.zeros(len(block.lengths_m))
            if nominal is not None:
                nominal.ask(block.row_of)
                figures = nominal.share[block.row_of]
        return np.asarray(np.rint(figures * MICRO), dtype=np.int64)

    def _push_pile(self, pile: _Pile) -> None:
        """At its next row's exact key; where that is not sifted, at what no later row is below."""
        if pile.passing:
            row = pile.passing[-1]
            self._push(pile.key(row, pile.block.candidate(row).text), pile)
        elif pile.sifted < len(pile.order):
            self._push(pile.key(int(pile.order[pile.sifted]), ""), pile)

    def _sift(self, pile: _Pile) -> None:
        """Sift the next rows of a block, and put it back to wait for the first that came through."""
        rows, block, nominal = pile.next_slice(), pile.block, pile.nominal
        if nominal is not None:
            nominal.ask(block.row_of[rows])
            why = nominal.why[block.row_of[rows]]
            for k in np.unique(why[why > 0]):
                self._lose_rows(pile.entry, block, REASONS[k], rows[why == k])
            self._note_miss(pile, nominal, rows[why > 0])
            rows = rows[why == 0]
        pile.passing = _ties_by_text(block, rows, pile.keys, pile.mass).tolist()[::-1]
        self._push_pile(pile)

    def _note_miss(self, pile: _Pile, nominal: Nominal, fell: NDArray[np.int64]) -> None:
        if len(fell):
            misses = nominal.miss[pile.block.row_of[fell]]
            best = int(np.argmin(misses))
            self.search.note_miss(pile.entry, pile.block.protection, float(misses[best]), int(fell[best]))

    def _judge(self, pile: _Pile) -> Iterator[Verdict | None]:
        row = pile.passing.pop()
        candidate = pile.block.candidate(row)
        nominal = pile.nominal
        graded = pile.graded or (nominal is not None and bool(nominal.graded[pile.block.row_of[row]]))
        self._push_pile(pile)
        if graded and self.found.best_grade_1 is not None:
            self._reject(pile, candidate, _DEARER)
            return
        beaten = 1 if self.found.best_grade_1 is not None else None
        verdict, fresh = self.search.judge(
            pile.entry, candidate, beaten_at_grade=beaten, sieved=nominal is not None
        )
        self.found.solved += fresh
        if verdict.stop is not None:
            self._reject(pile, candidate, verdict.stop.rule, verdict.stop)
            yield verdict
        elif self.by == "reserve" and verdict.complete:  # its exact measure is known only now
            mass = round(candidate.mass_kg * MICRO)
            self._push((round(_utilisation(verdict) * MICRO), mass, candidate.text), verdict)
            yield None
        else:
            yield verdict

    def _reject(self, pile: _Pile, candidate: Candidate, rule: str, stop: Finding | None = None) -> None:
        self.found.rejected[rule] += 1
        protection = candidate.protection
        self._lose(Lost(rule=rule, entry=pile.entry, protection=protection, candidate=candidate, stop=stop))

    def _reject_all(self, entry: Entry, protection: Protection, rule: str) -> None:
        self.found.rejected[rule] += self.search.rows_of(entry)
        self._lose(Lost(rule=rule, entry=entry, protection=protection))

    def _lose_rows(self, entry: Entry, block: Block, rule: str, rows: NDArray[np.int64]) -> None:
        if len(rows):
            self.found.rejected[rule] += len(rows)
            self._lose(Lost(rule=rule, entry=entry, protection=block.protection, rows=block.row_of[rows]))

    def _lose(self, lost: Lost) -> None:
        if self.search.keep_lost:
            self.found.lost.append(lost)


def _ties_by_text(
    block: Block, order: NDArray[np.int64], keys: NDArray[np.int64], mass: NDArray[np.float64]
) -> NDArray[np.int64]:
    """Rows of equal measure and mass in the order of their text (lengths of one sum, as on a beam)."""
    fresh = (np.diff(keys[order]) != 0) | (np.diff(mass[order]) != 0)
    if fresh.all():
        return order
    for run in np.split(np.arange(len(order)), np.flatnonzero(fresh) + 1):
        if len(run) > 1:
            order[run] = sorted(order[run], key=lambda row: block.candidate(int(row)).text)
    return order


def _utilisation(verdict: Verdict) -> float:
    return max(
        max(s.design_n / r.part_limit_n, s.hitch_ratio)
        for s, r in zip(verdict.shares, verdict.rated, strict=True)
    )
