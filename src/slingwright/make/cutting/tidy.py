"""How tidy a plan is for the floor, and the sequence of rolls that is tidiest; no pattern changes here.

Three wishes, the first counts most: few orders spread over rolls, orders finished early that are due before
others, few orders open (begun, not finished) at once.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from slingwright.make.cutting.plan import MountedRoll, Tidiness
from slingwright.make.cutting.problem import CutProblem

__all__ = ["in_sequence", "tidiness"]

_MOST_STEPS = 1_000_000
_MOST_EXACT = 9  # rows of a plan whose every sequence is looked through, by sets
_NO_DAY = "~"  # sorts after every date


class _Orders:
    """The orders of a plan as sets of bits: the rows that each is cut from; how many are due after each."""

    def __init__(self, problem: CutProblem, rolls: Sequence[MountedRoll]) -> None:
        self.rows: dict[str, int] = {}
        due: dict[str, str] = {}
        for row, roll in enumerate(rolls):
            for index, _ in roll.pieces:
                piece = problem.pieces[index]
                if piece.order:
                    self.rows[piece.order] = self.rows.get(piece.order, 0) | 1 << row
                    day = piece.due or _NO_DAY
                    due[piece.order] = min(due.get(piece.order, _NO_DAY), day)
        self.names = sorted(self.rows)
        self.sets = [self.rows[name] for name in self.names]
        days = sorted(due.values())
        self.later = [len(days) - bisect_right(days, due[name]) for name in self.names]
        self.times = [roll.times for roll in rolls]

    def finished(self, rows: int) -> int:
        """Orders of which no piece is left once these rows are cut."""
        return sum(1 << at for at, needs in enumerate(self.sets) if needs & ~rows == 0)

    def bits(self, some: int) -> list[int]:
        """The orders of a set."""
        return [at for at in range(len(self.sets)) if some >> at & 1]

    def begun(self, rows: int) -> int:
        """Orders of which these rows have a piece."""
        return sum(1 << at for at, needs in enumerate(self.sets) if needs & rows)

    def waited(self, before: int, after: int, rows: int) -> int:
        """Rolls cut until those orders are finished that are new in `after`, for each order due later."""
        new = after & ~before
        if not new:
            return 0
        rolls = sum(times for row, times in enumerate(self.times) if rows >> row & 1)
        return rolls * sum(self.later[at] for at in self.bits(new))


def tidiness(problem: CutProblem, rolls: Sequence[MountedRoll]) -> Tidiness:
    """Measure a plan whose rolls are cut in the sequence given."""
    orders = _Orders(problem, rolls)
    places = dict.fromkeys(orders.names, 0)
    for roll in rolls:
        for order in {problem.pieces[index].order for index, _ in roll.pieces} - {""}:
            places[order] += roll.times
    waited = most_open = cut = done = 0
    for row in range(len(rolls)):
        cut |= 1 << row
        before, done = done, orders.finished(cut)
        waited += orders.waited(before, done, cut)
        most_open = max(most_open, (orders.begun(cut) & ~done).bit_count())
    return Tidiness(extra_rolls=sum(places.values()) - len(places), urgent_wait=waited, most_open=most_open)


def in_sequence(problem: CutProblem, rolls: Sequence[MountedRoll]) -> tuple[MountedRoll, ...]:
    """Put the rolls in the tidiest sequence; of equals the one nearest to that given (earliest due first).

    Up to nine rows by going through all sets of rows, more of them one after the other; of very many rows and
    orders the sequence given stands.
    """
    orders = _Orders(problem, rolls)
    if len(rolls) < 2 or not orders.names or len(rolls) ** 2 * len(orders.names) > _MOST_STEPS:
        return tuple(rolls)
    rows = _exactly(orders, len(rolls)) if len(rolls) <= _MOST_EXACT else _greedily(orders, len(rolls))
    return tuple(rolls[row] for row in rows)


def _exactly(orders: _Orders, count: int) -> tuple[int, ...]:
    sets = range(1 << count)
    finished = [orders.finished(rows) for rows in sets]
    is_open = [(orders.begun(rows) & ~finished[rows]).bit_count() for rows in sets]
    best: list[tuple[int, int, tuple[int, ...]]] = [(0, 0, ())]
    for rows in sets[1:]:
        ways = []
        for last in range(count):
            if rows >> last & 1:
                before = rows & ~(1 << last)
                waited, most_open, sequence = best[before]
                waited += orders.waited(finished[before], finished[rows], rows)
                ways.append((waited, max(most_open, is_open[rows]), (*sequence, last)))
        best.append(min(ways))
    return best[-1][2]


def _greedily(orders: _Orders, count: int) -> tuple[int, ...]:
    """Next the row that lets the most urgent orders wait least, as far as one step tells."""
    sequence: list[int] = []
    cut = 0
    left = list(range(count))
    while left:
        done = orders.finished(cut)

        def price(row: int, cut: int = cut, done: int = done) -> tuple[int, int, int]:
            after = cut | 1 << row
            finished = orders.finished(after)
            is_open = (orders.begun(after) & ~finished).bit_count()
            urgent = max((orders.later[at] for at in orders.bits(finished & ~done)), default=-1)
            return -urgent, is_open, row

        row = min(left, key=price)
        left.remove(row)
        sequence.append(row)
        cut |= 1 << row
    return tuple(sequence)
