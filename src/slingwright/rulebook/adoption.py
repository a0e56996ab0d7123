"""Adoption: a shop's qualified people answer for a rated-load table. A value; `adopt` reads it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from slingwright.citation import Citation, Known
from slingwright.rulebook.rated import RatedTable

__all__ = ["Adoption"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Adoption:
    """Who adopted which tables, against which document, when.

    `tables` are the tables as they now rate: shipped ones found equal to the document, or the shop's
    own. `own` names the latter. `flags` names cells the plausibility gate finds odd but not impossible.
    """

    rulebook_id: str
    by: tuple[str, str]
    document: str
    edition: str
    on: date
    tables: tuple[RatedTable, ...]
    own: tuple[str, ...]
    flags: tuple[str, ...]

    def as_record(self) -> dict[str, object]:
        """Return what a document of ours says of it."""
        return {
            "by": list(self.by),
            "document": self.document,
            "edition": self.edition,
            "date": self.on.isoformat(),
            "tables": {table.id: table.sha256 for table in self.tables},
            "own": list(self.own),
        }

    def apply(self, tables: tuple[RatedTable, ...]) -> tuple[RatedTable, ...]:
        """Put the adopted tables in the place of the shipped ones of the same name."""
        adopted: Mapping[str, RatedTable] = {table.id: table for table in self.tables}
        return tuple(adopted.get(table.id, table) for table in tables)


def mark_adopted(table: RatedTable, citation: Citation) -> RatedTable:
    """Return the table with every cell adopted, proposable and cited to the document it was checked with."""
    cells = {
        key: replace(cell, adopted=True, proposable=True, citation=citation)
        for key, cell in table.cells.items()
    }
    return replace(table, citation=citation, cells=cells)


def adopted_citation(document: str, edition: str, by: tuple[str, str], on: date, *, own: bool) -> Citation:
    """Cite an adopted table: the document, and who answers for it."""
    note = f"adopted by {by[0]} and {by[1]} on {on.isoformat()}"
    return Citation(
        document=document, edition=edition, clause="", known=Known.SHOP if own else Known.READ, note=note
    )
