"""The walk: candidates in the exact order of (measure, mass, text); the first that passes is the best.

Nothing assumes that a stronger or longer sling is safer. A candidate is thrown away only by a condition
that every offer must meet; what shares the same figures falls with it and is counted.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from slingwright.check import Finding, Outcome
from slingwright.choose.blocks import Block, BlockMaker
from slingwright.choose.candidate import Candidate
from slingwright.choose.evaluate import Verdict, evaluate
from slingwright.choose.hangless import Hangless, Ruling
from slingwright.choose.setting import Setting
from slingwright.choose.space import Entry, Space
from slingwright.choose.walk import Found, Walk
from slingwright.shop import Protection, Refusal
from slingwright.sling import Fibre, Hitch

__all__ = ["MEASURES", "Found", "Search"]

MEASURES = ("price", "delivery", "reserve", "weight")
_MICRO = 1_000_000
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
        keep_lost: bool = False,
    ) -> None:
        self.setting = setting
        self.keep_lost = keep_lost
        self.space = Space(setting)
        self.solved = 0
        self._maker = BlockMaker(setting)
        self._verdicts: dict[str, Verdict] = {}
        self._hangless = Hangless(setting)
        self._nearest: dict[_Kind, tuple[float, Finding, str]] = {}
        self._misses: dict[_Kind, list[_Miss]] = {}
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
        walk = Walk(self, by, only)
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
            self.setting, candidate, entry.rated, entry.ends, beaten_at_grade=beaten_at_grade, sieved=sieved
        )
        self._verdicts[text] = verdict
        if verdict.stop is not None:
            self.note(candidate, verdict.findings)
        return verdict, True

    def note(self, candidate: Candidate, findings: Sequence[Finding]) -> None:
        """Keep its stop if it is the nearest miss of its family and fibre.

        A candidate is as far off as the worst of its stops, and that one says why it is not offered.
        """
        key = (candidate.arrangement.family, candidate.base.fibre)
        worst = max((f for f in findings if f.outcome is Outcome.STOP), key=_off_by)
        off = _off_by(worst)
        if key not in self._nearest or off < self._nearest[key][0]:
            self._nearest[key] = (off, worst, candidate.text)

    def note_miss(self, entry: Entry, protection: Protection, miss: float, row: int | None = None) -> None:
        """Remember what fell unjudged, by how much of a limit; it is judged only if somebody asks why.

        `row` of the entry's block; None where all of it fell: then its best row will do.
        """
        kept = self._misses.setdefault((entry.arrangement.family, entry.make.fibre), [])
        if len(kept) < _NEAREST_TRIES or miss < kept[-1].miss:
            kept.append(_Miss(miss, entry, protection, row))
            kept.sort(key=lambda m: m.miss)  # stable: of equal ones the first stays
            del kept[_NEAREST_TRIES:]

    @property
    def nearest(self) -> dict[_Kind, tuple[float, Finding, str]]:
        """For each family and fibre that was looked at, its nearest miss: how far off, the stop, whose."""
        misses, self._misses = self._misses, {}
        for kept in misses.values():
            for m in kept:
                block = self.block(m.entry, m.protection)
                if not isinstance(block, Refusal) and len(block.lengths_m):
                    row = self._best_row(m.entry, block) if m.row is None else m.row
                    self.judge(m.entry, block.candidate(row), beaten_at_grade=None)
        return self._nearest

    def _best_row(self, entry: Entry, block: Block) -> int:
        """The row whose told hang misses its limits by least."""
        if len(entry.stock) == 1:
            return 0
        nominal = self.space.nominal(entry)
        nominal.ask(block.row_of)
        return int(np.argmin(nominal.miss[block.row_of]))

    def ruling(self, entry: Entry, protection: Protection) -> Ruling:
        """What stops or grades the entry with this protection at any length."""
        ruling = self._hangless.of(self.probe(entry, protection), entry.rated)
        if ruling.stop is not None:
            self.note_miss(entry, protection, _off_by(ruling.stop))
        return ruling

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


class _Miss(NamedTuple):
    """A row that fell in the sieve or with its block, by how much of a limit."""

    miss: float
    entry: Entry
    protection: Protection
    row: int | None


def _off_by(stop: Finding) -> float:
    """How far a stop is from passing, as a share of its limit; infinite where it has no figure."""
    if stop.figure is None or not stop.limit:
        return math.inf
    return abs(stop.figure - stop.limit) / abs(stop.limit)
