"""What the next candidate of a column is sure to fall under before it is judged with all its cases."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from slingwright.choose.fallen import GRADED_AND_DEARER
from slingwright.choose.lanes import laid_as_lanes
from slingwright.choose.nominal import BEATEN, LAST_BITS, REASONS

if TYPE_CHECKING:
    from slingwright.choose.column import Column, Pairs
    from slingwright.choose.search import Search

__all__ = ["sure_to_fall"]

_NEXT = 15  # rows hung as they are judged beside the next to be
_NEAR = 0.01  # relative: further than a few samples hardly stay below all


def sure_to_fall(search: Search, column: Column, one: Pairs, *, graded_lose: bool) -> str:
    """The rule that the row `one`, taken from its column, is sure to fall under, or "".

    `graded_lose`: what is sure to be graded falls, too.
    """
    return _by_cases(search, column, one, graded_lose) or _by_spread(search, column, one, graded_lose)


def _by_cases(search: Search, column: Column, one: Pairs, graded_lose: bool) -> str:
    """By a hang as it is judged, but for its samples; of some that stand behind it at once."""
    behind = column.passing.take(slice(0, _NEXT))
    whole = np.flatnonzero(column.known.why[behind.row, behind.place] == 0)
    few = one.joined(behind.take(whole))
    exact = search.exact(column.source, few.row, few.place, graded_lose=graded_lose)
    if exact is None:
        return ""
    if exact.why > 0:
        search.note_miss(column, exact.miss, int(one.row[0]), int(one.place[0]))
        return REASONS[exact.why]
    return GRADED_AND_DEARER if graded_lose and (exact.graded or exact.why == BEATEN) else ""


def _by_spread(search: Search, column: Column, one: Pairs, graded_lose: bool) -> str:
    """By the spread of its lengths alone."""
    row, place = int(one.row[0]), int(one.place[0])
    source, book = column.source, search.setting.rulebook
    upright = any(p.vertical_only for p in search.setting.lift.load.pick_points)
    leans = upright and laid_as_lanes(source.group.arrangements[0])  # told of all samples alone
    share, lean = (float(x[0]) for x in search.spread(source, one.row, one.place, whole=leans))
    dry, thin = source.strong.dry, 1.0 - book.limit("reserve_ratio").value
    near = any(share <= limit * (1.0 + LAST_BITS) < share * (1.0 + _NEAR) for limit in (thin, dry, 1.0))
    if near and not leans:
        share, lean = (float(x[0]) for x in search.spread(source, one.row, one.place, whole=True))
    if share > dry * (1.0 + LAST_BITS):
        search.note_miss(column, share / dry - 1.0, row, place)
        return "rated-load" if share > 1.0 + LAST_BITS else "wet"
    most_deg, straight_deg = (book.limit(x).value for x in ("lug_lean_deg", "near_vertical_deg"))
    if lean > most_deg * (1.0 + LAST_BITS):
        search.note_miss(column, lean / most_deg - 1.0, row, place)
        return "pick-rating"
    graded = share > thin * (1.0 + LAST_BITS) or lean > straight_deg * (1.0 + LAST_BITS)
    return GRADED_AND_DEARER if graded_lose and graded else ""
