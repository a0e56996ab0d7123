"""What a walk leaves behind, and which of it comes before its answer: counted and listed when asked for.

A walk looks at rows beyond its answer (with their column, in a slice), and they fall, too. They prove
nothing and are not told: what is rejected are the candidates that come before the answer in the exact order
of (measure, mass, text), each with the first thing that it failed. By reserve, which only a hang can tell,
they are those that might: whose measure is known to be no less than a figure before the answer's.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.check import Finding
from slingwright.choose.candidate import Candidate
from slingwright.choose.known import Question
from slingwright.choose.nominal import BEATEN, LATER, REASONS, WAITS
from slingwright.choose.source import MICRO, Priced, Source, reserve_bound

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from slingwright.choose.evaluate import Verdict
    from slingwright.choose.search import Search
    from slingwright.choose.walk import Found

    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]

__all__ = [
    "GRADED",
    "GRADED_AND_DEARER",
    "Fell",
    "Rejected",
    "rejected",
    "rejected_each",
    "used_millionths",
]

GRADED = "grade-1"  # it passes, but with a caution that the answer does not have
GRADED_AND_DEARER = "grade-1-and-dearer"  # and does not come first of those, either

Key = tuple[int, int, str]


class Fell(NamedTuple):
    """Rows of a source that fell together.

    `rule`: what all of them failed; "" where `why` says it of each row. Measured ones have `key` and `mass`,
    and `place` is each row's; else all of them fell at all of `place` where they fit, and `row` None is
    every row of the source. `stop` is the finding of one that was judged.
    """

    source: Source
    rule: str
    row: Ints | None
    place: Ints
    key: Ints | None = None
    mass: Ints | None = None
    why: NDArray[np.int8] | None = None
    stop: Finding | None = None


class Rejected(NamedTuple):
    """One candidate that comes before the answer, and the first thing that it failed."""

    rule: str
    candidate: Candidate
    stop: Finding | None


class _Before(NamedTuple):
    """Of what fell together the part before the answer: rows at places, and each one's number in `why`."""

    row: Ints
    place: Ints
    at: Ints | None


def _answer_key(found: Found) -> Key | None:
    """Where the answer of a walk stands in its order, grades apart; None where there is none."""
    answer = found.answer
    if answer is None:
        return None
    candidate, mass = answer.candidate, round(answer.candidate.mass_kg * MICRO)
    measures = {"price": candidate.price_minor, "delivery": candidate.days, "weight": mass}
    return measures.get(found.by, used_millionths(answer)), mass, candidate.text


def rejected(search: Search, found: Found) -> dict[str, int]:
    """How many candidates that come before the answer each rule rejected; all that fell where none is."""
    if found.counted is None:
        than, counts, fitting = _answer_key(found), Counter[str](), _Fitting()
        for fell in found.fallen:
            priced = search.priced(fell.source)
            if fell.rule:
                counts[fell.rule] += _count(search, priced, fell, than, found.by, fitting)
            else:
                them = _before(search, priced, fell, than, found.by)
                codes = np.bincount(_codes(search, fell, them) - BEATEN, minlength=1).tolist()
                counts.update({_rule(code): many for code, many in enumerate(codes, BEATEN) if many})
        counts[GRADED] += found.best is not None and found.best_grade_1 is not None
        found.counted = {rule: count for rule, count in sorted(counts.items()) if count}
    return found.counted


def rejected_each(search: Search, found: Found) -> Iterator[Rejected]:
    """The same one by one, in the order in which they fell."""
    than = _answer_key(found)
    for fell in found.fallen:
        priced = search.priced(fell.source)
        them = _before(search, priced, fell, than, found.by)
        rules = [fell.rule] * len(them.row)
        if not fell.rule:
            rules = [_rule(code) for code in _codes(search, fell, them).tolist()]
        for rule, row, place in zip(rules, them.row.tolist(), them.place.tolist(), strict=True):
            yield Rejected(rule, priced.candidate(row, place), fell.stop)
    if found.best is not None and found.best_grade_1 is not None:
        yield Rejected(GRADED, found.best_grade_1.candidate, None)


def _codes(search: Search, fell: Fell, them: _Before) -> NDArray[np.int8]:
    """Why each of them fell; what lost by its grade while it waited may fail something before that."""
    assert fell.why is not None
    why = fell.why if them.at is None else fell.why[them.at]
    waits = np.flatnonzero((why == WAITS) | (why == LATER))
    if len(waits):
        row, place, source = them.row[waits], them.place[waits], fell.source
        search.ask([Question(source.group, source.rows, source.strong, row, place)], graded_lose=True)
        known = search.known(source).why[row, place]
        why = why.copy()
        why[waits] = np.where(known > 0, known, BEATEN)
    return why


def _rule(code: int) -> str:
    return GRADED_AND_DEARER if code < 0 else REASONS[code]


def used_millionths(verdict: Verdict) -> int:
    """The measure of reserve: the largest share of a limit that a candidate uses [millionths]."""
    used = max(
        max(s.design_n / r.part_limit_n, s.hitch_ratio)
        for s, r in zip(verdict.shares, verdict.rated, strict=True)
    )
    return round(used * MICRO)


class _Fitting:
    """At how many of some places each row of a set fits (R,), told once for all that fall there."""

    def __init__(self) -> None:
        self._known: dict[tuple[int, int], tuple[object, Ints]] = {}

    def of(self, fits: Bools, places: Ints) -> Ints:
        """The counts; both arrays are held, so that their ids stay their own."""
        key = (id(fits), id(places))
        if key not in self._known:
            self._known[key] = (fits, places), np.count_nonzero(fits[:, places], axis=1)
        return self._known[key][1]


def _count(search: Search, priced: Priced, fell: Fell, than: Key | None, by: str, fitting: _Fitting) -> int:
    if fell.key is not None:
        return len(_before(search, priced, fell, than, by).row)
    first, ties = _whole(search, priced, fell, than, by)
    count = int(fitting.of(fell.source.rows.fits, fell.place)[first].sum()) if len(first) else 0
    if len(ties):
        tied = _crossed(fell.source.rows.fits, ties, fell.place)
        count += int(np.count_nonzero(_tied(priced, *tied, than)))
    return count


def _before(search: Search, priced: Priced, fell: Fell, than: Key | None, by: str) -> _Before:
    if fell.key is not None and fell.mass is not None and fell.row is not None:
        if than is None:
            return _Before(fell.row, fell.place, None)
        same = fell.key == than[0]
        first = (fell.key < than[0]) | (same & (fell.mass < than[1]))
        ties = np.flatnonzero(same & (fell.mass == than[1]))
        first[ties] = _tied(priced, fell.row[ties], fell.place[ties], than)
        at = np.flatnonzero(first)
        return _Before(fell.row[at], fell.place[at], at)
    first_rows, tied_rows = _whole(search, priced, fell, than, by)
    fits = fell.source.rows.fits
    row, place = _crossed(fits, first_rows, fell.place)
    tied = _crossed(fits, tied_rows, fell.place)
    which = _tied(priced, *tied, than)
    row, place = np.concatenate([row, tied[0][which]]), np.concatenate([place, tied[1][which]])
    if fell.why is None or fell.row is None:
        return _Before(row, place, None)
    number = np.zeros(len(fits), dtype=np.int64)  # of rows in the order that `why` has
    number[fell.row] = np.arange(len(fell.row))
    return _Before(row, place, number[row])


def _whole(search: Search, priced: Priced, fell: Fell, than: Key | None, by: str) -> tuple[Ints, Ints]:
    """Of rows that were never measured: those before by measure and mass, and those that tie in both."""
    source = fell.source
    rows = source.row_numbers if fell.row is None else fell.row
    if than is None:
        return priced.had(rows), rows[:0]
    line = priced.line_below(by)
    if line is not None and line.slope > 0.0 and len(rows):  # rows stand in the order of all their lengths
        slings = source.rows.steps.shape[1]
        most = (than[0] + 2 - line.more - line.at_zero * slings) / line.slope
        rows = rows[: int(np.searchsorted(source.rows.total[rows], most, side="right"))]
    if by == "price":
        rows, key = priced.prices(rows)
    else:
        found = priced.measured(rows)
        rows, key = found.row, found.by(by)
    if by == "reserve":
        key = np.full(len(rows), reserve_bound(search.setting, source.group, source.strong))
    same = np.flatnonzero(key == than[0])
    if not len(same):
        return rows[key < than[0]], same
    mass = priced.measured(rows[same]).mass
    lighter = np.concatenate([np.flatnonzero(key < than[0]), same[mass < than[1]]])
    return rows[np.sort(lighter)], rows[same[mass == than[1]]]


def _crossed(fits: Bools, row: Ints, places: Ints) -> tuple[Ints, Ints]:
    """Each row at each of the places where it fits."""
    at, place = np.nonzero(fits[row][:, places])
    return row[at], places[place]


def _tied(priced: Priced, row: Ints, place: Ints, than: Key | None) -> Bools:
    """Which of those that tie in measure and mass come first by their text."""
    texts = (priced.candidate(r, p).text for r, p in zip(row.tolist(), place.tolist(), strict=True))
    return np.array([than is not None and text < than[2] for text in texts], dtype=np.bool_)
