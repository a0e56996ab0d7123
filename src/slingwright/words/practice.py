"""What a rulebook says of a sling's service: when it goes out of it, who looks at it. Its citation stays.

English stands in the rulebook's own data beside its clause; another language has it in its catalogue, under
the row's rulebook and id (`[removal-us]`, `[inspection-en]`).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from slingwright.rulebook.practice import Row
from slingwright.words.catalogue import SOURCE, in_both, read_catalogue

__all__ = ["criterion_texts", "inspection_text"]


def criterion_texts(rows: Sequence[Row], rulebook: str, *, language: str = SOURCE) -> list[str]:
    """What takes a sling out of service, a criterion each."""
    return [in_both(language, partial(_said, "removal", row, rulebook)) for row in rows]


def inspection_text(row: Row, rulebook: str, *, language: str = SOURCE) -> str:
    """Who looks at a sling, and when."""
    return in_both(language, partial(_said, "inspection", row, rulebook))


def _said(kind: str, row: Row, rulebook: str, language: str) -> str:
    return read_catalogue(language).sections.get(f"{kind}-{rulebook}", {}).get(row.id, row.what)
