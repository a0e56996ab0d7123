"""The rulebook in force: the settings' regime and profile, with the table that the shop adopted, if any."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from slingwright.errors import Fault, InputFault, fail
from slingwright.usecases.documents import read_tables

if TYPE_CHECKING:
    from slingwright.citation import Citation
    from slingwright.rulebook import Adoption, Rulebook
    from slingwright.usecases.settings import Settings

__all__ = ["citation_document", "open_adoption", "open_rulebook", "rulebook_record"]

_MOST_BYTES = 1_000_000


def open_rulebook(settings: Settings, *, regime: str | None = None) -> Rulebook:
    """Load the rulebook that the settings name, or `regime` where a lift says its own.

    Raises
    ------
    InputFault
        No regime is named (it is never guessed), or the adoption file is at fault.
    """
    from slingwright.rulebook import load_rulebook

    named = regime or settings.rulebook
    if named is None:
        hint = "give --rulebook us or --rulebook en, or write it in slingwright.toml"
        raise fail("--rulebook", "is not said, and a regime is never guessed", hint)
    adoption = None if settings.adoption is None else open_adoption(settings.adoption)
    return load_rulebook(named, settings.profile, adoption)


def open_adoption(path: Path) -> Adoption:
    """Read an adoption file.

    Raises
    ------
    InputFault
        Everything wrong in it; the fields are under `adoption`.
    """
    from slingwright.rulebook import parse_adoption

    try:
        content = path.read_bytes()
    except OSError as error:
        raise fail("adoption", f"{str(path)!r} cannot be read: {error.strerror}") from error
    try:
        return parse_adoption(read_tables(content[: _MOST_BYTES + 1], path.name, what="an adoption"))
    except InputFault as fault:
        raise InputFault(
            Fault(f"adoption.{f.field}".rstrip("."), f.problem, f.hint) for f in fault.faults
        ) from None


def rulebook_record(book: Rulebook) -> dict[str, object]:
    """What `made_by.rulebook` says: which rulebook, of which data, and what was adopted."""
    return {
        "id": book.id,
        "edition": book.edition,
        "sha256": book.sha256,
        "profile": book.profile,
        "adopted": None if book.adopted is None else book.adopted.as_record(),
    }


def citation_document(citation: Citation) -> dict[str, str]:
    """A citation as documents print it: its parts, and `text`, the whole in one line."""
    return {
        "document": citation.document,
        "edition": citation.edition,
        "clause": citation.clause,
        "known": str(citation.known),
        "note": citation.note,
        "text": str(citation),
    }
