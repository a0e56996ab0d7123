"""`slingwright upgrade`: a lift file of an older edition, turned into the newest."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from slingwright.cli.files import Paper, read_input, write_papers
from slingwright.cli.options import ANSWER, STDIN, Answering
from slingwright.cli.show import print_document, print_text

__all__ = ["upgrade"]


def upgrade(
    file: Annotated[str, Parameter(allow_leading_hyphen=True)],
    *,
    out: str | None = None,
    answering: Answering = ANSWER,
) -> int:
    """Turn a lift file of an older edition into the newest; comments and order stay as they are.

    Every fault of the lift is told, so this also shows whether a file reads.

    Parameters
    ----------
    file
        The lift file, or - for stdin.
    out
        Where to write it; left out, it is printed.
    """
    from slingwright.usecases.upgrade_file import upgrade_document, upgrade_file

    folder = Path() if file == STDIN else Path(file).parent
    upgraded = upgrade_file(read_input(file), file, folder=folder)
    if out is not None:
        write_papers([Paper(option="--out", path=Path(out), content=upgraded.text.encode("utf-8"))])
    if answering.json:
        print_document(upgrade_document(upgraded))
    elif out is None:
        print_text(upgraded.text)
    return 0
