"""One walk's heap: columns wait at a bound, then at their next row, verdicts at their exact measure."""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import count
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.check import Finding
from slingwright.choose.ahead import Ahead
from slingwright.choose.column import Column, Pairs
from slingwright.choose.evaluate import Verdict
from slingwright.choose.fallen import GRADED_AND_DEARER, Fell, used_millionths
from slingwright.choose.hangless import chokes_on_eye
from slingwright.choose.known import flat, put_off, question
from slingwright.choose.nominal import BEATEN, LATER, WAITS
from slingwright.choose.pace import Pace, beside
from slingwright.choose.source import MICRO, Source
from slingwright.choose.space import Entry
from slingwright.choose.sure import sure_to_fall

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from slingwright.choose.search import Search

__all__ = ["Found", "Walk"]

_ROWS = 512  # rows sifted in one batch, the first time; twice as many each time after that
_ROWS_AT_MOST = 65_536
_SLICE = 64  # rows of one column at least, where so many columns wait
_TOGETHER = 24  # columns at most
_WHOLE = 2048  # rows sifted in one batch, from which on columns are sifted whole
_LATE = 32  # rows that wait hung to their end together, the first time
_SPREAD = 8  # rows whose samples are drawn together, the first time
_SPREAD_AT_MOST = 32
_DRAWN_A_TRY = 12  # as many rows are drawn, few samples of each, at the cost of one judged with all its cases
_FAR = 1e9  # a share of a limit beyond any, where samples do not hang
_PLACE = np.zeros(1, dtype=np.int64)  # the only one
_NO_PAIRS = Pairs(*(np.zeros(0, dtype=np.int64) for _ in Pairs._fields))

Key = tuple[int, int, str]


@dataclass(slots=True)
class Found:
    """What one walk found: the first of grade 0, the first of grade 1, and what it went through."""

    best: Verdict | None = None
    best_grade_1: Verdict | None = None
    solved: int = 0
    drawn: int = 0  # rows whose samples were drawn before any was judged
    proved: bool = True
    by: str = ""  # the measure walked by
    fallen: list[Fell] = field(default_factory=list)  # some of it beyond the answer: see `fallen`
    counted: dict[str, int] | None = None  # what of it comes before the answer, once asked

    @property
    def answer(self) -> Verdict | None:
        """The best there is: grade 0 before grade 1."""
        return self.best or self.best_grade_1

    def tries(self) -> int:
        """The walk's work so far, in candidates judged one by one."""
        return self.solved + self.drawn // _DRAWN_A_TRY


@dataclass(slots=True)
class _Sources:
    """A group's sources, least bound first; those before `at` are columns by now."""

    found: list[tuple[int, Source]]
    at: int = 0


class _Judged(NamedTuple):
    """A verdict that waits for its turn at its exact measure, and what it is of."""

    verdict: Verdict
    source: Source
    one: Pairs


class Walk:
    """One walk's heap. With `only_ungraded` what is sure to be graded is lost from the start."""

    def __init__(
        self, search: Search, by: str, only: Callable[[Entry], bool], *, only_ungraded: bool = False
    ) -> None:
        self.search, self.by, self.found = search, by, Found(by=by)
        self._only_ungraded = only_ungraded
        self._heap: list[tuple[Key, int, object]] = []
        self._ticket = count()  # equal keys leave in the order they came; never compared further
        self._rows = _WHOLE if only_ungraded else _ROWS  # most of what is graded falls unpriced
        self._spread, self._pace = _SPREAD, (Pace(_LATE), Pace(_ROWS))
        self._ahead = Ahead(search, by)
        space = search.space
        for group in space.groups:
            admitted: dict[tuple[int, bool], bool] = {}
            kept = []
            for bound, s in search.sources(group, by):
                kind = (id(s.strong), bool(s.stock))
                if kind not in admitted:
                    admitted[kind] = only(space.entry(s, 0))
                if admitted[kind]:
                    kept.append((bound, s))
            self._push_sources(_Sources(kept))
            self._ahead.sources += kept

    def _push(self, key: Key, thing: object) -> None:
        heapq.heappush(self._heap, (key, next(self._ticket), thing))

    def _push_sources(self, them: _Sources) -> None:
        if them.at < len(them.found):
            self._push((them.found[them.at][0], 0, ""), them)

    def _push_column(self, column: Column) -> None:
        key = column.least_key() if self._whole(column) else column.key()
        if key is not None:
            self._push(key, column)

    def verdicts(self) -> Iterator[Verdict | None]:
        """Every judged candidate, in key order; None after any other step, for a look at the clock."""
        while self._heap:
            self._ahead.pass_on(self._heap)
            _, _, thing = heapq.heappop(self._heap)
            if isinstance(thing, _Judged):
                if self._graded_loses and thing.verdict.grade >= 1:
                    self._lose(thing.source, GRADED_AND_DEARER, thing.one)
                yield thing.verdict
            elif isinstance(thing, _Sources):
                self._open(thing)
            elif isinstance(thing, Column):
                if thing.came_through():
                    yield from self._judge(thing)
                else:
                    self._sift(thing)
                    yield None

    @property
    def _graded_loses(self) -> bool:
        """Whether what is graded can win no more."""
        return self._only_ungraded or self.found.best_grade_1 is not None

    # -- columns --------------------------------------------------------------------------------------

    def _open(self, them: _Sources) -> None:
        """Open the next of them, and those behind it whose turn comes before all else."""
        while True:
            self._open_one(them.found[them.at][1])
            them.at += 1
            if not (
                them.at < len(them.found) and self._heap and them.found[them.at][0] < self._heap[0][0][0]
            ):
                break
        self._push_sources(them)

    def _open_one(self, source: Source) -> None:
        opened, search = self.search.opened(source), self.search
        for places, stop, first in opened.stopped:
            self._lose_whole(source, places, stop.rule)
            search.note_stop(source, first, stop)
        if opened.clear is not None:
            self._start(search.column(source, opened.clear, self.by, graded=False))
        if opened.graded is not None and self._graded_loses:
            for places in opened.graded_ways:
                self._lose_whole(source, places, GRADED_AND_DEARER)
        elif opened.graded is not None:
            self._start(search.column(source, opened.graded, self.by, graded=True))

    def _start(self, column: Column) -> None:
        self._rule_out(column)
        if self.by == "reserve":  # its measure needs the hang
            pairs = self._off_the_eye(column, column.waiting_pairs())
            self.search.ask([column.question(pairs)])
            share = column.known.share[pairs.row, pairs.place]
            column.measured_as(_NO_PAIRS)
            self._take_in(column, pairs._replace(key=_micro(share)).in_order())
        self._push_column(column)

    def _rule_out(self, column: Column) -> None:
        """Rows that need neither price nor hang to fall leave together."""
        if len(column.source.group.places) > 1:
            return
        self.search.rule_out(column.source, graded_lose=self._graded_loses)
        self._drop_fallen(column, graded_lose=self._graded_loses)

    def _drop_fallen(self, column: Column, *, graded_lose: bool) -> None:
        """Rows of which it is known that they fall leave unpriced."""
        halves = column.drop_fallen(graded_lose=graded_lose)
        if len(halves.fallen) and not self.search.only_best:
            self.found.fallen.append(Fell(column.source, "", halves.fallen, _PLACE, why=halves.why))
            self.search.note_miss_of(column, halves)

    def _off_the_eye(self, column: Column, pairs: Pairs) -> Pairs:
        """Without the rows of which a choke would lie on its eye."""
        source = column.source
        on_eye = chokes_on_eye(self.search.setting, source, pairs.row, pairs.place)
        if not on_eye.any():
            return pairs
        self._lose(source, "choke", pairs.take(np.flatnonzero(on_eye)))
        return pairs.take(np.flatnonzero(~on_eye))

    def _sift(self, first: Column) -> None:
        """Sift the next rows of a column, and of those that wait just behind it; put them back."""
        if self.search.only_best or (self._rows >= _WHOLE and self._graded_loses):
            self._ahead.look(graded_lose=self._graded_loses)
        columns = self._together(first)
        whole, some = ([c for c in columns if self._whole(c) is all_] for all_ in (True, False))
        slices = [self._off_the_eye(c, c.next_slice(self._rows // len(columns))) for c in some]
        questions = [c.question(pairs) for c, pairs in zip(some, slices, strict=True)]
        questions += [question(c.source, c.rest_to(self._ahead.horizon)) for c in whole]
        self._rows = min(2 * self._rows, _ROWS_AT_MOST)
        self.search.ask(questions, graded_lose=self._graded_loses, wait=True)
        for column, pairs in zip(some, slices, strict=True):
            if put_off(column.source.group):
                column.behind = pairs
                self._drop_graded(column)
            else:
                self._take_in(column, pairs)
            self._push_column(column)
        for column in whole:
            column.sifted_whole, column.sifted_to = True, self._ahead.horizon
            self._drop_fallen(column, graded_lose=self._graded_loses)
            self._push_column(column)

    def _together(self, first: Column) -> list[Column]:
        """A column and those that wait just behind it, as many as are sifted together."""
        columns, many = [first], self._whole_rows(first)
        most = min(self._rows // _SLICE, _TOGETHER)
        while len(columns) < most and many < self._rows and self._heap:
            thing = self._heap[0][2]
            waits = thing.waits_for() if isinstance(thing, Column) else 0
            if isinstance(thing, _Judged) or (
                isinstance(thing, Column) and len(thing.passing.row) and not waits
            ):
                break
            heapq.heappop(self._heap)
            if isinstance(thing, Column) and waits:
                self._go_on(thing)
            elif isinstance(thing, Column):
                columns.append(thing)
                many += self._whole_rows(thing)
            elif isinstance(thing, _Sources):
                self._open(thing)
        return columns

    def _whole(self, column: Column) -> bool:
        """Whether all that is left of it is sifted at once, so that what falls is never priced.

        Where so many rows are gone through by now that most of it would be asked for anyway.
        """
        return self._rows >= _WHOLE and not column.sifted_whole and column.source.group.straight

    def _whole_rows(self, column: Column) -> int:
        return len(column.rest_to(self._ahead.horizon)) if self._whole(column) else 0

    def _take_in(self, column: Column, pairs: Pairs) -> None:
        why = self._note_fallen(column, pairs)
        column.passing = pairs.take(np.flatnonzero(_may_pass(why)))
        self._drop_graded(column)

    def _note_fallen(self, column: Column, pairs: Pairs) -> NDArray[np.int8]:
        """Keep what fell in the sieve, and note the nearest miss; why each fell, or what it waits for."""
        known, row, place = column.known, pairs.row, pairs.place
        at = known.at(row, place)
        why = flat(known.why)[at]
        fell = np.flatnonzero(~_may_pass(why))
        if not len(fell):
            return why
        self.found.fallen.append(Fell(column.source, "", *pairs.take(fell), why=why[fell]))
        misses = np.where(why > 0, flat(known.miss)[at], np.inf)
        nearest = int(np.argmin(misses))
        if why[nearest] > 0:
            self.search.note_miss(column, float(misses[nearest]), int(row[nearest]), int(place[nearest]))
        return why

    def _drop_graded(self, column: Column) -> None:
        """Where there is an answer of grade 1, what is sure to be graded can no longer win."""
        if not self._graded_loses:
            return
        known = column.known
        if len(column.passing.row):
            p = column.passing
            graded = flat(known.graded)[known.at(p.row, p.place)] | column.graded
            if graded.any():
                self._lose_by_grade(column, p.take(np.flatnonzero(graded)))
                column.keep_passing(~graded)
        if column.graded and len(column.behind.row):
            self._lose_by_grade(column, column.next_of(later=True, many=len(column.behind.row)))

    def _lose_by_grade(self, column: Column, them: Pairs) -> None:
        """What waits may have failed something before that: looked up when it is counted."""
        why = flat(column.known.why)[column.known.at(them.row, them.place)]
        self.found.fallen.append(Fell(column.source, "", *them, why=np.where(why == 0, BEATEN, why)))

    # -- candidates -----------------------------------------------------------------------------------

    def _judge(self, column: Column) -> Iterator[Verdict | None]:
        was = column.came_through()
        self._drop_graded(column)
        if column.came_through() < was:
            self._push_column(column)
            return
        if column.waits_for():
            self._go_on(column)
            yield None
            return
        if self.by == "reserve" and self._tighten(column):
            self._push_column(column)
            yield None
            return
        candidate, place = column.head(), int(column.passing.place[0])
        lost = column.passing.take(slice(0, 1))
        column.drop_head()
        self._push_column(column)
        beaten = 1 if self._graded_loses else None
        rule = ""
        if not self.search.is_judged(candidate):
            rule = sure_to_fall(self.search, column, lost, graded_lose=beaten is not None)
        if rule:
            self._lose(column.source, rule, lost)
            yield None
            return
        entry = self.search.space.entry(column.source, place)
        verdict, fresh = self.search.judge(entry, candidate, beaten_at_grade=beaten, sieved=True)
        self.found.solved += fresh
        if verdict.stop is not None:
            self._lose(column.source, verdict.stop.rule, lost, verdict.stop)
            yield verdict
        elif beaten is not None and verdict.grade >= beaten:
            self._lose(column.source, GRADED_AND_DEARER, lost)
            yield verdict
        elif self.by == "reserve" and verdict.complete:  # its exact measure is known only now
            mass, used = int(lost.mass[0]), used_millionths(verdict)
            exact = lost._replace(key=np.array([used]))
            self._push((used, mass, candidate.text), _Judged(verdict, column.source, exact))
            yield None
        else:
            yield verdict

    def _go_on(self, first: Column) -> None:
        """Hang what waits of a column and of those that stand just behind it: the next in order."""
        later, columns = first.waits_for() == LATER, []
        pace = self._pace[later]
        for column in beside(self._heap, first, _TOGETHER, pace.next):
            self._drop_graded(column)
            waits = column.waits_for()
            if waits and (waits == LATER) == later:
                columns.append(column)
            else:
                self._push_column(column)
        cut = pace.cut([c.next_keys(later=later) for c in columns])
        heads = [c.next_of(later=later, many=many) for c, many in zip(columns, cut, strict=True)]
        questions = [c.question(pairs) for c, pairs in zip(columns, heads, strict=True) if len(pairs.row)]
        self.search.go_on(questions, later=later, graded_lose=self._graded_loses)
        for column, pairs in zip(columns, heads, strict=True):
            if later and len(pairs.row):
                self._take_in(column, pairs)
            elif len(pairs.row):
                column.keep_head(_may_pass(self._note_fallen(column, pairs)))
            self._push_column(column)

    def _tighten(self, column: Column) -> bool:
        """Measure the next rows by the least that their samples can be; whether any was not so before."""
        few = column.passing.take(slice(0, self._spread))
        known = column.known.drawn.get((int(few.row[0]), int(few.place[0])))
        if known is not None and round(min(known.share, _FAR) * MICRO) <= few.key[0]:
            if known.whole:
                return False
            few = few.take(slice(0, 1))  # as far as a few samples tell: now of all
            share = self.search.spread(column.source, few.row, few.place, whole=True).share
            column.raise_passing(_micro(np.minimum(share, _FAR)))
            return True
        self._spread = min(2 * self._spread, _SPREAD_AT_MOST)
        self.found.drawn += len(few.row)
        share = self.search.spread(column.source, few.row, few.place).share
        column.raise_passing(_micro(np.minimum(share, _FAR)))
        return True

    # -- what is lost ---------------------------------------------------------------------------------

    def _lose_whole(self, source: Source, places: NDArray[np.int64], rule: str) -> None:
        """Every row of a source at these places."""
        self.found.fallen.append(Fell(source, rule, None, places))

    def _lose(self, source: Source, rule: str, them: Pairs, stop: Finding | None = None) -> None:
        self.found.fallen.append(Fell(source, rule, *them, stop=stop))


def _may_pass(why: NDArray[np.int8]) -> NDArray[np.bool_]:
    return np.asarray((why == 0) | (why == WAITS) | (why == LATER))


def _micro(share: NDArray[np.float64]) -> NDArray[np.int64]:
    return np.asarray(np.rint(share * MICRO), dtype=np.int64)
