"""The walk: candidates in the exact order of (measure, mass, text); the first that passes is the best.

Nothing assumes that a stronger or longer sling is safer. A candidate is thrown away only by a condition
that every offer must meet; what shares the same figures falls with it and is counted.
"""

from __future__ import annotations

import heapq
import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import count

import numpy as np

from slingwright.check import Finding, Outcome
from slingwright.choose.blocks import Block, BlockMaker, protections_for
from slingwright.choose.candidate import Candidate
from slingwright.choose.evaluate import Verdict, evaluate
from slingwright.choose.lost import Lost
from slingwright.choose.scopes import alike, scope_of
from slingwright.choose.setting import Setting
from slingwright.choose.space import Entry, Space
from slingwright.shop import Protection, Refusal
from slingwright.sling import Fibre, Hitch

__all__ = ["MEASURES", "Found", "Search"]

MEASURES = ("price", "delivery", "reserve", "weight")
_MICRO = 1_000_000
_NEAREST_TRIES = 24  # rows without a hope that are still judged, so that a refusal can say how far off it is


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


class Search:
    """All walks over one lift's space; they share rows, hangs and verdicts."""

    def __init__(
        self,
        setting: Setting,
        *,
        out_of_time: Callable[[], bool] = lambda: False,
        progress: Callable[[int], None] = lambda solved: None,
        keep_lost: bool = False,
    ) -> None:
        self.setting = setting
        self.keep_lost = keep_lost
        self.space = Space(setting)
        self.nearest: dict[tuple[str, Fibre], tuple[float, Finding, str]] = {}
        self.solved = 0
        self._maker = BlockMaker(setting)
        self._verdicts: dict[str, Verdict] = {}
        self._dead: set[tuple[object, ...]] = set()
        self._graded: set[tuple[object, ...]] = set()
        self._tries: Counter[tuple[str, Fibre]] = Counter()
        self._out_of_time, self._progress = out_of_time, progress

    def walk(
        self, by: str, *, only: Callable[[Entry], bool] = lambda entry: True, tries: int | None = None
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
        """
        walk = _Walk(self, by, only)
        found = walk.found
        for verdict in walk.verdicts():
            if verdict is not None and verdict.stop is None and verdict.complete:
                if verdict.grade == 0:
                    found.best = verdict
                    return found
                found.best_grade_1 = found.best_grade_1 or verdict
            if self._out_of_time() or (tries is not None and found.solved >= tries):
                found.proved = False
                return found
        return found

    def passed(self) -> list[Verdict]:
        """Every verdict of this search that is complete and has no stop, in the order of judging."""
        return [v for v in self._verdicts.values() if v.complete and v.stop is None]

    def walk_on(self, by: str, *, only: Callable[[Entry], bool], tries: int) -> None:
        """Judge in full past the best: the next so many candidates in the order of one measure."""
        walk = _Walk(self, by, only)
        for _ in walk.verdicts():
            if walk.found.solved >= tries or self._out_of_time():
                return

    # -- what walks share ---------------------------------------------------------------------------

    def judge(
        self, entry: Entry, candidate: Candidate, *, beaten_at_grade: int | None
    ) -> tuple[Verdict, bool]:
        """The candidate's verdict, and whether it had to be solved now."""
        text = candidate.text
        known = self._verdicts.get(text)
        if known is not None and (known.complete or known.stop is not None or beaten_at_grade is not None):
            return known, False
        self.solved += 1
        self._progress(self.solved)
        verdict = evaluate(self.setting, candidate, entry.rated, entry.ends, beaten_at_grade=beaten_at_grade)
        self._verdicts[text] = verdict
        scopes = (scope_of(f.rule, candidate) for f in verdict.findings if f.grades)
        self._graded.update(scope for scope in scopes if scope is not None)
        if verdict.stop is not None:
            self.note(candidate, verdict.stop, verdict.findings)
        return verdict, True

    def note(self, candidate: Candidate, stop: Finding, findings: Sequence[Finding]) -> None:
        """Keep what the stop rules out with it, and whether this is the nearest miss of its kind.

        A candidate is as far off as the worst of its stops, and that one says why it is not offered.
        """
        scope = scope_of(stop.rule, candidate)
        if scope is not None:
            self._dead.add(scope)
        key = (candidate.arrangement.family, candidate.base.fibre)
        worst = max((f for f in findings if f.outcome is Outcome.STOP), key=_off_by)
        off = _off_by(worst)
        if key not in self.nearest or off < self.nearest[key][0]:
            self.nearest[key] = (off, worst, candidate.text)

    def dead_rule(self, candidate: Candidate) -> str | None:
        """The rule that already stops everything like this candidate, or None."""
        return alike(candidate, self._dead)

    def graded_alike(self, candidate: Candidate) -> bool:
        """Whether something alike in all that a rule looks at already carried its grading caution."""
        return alike(candidate, self._graded) is not None

    def block(self, entry: Entry, protection: Protection) -> Block | Refusal:
        """The block of an entry with this protection."""
        rows = self.space.rows(entry.place)
        if entry.stock:
            one = len(entry.stock) == 1
            return self._maker.stock(
                entry.arrangement, entry.stock, protection, entry.rated, None if one else rows
            )
        return self._maker.made(entry.arrangement, entry.make, protection, entry.rated, rows)

    def rows_of(self, entry: Entry) -> int:
        """How many choices of lengths the entry has: one of the shelf's rows alone has its own length."""
        return 1 if len(entry.stock) == 1 else len(self.space.rows(entry.place).lengths_m)

    def probe(self, entry: Entry, protection: Protection) -> Candidate:
        """A candidate of the entry without length or price: enough for the rules that need neither."""
        return Candidate(
            arrangement=entry.arrangement,
            base=entry.stock[0].spec if entry.stock else entry.make.spec(self.setting),
            lengths_m=(),
            protection=protection,
            stock=entry.stock,
            price_minor=0,
            mass_kg=0.0,
            days=0,
            lofts=(),
            least_length_m=None,
        )

    def bound(self, entry: Entry, protection: Protection, by: str) -> int | None:
        """A measure that no row of the block can be below; None where the block cannot exist."""
        if by == "reserve":
            holdings = entry.arrangement.holdings
            main = next(i for i, h in enumerate(holdings) if h.role == "main")
            parts = entry.arrangement.legs * (2 if holdings[main].hitch is Hitch.BASKET else 1)
            return int(self.setting.weight_n / parts / entry.rated[main].part_limit_n * _MICRO)
        line = self._maker.lines.line(entry.make, protection)
        if isinstance(line, Refusal):
            return None
        if entry.stock:  # on the shelf, whether or not a loft still sews it
            return self._maker.stock_bound(entry.stock, protection, by) * len(entry.rated)
        rows = self.space.rows(entry.place)
        if not line.lofts or not len(rows.lengths_m):
            return None
        shortest = max(float(rows.lengths_m.min()), line.least_length_m)
        slings = len(entry.rated)
        if by == "price":
            bare = self._maker.lines.line(entry.make, Protection.NONE)
            return 0 if isinstance(bare, Refusal) else bare.minor(shortest) * slings
        if by == "weight":  # nothing protects the slings between hook and beam
            bare = self._maker.lines.line(entry.make, Protection.NONE)
            least = line if isinstance(bare, Refusal) else bare
            return int(least.mass_kg(shortest) * slings * _MICRO)
        return line.lofts[0].days

    def worth_a_try(self, family: str, fibre: Fibre) -> bool:
        """Whether a hopeless row of this family and fibre should still be judged for its nearest miss."""
        self._tries[family, fibre] += 1
        return self._tries[family, fibre] <= _NEAREST_TRIES


def _off_by(stop: Finding) -> float:
    """How far a stop is from passing, as a share of its limit; infinite where it has no figure."""
    if stop.figure is None or not stop.limit:
        return math.inf
    return abs(stop.figure - stop.limit) / abs(stop.limit)


Key = tuple[int, int, str]


class _Walk:
    """One walk's heap. Entries wait at a bound, rows at their exact key, verdicts at theirs."""

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
            elif isinstance(thing, _Row):
                yield from self._judge(thing)
            else:
                self._open(*thing)  # type: ignore[misc]

    def _open(self, entry: Entry, protection: Protection) -> None:
        if protection is Protection.NONE:  # siblings cost at least as much
            for other in protections_for(self.search.setting, entry.arrangement)[1:]:
                self._push_entry(entry, other)
        probe = self.search.probe(entry, protection)
        dead = self.search.dead_rule(probe)
        if dead is None and self.found.best_grade_1 is not None and self.search.graded_alike(probe):
            dead = "grade-1-and-dearer"
        if dead is not None:
            self.found.rejected[dead] += self.search.rows_of(entry)
            self._lose(Lost(rule=dead, entry=entry, protection=protection))
            return
        block = self.search.block(entry, protection)
        if isinstance(block, Refusal) or not len(block.lengths_m):
            return
        rows, share = np.arange(len(block.lengths_m)), np.zeros(len(block.lengths_m))
        graded = np.zeros(len(block.lengths_m), dtype=np.bool_)
        if len(entry.stock) != 1:  # one row needs no sieve
            nominal = self.search.space.nominal(entry)
            passing = nominal.may_pass[block.row_of]
            for reason, fell in nominal.fell.items():
                self.found.rejected[reason] += fell
                for rows_fell in nominal.rows_fell[reason] if self.search.keep_lost else ():
                    self._lose(Lost(rule=reason, entry=entry, protection=protection, rows=rows_fell))
            share, graded = nominal.share[block.row_of], nominal.graded[block.row_of]
            rows = rows[passing]
            if not len(rows):
                self._judge_hopeless(entry, block, share)
                return
        keys = self._measures(block, share)
        mass = np.rint(block.mass_kg * _MICRO)
        order = _ties_by_text(block, rows[np.lexsort((mass[rows], keys[rows]))], keys, mass)
        self._push_row(_Row(entry=entry, block=block, order=order, keys=keys, graded=graded, at=0))

    def _measures(
        self, block: Block, share: np.ndarray[tuple[int], np.dtype[np.float64]]
    ) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
        if self.by == "price":
            return block.price_minor
        if self.by == "delivery":
            return block.days
        figures = block.mass_kg if self.by == "weight" else share
        return np.asarray(np.rint(figures * _MICRO), dtype=np.int64)

    def _push_row(self, row: _Row) -> None:
        if row.at < len(row.order):
            candidate = row.candidate
            key = (int(row.keys[row.order[row.at]]), round(candidate.mass_kg * _MICRO), candidate.text)
            self._push(key, row)

    def _judge(self, row: _Row) -> Iterator[Verdict | None]:
        candidate = row.candidate
        dead = self.search.dead_rule(candidate)
        self._push_row(row.next())
        if self.found.best_grade_1 is not None and (
            row.graded[row.order[row.at]] or self.search.graded_alike(candidate)
        ):
            self._reject(row, candidate, "grade-1-and-dearer")
            return
        if dead is not None:
            self._reject(row, candidate, dead)
            return
        beaten = 1 if self.found.best_grade_1 is not None else None
        verdict, fresh = self.search.judge(row.entry, candidate, beaten_at_grade=beaten)
        self.found.solved += fresh
        if verdict.stop is not None:
            self._reject(row, candidate, verdict.stop.rule, verdict.stop)
            yield verdict
        elif self.by == "reserve" and verdict.complete:  # its exact measure is known only now
            self._push(
                (round(_utilisation(verdict) * _MICRO), round(candidate.mass_kg * _MICRO), candidate.text),
                verdict,
            )
            yield None
        else:
            yield verdict

    def _reject(self, row: _Row, candidate: Candidate, rule: str, stop: Finding | None = None) -> None:
        self.found.rejected[rule] += 1
        protection = candidate.protection
        self._lose(Lost(rule=rule, entry=row.entry, protection=protection, candidate=candidate, stop=stop))

    def _lose(self, lost: Lost) -> None:
        if self.search.keep_lost:
            self.found.lost.append(lost)

    def _judge_hopeless(
        self, entry: Entry, block: Block, share: np.ndarray[tuple[int], np.dtype[np.float64]]
    ) -> None:
        """No row can pass; judge the least loaded one so that the refusal has a figure."""
        if self.search.worth_a_try(entry.arrangement.family, entry.make.fibre):
            self.search.judge(entry, block.candidate(int(np.argmin(share))), beaten_at_grade=None)


def _ties_by_text(
    block: Block,
    order: np.ndarray[tuple[int], np.dtype[np.int64]],
    keys: np.ndarray[tuple[int], np.dtype[np.int64]],
    mass: np.ndarray[tuple[int], np.dtype[np.float64]],
) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """Where a block's walk stands."""

    entry: Entry
    block: Block
    order: np.ndarray[tuple[int], np.dtype[np.int64]]
    keys: np.ndarray[tuple[int], np.dtype[np.int64]]
    graded: np.ndarray[tuple[int], np.dtype[np.bool_]]
    at: int

    @property
    def candidate(self) -> Candidate:
        """The candidate at this place."""
        return self.block.candidate(int(self.order[self.at]))

    def next(self) -> _Row:
        """The place after it."""
        return replace(self, at=self.at + 1)
