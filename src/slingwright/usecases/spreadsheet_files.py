"""Rows of a CSV or XLSX file in and out: plain values, no formula ever run or written.

A text that a spreadsheet would take for a formula is written with an apostrophe before it and read without.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from slingwright.errors import fail

__all__ = ["Value", "read_rows", "write_rows"]

Value = str | int | float | bool | dt.date | None
_MOST_ROWS = 5000
_MOST_COLUMNS = 60
_MOST_UNPACKED = 50_000_000
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_ZIP = b"PK"


def read_rows(content: bytes) -> list[dict[str, Value]]:
    """Read a table's rows by its heads, the first row; empty rows are left out, empty cells too.

    CSV is UTF-8 with commas or semicolons; of a workbook the first sheet is read.

    Raises
    ------
    InputFault
        It is neither, has no heads or one twice, or is larger than any shop's list.
    """
    grid = _read_xlsx(content) if content.startswith(_ZIP) else _read_csv(content)
    if not grid:
        raise fail("", "holds no rows", "the first row has the columns' names")
    heads = [str(cell or "").strip().lower().replace(" ", "_") for cell in grid[0]]
    while heads and not heads[-1]:
        heads.pop()
    if not heads or "" in heads:
        raise fail("row 1", "has a column without a name", "the first row has the columns' names")
    twice = sorted({head for head in heads if heads.count(head) > 1})
    if twice:
        raise fail("row 1", f"names {', '.join(twice)} twice")
    rows = []
    for number, cells in enumerate(grid[1:], start=2):
        if any(cell not in (None, "") for cell in cells[len(heads) :]):
            raise fail(f"row {number}", "has more cells than there are columns")
        pairs = zip(heads, cells, strict=False)
        row = {head: _plain(cell) for head, cell in pairs if cell not in (None, "")}
        if row:
            rows.append(row | {"": number})
    return rows


def _plain(cell: Any) -> Value:
    """A cell as a plain value: whole numbers whole, times as their day."""
    if isinstance(cell, dt.datetime):
        return cell.date()
    if isinstance(cell, float) and cell.is_integer():
        return int(cell)
    if isinstance(cell, str):
        text = cell.strip()
        return text[1:] if text.startswith("'") and text[1:2] in _FORMULA else text
    return cell if isinstance(cell, bool | int | float | dt.date) else str(cell)


def _read_csv(content: bytes) -> list[list[Any]]:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as found:
        raise fail("", f"is not a text: byte {found.start} is not UTF-8", "save it as CSV in UTF-8") from None
    first = text.partition("\n")[0]
    divider = ";" if first.count(";") > first.count(",") else ","
    try:
        rows = []
        for row in csv.reader(io.StringIO(text, newline=""), delimiter=divider, strict=True):
            rows.append(row)
            if len(rows) > _MOST_ROWS + 1 or len(row) > _MOST_COLUMNS:
                raise fail("", f"has more than {_MOST_ROWS} rows or {_MOST_COLUMNS} columns")
    except csv.Error as error:
        raise fail("", f"is no CSV: {error}", "save it as CSV in UTF-8") from None
    return rows


def _read_xlsx(content: bytes) -> list[list[Any]]:
    import openpyxl

    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            if sum(entry.file_size for entry in packed.infolist()) > _MOST_UNPACKED:
                raise fail("", "unpacks to far more than a list is", "save the one sheet as CSV")
        book = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=True)
        try:
            sheet = book.worksheets[0]
            most = {"max_row": _MOST_ROWS + 2, "max_col": _MOST_COLUMNS + 1}
            grid = [_trimmed(row) for row in sheet.iter_rows(values_only=True, **most)]
        finally:
            book.close()
    except (zipfile.BadZipFile, KeyError, ValueError, IndexError, OSError, TypeError, EOFError) as error:
        if isinstance(error, ValueError) and hasattr(error, "faults"):
            raise
        raise fail("", f"is no workbook: {error}", "save it as XLSX or CSV") from None
    while grid and not grid[-1]:
        grid.pop()
    if len(grid) > _MOST_ROWS + 1 or any(len(row) > _MOST_COLUMNS for row in grid):
        raise fail("", f"has more than {_MOST_ROWS} rows or {_MOST_COLUMNS} columns")
    return grid


def _trimmed(cells: Sequence[Any]) -> list[Any]:
    """A row without the empty cells at its end."""
    found = list(cells)
    while found and found[-1] is None:
        found.pop()
    return found


def write_rows(
    heads: Sequence[str], rows: Iterable[Mapping[str, Value]], *, name: str, workbook: bool, on: dt.date
) -> bytes:
    """Write rows under their heads as CSV or as a workbook of one sheet; same arguments, same bytes.

    Parameters
    ----------
    heads, rows
        The columns in order, and each row's values by them; a missing one is an empty cell.
    name, on
        The sheet's name and the file's own date, of a workbook.
    """
    grid = [[row.get(head) for head in heads] for row in rows]
    return _write_xlsx(heads, grid, name, on) if workbook else _write_csv(heads, grid)


def _write_csv(heads: Sequence[str], grid: Sequence[Sequence[Value]]) -> bytes:
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(heads)
    writer.writerows([[_text(cell) for cell in row] for row in grid])
    return b"\xef\xbb\xbf" + out.getvalue().encode()


def _text(cell: Value) -> str:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    text = cell.isoformat() if isinstance(cell, dt.date) else str(cell)
    return f"'{text}" if isinstance(cell, str) and text.startswith(_FORMULA) else text


def _write_xlsx(heads: Sequence[str], grid: Sequence[Sequence[Value]], name: str, on: dt.date) -> bytes:
    import xlsxwriter

    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    book.set_properties({"created": dt.datetime.combine(on, dt.time())})
    sheet = book.add_worksheet(name)
    bold, day = book.add_format({"bold": True}), book.add_format({"num_format": "yyyy-mm-dd"})
    sheet.freeze_panes(1, 0)
    for column, head in enumerate(heads):
        sheet.write_string(0, column, head, bold)
        widest = max([len(head), *(len(_text(row[column])) for row in grid)])
        sheet.set_column(column, column, min(widest + 2, 60))
    for number, row in enumerate(grid, start=1):
        for column, cell in enumerate(row):
            if isinstance(cell, bool):
                sheet.write_boolean(number, column, cell)
            elif isinstance(cell, dt.date):
                sheet.write_datetime(number, column, dt.datetime.combine(cell, dt.time()), day)
            elif isinstance(cell, int | float):
                sheet.write_number(number, column, cell)
            elif cell is not None:
                sheet.write_string(number, column, cell)
    book.close()
    return out.getvalue()
