"""`slingwright tag`: the sewn labels of an order's slings."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from slingwright.cli.blocks import blocks_text
from slingwright.cli.dates import read_day
from slingwright.cli.files import Paper, write_papers
from slingwright.cli.make import open_order
from slingwright.cli.options import ANSWER, NOTHING_SET, Answering, SettingOptions
from slingwright.cli.show import print_document, print_text

__all__ = ["tag"]


def tag(
    order: Annotated[str, Parameter(allow_leading_hyphen=True)],
    *,
    serial: Annotated[str | None, Parameter(help="Of this sling only; left out: of all.")] = None,
    pdf: Annotated[Path | None, Parameter(help="Write the tags (PDF, one a page) here.")] = None,
    specimen: Annotated[
        bool,
        Parameter(
            negative="", help="Draw them whatever the gates, SPECIMEN across, a code that leads nowhere."
        ),
    ] = False,
    at: Annotated[str | None, Parameter(help="The day, YYYY-MM-DD; left out: today.")] = None,
    settings: SettingOptions = NOTHING_SET,
    answering: Answering = ANSWER,
) -> int:
    """Print the sewn tags of an order's slings: what their one rulebook asks for, and a code.

    Exit status 1 = the order is not released; then there are no tags but specimens.

    Parameters
    ----------
    order
        The order (TOML or JSON), or - for stdin.
    """
    from slingwright.usecases.tag import print_tags, tag_document, tag_slings

    day = read_day(at)
    answer = tag_slings(open_order(order, settings), serial=serial, on=day, specimen=specimen)
    papers = []
    if pdf is not None and answer.tags:
        papers.append(Paper(option="--pdf", path=pdf, content=print_tags(answer, on=day)))
    write_papers(papers)
    if answering.json:
        print_document(tag_document(answer))
    else:
        from slingwright.words.orders import cautions_block, shut_block, tag_blocks

        made = answer.made
        told = tag_blocks([(one.serial, one.fields) for one in answer.tags], language=made.language)
        shut = shut_block(made.shut, language=made.language)
        print_text(blocks_text((*told, shut, cautions_block(language=made.language))))
    return int(answer.is_stop)
