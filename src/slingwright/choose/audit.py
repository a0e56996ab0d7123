"""The audit: every candidate the walk left behind, and the first thing that it failed.

It is the certificate of the search (`docs/decisions/0004`): all candidates that come before the answer in
the order of (measure, mass, text) are among the lines, each with its rule. Candidates that fell together
when a block was opened are listed too where they are dearer than the answer; `before_answer` tells which.
What no stiffness lets pass (`pruned`) comes first, one line for an arrangement and make with how many
candidates fall with it: it was never a row of any block.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from slingwright.check import Finding
from slingwright.choose.candidate import Candidate
from slingwright.choose.lost import Lost
from slingwright.choose.makes import Make
from slingwright.choose.search import Found, Search
from slingwright.shop import Refusal

__all__ = ["AuditLine", "audit_lines", "audit_totals"]

_MICRO = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditLine:
    """One candidate that is not the answer.

    `key` and its measures are None for lengths that no loft sews as this make. `before_answer` is None
    there, and where the wanted measure (reserve) is known only of judged candidates.
    """

    rule: str
    arrangement: str
    key: str | None
    price_minor: int | None
    mass_mg: int | None
    days: int | None
    before_answer: bool | None
    stop: Finding | None = None
    make: str | None = None
    candidates: int = 1
    pruned: bool = False


def audit_totals(main: Found) -> dict[str, int]:
    """How many lines there are under each rule; the same figures as the document's `rejected_by`."""
    return {rule: count for rule, count in sorted(main.rejected.items()) if count}


def audit_lines(search: Search, main: Found, by: str) -> Iterator[AuditLine]:
    """Every candidate that the main walk left behind, in the order in which it fell.

    Parameters
    ----------
    search, main
        The search, made with `keep_lost`, and its main walk.
    by
        The measure that was walked by.
    """
    yield from _left_out(search)
    answer = _key(main.answer.candidate, by) if main.answer is not None else None
    for lost in main.lost:
        if lost.candidate is not None:
            yield _line(lost, lost.candidate, answer, by)
        else:
            yield from _rows(search, lost, answer, by)


def _left_out(search: Search) -> Iterator[AuditLine]:
    for one in search.space.left_out:
        a = search.space.arrangement(one.place)
        yield AuditLine(
            rule=one.why,
            arrangement=f"{a.family}/{a.placement}/{a.lengths}",
            key=None,
            price_minor=None,
            mass_mg=None,
            days=None,
            before_answer=None,
            make=None if one.make is None else _make_text(one.make),
            candidates=one.candidates,
            pruned=True,
        )


def _make_text(make: Make) -> str:
    return f"{make.form}/{make.fibre}/{make.webbing_class}/{make.plies}p/{make.width_m:.4f}"


def _rows(search: Search, lost: Lost, answer: tuple[int, int, str] | None, by: str) -> Iterator[AuditLine]:
    block = search.block(lost.entry, lost.protection)
    all_rows = search.rows_of(lost.entry)
    rows = np.arange(all_rows) if lost.rows is None else lost.rows
    where: dict[int, int] = {}
    if not isinstance(block, Refusal):
        where = {int(row): at for at, row in enumerate(block.row_of)}
    for row in rows:
        at = where.get(int(row))
        if at is None or isinstance(block, Refusal):
            yield _line(lost, None, answer, by)
        else:
            yield _line(lost, block.candidate(at), answer, by)


def _line(lost: Lost, candidate: Candidate | None, answer: tuple[int, int, str] | None, by: str) -> AuditLine:
    a = lost.entry.arrangement
    mine = None if candidate is None else _key(candidate, by)
    return AuditLine(
        rule=lost.rule,
        arrangement=f"{a.family}/{a.placement}/{a.lengths}",
        key=None if candidate is None else candidate.text,
        price_minor=None if candidate is None else candidate.price_minor,
        mass_mg=None if candidate is None else round(candidate.mass_kg * _MICRO),
        days=None if candidate is None else candidate.days,
        before_answer=None if mine is None else answer is None or mine < answer,
        stop=lost.stop,
    )


def _key(candidate: Candidate, by: str) -> tuple[int, int, str] | None:
    """Where a candidate stands in the order; None for reserve, which only a hang can tell."""
    mass = round(candidate.mass_kg * _MICRO)
    measures = {"price": candidate.price_minor, "delivery": candidate.days, "weight": mass}
    return (measures[by], mass, candidate.text) if by in measures else None
