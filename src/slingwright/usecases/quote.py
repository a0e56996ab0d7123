"""Quote slings: from a specification, an offers document, an order's lines or a lift."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slingwright.errors import Fault, InputFault, fail
from slingwright.usecases.documents import hash_input, read_tables
from slingwright.usecases.made_by import head
from slingwright.usecases.rulebooks import open_rulebook, rulebook_record
from slingwright.usecases.shop_files import open_shop

if TYPE_CHECKING:
    from slingwright.price.quote import Asked, Quote, Unquoted
    from slingwright.rulebook import Rulebook
    from slingwright.shop import Shop
    from slingwright.units import Units
    from slingwright.usecases.order_file import Line, Order
    from slingwright.usecases.settings import Settings
    from slingwright.words.answer import Block

__all__ = [
    "QuoteRequest",
    "Quoted",
    "asked_of",
    "check_printed",
    "open_offer_in",
    "print_quote",
    "quote_slings",
    "refused_blocks",
]

_MOST_BYTES = 1_000_000
_WHOLE = ("class", "plies", "quantity")


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteRequest:
    """What is quoted: a file's bytes, or `sling`, the keys of an order's line and spec as they were said."""

    content: bytes | None
    file: str
    folder: Path
    sling: Mapping[str, str]
    offer: int
    customer: str | None
    on: dt.date
    settings: Settings
    limit_s: float | None = None  # of the search where a lift is quoted


@dataclass(frozen=True, slots=True, kw_only=True)
class Quoted:
    """A quote, or what cannot be quoted; with the head its document carries.

    `stops` says why a lift has no offer that could be quoted.
    """

    quote: Quote | None
    refused: tuple[tuple[int, Unquoted], ...]
    stops: tuple[str, ...]
    lines: tuple[Line, ...]
    rulebook: Rulebook
    shop: Shop
    units: Units
    language: str
    head: Mapping[str, object]

    @property
    def is_stop(self) -> bool:
        """Whether the answer is no."""
        return self.quote is None

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What the quote rests on, in words."""
        from slingwright.words import note_text
        from slingwright.words.quoting import quote_assumptions

        if self.quote is None:
            return ()
        offers = [line.offer for line in self.lines if line.offer is not None]
        notes = dict.fromkeys(note for offer in offers for note in offer.notes)
        return quote_assumptions(
            self.quote,
            self.rulebook,
            self.units,
            class_taken=[line.class_taken for line in self.lines],
            headlines=[offer.headline for offer in offers],
            notes=[note_text(note, language=self.language) for note in notes],
            language=self.language,
        )

    @property
    def carried(self) -> tuple[str, ...]:
        """The offers' own cautions."""
        from slingwright.words import finding_texts

        offers = [line.offer for line in self.lines if line.offer is not None]
        findings = dict.fromkeys(one for offer in offers for one in offer.cautions)
        told = [text for _, text in finding_texts(findings, self.units, language=self.language)]
        worded = (text for offer in offers for text in offer.worded_cautions)
        return tuple(dict.fromkeys((*told, *worded)))


def quote_slings(request: QuoteRequest, *, clock: Callable[[], float]) -> Quoted:
    """Rate, build and price what is asked for.

    Parameters
    ----------
    request
        What is quoted, for whom and on which day.
    clock
        A running count of seconds, for the search where a lift is quoted.

    Raises
    ------
    InputFault
        A file, an option or a setting is at fault; all faults of a file at once.
    """
    from slingwright.price.quote import Quote, QuoteItem, Unquoted, quote_item
    from slingwright.units import Units

    opened = open_shop(request.settings)
    if opened.shop.papers is None:
        raise fail(
            "papers",
            "is missing in the shop's file",
            "a quote needs the shop's address and how long it holds",
        )
    order = _read(request, opened.shop, clock)
    rulebook = open_rulebook(request.settings, regime=order.rulebook)
    check_printed(order, rulebook)
    found = [quote_item(asked_of(line), rulebook, opened.shop, opened.book) for line in order.lines]
    items = tuple(item for item in found if isinstance(item, QuoteItem))
    digest = _digest(request)
    quote = None
    if len(items) == len(found) and not order.stops:
        quote = Quote(
            number=f"{request.on:%Y%m%d}-{digest[:6].upper()}",
            on=request.on,
            valid_until=request.on + dt.timedelta(days=opened.shop.papers.quote_days),
            customer=request.customer or order.customer,
            lifts=_lifts(order.lines),
            items=items,
            currency=opened.book.currency,
        )
    return Quoted(
        quote=quote,
        refused=tuple((n, one) for n, one in enumerate(found, start=1) if isinstance(one, Unquoted)),
        stops=order.stops,
        lines=order.lines,
        rulebook=rulebook,
        shop=opened.shop,
        units=Units(request.settings.units or ("us" if rulebook.id == "us" else "si")),
        language=request.settings.language,
        head=head(
            "quote/1",
            rulebook=rulebook_record(rulebook),
            shop_sha256=opened.shop.sha256,
            price_book=opened.price_book_record,
            input_sha256=digest,
        ),
    )


def _lifts(lines: Iterable[Line]) -> tuple[str, ...]:
    """What the lifts are called that the lines' offers are for."""
    titles = (line.offer.title for line in lines if line.offer is not None)
    return tuple(dict.fromkeys(title for title in titles if title))


def _digest(request: QuoteRequest) -> str:
    """Hash of all that was asked: the file alone, or with what the options say beside it."""
    content = request.content or b""
    said = dict(request.sling) | ({"customer": request.customer} if request.customer else {})
    if request.offer != 1:
        said["offer"] = str(request.offer)
    if not said and request.content is not None:
        return hash_input(content)
    options = json.dumps(said, sort_keys=True, ensure_ascii=False).encode()
    return hashlib.sha256(content + b"\0" + options).hexdigest()


def _read(request: QuoteRequest, shop: Shop, clock: Callable[[], float]) -> Order:
    from slingwright.usecases.offer_lines import SCHEMA
    from slingwright.usecases.order_file import read_order

    if request.content is None:
        return _from_options(request, shop)
    if request.sling:
        raise fail(
            "--" + next(iter(request.sling)), "stands beside a file", "give a file, or a sling by options"
        )
    tables = read_tables(request.content, request.file, what="a lift, an offers document or an order")
    if tables.get("schema") == SCHEMA:
        return _of_offer(tables, request.offer)
    if "line" in tables or str(tables.get("schema", "")).startswith("slingwright/order/"):
        return read_order(tables, shop, open_offer=open_offer_in(request.folder))
    from slingwright.usecases.choose_sling import ChooseRequest, choose_sling
    from slingwright.usecases.offers_document import offers_document

    chosen = choose_sling(
        ChooseRequest(
            content=request.content,
            file=request.file,
            folder=request.folder,
            settings=request.settings,
            limit_s=request.limit_s,
        ),
        clock=clock,
    )
    return _of_offer(offers_document(chosen), request.offer)


def _of_offer(document: Mapping[str, Any], index: int) -> Order:
    from slingwright.usecases.offer_lines import offer_lines, stops_of
    from slingwright.usecases.order_file import Line, Order, line_facts

    if stops := stops_of(document):
        regime = document["made_by"]["rulebook"]["id"]
        return Order(
            number=None, customer=None, due=None, rulebook=regime, lines=(), approved=None, stops=stops
        )
    try:
        lines = tuple(
            Line(field=f"offers[{index - 1}]", **line_facts(one), quantity=one.count, matched=one.matched)
            for one in offer_lines(document, index, "offers")
        )
    except InputFault as fault:  # the file is the document itself: its path in an order means nothing here
        raise fail("--offer", fault.problem, fault.hint) from None
    rulebook = lines[0].offer.rulebook if lines and lines[0].offer else None
    return Order(number=None, customer=None, due=None, rulebook=rulebook, lines=lines, approved=None)


def _from_options(request: QuoteRequest, shop: Shop) -> Order:
    """A sling by options; their faults are named by them."""
    from slingwright.usecases.order_file import Order, read_order

    said: dict[str, object] = {key: _whole(key, text) for key, text in request.sling.items()}
    line = {k: said.pop(k) for k in ("quantity", "protection", "length_tolerance") if k in said}
    try:
        order = read_order(
            {"schema": "slingwright/order/1", "line": [{**line, "spec": said}]},
            shop,
            open_offer=open_offer_in(request.folder),
        )
    except InputFault as fault:
        raise InputFault(
            Fault("--" + f.field.rpartition(".")[2].replace("_", "-"), f.problem, f.hint)
            for f in fault.faults
        ) from None
    assert isinstance(order, Order)
    return order


def _whole(key: str, text: str) -> object:
    digits = text.strip()
    plain = key in _WHOLE and digits.isascii() and digits.isdigit() and len(digits) < len("1000000")
    return int(digits) if plain else text


def open_offer_in(folder: Path) -> Callable[[str, str], Mapping[str, Any]]:
    """A reader of the offers documents that lie in a folder or below it, by their paths from there."""

    def read(file: str, field: str) -> Mapping[str, Any]:
        path = (folder / file).resolve()
        if not path.is_relative_to(folder.resolve()):
            raise fail(field, f"{file!r} leads out of the order's folder", "keep offers beside the order")
        try:
            with path.open("rb") as opened:
                content = opened.read(_MOST_BYTES + 1)
        except (OSError, ValueError) as error:
            reason = error.strerror if isinstance(error, OSError) else str(error)
            raise fail(
                field, f"{file!r} cannot be read: {reason}", "its path counts from this file"
            ) from error
        return read_tables(content, "offers.json", what="an offers document")

    return read


def check_printed(order: Order, rulebook: Rulebook) -> None:
    """Refuse offers whose rated loads are not what the rulebook in force gives.

    Raises
    ------
    InputFault
        For each such line.
    """
    from slingwright.rulebook import Refusal

    faults = []
    for line in order.lines:
        if line.offer is None:
            continue
        cell = rulebook.vertical_rated(line.spec)
        now = cell.reason if isinstance(cell, Refusal) else cell.printed
        if now != line.offer.printed:
            problem = f"was checked against {line.offer.printed}; the rulebook in force gives {now}"
            faults.append(Fault(line.field, problem, "choose again: the offer's checks no longer hold"))
    if faults:
        raise InputFault(faults)


def asked_of(line: Line) -> Asked:
    """What a line asks of the shop."""
    from slingwright.price import Supply
    from slingwright.price.quote import Asked

    return Asked(
        spec=line.spec,
        quantity=line.quantity,
        supply=Supply(line.supply),
        stock_id=line.stock_id,
        protection=line.protection,
        matched=line.matched,
        tolerance_m=line.tolerance_m,
        loft=line.loft,
    )


def refused_blocks(quoted: Quoted) -> tuple[Block, ...]:
    """Why nothing is quoted, in words."""
    from slingwright.words.quoting import unquoted_blocks

    refused = [one for _, one in quoted.refused]
    return unquoted_blocks(refused, quoted.units, stops=quoted.stops, language=quoted.language)


def print_quote(quoted: Quoted) -> bytes:
    """The quote's paper (PDF).

    Raises
    ------
    LookupError
        Nothing is quoted.
    """
    from slingwright.papers.quote import quote_paper

    if quoted.quote is None:
        msg = "nothing is quoted"
        raise LookupError(msg)
    made_by = quoted.head["made_by"]
    assert isinstance(made_by, Mapping)
    return quote_paper(
        quoted.quote,
        rulebook=quoted.rulebook,
        shop=quoted.shop,
        made_by=made_by,
        units=quoted.units,
        assumptions=quoted.assumptions,
        carried=quoted.carried,
        language=quoted.language,
    )
