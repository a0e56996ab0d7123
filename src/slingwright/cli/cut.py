"""`slingwright cut`: which piece comes from which roll, so that the least webbing is used up."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from slingwright.cli.blocks import blocks_text
from slingwright.cli.dates import read_day
from slingwright.cli.files import Paper, read_input, write_papers
from slingwright.cli.options import ANSWER, NOTHING_SET, Answering, SettingOptions, find_settings
from slingwright.cli.show import print_document, print_text

__all__ = ["cut"]


def cut(
    file: Annotated[str, Parameter(allow_leading_hyphen=True)],
    *,
    limit: str = "30",
    pdf: Annotated[Path | None, Parameter(help="Write the cut list (PDF) here.")] = None,
    at: Annotated[str | None, Parameter(help="The cut list's date, YYYY-MM-DD; left out: today.")] = None,
    settings: SettingOptions = NOTHING_SET,
    answering: Answering = ANSWER,
) -> int:
    """Plan the cutting of webbing: which piece from which roll or remnant, and how much is proved.

    Exit status 1 = the rolls do not suffice, or no whole plan was found in time.

    Parameters
    ----------
    file
        The job as JSON, JSON lines or TOML, or - for stdin; `slingwright schema cut-problem` has its keys.
    limit
        Seconds that each webbing may take; then the best plan so far, with what is not proved.
    """
    import time

    from slingwright.usecases.cut_webbing import cut_document, cut_webbing, read_limit_s

    found = find_settings(settings, file)
    answer = cut_webbing(read_input(file), file, limit_s=read_limit_s(limit), clock=time.monotonic)
    if pdf is not None:
        from slingwright.usecases.cut_webbing import print_cut_list

        content = print_cut_list(answer, on=read_day(at), units=found.units, language=found.language)
        write_papers([Paper(option="--pdf", path=pdf, content=content)])
    if answering.json:
        print_document(cut_document(answer, language=found.language))
    else:
        from slingwright.words.cutting import cut_blocks

        print_text(blocks_text(cut_blocks(answer.plans, language=found.language)))
    return int(answer.stops)
