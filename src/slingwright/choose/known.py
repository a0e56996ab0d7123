"""What the sieve knows of a group's rows and places, by stiffness and strength, asked for in batches."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.choose.apart import Apart
from slingwright.choose.drawn import Spread
from slingwright.choose.groups import Group, RowSet, Strong
from slingwright.choose.lanes import laid_as_lanes
from slingwright.choose.nominal import BEATEN, UNASKED
from slingwright.choose.setting import Setting
from slingwright.choose.several import Several
from slingwright.choose.sieve import Asked, Sieve
from slingwright.choose.unhung import Unhung

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

__all__ = ["Drawn", "Halves", "Known", "Question", "Sieves", "asked_of"]


class Drawn(NamedTuple):
    """What is known of a row's sampled figures: as `Spread` has them, and whether of all samples."""

    share: float
    lean_deg: float
    whole: bool


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
        self._halves: dict[bool, Halves] = {}

    def halves(self, rows: Ints, *, graded_lose: bool, all_rows: bool = True) -> Halves:
        """Of the rows of one place: those that may pass yet, and those that fall.

        `graded_lose`: what is sure to be graded falls, too. `all_rows`: they are all that it is made of.
        """
        if all_rows and graded_lose in self._halves:
            return self._halves[graded_lose]
        why = self.why[rows, 0]
        falls = (why > 0) | (why == BEATEN) if graded_lose else why > 0
        fallen, why = rows[falls], why[falls]
        miss = np.where(why > 0, self.miss[fallen, 0], np.inf)
        halves = Halves(rows[~falls], fallen, why, miss, float(miss.min(initial=np.inf)))
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
    """All sieves of one lift."""

    def __init__(self, setting: Setting) -> None:
        self._setting = setting
        self._known: dict[tuple[object, ...], Known] = {}
        self._sieves: dict[int, Sieve | Several] = {}
        self._unhung: dict[int, Unhung | None] = {}
        self._apart: dict[int, Apart] = {}
        self._ruled: dict[tuple[object, ...], bool] = {}

    def known(self, rows: RowSet, strong: Strong) -> Known:
        """What is known of these rows; shared by all makes of the same stiffness and strength."""
        key = _key(rows, strong)
        if key not in self._known:
            self._known[key] = Known(rows.fits.shape)
        return self._known[key]

    def ask(self, questions: list[Question], *, graded_lose: bool = False) -> None:
        """Hang what was not hung before: all of one group at once.

        `graded_lose`: lanes that are sure to be graded may be left `BEATEN`.
        """
        together: dict[int, list[Question]] = {}
        for q in questions:
            together.setdefault(q.group.places[0], []).append(q)
        for many in together.values():
            self._at_once(many, graded_lose)

    def _at_once(self, questions: list[Question], graded_lose: bool) -> None:
        """Each lane's figures are its own, whatever is hung beside it."""
        parts, owners = [], []
        for q in questions:
            self.rule_out(q.group, q.rows, q.strong, graded_lose=graded_lose)
            known = self.known(q.rows, q.strong)
            why = known.why[q.row, q.place]
            fresh = np.flatnonzero((why == UNASKED) if graded_lose else (why < 0))
            if len(fresh):
                row, place = q.row[fresh], q.place[fresh]
                known.why[row, place] = 0  # asked now: not twice in one batch
                parts.append(asked_of(q._replace(row=row, place=place)))
                owners.append((known, row, place))
        if not parts:
            return
        asked = Asked(*(np.concatenate(x) for x in zip(*parts, strict=True)))
        found = self._sieve(questions[0].group).sift(asked, graded_lose=graded_lose)
        at = 0
        for known, row, place in owners:
            mine = slice(at, at + len(row))
            at += len(row)
            known.forget_halves()
            known.why[row, place], known.miss[row, place] = found.why[mine], found.miss[mine]
            known.share[row, place], known.graded[row, place] = found.share[mine], found.graded[mine]

    def _sieve(self, group: Group) -> Sieve | Several:
        if group.places[0] not in self._sieves:
            rows = group.rows if len(group.rows.by_total) else group.shelf_rows
            first, setting, arrangements = rows.by_total[0], self._setting, group.arrangements
            if laid_as_lanes(arrangements[0]):
                level = float(np.nanmin(rows.level_m[first]))
                self._sieves[group.places[0]] = Sieve(setting, arrangements, level)
            else:  # one place alone
                self._sieves[group.places[0]] = Several(setting, arrangements[0], rows.lengths_m[first])
        return self._sieves[group.places[0]]

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
            self._unhung[id(rows)] = sieve.unhung(rows.lengths_m) if isinstance(sieve, Sieve) else None
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
            left = left[unhung.crooked(stretch, left)]
            known.why[left, 0], known.graded[left, 0] = BEATEN, True
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

    def spread(self, q: Question, tolerance_m: NDArray[np.float64], *, whole: bool) -> Spread:
        """The least that the sampled figures of each row at its place can be.

        `tolerance_m` (S, slings). `whole`: of all samples.
        """
        return self._sieve(q.group).spread(asked_of(q), tolerance_m, whole=whole)


def _key(rows: RowSet, strong: Strong) -> tuple[object, ...]:
    limits = tuple(r.part_limit_n for r in strong.rated)
    # the group holds its rows
    return (id(rows), strong.rated[0].cell.rated_n, strong.ends, limits, strong.dry)


def asked_of(q: Question) -> Asked:
    """The lanes of a question."""
    count = len(q.row)
    limits_n = np.array([r.part_limit_n for r in q.strong.rated])
    one_hook = laid_as_lanes(q.group.arrangements[0])  # there all hitches are alike
    return Asked(
        lengths_m=q.rows.lengths_m[q.row],
        place=q.place,
        level_m=q.rows.level_m[q.row, q.place],
        rated_n=np.full(count, q.strong.rated[0].cell.rated_n),
        stiff=np.full(count, q.strong.ends.stiff),
        soft=np.full(count, q.strong.ends.soft),
        dry=np.full(count, q.strong.dry),
        limit_n=np.full(count, limits_n[0]) if one_hook else np.tile(limits_n, (count, 1)),
    )
