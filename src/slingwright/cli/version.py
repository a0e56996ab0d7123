"""`slingwright version`: which Slingwright this is."""

from __future__ import annotations

from slingwright.cli.options import ANSWER, Answering
from slingwright.cli.show import print_document, print_text
from slingwright.usecases.made_by import TOOL, head

__all__ = ["version"]


def version(*, answering: Answering = ANSWER) -> int:
    """Print which version of Slingwright this is."""
    if answering.json:
        print_document(head("version/1"))
    else:
        print_text(TOOL)
    return 0
