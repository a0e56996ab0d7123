"""Make an order: every sling's pattern, what it takes, and whether it may be made at all."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slingwright.errors import Fault, InputFault, fail
from slingwright.usecases.documents import hash_input, read_tables
from slingwright.usecases.made_by import head
from slingwright.usecases.quote import asked_of, check_printed, open_offer_in
from slingwright.usecases.rulebooks import open_rulebook, rulebook_record
from slingwright.usecases.shop_files import open_shop

if TYPE_CHECKING:
    from slingwright.make.gates import Gate
    from slingwright.make.pattern import Pattern
    from slingwright.make.proof import ProofLoad
    from slingwright.price.quote import QuoteItem, Unquoted
    from slingwright.rulebook import Rulebook
    from slingwright.shop import Roll, Shop
    from slingwright.units import Units
    from slingwright.usecases.order_file import Line, Order
    from slingwright.usecases.settings import Settings
    from slingwright.words.tagging import TagFacts

__all__ = ["MadeLine", "MadeOrder", "MakeRequest", "make_order", "read_serial", "serial_numbers", "tag_facts"]

_SHOWN = 6  # figures of a hash in an order's number


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeRequest:
    """An order's bytes, its file's name and folder, and the settings in force."""

    content: bytes
    file: str
    folder: Path
    settings: Settings


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeLine:
    """One line to make. `rolls` are those whose lot has a certificate on file."""

    number: int
    line: Line
    item: QuoteItem
    pattern: Pattern
    proof: ProofLoad
    rolls: tuple[Roll, ...]
    gates: tuple[Gate, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeOrder:
    """An order laid out. `refused` = what cannot be made at all; `shelf` = what comes from stock."""

    number: str
    order: Order
    lines: tuple[MadeLine, ...]
    shelf: tuple[tuple[int, QuoteItem], ...]
    refused: tuple[tuple[int, Unquoted], ...]
    approval: Gate
    drawing_sha256: str
    rulebook: Rulebook
    shop: Shop
    units: Units
    language: str
    head: Mapping[str, object]

    @property
    def shut(self) -> tuple[Gate, ...]:
        """Every gate that is shut, each once."""
        gates = [gate for line in self.lines for gate in line.gates]
        if self.lines:
            gates.append(self.approval)
        return tuple(dict.fromkeys(gate for gate in gates if not gate.is_open))

    @property
    def is_released(self) -> bool:
        """Whether it may be made: nothing refused and every gate open."""
        return not self.refused and not self.shut

    @property
    def planning_only(self) -> bool:
        """Whether a table behind it is not adopted."""
        return not all(line.item.adopted for line in self.lines)


def make_order(request: MakeRequest) -> MadeOrder:
    """Lay out every line of an order and look at its gates.

    Raises
    ------
    InputFault
        The order, the shop's files or a setting is at fault; all faults of a file at once.
    """
    from slingwright.price.quote import QuoteItem, Unquoted, quote_item
    from slingwright.units import Units
    from slingwright.usecases.order_file import read_order

    opened = open_shop(request.settings)
    if opened.shop.papers is None:
        raise fail(
            "papers", "is missing in the shop's file", "papers need the shop's address and its tags' host"
        )
    tables = read_tables(request.content, request.file, what="an order")
    order = read_order(tables, opened.shop, open_offer=open_offer_in(request.folder))
    rulebook = open_rulebook(request.settings, regime=order.rulebook)
    check_printed(order, rulebook)
    digest = hash_input(request.content)
    found = [
        (n, line, quote_item(asked_of(line), rulebook, opened.shop, opened.book))
        for n, line in enumerate(order.lines, start=1)
    ]
    made = tuple(
        _made(n, line, item, rulebook, opened.shop)
        for n, line, item in found
        if isinstance(item, QuoteItem) and item.loft is not None
    )
    number = order.number or f"O-{_unapproved_digest(tables)[:_SHOWN].upper()}"
    drawing = _drawing_sha256(number, order, made, rulebook, opened.shop)
    return MadeOrder(
        number=number,
        order=order,
        lines=made,
        shelf=tuple((n, i) for n, _, i in found if isinstance(i, QuoteItem) and i.loft is None),
        refused=tuple((n, i) for n, _, i in found if isinstance(i, Unquoted)),
        approval=_approval(order, drawing),
        drawing_sha256=drawing,
        rulebook=rulebook,
        shop=opened.shop,
        units=Units(request.settings.units or ("us" if rulebook.id == "us" else "si")),
        language=request.settings.language,
        head=head(
            "make/1",
            rulebook=rulebook_record(rulebook),
            shop_sha256=opened.shop.sha256,
            price_book=opened.price_book_record,
            input_sha256=digest,
        ),
    )


def _made(number: int, line: Line, item: QuoteItem, rulebook: Rulebook, shop: Shop) -> MadeLine:
    from slingwright.make.gates import certified_rolls, sling_gates
    from slingwright.make.pattern import Pattern, pattern
    from slingwright.make.proof import proof_load

    assert item.loft is not None
    laid = pattern(line.spec, shop)
    assert isinstance(laid, Pattern)  # what was quoted can be laid out
    rolls = certified_rolls(shop, line.spec, item.loft, line.lot)
    cell = item.loads[0].rating.cell
    return MadeLine(
        number=number,
        line=line,
        item=item,
        pattern=laid,
        proof=proof_load(rulebook, cell.rated_n),
        rolls=rolls,
        gates=sling_gates(
            shop, line.spec, item.loft, table=cell.table_id, adopted=item.adopted, rolls=rolls, lot=line.lot
        ),
    )


def _unapproved_digest(tables: Mapping[str, Any]) -> str:
    """Hash of an order without its approval, which comes after the number is on the drawing."""
    kept = {key: value for key, value in tables.items() if key != "approved"}
    return hashlib.sha256(json.dumps(kept, sort_keys=True, default=str).encode()).hexdigest()


def _drawing_sha256(
    number: str, order: Order, lines: tuple[MadeLine, ...], rulebook: Rulebook, shop: Shop
) -> str:
    """Hash of what the customer accepts: shapes, sizes, tolerances, rated loads and the tags' text."""
    from slingwright.words.tagging import tag_lines

    record = {
        "number": number,
        "customer": order.customer,
        "rulebook": rulebook.id,
        "lines": [
            {
                "line": made.number,
                "spec": made.line.spec.text,
                "quantity": made.line.quantity,
                "matched": made.line.matched,
                "protection": str(made.line.protection),
                "tolerance_um": round(made.item.tolerance_m * 1_000_000),
                "lap_um": round(made.pattern.lap_m * 1_000_000),
                "fittings": [str(fitting.kind) for fitting in made.pattern.fittings],
                "tag": [
                    [t.id, t.text] for t in tag_lines(tag_facts(made, shop, serial="", year=0), rulebook)
                ],
            }
            for made in lines
        ],
    }
    return hashlib.sha256(json.dumps(record, sort_keys=True, ensure_ascii=False).encode()).hexdigest()


def _approval(order: Order, drawing_sha256: str) -> Gate:
    from slingwright.make.gates import Gate

    approved = order.approved
    if approved is None:
        return Gate(code="approval", is_open=False, subject=drawing_sha256)
    if approved.drawing_sha256.lower() != drawing_sha256:
        return Gate(
            code="approval", is_open=False, subject=f"{drawing_sha256}, not the one that was accepted"
        )
    return Gate(code="approval", is_open=True, subject=f"{approved.by}, {approved.on.isoformat()}")


def tag_facts(made: MadeLine, shop: Shop, *, serial: str, year: int) -> TagFacts:
    """What the tag of one sling of a line is made from."""
    from slingwright.words.tagging import TagFacts

    return TagFacts(
        maker=shop.name,
        serial=serial,
        year=year,
        spec=made.line.spec,
        loads=made.item.loads,
        fittings=made.pattern.fittings,
    )


def serial_numbers(made: MadeOrder, line: MadeLine) -> tuple[str, ...]:
    """The serial numbers of a line's slings: order, line and count."""
    return tuple(f"{made.number}-{line.number}-{n}" for n in range(1, line.line.quantity + 1))


def read_serial(made: MadeOrder, serial: str) -> tuple[MadeLine, str]:
    """The line that a serial number belongs to.

    Raises
    ------
    InputFault
        The order has no such sling.
    """
    for line in made.lines:
        if serial in serial_numbers(made, line):
            return line, serial
    hint = f"they run from {serial_numbers(made, made.lines[0])[0]}" if made.lines else "nothing is made"
    raise InputFault([Fault("--serial", f"{serial!r} is no sling of this order", hint)])
