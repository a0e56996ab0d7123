"""An order laid out, in words for a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from slingwright.make.gates import Gate
from slingwright.make.made import Departure
from slingwright.make.pattern import Pattern
from slingwright.price.quote import QuoteItem
from slingwright.units import Units
from slingwright.words.answer import Block, Row
from slingwright.words.catalogue import read_catalogue
from slingwright.words.certifying import departure_text
from slingwright.words.figures import show_made_length, show_mass
from slingwright.words.making import gate_text, making_cautions, show_mm, sling_code
from slingwright.words.names import spec_text
from slingwright.words.tagging import TagLine

__all__ = ["cautions_block", "certificate_block", "line_block", "order_blocks", "shut_block", "tag_blocks"]


def order_blocks(
    lines: Iterable[tuple[int, QuoteItem, Pattern]],
    shut: Sequence[Gate],
    units: Units,
    *,
    language: str = "en",
) -> tuple[Block, ...]:
    """Each line with what it takes, what is not released and why, and the standing cautions."""
    blocks = [line_block(number, item, laid, units, language=language) for number, item, laid in lines]
    blocks.append(shut_block(shut, language=language))
    return (*blocks, cautions_block(language=language))


def cautions_block(*, language: str = "en") -> Block:
    """The cautions that everything said of a sling ends with."""
    title = read_catalogue(language).word("quote", "cautions")
    rows = tuple(Row(label="", text=text) for text in making_cautions(language=language))
    return Block(kind="cautions", title=title, rows=rows)


def line_block(number: int, item: QuoteItem, laid: Pattern, units: Units, *, language: str = "en") -> Block:
    """One line: the sling, its pieces, what one takes."""
    words = read_catalogue(language)
    label, bill = words.sections["make"], item.bill
    title = words.fill(
        "make",
        "approval-line",
        line=str(number),
        quantity=str(item.asked.quantity),
        code=sling_code(item.asked.spec),
    )
    rows = [Row(label=label["sling"], text=spec_text(item.asked.spec, units, language=language))]
    for piece in laid.pieces:
        cut = show_mm(piece.cut_mm)
        text = words.fill("pieces", piece.role, ply=str(piece.ply + 1), count=str(piece.count), cut=cut)
        rows.append(Row(label=label["pieces"], text=text))
    minutes = words.fill("make", "minutes", minutes=str(-(-bill.labour_s // 60)))
    rows += [
        Row(label=label["webbing"], text=show_made_length(bill.webbing_mm / 1000, units, language=language)),
        Row(label=label["thread"], text=show_made_length(bill.thread_mm / 1000, units, language=language)),
        Row(label=label["mass"], text=show_mass(bill.mass_kg, units, language=language)),
        Row(label=label["labour"], text=minutes),
        Row(label=label["loft"], text=item.loft.name if item.loft else ""),
    ]
    return Block(kind="line", title=title, rows=tuple(rows))


def shut_block(shut: Sequence[Gate], *, language: str = "en") -> Block:
    """Whether it is released, and what it waits for."""
    words = read_catalogue(language)
    rows = tuple(Row(label="", text=gate_text(gate, language=language), mark="stop") for gate in shut)
    return Block(kind="gates", title=words.word("make", "not-released" if shut else "released"), rows=rows)


def tag_blocks(tags: Iterable[tuple[str, Sequence[TagLine]]], *, language: str = "en") -> tuple[Block, ...]:
    """What each tag says."""
    words = read_catalogue(language)
    return tuple(
        Block(
            kind="tag",
            title=words.fill("tag", "sling", serial=serial),
            rows=tuple(Row(label=one.label, text=one.text) for one in fields),
        )
        for serial, fields in tags
    )


def certificate_block(
    serials: Sequence[str], found: Sequence[Departure], units: Units, *, specimen: bool = False,
    language: str = "en",
) -> Block:  # fmt: skip
    """Which slings are certified, and why others are not."""
    words = read_catalogue(language)
    rows = [Row(label="", text=departure_text(one, units, language=language), mark="stop") for one in found]
    if serials:
        done = words.fill("certificate", "drawn" if specimen else "done", serials=", ".join(serials))
        rows.insert(0, Row(label="", text=done))
    title = words.word("certificate", "kind" if serials and not specimen else "withheld")
    return Block(kind="certificate", title=title, rows=tuple(rows))
