"""`slingwright export`: stock, rolls, a price list or a cut list as a spreadsheet."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from slingwright.cli.dates import read_day
from slingwright.cli.files import Paper, read_input, write_papers
from slingwright.cli.options import ANSWER, NOTHING_SET, Answering, SettingOptions, find_settings
from slingwright.cli.show import print_document, print_text
from slingwright.errors import fail

__all__ = ["export"]


def export(
    kind: str,
    *,
    out: Annotated[Path, Parameter(help="Where to: a name that ends in .csv or .xlsx.")],
    lengths: Annotated[str | None, Parameter(help='Of a price list: "6 ft, 10 ft, 20 ft".')] = None,
    plan: Annotated[str | None, Parameter(help="Of a cut list: what slingwright cut --json printed.")] = None,
    at: Annotated[str | None, Parameter(help="The workbook's date, YYYY-MM-DD; left out: today.")] = None,
    settings: SettingOptions = NOTHING_SET,
    answering: Answering = ANSWER,
) -> int:
    """Write a list of the shop's as a spreadsheet (CSV or XLSX).

    Parameters
    ----------
    kind
        stock, rolls, price-list or cut-list.
    """
    from slingwright.cli.words_of import read_word
    from slingwright.usecases.spreadsheets import ExportRequest, Going, export_document, export_rows

    ending = out.suffix.lower()
    if ending not in (".csv", ".xlsx"):
        raise fail("--out", f"{out.name!r} ends in neither .csv nor .xlsx")
    request = ExportRequest(
        kind=read_word(kind, "KIND", Going),
        settings=find_settings(settings),
        workbook=ending == ".xlsx",
        on=read_day(at),
        lengths=lengths,
        plan=None if plan is None else (read_input(plan), plan),
    )
    content, rows = export_rows(request)
    write_papers([Paper(option="--out", path=out, content=content)])
    if answering.json:
        print_document(export_document(request.kind, rows))
    else:
        print_text(f"{kind}: {out}")
    return 0
