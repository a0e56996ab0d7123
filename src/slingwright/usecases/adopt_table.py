"""Adopt a rated-load table: print it to be compared, make the file that says who did, judge such a file.

A table is adopted by a file that somebody names, never by a flag or a default. To make one, the hash of the
table must be given back as it was printed, so that what was compared is what will be used.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from slingwright.errors import Fault, InputFault, fail
from slingwright.usecases.documents import hash_input, read_tables
from slingwright.usecases.made_by import head
from slingwright.usecases.rulebooks import citation_document, rulebook_record

if TYPE_CHECKING:
    from slingwright.rulebook import Adoption, RatedCell, Rulebook
    from slingwright.rulebook.rated import RatedTable

__all__ = [
    "AdoptAnswer",
    "AdoptRequest",
    "adopt_document",
    "check_adoption",
    "make_adoption",
    "show_tables",
]

_ORDER = ("rulebook", "by", "document", "edition", "date")


@dataclass(frozen=True, slots=True, kw_only=True)
class AdoptRequest:
    """Who compared which shipped tables with what, as it was written; None = not said.

    `today` is the day it is asked: a comparison that lies in the future was not made.
    """

    tables: Sequence[str]
    sha256: Sequence[str]
    by: Sequence[str]
    document: str | None
    edition: str | None
    date: str | None
    today: dt.date

    @property
    def signs(self) -> bool:
        """Whether anything of an adoption was said, more than which table to show."""
        return bool(self.sha256 or self.by or self.document or self.edition or self.date)


@dataclass(frozen=True, slots=True, kw_only=True)
class AdoptAnswer:
    """The tables as they stand, the adoption if there is one, and its file's text if it was made here."""

    rulebook: Rulebook
    tables: tuple[RatedTable, ...]
    adoption: Adoption | None
    text: str | None = None
    input_sha256: str | None = None


def show_tables(rulebook_id: str, tables: Sequence[str]) -> AdoptAnswer:
    """The shipped tables named, or all of the rulebook, to be compared with their document.

    Raises
    ------
    InputFault
        No such rulebook, or no such table in it.
    """
    from slingwright.rulebook import load_rulebook

    book = load_rulebook(rulebook_id)
    known = {table.id: table for table in book.tables}
    faults = [
        Fault("TABLES", f"{name!r} is no table of the rulebook {book.id}", f"there are: {', '.join(known)}")
        for name in tables
        if name not in known
    ]
    if faults:
        raise InputFault(faults)
    return AdoptAnswer(rulebook=book, tables=tuple(known[name] for name in tables or known), adoption=None)


def make_adoption(rulebook_id: str, request: AdoptRequest) -> AdoptAnswer:
    """Make an adoption of shipped tables that two people found equal to their document.

    Raises
    ------
    InputFault
        Anything that is missing, or a hash that is not the table's: all at once, by its option.
    """
    shown = show_tables(rulebook_id, request.tables)
    faults: list[Fault] = []
    if not request.tables:
        faults.append(Fault("TABLES", "are missing: which table was compared", "name each of them"))
    said = {digest.strip().lower() for digest in request.sha256}
    checked = [
        {"table": table.id, "sha256": table.sha256 if table.sha256 in said else ""} for table in shown.tables
    ]
    entry = {
        "rulebook": shown.rulebook.id,
        "by": list(request.by),
        "document": request.document or "",
        "edition": request.edition or "",
        "date": request.date or "",
        "checked": checked,
    }
    try:
        adopted = _parse(entry, request.today)
    except InputFault as fault:
        raise InputFault([*faults, *(_by_option(one) for one in fault.faults)]) from None
    if faults:
        raise InputFault(faults)
    text = _toml_text(entry)
    return AdoptAnswer(
        rulebook=adopted[0], tables=adopted[1].tables, adoption=adopted[1], text=text,
        input_sha256=hash_input(text.encode("utf-8")),
    )  # fmt: skip


def check_adoption(content: bytes, file: str, *, today: dt.date) -> AdoptAnswer:
    """Judge an adoption file, the shop's own tables by the plausibility gate.

    Raises
    ------
    InputFault
        Everything wrong in it.
    """
    book, adoption = _parse(read_tables(content, file, what="an adoption"), today)
    return AdoptAnswer(
        rulebook=book, tables=adoption.tables, adoption=adoption, input_sha256=hash_input(content)
    )


def _parse(entry: dict[str, Any], today: dt.date) -> tuple[Rulebook, Adoption]:
    from slingwright.rulebook import load_rulebook, parse_adoption

    adoption = parse_adoption(entry)
    if adoption.on > today:
        raise fail("date", f"{adoption.on} is after today, {today}", "the day on which the two compared it")
    return load_rulebook(adoption.rulebook_id, "own", adoption), adoption


def _by_option(fault: Fault) -> Fault:
    """Name a fault of the entry by the option that would mend it."""
    if fault.field.endswith(".sha256"):
        # the right one is not told here: it stands under the table, where there is something to compare
        hint = "print the table, compare every figure, then give back the hash printed with it"
        return Fault("--sha256", "is missing for a table named, or is not that table's", hint)
    return Fault(f"--{fault.field}", fault.problem, fault.hint)


def _toml_text(entry: dict[str, Any]) -> str:
    """The adoption's file. A JSON text without controls is a TOML text too."""
    lines = [
        "# Two people compared every figure of these tables with the document named here, each on their own.",
        "# Made by `slingwright adopt`; name it by --adoption or in slingwright.toml.",
        *(f"{key} = {_toml_value(entry[key])}" for key in _ORDER),
    ]
    for checked in entry["checked"]:
        lines += ["", "[[checked]]", *(f"{key} = {_toml_value(value)}" for key, value in checked.items())]
    return "\n".join(lines) + "\n"


def _toml_value(value: object) -> str:
    text = json.dumps(value, ensure_ascii=False)
    if not text.isprintable():
        raise fail("", "a name or the document holds characters that cannot be printed")
    return text


def adopt_document(answer: AdoptAnswer, *, language: str = "en") -> dict[str, object]:
    """The `slingwright/adopt/1` document: the tables, the adoption, its odd rows, its file's text."""
    from slingwright.words.adopting import adopt_caution_texts

    adoption = answer.adoption
    return {
        **head("adopt/1", rulebook=rulebook_record(answer.rulebook), input_sha256=answer.input_sha256),
        "answer": "tables" if adoption is None else "adopted",
        "tables": [_table_document(answer.rulebook, table) for table in answer.tables],
        "adoption": None if adoption is None else adoption.as_record(),
        "flags": [] if adoption is None else list(adoption.flags),
        "file": answer.text,
        "cautions": list(adopt_caution_texts(language=language)),
    }


def _table_document(book: Rulebook, table: RatedTable) -> dict[str, object]:
    return {
        "id": table.id,
        "sha256": table.sha256,
        "class": table.webbing_class,
        "forms": sorted(table.forms),
        "fibres": sorted(table.fibres),
        "citation": citation_document(table.citation),
        "cells": [_cell_document(book, cell) for _, cell in sorted(table.cells.items())],
    }


def _cell_document(book: Rulebook, cell: RatedCell) -> dict[str, object]:
    from slingwright.words.adopting import hitch_columns

    straight, choker, basket = hitch_columns(book, cell)
    return {
        "cell": cell.cell,
        "plies": cell.plies,
        "width_m": cell.width_m,
        "vertical_rated_n": cell.rated_n,
        "printed": straight,
        "printed_choker": choker,
        "printed_basket": basket,
        "adopted": cell.adopted,
        "proposable": cell.proposable,
    }
