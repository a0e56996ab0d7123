"""Offers side by side: what each is, where they differ, and what is the same for all."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from slingwright.choose.offer import Offer
from slingwright.units import Rounding, Units
from slingwright.words.catalogue import Catalogue, read_catalogue
from slingwright.words.figures import (
    show_angle,
    show_length,
    show_load,
    show_mass,
    show_money,
    show_ratio,
)
from slingwright.words.names import arrangement_name
from slingwright.words.offers import picked_for_text, ready_text, slings_text

__all__ = ["Cell", "CompareRow", "Comparison", "compare_offers"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One figure of one offer; `against` is how far it is from the first offer's, in words ("" = equal)."""

    text: str
    against: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CompareRow:
    """One thing of all offers, in their order."""

    label: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """The offers' names, the rows in which they differ, and what is the same for all (label, text)."""

    head: tuple[str, ...]
    rows: tuple[CompareRow, ...]
    same: tuple[tuple[str, str], ...]


def compare_offers(offers: Sequence[Offer], units: Units, *, language: str = "en") -> Comparison:
    """Put offers side by side; there are two or more."""
    words = read_catalogue(language)
    rows = [_row(key, say, offers, words) for key, say in _rows(units, language)]
    rows[0:0] = [_money_row(offers, words, language), _days_row(offers, words, language)]
    differ = [row for row in rows if len({cell.text for cell in row.cells}) > 1]
    return Comparison(
        head=tuple(
            words.fill("blocks", "offer", number=str(i), why=picked_for_text(one, language=language))
            for i, one in enumerate(offers, start=1)
        ),
        rows=tuple(differ),
        same=tuple((row.label, row.cells[0].text) for row in rows if row not in differ),
    )


def _rows(units: Units, language: str) -> list[tuple[str, Callable[[Offer], str]]]:
    words = read_catalogue(language)
    up, down = Rounding.UP, Rounding.DOWN  # never better than it is

    def length(value_m: float) -> str:
        return show_length(value_m, units, rounding=up, language=language)

    def angle(value_deg: float, rounding: Rounding) -> str:
        return show_angle(value_deg, rounding=rounding, language=language)

    return [
        ("slings", lambda o: "; ".join(slings_text(o, units, language=language))),
        ("arrangement", lambda o: arrangement_name(o.arrangement, language=language)),
        ("supply", lambda o: words.word("compare", _supply(o))),
        ("reserve", lambda o: show_ratio(1 - o.utilisation, rounding=down, language=language)),
        ("design", lambda o: _hardest(o, units, language)),
        (
            "hook-height",
            lambda o: length(o.hook_height_m),
        ),
        (
            "angle",
            lambda o: show_angle(
                o.least_angle_from_horizontal_deg, rounding=Rounding.DOWN, language=language
            ),
        ),
        ("tilt", lambda o: angle(o.tilt_deg, up)),
        ("worst-tilt", lambda o: angle(o.worst_tilt_deg, up)),
        ("mass", lambda o: show_mass(o.mass_kg, units, language=language)),
        ("grade", lambda o: words.word("compare", "grade-0" if o.grade == 0 else "grade-1")),
    ]


def _row(key: str, say: Callable[[Offer], str], offers: Sequence[Offer], words: Catalogue) -> CompareRow:
    cells = tuple(Cell(text=say(one)) for one in offers)
    return CompareRow(label=words.word("compare", key), cells=cells)


def _money_row(offers: Sequence[Offer], words: Catalogue, language: str) -> CompareRow:
    first = offers[0].price_minor
    cells = []
    for one in offers:
        more = one.price_minor - first
        key = "more" if more > 0 else "less"
        told = (
            words.fill("compare", key, figure=show_money(abs(more), one.currency, language=language))
            if more
            else ""
        )
        cells.append(Cell(text=show_money(one.price_minor, one.currency, language=language), against=told))
    return CompareRow(label=words.word("compare", "price"), cells=tuple(cells))


def _days_row(offers: Sequence[Offer], words: Catalogue, language: str) -> CompareRow:
    first = offers[0].ready_in_days
    cells = []
    for one in offers:
        later = one.ready_in_days - first
        key = ("later" if later > 0 else "sooner") + ("-day" if abs(later) == 1 else "")
        told = words.fill("compare", key, days=str(abs(later))) if later else ""
        cells.append(Cell(text=ready_text(one.ready_in_days, language=language), against=told))
    return CompareRow(label=words.word("compare", "ready"), cells=tuple(cells))


def _supply(offer: Offer) -> str:
    kinds = {sling.supply for sling in offer.slings}
    return f"supply-{kinds.pop()}" if len(kinds) == 1 else "supply-both"


def _hardest(offer: Offer, units: Units, language: str) -> str:
    return show_load(
        max(s.design_tension_n for s in offer.slings), units, rounding=Rounding.UP, language=language
    )
