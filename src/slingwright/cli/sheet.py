"""`slingwright sheet`: a sling's data sheet, from the same question as a quote's."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from slingwright.cli.blocks import blocks_text
from slingwright.cli.files import Paper, write_papers
from slingwright.cli.options import ANSWER, NOTHING_SET, Answering, SettingOptions
from slingwright.cli.quote import NO_SLING, SlingOptions, quote_request
from slingwright.cli.show import print_document, print_text

__all__ = ["sheet"]


def sheet(
    file: Annotated[str | None, Parameter(allow_leading_hyphen=True)] = None,
    *,
    pdf: Annotated[Path, Parameter(help="Write the data sheet (PDF) here.")],
    sling: SlingOptions = NO_SLING,
    offer: Annotated[int, Parameter(help="Which offer of a lift or an offers document, from 1.")] = 1,
    item: Annotated[int, Parameter(help="Which of its items, from 1.")] = 1,
    at: Annotated[str | None, Parameter(help="The sheet's date, YYYY-MM-DD; left out: today.")] = None,
    settings: SettingOptions = NOTHING_SET,
    answering: Answering = ANSWER,
) -> int:
    """Print a sling's data sheet: drawing, rated loads in every hitch, limits, care, removal.

    With `--json` the quote it rests on is printed. Exit status 1 = it cannot be built, rated or priced
    here; the nearest that can are named.

    Parameters
    ----------
    file
        An offers document, an order or a lift (TOML or JSON, - for stdin); none: a sling by options.
    """
    from slingwright.usecases.data_sheet import print_data_sheet
    from slingwright.usecases.quote import quote_slings

    request = quote_request(file, sling, offer=offer, customer=None, at=at, settings=settings)
    quoted = quote_slings(request, clock=time.monotonic)
    if not quoted.is_stop:
        write_papers([Paper(option="--pdf", path=pdf, content=print_data_sheet(quoted, item))])
    if answering.json:
        from slingwright.usecases.quote_document import quote_document

        print_document(quote_document(quoted))
    elif quoted.is_stop:
        from slingwright.usecases.quote import refused_blocks

        print_text(blocks_text(refused_blocks(quoted)))
    else:
        print_text(f"sheet: {pdf}")
    return int(quoted.is_stop)
