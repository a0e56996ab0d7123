"""An answer explained: stock against made, the next question, what would change it, the trade-off curve.

Each part is found by searching again; told as it comes, so that the offers need not wait for it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from slingwright.choose.explained import Explained
    from slingwright.usecases.choose_sling import Chosen

__all__ = ["SMALL_SPACE", "explain_answer", "explain_parts"]

SMALL_SPACE = 3_000_000  # hang problems: an answer over so many is explained unasked, in seconds
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
    """The explanation, again and again with one part more: supplies, question, changes, curve (cut-short)."""
    from dataclasses import replace

    from slingwright.choose.again import Again, OutOfTime
    from slingwright.choose.change import changes
    from slingwright.choose.explained import Explained
    from slingwright.choose.question import next_question
    from slingwright.choose.tradeoff import supplies, trade_off

    so_far = Explained()
    if chosen.walked is None:
        return
    search, main = chosen.walked
    want = chosen.lift.want
    began = clock()

    def out_of_time() -> bool:
        return limit_s is not None and clock() - began > limit_s

    again = Again(chosen.setting, out_of_time=out_of_time)
    again.remember(search, main)
    if main.answer is not None and not want.stock_only:
        stock = search.walk(want.by, only=lambda e: bool(e.stock), tries=_SIDE_TRIES)
        made = search.walk(want.by, only=lambda e: not e.stock, tries=_SIDE_TRIES)
        so_far = replace(so_far, supplies=supplies(stock, made))
        yield "supplies", so_far
    try:
        so_far = replace(so_far, question=next_question(again, without=without))
        yield "question", so_far
        found = []
        for change in changes(again):
            found.append(change)
            so_far = replace(so_far, changes=tuple(found))
        yield "changes", so_far
    except OutOfTime:
        yield "cut-short", replace(so_far, proved=False)
        return
    if main.answer is not None and not out_of_time():
        curve = trade_off(search, only=lambda e: not want.stock_only or bool(e.stock))
        so_far = replace(so_far, curve=curve)
    yield "curve", replace(so_far, proved=again.proved)
