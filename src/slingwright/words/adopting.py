"""A rated-load table laid out to be compared with its document, and an adoption in words."""

from __future__ import annotations

from collections.abc import Sequence

from slingwright.rulebook import Adoption, Rulebook
from slingwright.rulebook.rated import STYLE, UNIT_N, RatedCell, RatedTable
from slingwright.sling import Fibre, Form
from slingwright.units import show_rated_load
from slingwright.words.answer import Block, Row
from slingwright.words.catalogue import read_catalogue
from slingwright.words.names import cell_text, fibre_name, form_name

__all__ = ["adopt_blocks", "adopt_caution_texts", "hitch_columns"]


def adopt_caution_texts(*, language: str = "en") -> tuple[str, ...]:
    """What stands under every table and adoption."""
    return tuple(read_catalogue(language).sections["adopting-cautions"].values())


def hitch_columns(book: Rulebook, cell: RatedCell) -> tuple[str, str, str]:
    """A row as its table prints it: straight, choker and basket."""
    style, unit_n = STYLE[cell.unit], UNIT_N[cell.unit]
    choker, basket = book.rules.choker_units(cell), book.rules.basket_units(cell)
    return (
        cell.printed,
        show_rated_load(float(choker * unit_n), style),
        show_rated_load(float(basket * unit_n), style),
    )


def adopt_blocks(
    book: Rulebook, tables: Sequence[RatedTable], adoption: Adoption | None, *, language: str = "en"
) -> tuple[Block, ...]:
    """Each table row by row, then who adopted what, or how to; what it means last."""
    words = read_catalogue(language)
    blocks = [_table_block(book, table, adoption, language) for table in tables]
    if adoption is not None:
        blocks += _adoption_blocks(adoption, language)
    else:
        rows = [Row(label="", text=_next_text(book, table, language)) for table in tables]
        rows.append(Row(label="", text=words.word("adopting", "next-use")))
        blocks.append(Block(kind="next", title=words.word("adopting-blocks", "next"), rows=tuple(rows)))
    cautions = tuple(Row(label="", text=text) for text in adopt_caution_texts(language=language))
    title = words.word("adopting-blocks", "cautions")
    return (*blocks, Block(kind="cautions", title=title, rows=cautions))


def _table_block(book: Rulebook, table: RatedTable, adoption: Adoption | None, language: str) -> Block:
    words = read_catalogue(language)
    adopted = adoption is not None and any(one.id == table.id for one in adoption.tables)
    state = words.word("adopting", "state-adopted" if adopted else "state-open")
    about = words.fill(
        "adopting",
        "for",
        webbing_class=str(table.webbing_class),
        forms=", ".join(form_name(form, language=language) for form in Form if str(form) in table.forms),
        fibres=", ".join(fibre_name(f, language=language) for f in Fibre if str(f) in table.fibres),
    )
    label = words.sections["adopting-labels"]
    rows = [
        Row(label=label["for"], text=about),
        Row(label=label["source"], text=str(table.citation)),
        Row(label=label["sha256"], text=table.sha256),
    ]
    for _, cell in sorted(table.cells.items()):
        straight, choker, basket = hitch_columns(book, cell)
        text = words.fill("adopting", "row", vertical=straight, choker=choker, basket=basket)
        rows.append(Row(label=cell_text(cell.cell, language=language), text=text))
    title = words.fill("adopting-blocks", "table", table=table.id, state=state)
    return Block(kind="table", title=title, rows=tuple(rows))


def _next_text(book: Rulebook, table: RatedTable, language: str) -> str:
    return read_catalogue(language).fill(
        "adopting", "next", table=table.id, rulebook=book.id, sha256=table.sha256
    )


def _adoption_blocks(adoption: Adoption, language: str) -> list[Block]:
    words = read_catalogue(language)
    label = words.sections["adopting-labels"]
    first, second = adoption.by
    shipped = [table.id for table in adoption.tables if table.id not in adoption.own]
    rows = [
        Row(
            label=label["by"],
            text=words.fill("adopting", "by", first=first, second=second, date=adoption.on.isoformat()),
        ),
        Row(
            label=label["document"],
            text=words.fill("adopting", "document", document=adoption.document, edition=adoption.edition),
        ),
    ]
    for key, ids in (("shipped", shipped), ("own", list(adoption.own))):
        if ids:
            rows.append(Row(label=label["tables"], text=words.fill("adopting", key, tables=", ".join(ids))))
    blocks = [Block(kind="adopted", title=words.word("adopting-blocks", "adopted"), rows=tuple(rows))]
    if adoption.flags:
        flags = tuple(Row(label="", text=flag, mark="caution") for flag in adoption.flags)
        blocks.append(Block(kind="flags", title=words.word("adopting-blocks", "flags"), rows=flags))
    return blocks
