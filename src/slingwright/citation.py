"""Where a number comes from. Every number of a standard is data with one of these beside it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Generic, TypeVar

__all__ = ["Citation", "Cited", "Known"]

T_co = TypeVar("T_co", covariant=True)


class Known(StrEnum):
    """How we know a value."""

    READ = "read"  # read in the document or an excerpt of it
    SECONDARY = "secondary"  # read in a text that quotes or paraphrases the document
    MEMORY = "from memory"  # of the named document, not read
    PRACTICE = "common practice, no source"
    DERIVED = "derived"  # computed from cited values
    JUDGEMENT = "own judgement, no source"
    SHOP = "shop's own"  # the shop's data or tests


@dataclass(frozen=True, slots=True, kw_only=True)
class Citation:
    """Document, edition, clause and how it is known. `key` names the rule or row for programs."""

    document: str
    edition: str = ""
    clause: str = ""
    known: Known
    note: str = ""

    def __str__(self) -> str:
        """One line for people: document edition, clause (how known)."""
        head = f"{self.document} {self.edition}".strip()
        parts = [head, self.clause] if self.clause else [head]
        # "read" needs no remark; everything weaker says so every time it is shown
        tail = "" if self.known is Known.READ or str(self.known) in self.document else f" ({self.known})"
        return ", ".join(p for p in parts if p) + tail


@dataclass(frozen=True, slots=True)
class Cited(Generic[T_co]):
    """A value and where it is printed."""

    value: T_co
    citation: Citation
