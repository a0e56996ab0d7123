"""`slingwright ask`: the interview, one question at a time; what does not matter is not asked."""

from __future__ import annotations

import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from slingwright.cli.files import Paper, read_input, write_papers
from slingwright.cli.options import ANSWER, NOTHING_SET, STDIN, Answering, SettingOptions, find_settings
from slingwright.cli.show import print_document, print_text
from slingwright.errors import InputFault, fail

if TYPE_CHECKING:
    from slingwright.choose.explained import Question
    from slingwright.usecases.ask import Interview

__all__ = ["ask"]


def ask(
    lift: str,
    *,
    save: Annotated[
        Path | None, Parameter(help="Where the finished lift file goes; left out: LIFT.finished beside it.")
    ] = None,
    settings: SettingOptions = NOTHING_SET,
    answering: Answering = ANSWER,
) -> int:
    """Ask, one at a time, what would change the choice most; save the lift file with the answers.

    Answer in any unit, or "don't know". An empty line is "don't know", too; the end of input ends the
    questions. Comments of the lift file are not kept. With `--json` nobody is asked and nothing is saved:
    the next question is printed, with what each answer leads to.

    Parameters
    ----------
    lift
        The lift file (TOML or JSON).
    """
    from slingwright.usecases.ask import Interview

    if lift == STDIN:
        raise fail("", "the lift cannot come from stdin here: the answers do", "give a file's path")
    path = Path(lift)
    place = save if save is not None else path.with_name(f"{path.stem}.finished{path.suffix}")
    content = read_input(lift)
    interview = Interview.begin(content, lift, folder=path.parent, settings=find_settings(settings, lift))
    if answering.json:
        from slingwright.usecases.ask_document import ask_document

        print_document(ask_document(interview, content, clock=time.monotonic))
        return 0
    while (question := interview.next_question()) is not None:
        if not _asked(interview, question):
            break
    else:
        print_text(_word("no-question", interview.settings.language, section="explain"))
    write_papers([Paper(option="--save", path=place, content=interview.finished())])
    print_text(_word("lift-file", interview.settings.language, place=str(place)))
    return 0


def _asked(interview: Interview, question: Question) -> bool:
    """Ask until the answer reads or is not known; False at the end of input."""
    from slingwright.cli.blocks import blocks_text
    from slingwright.words.explaining import question_block

    block = question_block(
        question, interview.units, interview.currency, language=interview.settings.language
    )
    print_text(blocks_text([block]))
    while True:
        sys.stdout.write("> ")
        sys.stdout.flush()
        line = sys.stdin.readline()
        if not line:
            print_text("")
            return False
        try:
            interview.take(question.code, line.rstrip("\r\n"))
        except InputFault as fault:
            for one in fault.faults:
                print_text(f"{one.problem}\n    {one.hint}" if one.hint else one.problem)
            continue
        print_text("")
        return True


def _word(key: str, language: str, *, section: str = "terminal", **figures: str) -> str:
    from slingwright.words import read_catalogue

    return read_catalogue(language).fill(section, key, **figures)
