"""The approval drawing: what the customer accepts before anything is cut."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence

from slingwright.draw.sling import SLING_WIDE_MM, draw_sling
from slingwright.papers.document import (
    Column,
    Paper,
    Section,
    bullets_section,
    drawing_section,
    fields_section,
    pairs_section,
    paper_footer,
    print_paper,
    table_section,
)
from slingwright.papers.traveler import TravelerLine
from slingwright.rulebook import Rulebook
from slingwright.shop import Shop
from slingwright.units import Units
from slingwright.words import protection_name, read_catalogue, rulebook_name, spec_text
from slingwright.words.figures import show_mass
from slingwright.words.making import hitch_load_name, making_cautions, sling_code
from slingwright.words.quoting import item_length_text, rated_text
from slingwright.words.tagging import TagLine

__all__ = ["approval_paper"]


def approval_paper(
    lines: Sequence[tuple[TravelerLine, Sequence[TagLine]]],
    *,
    order_number: str,
    customer: str | None,
    drawing_sha256: str,
    rulebook: Rulebook,
    shop: Shop,
    made_by: Mapping[str, object],
    on: dt.date,
    units: Units,
    planning_only: bool,
    specimen: bool = False,
    language: str = "en",
) -> bytes:
    """Print the approval drawing of an order (PDF); the same arguments give the same bytes.

    Parameters
    ----------
    lines
        Each line with its tag's text, serial number apart.
    drawing_sha256
        The figure that an order's approval names.
    planning_only
        Whether a table behind it is not adopted: it may then be looked at, and nothing is made from it.
    """
    words = read_catalogue(language)
    label = words.sections["make"]
    facts = [[shop.name, shop.papers.address if shop.papers else ""]]
    facts += [[label["customer"], customer]] if customer else []
    facts.append([label["rules"], rulebook_name(rulebook.id, rulebook.profile, language=language)])
    facts.append([label["approval-hash"], drawing_sha256])
    signing = [label["approved-by"], label["approved-signature"], label["date"]]
    return print_paper(
        Paper(
            kind=label["approval-kind"],
            title=words.fill("make", "approval-title", number=order_number),
            stamp=words.word("quote", "planning-only") if planning_only else "",
            because=label["approval-for"],
            facts=facts,
            sections=[
                *(
                    s
                    for n, (line, tag) in enumerate(lines)
                    for s in _line(line, tag, shop, units, language, fresh=n > 0)
                ),
                bullets_section(words.word("quote", "cautions"), making_cautions(language=language)),
                fields_section(label["approval-sign"], signing, columns=3, note=label["approval-note"]),
            ],
            footer=paper_footer(made_by, on, language=language),
            units=units,
            specimen=words.word("paper", "specimen") if specimen else "",
            language=language,
        ),
        on=on,
    )


def _line(
    line: TravelerLine, tag: Sequence[TagLine], shop: Shop, units: Units, language: str, *, fresh: bool
) -> Iterator[Section]:
    words = read_catalogue(language)
    label = words.sections["make"]
    item = line.item
    spec = item.asked.spec
    text = spec_text(spec, units, language=language)
    code = sling_code(spec)
    title = words.fill(
        "make", "approval-line", line=str(line.number), quantity=str(item.asked.quantity), code=code
    )
    yield drawing_section(
        title,
        draw_sling(line.pattern, units, language=language),
        alt=words.fill("finished", "alt", text=text),
        width_mm=SLING_WIDE_MM,
        note=f"{text}.",
        fresh=fresh,
    )
    rows = [
        (
            label["length"],
            item_length_text(item, units, shop.practice.matched_tolerance_m, language=language),
        ),
        (label["mass"], show_mass(item.bill.mass_kg, units, language=language)),
        (label["protection"], protection_name(str(item.asked.protection), language=language)),
        *(
            (
                hitch_load_name(load, language=language),
                rated_text(
                    load.rating.rated_n, load.rating.printed, load.rating.cell.unit, language=language
                ),
            )
            for load in item.loads
        ),
    ]
    yield pairs_section(label["sizes"], rows)
    told = [(one.label, one.text or label["each-own"]) for one in tag]
    yield table_section(label["tag-text"], (Column(label["tag-field"], 30), Column(label["tag-says"])), told)
