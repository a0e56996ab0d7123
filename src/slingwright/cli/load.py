"""`slingwright load`: a spreadsheet of stock, rolls or an order turned into the shop's own file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from slingwright.cli.files import Paper, read_input, write_papers
from slingwright.cli.options import ANSWER, NOTHING_SET, Answering, SettingOptions, find_settings
from slingwright.cli.show import print_document, print_text

__all__ = ["load"]


def load(
    kind: str,
    file: Annotated[str, Parameter(allow_leading_hyphen=True)],
    *,
    out: Annotated[Path | None, Parameter(help="Write the file (TOML) here; left out: print it.")] = None,
    settings: SettingOptions = NOTHING_SET,
    answering: Answering = ANSWER,
) -> int:
    """Turn a spreadsheet (CSV or XLSX) into a file of the shop, checked by that file's own reader.

    Its first row names the columns as the file names its keys. Every fault is told by row and column, and
    nothing is written then.

    Parameters
    ----------
    kind
        stock, rolls or order.
    file
        The spreadsheet, or - for stdin.
    """
    from slingwright.cli.words_of import read_word
    from slingwright.usecases.spreadsheets import Coming, load_document, load_rows_of

    chosen = read_word(kind, "KIND", Coming)
    content = read_input(file)
    text = load_rows_of(chosen, content, find_settings(settings))
    if out is not None:
        write_papers([Paper(option="--out", path=out, content=text.encode())])
    if answering.json:
        print_document(load_document(chosen, text, content))
    else:
        print_text(text if out is None else f"{kind}: {out}")
    return 0
