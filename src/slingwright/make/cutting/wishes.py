"""The second stage: a plan that suits the floor better, for a small part of the cost, set by the shop.

The first stage's plan and bound stand as they are. Orders are taken as if each were one piece, the shortest
first and as many as can be, and planned again by the same exact stage within the cost allowed; of all plans
so found, and the first, the tidiest is kept. The work is counted, not timed, so that equal input gives the
equal plan; the clock only ends it when the time is out.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from slingwright.make.cutting.allot import allot
from slingwright.make.cutting.model import Model, build_model
from slingwright.make.cutting.plan import MountedRoll, Tidiness, Wishes
from slingwright.make.cutting.problem import CutProblem
from slingwright.make.cutting.search import Outcome, search_within
from slingwright.make.cutting.tidy import in_sequence, tidiness

__all__ = ["Laid", "grant_wishes"]

_TRIES = 10


@dataclass(frozen=True, slots=True)
class Laid:
    """A plan handed out to orders and put in sequence; its cost."""

    rolls: tuple[MountedRoll, ...]
    cost: int
    tidiness: Tidiness

    def rank(self) -> tuple[int, int, int, int]:
        """The less the better: wishes first, then the cost."""
        tidy = self.tidiness
        return tidy.extra_rolls, tidy.urgent_wait, tidy.most_open, self.cost


def lay(problem: CutProblem, outcome: Outcome) -> Laid:
    """Hand a plan out to the orders and put its rolls in the tidiest sequence."""
    rolls = in_sequence(problem, allot(problem, outcome.columns, outcome.picks))
    return Laid(rolls, outcome.cost, tidiness(problem, rolls))


def grant_wishes(
    problem: CutProblem, model: Model, first: Outcome, seconds_left: Callable[[], float]
) -> tuple[Laid, Wishes | None]:
    """The tidiest plan within the cost that `problem.wish_permille` allows; None = it asks for none.

    Parameters
    ----------
    problem, model, first : the webbing, and what the first stage found; `first` is a whole plan
    seconds_left : seconds that are left for this stage
    """
    before = lay(problem, first)
    if problem.wish_permille is None:
        return before, None
    most_cost = first.cost + first.cost * problem.wish_permille // 1000
    best = before
    tries = _Tries(problem, model, most_cost, first.bound, seconds_left)
    if before.tidiness.extra_rolls:
        best = min([before, *tries.run()], key=Laid.rank)
    wishes = Wishes(least_cost=first.cost, most_cost=most_cost, before=before.tidiness, after=best.tidiness)
    return best, wishes


class _Tries:
    """Plans with ever other orders kept together."""

    def __init__(
        self,
        problem: CutProblem,
        model: Model,
        most_cost: int,
        bound: int,
        seconds_left: Callable[[], float],
    ) -> None:
        self.problem = problem
        self.most_cost = most_cost
        self.bound = bound
        self.seconds_left = seconds_left
        self.found: list[Laid] = []
        self.left = _TRIES
        longest = max((s.length_mm for s in problem.stock if s.count != 0), default=0)
        self.room_mm = longest - problem.head_trim_mm + problem.kerf_mm
        self.orders = self._whole_orders()

    def _whole_orders(self) -> list[str]:
        """Orders that one roll can hold and that may not wait, shortest first."""
        need: dict[str, int] = {}
        pieces: dict[str, int] = {}
        waits = {p.order for p in self.problem.pieces if p.uncut_cost_mm is not None}
        for piece in self.problem.pieces:
            need[piece.order] = need.get(piece.order, 0) + piece.quantity * (
                piece.length_mm + self.problem.kerf_mm
            )
            pieces[piece.order] = pieces.get(piece.order, 0) + piece.quantity
        fit = (o for o in need if o and pieces[o] > 1 and need[o] <= self.room_mm and o not in waits)
        return sorted(fit, key=lambda order: (need[order], order))

    def run(self) -> list[Laid]:
        """All orders together, else as many of the shortest as can be; then one more at a time."""
        good, bad = 0, len(self.orders) + 1
        count = len(self.orders)
        while good < count < bad and self.left:
            if self._together(self.orders[:count]):
                good = count
            else:
                bad = count
            count = (good + bad) // 2
        kept = list(self.orders[:good])
        for order in self.orders[good + 1 :]:
            if self.left and self._together([*kept, order]):
                kept.append(order)
        return self.found

    def _together(self, orders: list[str]) -> bool:
        if self.seconds_left() <= 0:
            self.left = 0
            return False
        self.left -= 1
        whole = set(orders)
        pieces = tuple(replace(p, together=p.order) if p.order in whole else p for p in self.problem.pieces)
        problem = replace(self.problem, pieces=pieces)
        outcome = search_within(
            build_model(problem), self.most_cost, enough=self.bound, seconds_left=self.seconds_left
        )
        if outcome is None:
            return False
        self.found.append(lay(problem, outcome))
        return True
