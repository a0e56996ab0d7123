"""Blocks of words as plain text for a terminal: a title, then rows, each folded under its own label."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from typing import TYPE_CHECKING

BESIDE = " [en] "  # as `words` has it; said again, for `words` takes longer to load

if TYPE_CHECKING:
    from slingwright.words import Block, Row

__all__ = ["blocks_text"]

_WIDE = 100  # of any terminal: the same input gives the same bytes


def blocks_text(blocks: Iterable[Block]) -> str:
    """Give the blocks as text, one blank line between them."""
    return "\n\n".join(_block_text(block) for block in blocks) + "\n"


def _block_text(block: Block) -> str:
    widest = max((len(row.label) for row in block.rows), default=0)
    return "\n".join([block.title, *(line for row in block.rows for line in _row_lines(row, widest))])


def _row_lines(row: Row, widest: int) -> list[str]:
    label = f"  {row.label:<{widest}}  " if widest else "  - "
    beneath = " " * len(label)
    lines = _in_both(row.text, label, beneath)
    return lines + (_in_both(row.detail, beneath + "  ", beneath + "  ") if row.detail else [])


def _in_both(text: str, first: str, beneath: str) -> list[str]:
    """A sentence, and the English that stands beside it on lines of its own."""
    own, sign, english = text.partition(BESIDE)
    lines = _folded(own, first, beneath)
    return lines + (_folded(f"{sign.strip()} {english}", beneath, beneath) if english else [])


def _folded(text: str, first: str, beneath: str) -> list[str]:
    return textwrap.wrap(
        text, _WIDE, initial_indent=first, subsequent_indent=beneath, break_long_words=False,
        break_on_hyphens=False,
    ) or [first.rstrip()]  # fmt: skip
