"""The walk: candidates in the exact order of (measure, mass, text); the first that passes is the best.

Nothing assumes that a stronger or longer sling is safer. A candidate is thrown away only by a condition
that every offer must meet; what shares the same figures falls with it and is counted.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.check import Finding, Outcome, tilt
from slingwright.choose.blocks import Block, BlockMaker
from slingwright.choose.candidate import Candidate
from slingwright.choose.cases import length_tolerances_m
from slingwright.choose.column import Column
from slingwright.choose.drawn import Spread
from slingwright.choose.evaluate import Hangs, Verdict, evaluate
from slingwright.choose.groups import Group
from slingwright.choose.hangless import Hangless, chokes_on_eye
from slingwright.choose.known import Drawn, Exact, Halves, Known, Question, Sieves
from slingwright.choose.makes import protections_for
from slingwright.choose.opening import Opened, Openings
from slingwright.choose.setting import Setting
from slingwright.choose.source import Priced, Source, sources
from slingwright.choose.space import Entry, Space
from slingwright.choose.walk import Found, Walk
from slingwright.shop import Protection, Refusal
from slingwright.sling import Fibre

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["MEASURES", "Found", "Search"]

MEASURES = ("price", "delivery", "reserve", "weight")
_NEAREST_TRIES = 3  # of a family and fibre: rows that fell and are judged for how far off they are, if asked
_Kind = tuple[str, Fibre]


class Search:
    """All walks over one lift's space; they share rows, hangs and verdicts."""

    def __init__(
        self,
        setting: Setting,
        *,
        out_of_time: Callable[[], bool] = lambda: False,
        progress: Callable[[int], None] = lambda solved: None,
        only_best: bool = False,
    ) -> None:
        """`only_best`: nothing is asked but the best; by which rules others fell is not known then."""
        self.setting, self.only_best = setting, only_best
        self.space = Space(setting)
        self.solved = 0
        self._maker = BlockMaker(self.space.kept)
        self._sieves = Sieves(setting, only_best=only_best)
        self._hangs = Hangs()
        self._verdicts: dict[str, Verdict] = {}
        self._openings = Openings(Hangless(setting, self.space.kept))
        self._nearest: dict[_Kind, tuple[float, Finding, str]] = {}
        self._misses: dict[_Kind, list[_Miss]] = {}
        self._due: dict[_Kind, list[_Miss]] = {}  # misses of earlier walks that nobody asked for yet
        self._sources: dict[tuple[int, str], list[tuple[int, Source]]] = {}
        self._out_of_time, self._progress = out_of_time, progress

    def walk(
        self,
        by: str,
        *,
        only: Callable[[Entry], bool] = lambda entry: True,
        tries: int | None = None,
        enough: int = 0,
        only_ungraded: bool = False,
    ) -> Found:
        """Find the best by one measure among the entries that `only` admits.

        Parameters
        ----------
        by : str
            price | delivery | reserve | weight.
        only : callable
            Which entries may be looked at.
        tries : int, optional
            Give up after so many solved candidates; then `proved` is False.
        enough : int
            The grade to be content with: 1 ends at the first candidate that passes at all, which need not
            be the best. What is then `proved` is only that it passes.
        only_ungraded : bool
            Look for what is of grade 0 alone.
        """
        walk = Walk(self, by, only, only_ungraded=only_ungraded)
        found = walk.found
        for verdict in walk.verdicts():
            if verdict is not None and verdict.stop is None and verdict.complete:
                if verdict.grade == 0:
                    found.best = verdict
                    return found
                found.best_grade_1 = found.best_grade_1 or verdict
                if enough:
                    return found
            if self._out_of_time() or (tries is not None and found.tries() >= tries):
                found.proved = False
                return found
        return found

    def passed(self) -> list[Verdict]:
        """Every verdict of this search that is complete and has no stop, in the order of judging."""
        return [v for v in self._verdicts.values() if v.complete and v.stop is None]

    def walk_on(self, by: str, *, only: Callable[[Entry], bool], tries: int) -> None:
        """Judge in full past the best: the next so many candidates in the order of one measure."""
        walk = Walk(self, by, only)
        for _ in walk.verdicts():
            if walk.found.solved >= tries or self._out_of_time():
                return

    # -- what walks share ---------------------------------------------------------------------------

    def judge(
        self, entry: Entry, candidate: Candidate, *, beaten_at_grade: int | None, sieved: bool = False
    ) -> tuple[Verdict, bool]:
        """The candidate's verdict, and whether it had to be solved now; `sieved`: it is likely to pass."""
        text = candidate.text
        known = self._verdicts.get(text)
        if known is not None and (known.complete or known.stop is not None or beaten_at_grade is not None):
            return known, False
        self.solved += 1
        self._progress(self.solved)
        verdict = evaluate(
            self.setting, candidate, entry.rated, entry.ends, beaten_at_grade=beaten_at_grade, sieved=sieved,
            hangs=self._hangs,
        )  # fmt: skip
        self._verdicts[text] = verdict
        if verdict.stop is not None:
            self.note(candidate, verdict.findings)
        return verdict, True

    def is_judged(self, candidate: Candidate) -> bool:
        """Whether there is a verdict on it."""
        return candidate.text in self._verdicts

    def note(self, candidate: Candidate, findings: Sequence[Finding]) -> None:
        """Keep its stop if it is the nearest miss of its family and fibre.

        A candidate is as far off as the worst of its stops, and that one says why it is not offered.
        """
        key = (candidate.arrangement.family, candidate.base.fibre)
        worst = max((f for f in findings if f.outcome is Outcome.STOP), key=_off_by)
        off = _off_by(worst)
        if key not in self._nearest or off < self._nearest[key][0]:
            self._nearest[key] = (off, worst, candidate.text)

    def note_miss(self, column: Column, miss: float, row: int | None = None, place: int = 0) -> None:
        """Remember what fell unjudged, by how much of a limit; it is judged only if somebody asks why.

        `row` at `place`; None where all of it fell: then its best row there will do.
        """
        kept = self._misses.setdefault(_kind(column.source), [])
        if len(kept) < _NEAREST_TRIES or miss < kept[-1].miss:
            kept.append(_Miss(miss, column, row, place))
            kept.sort(key=lambda m: m.miss)  # stable: of equal ones the first stays
            del kept[_NEAREST_TRIES:]

    def note_miss_of(self, column: Column, halves: Halves) -> None:
        """As `note_miss`, of the nearest of many at one place that can be had."""
        kept = self._misses.get(_kind(column.source), [])
        if len(kept) == _NEAREST_TRIES and not halves.least < kept[-1].miss:
            return  # none of them would be kept
        had = np.isin(halves.fallen, column.priced.had(halves.fallen), assume_unique=True)
        sure = np.flatnonzero(had & (halves.why > 0))
        if len(sure):
            at = int(sure[np.argmin(halves.miss[sure])])
            self.note_miss(column, float(halves.miss[at]), int(halves.fallen[at]))

    @property
    def nearest(self) -> dict[_Kind, tuple[float, Finding, str]]:
        """For each family and fibre that was looked at, its nearest miss: how far off, the stop, whose."""
        for kind in {**self._due, **self._misses}:
            self.nearest_of(*kind)
        return self._nearest

    def nearest_of(self, family: str, fibre: Fibre) -> tuple[float, Finding, str] | None:
        """The nearest miss of a family and fibre; None where none was looked at."""
        misses, self._misses = self._misses, {}
        for kind, kept in misses.items():
            self._due.setdefault(kind, []).extend(kept)
        for m in self._due.pop((family, fibre), ()):
            row = self._best_row(m.column, m.place) if m.row is None else m.row
            if row is not None:
                entry = self.space.entry(m.column.source, m.place)
                self.judge(entry, m.column.candidate(row, m.place), beaten_at_grade=None)
        return self._nearest.get((family, fibre))

    def _best_row(self, column: Column, place: int) -> int | None:
        """The row whose told hang misses its limits by least; None where no loft sews any."""
        pairs = column.all_pairs()
        pairs = pairs.take(np.flatnonzero(pairs.place == place))
        if not len(pairs.row):
            return None
        source = column.source
        on_eye = chokes_on_eye(self.setting, source, pairs.row, pairs.place)
        if not on_eye.all():
            pairs = pairs.take(np.flatnonzero(~on_eye))
        self.ask([Question(source.group, source.rows, source.strong, pairs.row, pairs.place)])
        return int(pairs.row[np.argmin(self.known(source).miss[pairs.row, pairs.place])])

    def opened(self, source: Source) -> Opened:
        """What becomes of a source by the rules that need no hang, at any length."""
        return self._openings.of(source)

    def sources(self, group: Group, by: str) -> list[tuple[int, Source]]:
        """Everything the group's columns may be made of, each with a bound on its measure, least first."""
        key = id(group), by  # the space holds the group
        if key not in self._sources:
            guards = protections_for(self.setting.shop, group.arrangements[0])
            self._sources[key] = sources(self.setting, self.space.kept, group, by, guards)
        return self._sources[key]

    def note_stop(self, source: Source, place: int, stop: Finding) -> None:
        """As `note_miss`, of all lengths at a place where a rule stops a source.

        What swings too far keeps every rule that needs no hang: it comes before what does not, however far.
        """
        kept = self._misses.get(_kind(source), [])
        off = 0.0 if stop.rule == tilt.RULE else _off_by(stop)
        if len(kept) < _NEAREST_TRIES or off < kept[-1].miss:  # most are as far off as three before
            alive = np.arange(len(source.group.places)) == place
            self.note_miss(self.column(source, alive, "price", graded=False), off, place=place)

    def column(self, source: Source, alive: NDArray[np.bool_], by: str, *, graded: bool) -> Column:
        """A column of a source at those of its places that are alive."""
        known = self.known(source)
        return Column(self.space.kept, self._maker, source, known, alive, by, graded)

    def priced(self, source: Source) -> Priced:
        """What a source's rows cost."""
        return Priced(self.space.kept, self._maker, source)

    def ask(self, questions: list[Question], *, graded_lose: bool = False, wait: bool = False) -> None:
        """Hang rows of the sieve; those sure to be graded may be left `BEATEN` where they lose by that.

        `wait`: they may be left `LATER`, for `go_on`.
        """
        self._sieves.ask(questions, graded_lose=graded_lose, wait=wait)

    def go_on(self, questions: list[Question], *, later: bool, graded_lose: bool) -> None:
        """Hang rows that were left `LATER` as told, or else such as came through that to their end."""
        self._sieves.go_on(questions, later=later, graded_lose=graded_lose)

    def rule_out(self, source: Source, *, graded_lose: bool) -> None:
        """Note of a source's rows which the level geometry alone rules out, or is sure to grade."""
        self._sieves.rule_out(source.group, source.rows, source.strong, graded_lose=graded_lose)

    def exact(
        self, source: Source, row: NDArray[np.int64], place: NDArray[np.int64], *, graded_lose: bool
    ) -> Exact | None:
        """What the first of some rows at places is but for its samples; the others are hung beside it.

        None where the sieve told it as exactly.
        """
        q = Question(source.group, source.rows, source.strong, row, place)
        self._sieves.exactly(q, graded_lose=graded_lose)
        return self.known(source).exact.get((int(row[0]), int(place[0]), graded_lose))

    def spread(
        self, source: Source, row: NDArray[np.int64], place: NDArray[np.int64], *, whole: bool = False
    ) -> Spread:
        """The least that the sampled figures of rows at places can be; kept. `whole`: told of all samples."""
        known, each = self.known(source).drawn, list(zip(row.tolist(), place.tolist(), strict=True))
        fresh = [k for k, one in enumerate(each) if one not in known or (whole and not known[one].whole)]
        if fresh:
            q = Question(source.group, source.rows, source.strong, row[fresh], place[fresh])
            lengths, one = source.rows.lengths_m[q.row], len(source.stock) == 1
            matched = not source.stock or (one and source.stock[0].matched)  # a choice is of unlike ones
            tolerance = length_tolerances_m(self.setting, lengths, matched=matched)
            found = self._sieves.spread(q, tolerance, whole=whole)
            for k, share, lean in zip(fresh, found.share.tolist(), found.lean_deg.tolist(), strict=True):
                known[each[k]] = Drawn(share, lean, whole)
        told = [known[one] for one in each]
        return Spread(np.array([d.share for d in told]), np.array([d.lean_deg for d in told]))

    def known(self, source: Source) -> Known:
        """What the sieve knows of a source's rows."""
        return self._sieves.known(source.rows, source.strong)

    # -- one arrangement at a time ---------------------------------------------------------------------

    def block(self, entry: Entry, protection: Protection) -> Block | Refusal:
        """The block of an entry with this protection."""
        if entry.stock:
            drawn = None if len(entry.stock) == 1 else self.space.rows(entry.place).steps
            return self._maker.stock(entry.arrangement, entry.stock, protection, entry.rated, drawn)
        rows = self.space.rows(entry.place)
        return self._maker.made(
            entry.arrangement, entry.make, protection, entry.rated, rows.steps, rows.lengths_m
        )

    def rows_of(self, entry: Entry) -> int:
        """How many choices of lengths the entry has: one of the shelf's rows alone has its own length."""
        return 1 if len(entry.stock) == 1 else len(self.space.rows(entry.place).lengths_m)


class _Miss(NamedTuple):
    """A row that fell in the sieve or with its column, by how much of a limit."""

    miss: float
    column: Column
    row: int | None
    place: int


def _kind(source: Source) -> _Kind:
    return source.group.arrangements[0].family, source.strong.make.fibre


def _off_by(stop: Finding) -> float:
    """How far a stop is from passing, as a share of its limit; infinite where it has no figure."""
    if stop.figure is None or not stop.limit:
        return math.inf
    return abs(stop.figure - stop.limit) / abs(stop.limit)
