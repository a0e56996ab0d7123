"""`slingwright hang`: explicit slings and bodies in, how they hang out."""

from __future__ import annotations

from typing import Annotated

from cyclopts import Parameter

from slingwright.cli.blocks import blocks_text
from slingwright.cli.files import read_input
from slingwright.cli.options import ANSWER, NOTHING_SET, STDIN, Answering, SettingOptions, find_settings
from slingwright.cli.show import print_document, print_text
from slingwright.errors import fail

__all__ = ["hang"]


def hang(
    file: Annotated[str, Parameter(allow_leading_hyphen=True)],
    *,
    spread: Annotated[str | None, Parameter(allow_leading_hyphen=True)] = None,
    settings: SettingOptions = NOTHING_SET,
    answering: Answering = ANSWER,
) -> int:
    """Solve an explicit hang problem: tensions, angles, tilt, slack and stability, by statics alone.

    Exit status 1 = it would capsize, or the slings do not reach; with --spread also where that happens in
    any sample or corner.

    Parameters
    ----------
    file
        The problem as JSON or TOML, or - for stdin; `slingwright schema hang-problem` has its keys.
    spread
        A file that says what is not known and how far it may be off: adds percentiles and worst corners.
    """
    from slingwright.usecases.solve_hang import hang_document, solve_hang

    found = find_settings(settings, file)
    if file == spread == STDIN:
        raise fail(
            "--spread", "stdin cannot be both the problem and its spread", "give one of them as a file"
        )
    answer = solve_hang(
        read_input(file),
        file,
        spread=None if spread is None else read_input(spread),
        spread_file=spread or "",
    )
    if answering.json:
        print_document(hang_document(answer, language=found.language))
    else:
        from slingwright.units import Units
        from slingwright.words.hanging import hang_blocks
        from slingwright.words.spreading import spread_blocks

        units = Units(found.units or "si")
        more = () if answer.spread is None else spread_blocks(answer.spread, units, language=found.language)
        print_text(blocks_text(hang_blocks(answer.hang, units, spread=more, language=found.language)))
    return int(answer.stops)
