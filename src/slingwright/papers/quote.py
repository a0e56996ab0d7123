"""The quote's paper: items, prices, breaks, what is included, what it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from slingwright.papers.document import (
    Column,
    Paper,
    Section,
    bullets_section,
    paper_footer,
    print_paper,
    table_section,
    text_section,
)
from slingwright.price.quote import Quote, QuoteItem
from slingwright.rulebook import Rulebook
from slingwright.shop import Shop
from slingwright.units import Units
from slingwright.words import read_catalogue, rulebook_name, show_money, spec_text
from slingwright.words.figures import show_mass
from slingwright.words.making import (
    hitch_load_name,
    making_cautions,
    ready_text,
    sling_code,
)
from slingwright.words.quoting import (
    discount_texts,
    included_texts,
    item_length_text,
    item_supply_text,
    rated_text,
)

__all__ = ["quote_paper"]


def quote_paper(
    quote: Quote,
    *,
    rulebook: Rulebook,
    shop: Shop,
    made_by: Mapping[str, object],
    units: Units,
    assumptions: Sequence[str],
    carried: Sequence[str] = (),
    language: str = "en",
) -> bytes:
    """Print a quote as PDF; the same arguments give the same bytes.

    Parameters
    ----------
    quote, rulebook, shop
        The priced items, whose ratings, whose name and address.
    made_by
        The document head's `made_by`: tool, rulebook, hashes.
    assumptions, carried
        What it rests on, and an offer's own cautions, in words.
    """
    words = read_catalogue(language)
    label = words.sections["quote"]
    facts = [
        [shop.name, shop.papers.address if shop.papers else ""],
        *([[label["for"], quote.customer]] if quote.customer else []),
        *([[label["lift"], "; ".join(quote.lifts)]] if quote.lifts else []),
        [label["date"], quote.on.isoformat()],
        [label["valid"], quote.valid_until.isoformat()],
        [label["ready"], ready_text(quote.days, language=language)],
        [label["rules"], rulebook_name(rulebook.id, rulebook.profile, language=language)],
    ]
    return print_paper(
        Paper(
            kind=label["kind"],
            title=words.fill("quote", "title", number=quote.number),
            stamp=label["planning-only"] if quote.planning_only else "",
            because=label["planning-because"] if quote.planning_only else "",
            facts=facts,
            sections=[
                _items(quote, shop, units, language),
                *_ratings(quote, language),
                *_breaks(quote, language),
                bullets_section(label["included"], included_texts(quote, rulebook.id, language=language)),
                bullets_section(label["assumed"], assumptions),
                *([bullets_section(label["lift-cautions"], carried)] if carried else []),
                bullets_section(label["cautions"], making_cautions(language=language)),
            ],
            footer=paper_footer(made_by, quote.on, language=language),
            units=units,
            language=language,
        ),
        on=quote.on,
    )


def _items(quote: Quote, shop: Shop, units: Units, language: str) -> Section:
    label = read_catalogue(language).sections["quote"]
    columns = (
        Column(label["item"], 9),
        Column(label["what"]),
        Column(label["quantity"], 17, right=True),
        Column(label["each"], 25, right=True),
        Column(label["amount"], 27, right=True),
    )
    matched_m = shop.practice.matched_tolerance_m
    rows = [
        (
            str(number),
            "\n".join((
                f"{sling_code(item.asked.spec)}: {spec_text(item.asked.spec, units, language=language)}.",
                f"{label['length']}: {item_length_text(item, units, matched_m, language=language)}. "
                f"{label['mass']}: {show_mass(item.bill.mass_kg, units, language=language)}.",
                _sentence(item_supply_text(item, language=language)),
                *discount_texts(item, language=language),
            )),
            str(item.asked.quantity),
            show_money(item.each.price_minor, item.each.currency, language=language),
            show_money(item.price.price_minor, item.price.currency, language=language),
        )
        for number, item in enumerate(quote.items, start=1)
    ]  # fmt: skip
    total = ("", label["total"], "", "", show_money(quote.price_minor, quote.currency, language=language))
    return table_section(label["items"], columns, rows, total=total, note=label["tax"])


def _ratings(quote: Quote, language: str) -> Iterator[Section]:
    label = read_catalogue(language).sections["quote"]
    columns = [Column(label["hitch"])]
    columns += [Column(f"{label['item']} {n}", 0, right=True) for n in range(1, len(quote.items) + 1)]
    if len(quote.items) > _MOST_ACROSS:
        for number, item in enumerate(quote.items, start=1):
            pairs = [
                (hitch_load_name(load, language=language), _rated(item, i, language))
                for i, load in enumerate(item.loads)
            ]
            heads = (Column(label["hitch"]), Column(f"{label['item']} {number}", 0, right=True))
            yield table_section(f"{label['rated']}: {label['item'].lower()} {number}", heads, pairs)
        return
    names = list(dict.fromkeys(hitch_load_name(x, language=language) for i in quote.items for x in i.loads))
    found = [
        {hitch_load_name(x, language=language): _rated(i, n, language) for n, x in enumerate(i.loads)}
        for i in quote.items
    ]
    yield table_section(
        label["rated"], columns, [[name, *(f.get(name, "–") for f in found)] for name in names]
    )


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


_MOST_ACROSS = 5  # items beside each other in one table


def _rated(item: QuoteItem, index: int, language: str) -> str:
    rating = item.loads[index].rating
    return rated_text(rating.rated_n, rating.printed, rating.cell.unit, language=language)


def _breaks(quote: Quote, language: str) -> Iterator[Section]:
    words = read_catalogue(language)
    label = words.sections["quote"]
    rows = [
        (
            words.fill("quote", "break", item=str(number), quantity=str(one.quantity)),
            show_money(one.price_minor, quote.currency, language=language),
        )
        for number, item in enumerate(quote.items, start=1)
        for one in item.breaks
    ]
    if rows:
        columns = (Column(label["item"]), Column(label["amount"], 34, right=True))
        yield table_section(label["breaks"], columns, rows, note=label["breaks-note"])
    else:
        yield text_section(label["breaks"], [label["none-breaks"]])
