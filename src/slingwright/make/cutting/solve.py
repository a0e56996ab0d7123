"""Plan the cutting of one webbing: the problem in, the cheapest plan and the bound it is proved by out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from functools import cache

from slingwright.make.cutting.allot import account, orders_over_rolls
from slingwright.make.cutting.model import Model, build_model
from slingwright.make.cutting.plan import (
    FEASIBLE,
    INFEASIBLE,
    NO_PLAN_YET,
    OPTIMAL,
    CutPlan,
    MountedRoll,
    Wishes,
)
from slingwright.make.cutting.problem import CutProblem, Piece, Practice, Stock
from slingwright.make.cutting.search import Outcome, search
from slingwright.make.cutting.wishes import Laid, grant_wishes

__all__ = ["solve_cut"]

_WISH_SHARE = 0.2  # of the time limit, and within it
_SMALL = CutProblem(  # goes through all stages in no time
    stock=tuple(Stock(length_mm=n, count=c) for n, c in ((100, 4), (35, 1), (30, 1))),
    pieces=tuple(Piece(length_mm=n, quantity=q) for n, q in ((44, 2), (25, 3), (23, 2))),
    practice=Practice(kerf_mm=1, remnant_min_mm=8, discount_mm=8, full_length_mm=100, mount_cost_mm=2),
)


@cache
def _make_ready() -> None:
    """Compile what is not yet compiled, once a process: the first plan's time limit is not for that."""
    for problem in (
        _SMALL,
        replace(_SMALL, practice=None),
        replace(_SMALL, practice=None, stock=_SMALL.stock[:1]),
    ):
        search(build_model(problem), lambda: 1.0)


def solve_cut(problem: CutProblem, *, time_limit_s: float, clock: Callable[[], float]) -> CutPlan:
    """Least worth of webbing consumed, proved; when the time runs out, the best plan and its proved gap.

    Parameters
    ----------
    problem : one webbing's stock and pieces
    time_limit_s : seconds the search may take by `clock`; one step more may end after it
    clock : a running count of seconds (`time.monotonic`), handed in so that this room has no clock

    Equal input gives the equal plan unless the time ran out. The time is counted from when all is compiled.
    """
    _make_ready()
    end = clock() + time_limit_s
    model = build_model(problem)
    outcome = search(model, lambda: end - clock())
    if outcome.cost >= model.missing_cost:
        proved = outcome.bound >= model.missing_cost
        return _nothing(problem, INFEASIBLE if proved else NO_PLAN_YET, model)
    now = clock()
    wish_end = min(end, now + _WISH_SHARE * time_limit_s)
    laid, wishes = grant_wishes(problem, model, outcome, lambda: wish_end - clock())
    return _plan(problem, model, outcome, laid, wishes)


def _plan(problem: CutProblem, model: Model, first: Outcome, laid: Laid, wishes: Wishes | None) -> CutPlan:
    rolls = laid.rolls
    cut: Counter[int] = Counter()
    for roll in rolls:
        for index, count in roll.pieces:
            cut[index] += count * roll.times
    uncut = ((i, p.quantity - cut[i]) for i, p in enumerate(problem.pieces))
    return CutPlan(
        problem=problem,
        status=OPTIMAL if first.bound == first.cost else FEASIBLE,
        cost=laid.cost,
        bound=first.bound,
        rolls=rolls,
        uncut=tuple((i, n) for i, n in uncut if n),
        scrap=account(problem, rolls),
        remnants_consumed=sum(r.times for r in rolls if not problem.stock[r.stock_index].full),
        remnants_created=_remnants(problem, rolls),
        orders_split=orders_over_rolls(problem, rolls),
        groups_split=model.split,
        wishes=wishes,
    )


def _remnants(problem: CutProblem, rolls: tuple[MountedRoll, ...]) -> int:
    if problem.practice is None:
        return 0
    return sum(r.times for r in rolls if r.leftover_mm >= max(problem.practice.remnant_min_mm, 1))


def _nothing(problem: CutProblem, status: str, model: Model) -> CutPlan:
    """No plan: every piece stays uncut, and no figure pretends otherwise."""
    return CutPlan(
        problem=problem,
        status=status,
        cost=None,
        bound=None,
        rolls=(),
        uncut=tuple((i, p.quantity) for i, p in enumerate(problem.pieces)),
        scrap=account(problem, ()),
        remnants_consumed=0,
        remnants_created=0,
        orders_split=(),
        groups_split=model.split,
    )
