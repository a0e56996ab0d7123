"""`slingwright make`: an order laid out for the floor, with its approval drawing and its traveler."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from slingwright.cli.blocks import blocks_text
from slingwright.cli.dates import read_day
from slingwright.cli.files import Paper, read_input, write_papers
from slingwright.cli.options import ANSWER, NOTHING_SET, STDIN, Answering, SettingOptions, find_settings
from slingwright.cli.show import print_document, print_text

if TYPE_CHECKING:
    from slingwright.usecases.make_order import MadeOrder

__all__ = ["make", "open_order"]


def open_order(order: str, settings: SettingOptions) -> MadeOrder:
    """Read an order and lay it out."""
    from slingwright.usecases.make_order import MakeRequest, make_order

    return make_order(
        MakeRequest(
            content=read_input(order),
            file=order,
            folder=Path() if order == STDIN else Path(order).parent,
            settings=find_settings(settings, order),
        )
    )


def make(
    order: Annotated[str, Parameter(allow_leading_hyphen=True)],
    *,
    approval: Annotated[Path | None, Parameter(help="Write the approval drawing (PDF) here.")] = None,
    traveler: Annotated[Path | None, Parameter(help="Write the traveler (PDF) here.")] = None,
    cut_job: Annotated[
        Path | None, Parameter(help="Write the cut job (JSON, for slingwright cut) here.")
    ] = None,
    specimen: Annotated[
        bool, Parameter(negative="", help="Draw papers whatever the gates, SPECIMEN across every page.")
    ] = False,
    at: Annotated[str | None, Parameter(help="The papers' date, YYYY-MM-DD; left out: today.")] = None,
    settings: SettingOptions = NOTHING_SET,
    answering: Answering = ANSWER,
) -> int:
    """Lay out an order: pattern, webbing, thread, mass, work, and whether it may be made.

    Exit status 1 = not released: a sling cannot be made, or a gate is shut (table not adopted, pattern not
    qualified, no lot certificate, drawing not accepted); then there is no traveler but a specimen.

    Parameters
    ----------
    order
        The order (TOML or JSON), or - for stdin; `slingwright schema order` has its keys.
    """
    from slingwright.usecases.make_document import make_document
    from slingwright.usecases.make_papers import print_approval, print_traveler

    day = read_day(at)
    made = open_order(order, settings)
    papers = []
    if approval is not None and made.lines:
        content = print_approval(made, on=day, specimen=specimen)
        papers.append(Paper(option="--approval", path=approval, content=content))
    if traveler is not None and made.lines and (made.is_released or specimen):
        content = print_traveler(made, on=day, specimen=specimen)
        papers.append(Paper(option="--traveler", path=traveler, content=content))
    if cut_job is not None and made.lines:
        papers.append(Paper(option="--cut-job", path=cut_job, content=_job(made, day)))
    write_papers(papers)
    if answering.json:
        print_document(make_document(made))
    else:
        print_text(_text(made, papers))
    return int(not made.is_released)


def _job(made: MadeOrder, day: date) -> bytes:
    import json

    from slingwright.usecases.make_cut_job import cut_job

    return (json.dumps(cut_job(made, on=day), indent=1, ensure_ascii=False) + "\n").encode()


def _text(made: MadeOrder, papers: list[Paper]) -> str:
    from slingwright.words.orders import order_blocks
    from slingwright.words.quoting import unquoted_blocks

    lines = [(line.number, line.item, line.pattern) for line in made.lines]
    blocks = order_blocks(lines, made.shut, made.units, language=made.language)
    refused = unquoted_blocks([one for _, one in made.refused], made.units, language=made.language)
    text = blocks_text((*refused, *blocks))
    return text + "".join(f"\n{paper.option[2:]}: {paper.path}" for paper in papers)
