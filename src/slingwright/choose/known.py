"""What the sieve knows of a group's rows and places, by stiffness and strength, asked for in batches."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple, TypeVar

import numpy as np

from slingwright.choose.apart import Apart
from slingwright.choose.drawn import Spread
from slingwright.choose.groups import Group, RowSet, Strong
from slingwright.choose.lanes import laid_as_lanes
from slingwright.choose.nominal import BEATEN, LATER, UNASKED, WAITS
from slingwright.choose.setting import Setting
from slingwright.choose.several import Several
from slingwright.choose.sieve import FEW, Asked, Sieve, Sifted
from slingwright.choose.unhung import Unhung

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from slingwright.choose.source import Source

    Ints = NDArray[np.int64]

__all__ = [
    "Drawn", "Exact", "Halves", "Known", "Question", "Sieves", "asked_of", "flat", "put_off", "question",
]  # fmt: skip

_T = TypeVar("_T", bound=np.generic)


class Drawn(NamedTuple):
    """What is known of a row's sampled figures: as `Spread` has them, and whether of all samples."""

    share: float
    lean_deg: float
    whole: bool


class Exact(NamedTuple):
    """As `Sifted` has it of one row, hung as it is judged but for its samples."""

    why: int
    miss: float
    graded: bool


class Halves(NamedTuple):
    """Rows of one place that may pass yet, and those that fall: why and by how much each of these.

    `least` is the smallest miss among them; what is only sure to be graded has none.
    """

    left: Ints
    fallen: Ints
    why: NDArray[np.int8]
    miss: NDArray[np.float64]
    least: float


class Known:
    """Of each row and place (R, P) of one stiffness and strength: as `Sifted` has it of each lane."""

    def __init__(self, shape: tuple[int, ...]) -> None:
        self.why = np.full(shape, UNASKED, dtype=np.int8)
        self.share, self.miss = np.zeros(shape), np.zeros(shape)
        self.drawn: dict[tuple[int, int], Drawn] = {}
        self.graded = np.zeros(shape, dtype=np.bool_)
        self.number = np.zeros(shape, dtype=np.int64)  # of what `WAITS`; of what is `LATER` see `put_off`
        self.exact: dict[tuple[int, int, bool], Exact] = {}  # by row, place, and whether what is graded loses
        self._halves: dict[bool, Halves] = {}
        self._places = shape[1]

    def at(self, row: Ints, place: Ints | int) -> Ints:
        """Where rows at places stand in the `flat` arrays: these are read in a third of the time."""
        return row if self._places == 1 else row * self._places + place

    def halves(self, rows: Ints, *, graded_lose: bool, all_rows: bool = True) -> Halves:
        """Of the rows of one place: those that may pass yet, and those that fall.

        `graded_lose`: what is sure to be graded falls, too. `all_rows`: they are all that it is made of.
        """
        if all_rows and graded_lose in self._halves:
            return self._halves[graded_lose]
        why = flat(self.why)[self.at(rows, 0)]
        falls = (why > 0) | (why == BEATEN) if graded_lose else why > 0
        fell = np.flatnonzero(falls)
        fallen, why = rows[fell], why[fell]
        miss = np.where(why > 0, flat(self.miss)[self.at(fallen, 0)], np.inf)
        halves = Halves(rows[np.flatnonzero(~falls)], fallen, why, miss, float(miss.min(initial=np.inf)))
        if all_rows:
            self._halves[graded_lose] = halves
        return halves

    def forget_halves(self) -> None:
        """More is known of some row."""
        self._halves.clear()


class Question(NamedTuple):
    """Rows at places of a group, made of what is strong enough for it."""

    group: Group
    rows: RowSet
    strong: Strong
    row: Ints
    place: Ints


class Sieves:
    """All sieves of one lift; `only_best`: what loses falls by the quickest proof, and nobody asks why."""

    def __init__(self, setting: Setting, *, only_best: bool = False) -> None:
        self._setting, self._only_best = setting, only_best
        self._known: dict[tuple[object, ...], Known] = {}
        self._sieves: dict[tuple[bool, int], Sieve | Several] = {}
        self._unhung: dict[int, Unhung | None] = {}
        self._apart: dict[int, Apart] = {}
        self._ruled: dict[tuple[object, ...], bool] = {}
        self._lost = False  # whether rows were put off where what is graded loses

    def known(self, rows: RowSet, strong: Strong) -> Known:
        """What is known of these rows; shared by all makes of the same stiffness and strength."""
        key = _key(rows, strong)
        if key not in self._known:
            self._known[key] = Known(rows.fits.shape)
        return self._known[key]

    def ask(self, questions: list[Question], *, graded_lose: bool = False, wait: bool = False) -> None:
        """Hang what was not hung before: all of one sieve at once.

        `graded_lose`: lanes that are sure to be graded may be left `BEATEN`. `wait`: those round a load may
        be left `LATER`, straight legs `WAITS`, for `go_on`.
        """
        for many in _together(questions):
            self._at_once(many, graded_lose, wait)
            if not wait:
                self._told(many)
                self._resume(many, graded_lose)
                self._ask_again(many, graded_lose)

    def go_on(self, questions: list[Question], *, later: bool, graded_lose: bool) -> None:
        """Hang what is `LATER` as told; or else what `WAITS` to its end."""
        for many in _together(questions):
            if later:
                self._told(many)
            else:
                self._resume(many, graded_lose)
            self._ask_again(many, graded_lose)

    def _ask_again(self, questions: list[Question], graded_lose: bool) -> None:
        """What was put off where the graded lose may be `BEATEN` now: hang it anew where they do not."""
        if self._lost and not graded_lose:
            self._at_once(questions, graded_lose, waits=False)

    def _at_once(self, questions: list[Question], graded_lose: bool, waits: bool) -> None:
        """Each lane's figures are its own, whatever is hung beside it."""
        fresh = _Fresh()
        for q in questions:
            self.rule_out(q.group, q.rows, q.strong, graded_lose=graded_lose)
            known = self.known(q.rows, q.strong)
            if graded_lose:
                self._lose(q, known)
            why = flat(known.why)[known.at(q.row, q.place)]
            fresh.take(q, known, np.flatnonzero((why == UNASKED) | ((why == BEATEN) & (not graded_lose))))
        if not fresh.many:
            return
        waits &= fresh.many > FEW
        self._lost |= waits and graded_lose
        if waits and put_off(questions[0].group):
            fresh.put_off(graded_lose)
        else:
            sieve = self._sieve(questions[0].group)
            fresh.write(sieve.sift(fresh.asked(), graded_lose=graded_lose, wait=waits))

    def _told(self, questions: list[Question]) -> None:
        """Hang what is `LATER` as told."""
        for lose in (False, True) if self._lost else (False,):
            fresh = _Fresh()
            for q in questions:
                known = self.known(q.rows, q.strong)
                at = known.at(q.row, q.place)
                later = flat(known.why)[at] == LATER
                fresh.take(q, known, np.flatnonzero(later & (flat(known.number)[at] == lose)))
            if fresh.many:
                sieve = self._sieve(questions[0].group)
                fresh.write(sieve.sift(fresh.asked(), graded_lose=lose, wait=True))

    def _resume(self, questions: list[Question], graded_lose: bool) -> None:
        """Hang what `WAITS` to its end; no further than it was asked, nor than it is now."""
        self._lost |= graded_lose
        fresh = _Fresh()
        for q in questions:
            known = self.known(q.rows, q.strong)
            fresh.take(q, known, np.flatnonzero(flat(known.why)[known.at(q.row, q.place)] == WAITS))
        if fresh.many:
            fresh.write(self._sieve(questions[0].group).resume(fresh.numbers(), graded_lose=graded_lose))

    def _sieve(self, group: Group) -> Sieve | Several:
        key = _hung_as(group)
        if key not in self._sieves:
            rows = group.rows if len(group.rows.by_total) else group.shelf_rows
            first, setting, arrangements = rows.by_total[0], self._setting, group.arrangements
            if laid_as_lanes(arrangements[0]):
                level = float(np.nanmin(rows.level_m[first]))
                self._sieves[key] = Sieve(setting, arrangements, level)
            else:  # one place alone
                self._sieves[key] = Several(setting, arrangements[0], rows.lengths_m[first])
        return self._sieves[key]

    def rule_out(self, group: Group, rows: RowSet, strong: Strong, *, graded_lose: bool = False) -> None:
        """Note of every row what its level geometry alone rules out; the others stay unasked.

        `graded_lose`: those that are sure to be graded may be left `BEATEN`.
        """
        key = _key(rows, strong)
        done = self._ruled.get(key)
        if done or (done is not None and not graded_lose):
            return
        self._ruled[key] = graded_lose
        if not laid_as_lanes(group.arrangements[0]):
            self._rule_out_apart(group, self.known(rows, strong), strong, graded_lose)
            return
        if id(rows) not in self._unhung:
            sieve = self._sieve(group)
            assert isinstance(sieve, Sieve)  # what is laid as lanes has one
            self._unhung[id(rows)] = sieve.unhung(rows.lengths_m, rows.told)
        unhung = self._unhung[id(rows)]
        if unhung is None:
            return
        known, cell = self.known(rows, strong), strong.rated[0]
        stretch = strong.ends.stiff * cell.part_limit_n / cell.cell.rated_n
        if done is None:
            why, miss = unhung.fell(stretch, cell.part_limit_n)
            fell = (why > 0) & (known.why[:, 0] == UNASKED)
            np.copyto(known.why[:, 0], why, where=fell)
            np.copyto(known.miss[:, 0], miss, where=fell)
        if graded_lose:
            left = np.flatnonzero(known.why[:, 0] == UNASKED)
            left = left[unhung.crooked(stretch, cell.part_limit_n, left)]
            known.why[left, 0], known.graded[left, 0] = BEATEN, True
        known.forget_halves()

    def _lose(self, q: Question, known: Known) -> None:
        """Note of rows which are sure to lose, where nobody asks why: they need not be hung."""
        unhung = self._unhung.get(id(q.rows)) if self._only_best else None
        if unhung is not None:
            left, cell, ends = q.row[known.why[q.row, 0] == UNASKED], q.strong.rated[0], q.strong.ends
            stretches = tuple(x * cell.part_limit_n / cell.cell.rated_n for x in (ends.stiff, ends.soft))
            known.why[left[unhung.lost(stretches, cell.part_limit_n, left)], 0] = BEATEN
            known.forget_halves()

    def _rule_out_apart(self, group: Group, known: Known, strong: Strong, graded_lose: bool) -> None:
        """As `rule_out` under a beam or several hooks, where all rows fall alike."""
        place = group.places[0]
        if place not in self._apart:
            self._apart[place] = Apart(self._setting, group.arrangements[0])
        why, miss, graded = self._apart[place].fell(strong.rated, strong.dry)
        unasked = known.why == UNASKED
        if why:
            known.why[unasked], known.miss[unasked] = why, miss
        elif graded and graded_lose:
            known.why[unasked], known.graded[unasked] = BEATEN, True
        known.forget_halves()

    def exactly(self, q: Question, *, graded_lose: bool) -> None:
        """Hang rows that came through as they are judged, but for their samples; kept in `Known.exact`.

        Each row's figures are its own. Where the sieve is as exact nothing is kept.
        """
        sieve, exact = self._sieve(q.group), self.known(q.rows, q.strong).exact
        pairs = list(zip(q.row.tolist(), q.place.tolist(), strict=True))
        fresh = [k for k, (row, place) in enumerate(pairs) if (row, place, graded_lose) not in exact]
        if not fresh or not isinstance(sieve, Sieve):
            return
        asked = asked_of(q._replace(row=q.row[fresh], place=q.place[fresh]))
        found = sieve.exactly(asked, graded_lose=graded_lose)
        if found is not None:
            for k, why, miss, graded in zip(fresh, found.why, found.miss, found.graded, strict=True):
                exact[*pairs[k], graded_lose] = Exact(int(why), float(miss), bool(graded))

    def spread(self, q: Question, tolerance_m: NDArray[np.float64], *, whole: bool) -> Spread:
        """The least that the sampled figures of rows can be; `tolerance_m` (S, slings), `whole`: of all."""
        return self._sieve(q.group).spread(asked_of(q), tolerance_m, whole=whole)


def question(source: Source, row: Ints, place: Ints | None = None) -> Question:
    """Rows of a source at places; where none are given, at its only one."""
    place = np.zeros(len(row), dtype=np.int64) if place is None else place
    return Question(source.group, source.rows, source.strong, row, place)


def flat(of: NDArray[_T]) -> NDArray[_T]:
    """One of the arrays of a `Known`, row after row, itself."""
    return of.reshape(-1)


def _together(questions: list[Question]) -> Iterable[list[Question]]:
    """Those of one sieve each."""
    together: dict[tuple[bool, int], list[Question]] = {}
    for q in questions:
        together.setdefault(_hung_as(q.group), []).append(q)
    return together.values()


def _hung_as(group: Group) -> tuple[bool, int]:
    """Alike for groups whose rows one sieve hangs: straight legs of the same arrangement, made or chosen."""
    return (True, id(group.arrangements[0])) if group.straight else (False, group.places[0])


def put_off(group: Group) -> bool:
    """Whether a group's rows are hung when their turn comes.

    Round a load few fall before their corners; under a beam or several hooks a hang costs ten times as much.
    """
    only = group.arrangements[0]
    return not laid_as_lanes(only) or any(h.round is not None for h in only.holdings)


class _Fresh:
    """Rows at places that are to be hung now, of makes of one sieve's groups."""

    def __init__(self) -> None:
        self.many = 0
        self._mine: list[tuple[Question, Known, Ints, Ints]] = []

    def take(self, q: Question, known: Known, at: Ints) -> None:
        """Some of a question's rows; from here on nobody else takes them."""
        if len(at):
            row, place = q.row[at], q.place[at]
            flat(known.why)[known.at(row, place)] = 0  # asked now: not twice in one batch
            self._mine.append((q, known, row, place))
            self.many += len(at)

    def asked(self) -> Asked:
        """As the sieve asks for them."""
        return asked_together([q._replace(row=row, place=place) for q, _, row, place in self._mine])

    def numbers(self) -> Ints:
        """The sieve's numbers of what waits."""
        return np.concatenate(
            [flat(known.number)[known.at(row, place)] for _, known, row, place in self._mine]
        )

    def put_off(self, graded_lose: bool) -> None:
        """They are hung when their turn comes, with what they were asked with."""
        for _, known, row, place in self._mine:
            them = known.at(row, place)
            flat(known.why)[them], flat(known.number)[them] = LATER, graded_lose

    def write(self, found: Sifted) -> None:
        """Keep what was found of them."""
        at = 0
        for _, known, row, place in self._mine:
            mine = slice(at, at + len(row))
            at += len(row)
            known.forget_halves()
            them = known.at(row, place)
            flat(known.why)[them], flat(known.miss)[them] = found.why[mine], found.miss[mine]
            flat(known.share)[them], flat(known.graded)[them] = found.share[mine], found.graded[mine]
            if found.number is not None:
                flat(known.number)[them] = found.number[mine]


def _key(rows: RowSet, strong: Strong) -> tuple[object, ...]:
    limits = tuple(r.part_limit_n for r in strong.rated)
    # the group holds its rows
    return (id(rows), strong.rated[0].cell.rated_n, strong.ends, limits, strong.dry)


def asked_of(q: Question) -> Asked:
    """The lanes of a question."""
    return asked_together([q])


def asked_together(questions: Sequence[Question]) -> Asked:
    """The lanes of some questions of one sieve, one after the other."""
    counts = [len(q.row) for q in questions]
    limits_n = np.array([[r.part_limit_n for r in q.strong.rated] for q in questions])
    if laid_as_lanes(questions[0].group.arrangements[0]):  # under one hook all hitches are alike
        limits_n = limits_n[:, 0]

    def each(figures: list[float]) -> NDArray[np.float64]:
        return np.repeat(np.array(figures), counts)

    return Asked(
        lengths_m=np.concatenate([q.rows.lengths_m[q.row] for q in questions]),
        place=np.concatenate([q.place for q in questions]),
        level_m=np.concatenate([q.rows.level_m[q.row, q.place] for q in questions]),
        rated_n=each([q.strong.rated[0].cell.rated_n for q in questions]),
        stiff=each([q.strong.ends.stiff for q in questions]),
        soft=each([q.strong.ends.soft for q in questions]),
        dry=each([q.strong.dry for q in questions]),
        limit_n=np.repeat(limits_n, counts, axis=0),
    )
