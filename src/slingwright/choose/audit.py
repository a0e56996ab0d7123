"""The audit: every candidate that comes before the answer, and the first thing that it failed.

It is the certificate of the search (`docs/decisions/0004`): all candidates that come before the answer in
the order of (measure, mass, text) are among the lines, each with its rule; where nothing fits, all that can
be had. By reserve, which only a hang can tell, they are those that might come before it.
What no stiffness lets pass (`pruned`) comes first, one line for an arrangement and make with how many
candidates fall with it: it was never a row of any block.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from slingwright.check import Finding
from slingwright.choose.fallen import rejected_each
from slingwright.choose.makes import Make
from slingwright.choose.search import Found, Search
from slingwright.choose.source import MICRO

__all__ = ["AuditLine", "audit_lines"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditLine:
    """One candidate that is not the answer; of what was pruned many, without key and measures.

    `before_answer` is None of what was pruned, and where the wanted measure (reserve) is not known exactly.
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


def audit_lines(search: Search, main: Found) -> Iterator[AuditLine]:
    """What was pruned; then every candidate before the main walk's answer, in the order in which it fell."""
    yield from _left_out(search)
    for one in rejected_each(search, main):
        candidate, a = one.candidate, one.candidate.arrangement
        yield AuditLine(
            rule=one.rule,
            arrangement=f"{a.family}/{a.placement}/{a.lengths}",
            key=candidate.text,
            price_minor=candidate.price_minor,
            mass_mg=round(candidate.mass_kg * MICRO),
            days=candidate.days,
            before_answer=None if main.by == "reserve" else True,
            stop=one.stop,
        )


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
