"""Beside the best: slings as strong but of another width, and one size up and down (PRACTICE).

Same arrangement, lengths, form, fibre and protection; each is judged anew, for a bigger sling is stiffer
and may share worse. One that does not pass is not shown.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.choose.candidate import Candidate
from slingwright.choose.evaluate import Verdict
from slingwright.choose.search import Search
from slingwright.choose.space import Entry
from slingwright.shop import Refusal

__all__ = ["neighbours"]

_AS_STRONG = 0.05  # rated loads this close (own judgement) are the same size to a buyer


def neighbours(search: Search, best: Verdict) -> Iterator[tuple[str, Verdict]]:
    """(why it is shown, its verdict): equivalent, size-up, size-down."""
    if best.candidate.stock:
        return
    mine = best.rated[0].cell.rated_n
    kin = [e for e in _entries(search, best.candidate.arrangement) if _is_kin(e, best.candidate)]
    kin.sort(key=lambda e: (e.rated[0].cell.rated_n, e.make.plies))
    for entry in kin:
        if abs(entry.rated[0].cell.rated_n / mine - 1) <= _AS_STRONG:
            yield from _judged(search, entry, best, "equivalent")
    bigger = [e for e in kin if e.rated[0].cell.rated_n > mine * (1 + _AS_STRONG)]
    smaller = [e for e in kin if e.rated[0].cell.rated_n < mine * (1 - _AS_STRONG)]
    if bigger:
        yield from _judged(search, bigger[0], best, "size-up")
    if smaller:
        yield from _judged(search, smaller[-1], best, "size-down")


def _entries(search: Search, arrangement: Arrangement) -> Iterator[Entry]:
    for group in search.space.groups:
        for at, mine in enumerate(group.arrangements):
            if mine is arrangement:
                yield from search.space.entries_at(group, at)


def _is_kin(entry: Entry, best: Candidate) -> bool:
    """Another size of the same sling in the same arrangement."""
    make, base = entry.make, best.base
    same_size = (make.webbing_class, make.plies) == (base.webbing_class, base.plies) and (
        entry.rated[0].cell.width_m == base.width_m
    )
    return (
        not entry.stock
        and entry.arrangement is best.arrangement
        and (make.form, make.fibre) == (base.form, base.fibre)
        and not same_size
    )


def _judged(search: Search, entry: Entry, best: Verdict, why: str) -> Iterator[tuple[str, Verdict]]:
    block = search.block(entry, best.candidate.protection)
    if isinstance(block, Refusal):
        return
    same = np.flatnonzero((block.lengths_m == np.array(best.candidate.lengths_m)).all(axis=1))
    for row in same:
        verdict, _ = search.judge(entry, block.candidate(int(row)), beaten_at_grade=None)
        if verdict.stop is None and verdict.complete:
            yield why, verdict
