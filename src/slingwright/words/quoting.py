"""A quote in words: what stands on its paper and what the terminal prints, from the same sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from slingwright.price.quote import Quote, QuoteItem, Unquoted
from slingwright.rulebook import Rulebook
from slingwright.shop import Protection, Refusal
from slingwright.units import Rounding, Units
from slingwright.words.answer import Block, Row
from slingwright.words.catalogue import read_catalogue
from slingwright.words.figures import (
    show_force,
    show_length,
    show_mass,
    show_money,
    show_temperature,
    show_weight,
)
from slingwright.words.making import (
    hitch_load_name,
    making_cautions,
    ready_text,
    shop_refusal_text,
)
from slingwright.words.names import cell_text, protection_name, rulebook_name, spec_text
from slingwright.words.rating import refusal_text

__all__ = [
    "discount_texts",
    "included_texts",
    "item_length_text",
    "item_supply_text",
    "quote_assumptions",
    "quote_blocks",
    "rated_text",
    "unquoted_blocks",
    "unquoted_text",
]


def included_texts(quote: Quote, rulebook: str, *, language: str = "en") -> tuple[str, ...]:
    """What comes with the slings, and what does not."""
    words = read_catalogue(language)
    found = [
        words.fill("quote-included", "tag", rulebook=rulebook_name(rulebook, language=language)),
        words.word("quote-included", "certificate"),
    ]
    for number, item in enumerate(quote.items, start=1):
        if item.asked.protection is not Protection.NONE:
            name = protection_name(str(item.asked.protection), language=language)
            pieces = str(item.bill.guard_pieces)
            found.append(
                words.fill("quote-included", "protection", pieces=pieces, protection=name, item=str(number))
            )
    return (*found, words.word("quote-included", "no-proof-test"))


def quote_assumptions(
    quote: Quote,
    rulebook: Rulebook,
    units: Units,
    *,
    class_taken: Sequence[bool],
    headlines: Sequence[str],
    notes: Sequence[str],
    language: str = "en",
) -> tuple[str, ...]:
    """What the ratings and lengths rest on.

    Parameters
    ----------
    class_taken
        For each item whether its webbing class was not said.
    headlines, notes
        Of the offers the items come from: each in a line, and what reading their lifts assumed, in words.
    """
    words = read_catalogue(language)
    say = words.sections["quote-assumed"]
    found = [words.fill("quote-assumed", "offer", headline=line) for line in dict.fromkeys(headlines)]
    found += [say["priced-anew"], *notes] if headlines else [say["no-lift"]]
    for number, (item, taken) in enumerate(zip(quote.items, class_taken, strict=True), start=1):
        found += _item_assumptions(item, number, taken, rulebook, units, language)
    keys = ("length", "angles", "choke") if headlines else ("length", "angles", "choke", "edges", "chemicals")
    return (*found, *(say[key] for key in keys))  # an offer's own findings speak of edges and chemicals


def _item_assumptions(
    item: QuoteItem, number: int, taken: bool, rulebook: Rulebook, units: Units, language: str
) -> Iterator[str]:
    words, spec, cell = read_catalogue(language), item.asked.spec, item.loads[0].rating.cell
    where, shown = "quote-assumed", str(number)
    if taken:
        yield words.fill(where, "class-taken", item=shown, webbing_class=str(spec.webbing_class))
    yield words.fill(
        where,
        "table",
        item=shown,
        table=cell.table_id,
        cell=cell_text(cell.cell, language=language),
        citation=str(cell.citation),
    )
    heat = rulebook.max_temperature_k(spec.fibre)
    limit = show_temperature(heat.value, units, rounding=Rounding.DOWN, language=language)
    yield words.fill(where, "temperature", item=shown, limit=limit, citation=str(heat.citation))


def rated_text(item_load_n: float, printed: str, units_printed: str, *, language: str) -> str:
    """A rated load as its table prints it, with the other system's figure beside it, rounded down."""
    if units_printed == "lb":
        return f"{printed} ({show_force(item_load_n, Units.SI, rounding=Rounding.DOWN, language=language)})"
    return f"{printed} ({show_weight(item_load_n, Units.US, rounding=Rounding.DOWN, language=language)})"


def item_supply_text(item: QuoteItem, *, language: str = "en") -> str:
    """Where it comes from and when."""
    words = read_catalogue(language)
    if item.loft is None:
        text = words.fill("quote", "stock", stock_id=item.asked.stock_id or "")
        if not item.days:
            return text  # at once, as what is on the shelf is
    else:
        text = words.fill("quote", "made", loft=item.loft.name)
    return f"{text}, {ready_text(item.days, language=language)}"


def item_length_text(item: QuoteItem, units: Units, matched_m: float, *, language: str = "en") -> str:
    """Made length and its tolerance."""
    key = "length-matched" if item.asked.matched else "length-text"
    return read_catalogue(language).fill(
        "quote",
        key,
        length=show_length(item.asked.spec.length_m, units, language=language),
        tolerance=show_length(item.tolerance_m, units, rounding=Rounding.DOWN, language=language),
        matched=show_length(matched_m, units, rounding=Rounding.DOWN, language=language),
    )


def quote_blocks(
    quote: Quote,
    rulebook: Rulebook,
    units: Units,
    *,
    assumptions: Sequence[str],
    carried: Sequence[str],
    language: str = "en",
) -> tuple[Block, ...]:
    """The quote in reading order for a terminal; `carried` are the offer's own cautions."""
    words = read_catalogue(language)
    label = words.sections["quote"]
    rows = []
    if quote.customer:
        rows.append(Row(label=label["for"], text=quote.customer))
    if quote.lifts:
        rows.append(Row(label=label["lift"], text="; ".join(quote.lifts)))
    if quote.planning_only:
        rows.append(Row(label=label["planning-only"], text=label["planning-because"], mark="caution"))
    for number, item in enumerate(quote.items, start=1):
        rows += _item_rows(number, item, units, language)
    rows.append(
        Row(label=label["total"], text=show_money(quote.price_minor, quote.currency, language=language))
    )
    rows.append(Row(label=label["ready"], text=ready_text(quote.days, language=language)))
    rows.append(Row(label=label["valid"], text=quote.valid_until.isoformat()))
    lists = {
        "included": included_texts(quote, rulebook.id, language=language),
        "assumed": assumptions,
        "lift-cautions": carried,
        "cautions": making_cautions(language=language),
    }
    title = words.fill("quote", "title", number=quote.number)
    return (
        Block(kind="quote", title=title, rows=tuple(rows)),
        *(
            Block(kind=key, title=label[key], rows=tuple(Row(label="", text=text) for text in texts))
            for key, texts in lists.items()
            if texts
        ),
    )


def discount_texts(item: QuoteItem, *, language: str = "en") -> Iterator[str]:
    """What its number takes off an item's price, a sentence each."""
    label = read_catalogue(language).sections["quote"]
    for line in item.price.lines:
        if line.code == "quantity-discount":
            yield f"{label['discount']}: {show_money(line.minor, item.price.currency, language=language)}."


def _item_rows(number: int, item: QuoteItem, units: Units, language: str) -> Iterator[Row]:
    words = read_catalogue(language)
    label = words.sections["quote"]
    each, price = (show_money(p.price_minor, p.currency, language=language) for p in (item.each, item.price))
    rated = "; ".join(
        f"{hitch_load_name(load, language=language)} {load.rating.printed}" for load in item.loads
    )
    count = f"{item.asked.quantity} × {spec_text(item.asked.spec, units, language=language)}"
    yield Row(label=f"{label['item']} {number}", text=count, detail=item_supply_text(item, language=language))
    taken_off = " ".join(discount_texts(item, language=language))  # why the amount is not so many times each
    yield Row(label=label["each"], text=f"{each}; {label['amount'].lower()} {price}", detail=taken_off)
    yield Row(label=label["rated"], text=rated)
    yield Row(label=label["mass"], text=show_mass(item.bill.mass_kg, units, language=language))
    for one in item.breaks:
        amount = show_money(one.price_minor, item.price.currency, language=language)
        text = words.fill("quote", "break", item=str(number), quantity=str(one.quantity))
        yield Row(label=label["breaks"], text=f"{text}: {amount}")


def unquoted_text(found: Unquoted, units: Units, *, language: str = "en") -> str:
    """Why an item is not quoted."""
    if isinstance(found.refusal, Refusal):
        return shop_refusal_text(found.refusal, units, language=language)
    return refusal_text(found.refusal, language=language)


def unquoted_blocks(
    refused: Sequence[Unquoted], units: Units, *, stops: Sequence[str] = (), language: str = "en"
) -> tuple[Block, ...]:
    """What cannot be quoted, why, and what near it can; `stops` = why a lift has no offer, in words."""
    words = read_catalogue(language)
    label = words.sections["quote"]
    blocks = []
    if stops:
        rows = [Row(label=label["reason"], text=text, mark="stop") for text in stops]
        blocks.append(Block(kind="refused", title=label["refused-lift"], rows=tuple(rows)))
    for one in refused:
        rows = [
            Row(label=label["asked"], text=spec_text(one.asked.spec, units, language=language)),
            Row(label=label["reason"], text=unquoted_text(one, units, language=language), mark="stop"),
        ]
        for item in one.nearest:
            price = show_money(item.each.price_minor, item.each.currency, language=language)
            spec = spec_text(item.asked.spec, units, language=language)
            text = f"{spec}: {item.loads[0].rating.printed}, {price}"
            rows.append(Row(label=label["nearest"], text=text))
        if not one.nearest:
            rows.append(Row(label=label["nearest"], text=label["nearest-none"]))
        blocks.append(Block(kind="refused", title=label["refused-title"], rows=tuple(rows)))
    return tuple(blocks)
