"""The sling data sheet: drawing, rated loads in every hitch, limits, care, when it goes out of service."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping

from slingwright.draw.sling import SLING_WIDE_MM, draw_sling
from slingwright.make.pattern import Pattern
from slingwright.papers.document import (
    Column,
    Paper,
    bullets_section,
    drawing_section,
    pairs_section,
    paper_footer,
    print_paper,
    table_section,
)
from slingwright.price.quote import QuoteItem
from slingwright.rulebook import Rulebook
from slingwright.shop import Shop
from slingwright.units import Rounding, Units
from slingwright.words import criterion_texts, inspection_text, read_catalogue, rulebook_name, spec_text
from slingwright.words.figures import show_angle, show_mass, show_short, show_temperature
from slingwright.words.making import hitch_load_name, making_cautions, sling_code
from slingwright.words.names import cell_text
from slingwright.words.quoting import item_length_text, rated_text

__all__ = ["data_sheet"]


def data_sheet(
    item: QuoteItem,
    pattern: Pattern,
    *,
    rulebook: Rulebook,
    shop: Shop,
    made_by: Mapping[str, object],
    on: dt.date,
    units: Units,
    language: str = "en",
) -> bytes:
    """Print a sling's data sheet (PDF); the same arguments give the same bytes.

    A table that is not adopted stamps it planning only.
    """
    words = read_catalogue(language)
    label, quote = words.sections["sheet-of-sling"], words.sections["quote"]
    spec = item.asked.spec
    text = spec_text(spec, units, language=language)
    matched_m = shop.practice.matched_tolerance_m
    facts = [
        [shop.name, shop.papers.address if shop.papers else ""],
        [words.word("make", "sling"), text],
        [words.word("make", "length"), item_length_text(item, units, matched_m, language=language)],
        [words.word("make", "mass"), show_mass(item.bill.mass_kg, units, language=language)],
        [words.word("make", "rules"), rulebook_name(rulebook.id, rulebook.profile, language=language)],
    ]
    return print_paper(
        Paper(
            kind=label["kind"],
            title=words.fill("sheet-of-sling", "title", code=sling_code(spec)),
            stamp="" if item.adopted else quote["planning-only"],
            because="" if item.adopted else label["planning-because"],
            facts=facts,
            sections=[
                drawing_section(
                    label["finished"],
                    draw_sling(pattern, units, language=language),
                    alt=words.fill("finished", "alt", text=text),
                    width_mm=SLING_WIDE_MM,
                ),
                pairs_section(label["rated"], _rated(item, language)),
                bullets_section(label["limits"], _limits(item, rulebook, units, language)),
                bullets_section(
                    label["care"], [label[f"care-{key}"] for key in ("dry", "wash", "knot", "chemicals")]
                ),
                bullets_section(
                    label["removal"],
                    criterion_texts(rulebook.removal_criteria(), rulebook.id, language=language),
                ),
                table_section(
                    label["inspection"],
                    (Column(label["what"]), Column(label["source"], 70)),
                    _inspections(rulebook, language),
                ),
                bullets_section(quote["cautions"], making_cautions(language=language)),
            ],
            footer=paper_footer(made_by, on, language=language),
            units=units,
            language=language,
        ),
        on=on,
    )


def _rated(item: QuoteItem, language: str) -> Iterator[tuple[str, str]]:
    for load in item.loads:
        rating = load.rating
        name = hitch_load_name(load, language=language)
        yield name, rated_text(rating.rated_n, rating.printed, rating.cell.unit, language=language)


def _limits(item: QuoteItem, rulebook: Rulebook, units: Units, language: str) -> Iterator[str]:
    words = read_catalogue(language)
    where, cell = "sheet-of-sling", item.loads[0].rating.cell
    yield words.fill(
        where,
        "table",
        table=cell.table_id,
        cell=cell_text(cell.cell, language=language),
        citation=str(cell.citation),
    )
    factor = rulebook.design_factor
    yield words.fill(
        where,
        "design-factor",
        factor=show_short(factor.value, language=language),
        citation=str(factor.citation),
    )
    heat = rulebook.max_temperature_k(item.asked.spec.fibre)
    limit = show_temperature(heat.value, units, rounding=Rounding.DOWN, language=language)
    yield words.fill(where, "temperature", limit=limit, citation=str(heat.citation))
    least = rulebook.limit("least_angle_deg")
    angle = show_angle(least.value, rounding=Rounding.UP, language=language)
    yield words.fill(where, "least-angle", angle=angle, citation=str(least.citation))
    for key in ("choke", "edge", "double-wrap"):
        yield words.word(where, key)


def _inspections(rulebook: Rulebook, language: str) -> list[tuple[str, str]]:
    """Who looks at a sling and when, and the clause."""
    return [
        (inspection_text(row, rulebook.id, language=language), str(row.citation))
        for row in rulebook.inspection()
    ]
