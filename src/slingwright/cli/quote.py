"""`slingwright quote`: a numbered quote for slings, from a specification, an offer, an order or a lift."""

from __future__ import annotations

import time
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from slingwright.cli.blocks import blocks_text
from slingwright.cli.dates import read_day
from slingwright.cli.files import Paper, read_input, write_papers
from slingwright.cli.options import ANSWER, NOTHING_SET, STDIN, Answering, SettingOptions, find_settings
from slingwright.cli.show import print_document, print_text
from slingwright.cli.sling_options import SlingSaid

if TYPE_CHECKING:
    from slingwright.usecases.quote import QuoteRequest

__all__ = ["NO_SLING", "SlingOptions", "quote", "quote_request"]


@Parameter(name="*")
@dataclass(frozen=True, slots=True, kw_only=True)
class SlingOptions(SlingSaid):
    """A sling in place of a file."""

    length: str | None = None
    """From bearing point to bearing point: "23 ft"; endless: half its circumference."""

    eye: str | None = None
    """Inside eye length; left out: the shop's own."""

    quantity: str | None = None
    """How many; left out: 1."""

    length_tolerance: str | None = None
    """Made length within plus or minus this; left out: the shop's own."""

    protection: str | None = None
    """wear-sleeve, cut-sleeve or radius-former with each sling."""


NO_SLING = SlingOptions()


def quote_request(
    file: str | None,
    sling: SlingOptions,
    *,
    offer: int,
    customer: str | None,
    at: str | None,
    settings: SettingOptions,
) -> QuoteRequest:
    """Put together what is asked: a file, or a sling by options."""
    from slingwright.usecases.quote import QuoteRequest

    said = {
        k.replace("webbing_class", "class"): text for k, text in asdict(sling).items() if text is not None
    }
    return QuoteRequest(
        content=None if file is None else read_input(file),
        file=file or "",
        folder=Path() if file in (None, STDIN) else Path(str(file)).parent,
        sling=said,
        offer=offer,
        customer=customer,
        on=read_day(at),
        settings=find_settings(settings, file),
    )


def quote(
    file: Annotated[str | None, Parameter(allow_leading_hyphen=True)] = None,
    *,
    sling: SlingOptions = NO_SLING,
    offer: Annotated[int, Parameter(help="Which offer of a lift or an offers document, from 1.")] = 1,
    customer: Annotated[
        str | None, Parameter(help="For whom; an order's own customer where left out.")
    ] = None,
    pdf: Annotated[Path | None, Parameter(help="Write the quote's paper (PDF) here.")] = None,
    at: Annotated[str | None, Parameter(help="The quote's date, YYYY-MM-DD; left out: today.")] = None,
    settings: SettingOptions = NOTHING_SET,
    answering: Answering = ANSWER,
) -> int:
    """Quote slings: rated, priced, with what is included and what it rests on.

    Exit status 1 = it cannot be built, rated or priced here; the nearest that can are named and no paper is
    written.

    Parameters
    ----------
    file
        An offers document, an order or a lift (TOML or JSON, - for stdin); none: a sling by options.
    """
    from slingwright.usecases.quote import print_quote, quote_slings, refused_blocks
    from slingwright.usecases.quote_document import quote_document

    request = quote_request(file, sling, offer=offer, customer=customer, at=at, settings=settings)
    quoted = quote_slings(request, clock=time.monotonic)
    papers = []
    if pdf is not None and not quoted.is_stop:
        papers.append(Paper(option="--pdf", path=pdf, content=print_quote(quoted)))
    write_papers(papers)
    if answering.json:
        print_document(quote_document(quoted))
        return int(quoted.is_stop)
    from slingwright.words.quoting import quote_blocks

    if quoted.quote is None:
        print_text(blocks_text(refused_blocks(quoted)))
        return 1
    blocks = quote_blocks(
        quoted.quote,
        quoted.rulebook,
        quoted.units,
        assumptions=quoted.assumptions,
        carried=quoted.carried,
        language=quoted.language,
    )
    print_text(blocks_text(blocks) + "".join(f"\nquote: {paper.path}\n" for paper in papers))
    return 0
