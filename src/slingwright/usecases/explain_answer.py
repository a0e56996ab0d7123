"""An answer explained: stock against made, the next question, what would change it, the trade-off curve.

Each part is found by searching again; told as it comes, so that the offers need not wait for it.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from slingwright.choose.again import Again
    from slingwright.choose.explained import Explained, Question
    from slingwright.usecases.choose_sling import Chosen

__all__ = ["SMALL_SPACE", "explain_answer", "explain_parts"]

SMALL_SPACE = 3_000_000  # hang problems: an answer over so many is explained unasked, in seconds
_QUESTION_SHARE = 0.7  # of the time is for what to ask, the rest for what would change the answer
_SIDE_TRIES = 400  # of the walks for the best from stock and made, as beside the offers


def explain_answer(
    chosen: Chosen,
    *,
    clock: Callable[[], float],
    limit_s: float | None = None,
    without: frozenset[str] = frozenset(),
) -> Explained:
    """All parts together.

    Parameters
    ----------
    clock
        Seconds on any scale; only its differences are used.
    limit_s
        Stop after so long; what was not reached is left out and `proved` is False.
    without
        Questions not to ask: the answer is not known.
    """
    from slingwright.choose.explained import Explained

    parts = [part for _, part in explain_parts(chosen, clock=clock, limit_s=limit_s, without=without)]
    return parts[-1] if parts else Explained()


def explain_parts(
    chosen: Chosen,
    *,
    clock: Callable[[], float],
    limit_s: float | None = None,
    without: frozenset[str] = frozenset(),
) -> Iterator[tuple[str, Explained]]:
    """The explanation, again and again with one part more: supplies, question, changes, curve (cut-short).

    Before the question comes "weighing" for each open point, with those weighed by then.
    """
    from dataclasses import replace

    from slingwright.choose.again import Again, OutOfTime
    from slingwright.choose.change import changes
    from slingwright.choose.explained import Explained
    from slingwright.choose.tradeoff import supplies, trade_off

    so_far = Explained()
    if chosen.walked is None:
        return
    search, main = chosen.walked
    want = chosen.lift.want
    began, share = clock(), _QUESTION_SHARE

    def out_of_time() -> bool:
        return limit_s is not None and clock() - began > limit_s * share

    again = Again(chosen.setting, out_of_time=out_of_time)
    again.remember(search, main)
    if main.answer is not None and not want.stock_only:
        stock = search.walk(want.by, only=lambda e: bool(e.stock), tries=_SIDE_TRIES)
        made = search.walk(want.by, only=lambda e: not e.stock, tries=_SIDE_TRIES)
        so_far = replace(so_far, supplies=supplies(stock, made))
        yield "supplies", so_far
    so_far = yield from _asked(again, so_far, without)
    share = 1.0
    try:
        found = []
        for change in changes(again):
            found.append(change)
            so_far = replace(so_far, changes=tuple(found))
        yield "changes", so_far
    except OutOfTime:
        yield "cut-short", replace(so_far, proved=False)
        return
    proved = again.proved and not so_far.unweighed
    if main.answer is not None and not out_of_time():
        curve = trade_off(search, only=lambda e: not want.stock_only or bool(e.stock))
        so_far = replace(so_far, curve=curve)
    yield "curve", replace(so_far, proved=proved)


def _asked(
    again: Again, so_far: Explained, without: frozenset[str]
) -> Generator[tuple[str, Explained], None, Explained]:
    """The open points, weighed one after the other, and then of those the one to ask.

    Where the time ends before all are, what is asked is the best of the others, and it says which are left.
    Points of few answers are weighed first: they are the sooner done.
    """
    from dataclasses import replace

    from slingwright.choose.again import OutOfTime
    from slingwright.choose.question import most_worth, open_points, weigh

    points = open_points(again, without=without)
    weighed: dict[str, Question] = {}

    def told() -> Explained:
        left = tuple(p.code for p in points if p.code not in weighed)
        return replace(so_far, weighed=tuple(weighed), unweighed=left)

    try:
        for point in sorted(points, key=lambda p: p.is_figure):
            yield "weighing", told()
            weighed[point.code] = weigh(again, point)
    except OutOfTime:
        pass
    in_order = (weighed[p.code] for p in points if p.code in weighed)
    found = replace(told(), question=most_worth(in_order, again.now))
    found = replace(found, proved=not found.unweighed)
    yield "question", found
    return found
