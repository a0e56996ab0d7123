"""`slingwright adopt`: a rated-load table to compare, and the file by which two people adopt it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from slingwright.cli.blocks import blocks_text
from slingwright.cli.dates import read_day
from slingwright.cli.files import Paper, read_input, write_papers
from slingwright.cli.options import ANSWER, NOTHING_SET, Answering, SettingOptions, find_settings
from slingwright.cli.show import print_document, print_text
from slingwright.errors import fail

if TYPE_CHECKING:
    from slingwright.usecases.adopt_table import AdoptAnswer, AdoptRequest
    from slingwright.usecases.settings import Settings

__all__ = ["adopt"]

_Many = Annotated[Sequence[str], Parameter(negative="")]


def adopt(
    *tables: str,
    sha256: _Many = (),
    by: _Many = (),
    document: str | None = None,
    edition: str | None = None,
    date: str | None = None,
    out: str | None = None,
    check: Annotated[str | None, Parameter(allow_leading_hyphen=True)] = None,
    settings: SettingOptions = NOTHING_SET,
    answering: Answering = ANSWER,
) -> int:
    """Print a rated-load table to compare with its document, and make the file by which it is adopted.

    Without options the tables are printed. An adoption is a file that somebody names, never a default.

    Parameters
    ----------
    tables
        The rulebook's tables, by their ids; none named = all are printed.
    sha256
        The hash printed with a table that was compared, one for each.
    by
        Who compared it; given twice, for two people.
    document
        The document it was compared with.
    edition
        That document's edition.
    date
        The day of the comparison, as 2026-01-31.
    out
        Where to write the adoption.
    check
        An adoption file to judge, also one with the shop's own tables; - for stdin.
    """
    from slingwright.usecases.adopt_table import AdoptRequest, adopt_document

    found = find_settings(settings, check)
    request = AdoptRequest(
        tables=tables,
        sha256=sha256,
        by=by,
        document=document,
        edition=edition,
        date=date,
        today=read_day(None),
    )
    answer = _answer(request, found, check, out)
    if answer.text is not None and out is not None:
        write_papers([Paper(option="--out", path=Path(out), content=answer.text.encode("utf-8"))])
    if answering.json:
        print_document(adopt_document(answer, language=found.language))
    else:
        from slingwright.words.adopting import adopt_blocks

        blocks = adopt_blocks(answer.rulebook, answer.tables, answer.adoption, language=found.language)
        print_text(blocks_text(blocks))
    return 0


def _answer(request: AdoptRequest, found: Settings, check: str | None, out: str | None) -> AdoptAnswer:
    from slingwright.usecases.adopt_table import check_adoption, make_adoption, show_tables

    if check is not None:
        if request.signs or request.tables or out is not None:
            raise fail("--check", "judges a file and makes none", "leave out all else")
        return check_adoption(read_input(check), check, today=request.today)
    if found.rulebook is None:
        raise fail(
            "--rulebook", "is not said, and a regime is never guessed", "--rulebook us or --rulebook en"
        )
    if not request.signs and out is None:
        return show_tables(found.rulebook, request.tables)
    if out is None:
        raise fail("--out", "is missing: an adoption is a file", "--out adoption.toml")
    return make_adoption(found.rulebook, request)
