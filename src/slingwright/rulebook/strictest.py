"""The `strictest` profile: where regimes disagree and the data says so, the strictest number of any."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from slingwright.citation import Citation, Cited, Known
from slingwright.rulebook.book import Rulebook
from slingwright.rulebook.hitch import HitchRules
from slingwright.rulebook.practice import Row
from slingwright.rulebook.source import Entry, cited_quantity

__all__ = ["make_strictest"]


def make_strictest(book: Rulebook, topics: Iterable[Entry], *, us_hitch: HitchRules) -> Rulebook:
    """Return the book with every topic's `strictest` applied, each new number citing its topic.

    A limit only ever tightens: an own number that is stricter already stays.
    """
    limits = dict(book.limits)
    hitch, legs, inspection = book.hitch, book.legs, book.practice["inspection"]
    for topic in topics:
        change: Mapping[str, Any] = topic.get("strictest", {})
        citation = Citation(document="strictest across regimes", clause=topic["topic"], known=Known.DERIVED)
        for name, value in change.get("limits", {}).items():
            strict = Cited(cited_quantity(name, {"value": value, **_AS_DERIVED}).value, citation)
            limits[name] = _stricter(name, limits.get(name), strict)
        if "choker" in change:
            choker = Cited(float(change["choker"]), citation)
            hitch = replace(hitch, factors=MappingProxyType({**hitch.factors, "choker": choker}))
        if "choke_schemes" in change:
            hitch = replace(hitch, schemes=us_hitch.schemes, choke_citation=us_hitch.choke_citation)
        if "angle_steps_deg" in change:
            hitch = replace(hitch, angle_steps_deg=tuple(float(step) for step in change["angle_steps_deg"]))
        if "legs" in change:
            legs = replace(legs, always_two=True)
        if "inspection" in change:
            inspection = _more_often(inspection, change["inspection"])
    rules = replace(book.rules, hitch=hitch, legs=legs)
    practice = MappingProxyType({**book.practice, "inspection": inspection})
    return replace(book, profile="strictest", rules=rules, limits=MappingProxyType(limits), practice=practice)


_AS_DERIVED = {"document": "strictest across regimes", "known": "derived"}


def _stricter(name: str, own: Cited[float] | None, strict: Cited[float]) -> Cited[float]:
    """The stricter of two: least and ratio limits the larger, most limits the smaller."""
    if own is None:
        return strict
    at_most = name.startswith("max_") or name == "hook_seat_free_width_m"
    keep_own = own.value <= strict.value if at_most else own.value >= strict.value
    return own if keep_own else strict


def _more_often(rows: tuple[Row, ...], months: Mapping[str, int]) -> tuple[Row, ...]:
    """Rows with an interval shortened to the strictest."""
    return tuple(
        replace(row, figures=MappingProxyType({**row.figures, "months_at_most": float(months[row.id])}))
        if row.id in months and row.figures.get("months_at_most", months[row.id]) >= months[row.id]
        else row
        for row in rows
    )
