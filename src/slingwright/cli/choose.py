"""`slingwright choose`: a lift file in, the right slings out, with the sheet and the drawing on request."""

from __future__ import annotations

import sys
import time
from collections.abc import Collection
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from slingwright.cli.files import Paper, read_input, write_lines, write_papers
from slingwright.cli.options import ANSWER, NOTHING_SET, STDIN, Answering, SettingOptions, find_settings
from slingwright.cli.show import print_document, print_text
from slingwright.errors import fail

if TYPE_CHECKING:
    from slingwright.choose.explained import Explained
    from slingwright.usecases.choose_sling import Chosen
    from slingwright.words import Block

__all__ = ["choose"]

_EARLY = ("lift", "offer", "cautions")  # the kinds of blocks that tell of the offers themselves


def choose(
    lift: str,
    *,
    sheet: Annotated[Path | None, Parameter(help="Write the lift sheet (PDF) here.")] = None,
    drawing: Annotated[Path | None, Parameter(help="Write the drawing (SVG) here.")] = None,
    offer: Annotated[int, Parameter(help="Which offer the papers show, from 1.")] = 1,
    at: Annotated[str | None, Parameter(help="The papers' date, YYYY-MM-DD; left out: today.")] = None,
    limit: Annotated[float | None, Parameter(help="Search for at most so many seconds.")] = None,
    audit: Annotated[
        Path | None,
        Parameter(help="Write every candidate before the answer, and why it lost, here (JSON lines)."),
    ] = None,
    explain: Annotated[
        bool | None,
        Parameter(
            help="Search again for what would change the answer and what to ask next. "
            "Left out: printed where that is quick, and not in JSON."
        ),
    ] = None,
    settings: SettingOptions = NOTHING_SET,
    answering: Answering = ANSWER,
) -> int:
    """Find the right slings for a lift file, checked and priced.

    Parameters
    ----------
    lift
        The lift file (TOML or JSON); - reads it from stdin.
    """
    from slingwright.usecases.audit_document import audit_document
    from slingwright.usecases.choose_sling import ChooseRequest, choose_sling, draw_chosen, print_sheet
    from slingwright.usecases.offers_document import offers_document

    day = _day(at)
    _check(offer, limit)
    request = ChooseRequest(
        content=read_input(lift),
        file=lift,
        folder=None if lift == STDIN else Path(lift).parent,
        settings=find_settings(settings, lift),
        limit_s=limit,
    )
    progress = _Progress(request.settings.language)
    early = _Early(offer, silent=answering.json or any((sheet, drawing, audit)))
    chosen = choose_sling(request, clock=time.monotonic, progress=progress, offered=early)
    if explain:
        chosen = _explained(chosen, limit)
    _check_number(offer, chosen)
    papers = []
    if sheet is not None:
        papers.append(
            Paper(option="--sheet", path=sheet, content=print_sheet(chosen, on=day, offer_index=offer - 1))
        )
    if drawing is not None and not chosen.is_stop:
        svg = draw_chosen(chosen, offer_index=offer - 1).encode()
        papers.append(Paper(option="--drawing", path=drawing, content=svg))
    write_papers(papers)
    if audit is not None:
        write_lines("--audit", audit, audit_document(chosen))
    if answering.json:
        print_document(offers_document(chosen))
    else:
        print_text(_text(chosen, papers, early.printed))
        if explain is None:
            _explain_as_it_comes(chosen, limit)
    return int(chosen.is_stop)


class _Early:
    """Prints the offers and their cautions, before it is looked up why others are refused.

    `silent`: nothing, for a file that then cannot be written leaves nothing printed. `printed`: the kinds of
    blocks that it has.
    """

    def __init__(self, offer: int, *, silent: bool) -> None:
        self.printed: tuple[str, ...] = ()
        self._offer, self._silent = offer, silent

    def __call__(self, chosen: Chosen) -> None:
        from slingwright.cli.blocks import blocks_text
        from slingwright.words import answer_blocks

        _check_number(self._offer, chosen)
        if self._silent:
            return
        blocks = answer_blocks(chosen.lift, chosen.answer, chosen.units, language=chosen.language)
        print_text(blocks_text(b for b in blocks if b.kind in _EARLY))
        sys.stdout.write("\n")
        sys.stdout.flush()
        self.printed = _EARLY


def _check_number(offer: int, chosen: Chosen) -> None:
    if offer > max(1, len(chosen.answer.offers)):
        raise fail("--offer", f"there is no offer {offer}", f"1 to {max(1, len(chosen.answer.offers))}")


def _text(chosen: Chosen, papers: list[Paper], printed: Collection[str] = ()) -> str:
    """All in words but for the kinds of blocks that are `printed` already."""
    from slingwright.cli.blocks import blocks_text
    from slingwright.words import answer_blocks

    blocks = answer_blocks(chosen.lift, chosen.answer, chosen.units, language=chosen.language)
    blocks = tuple(b for b in blocks if b.kind not in printed)
    if chosen.answer.explained is not None:
        blocks = (*(b for b in blocks if b.kind != "question"), *_blocks(chosen, chosen.answer.explained))
    text = blocks_text(blocks)
    written = "".join(f"{paper.option[2:]}: {paper.path}\n" for paper in papers)
    return f"{text}\n{written}" if written else text


def _explained(chosen: Chosen, limit_s: float | None) -> Chosen:
    from slingwright.usecases.explain_answer import explain_answer

    explained = explain_answer(chosen, clock=time.monotonic, limit_s=limit_s)
    asked = explained.question.code if explained.question else chosen.answer.next_question
    return replace(chosen, answer=replace(chosen.answer, explained=explained, next_question=asked))


def _explain_as_it_comes(chosen: Chosen, limit_s: float | None) -> None:
    """Print each part below the offers as soon as it is found, where the space is small."""
    from slingwright.cli.blocks import blocks_text
    from slingwright.usecases.explain_answer import SMALL_SPACE, explain_parts

    if chosen.answer.search.hang_problems > SMALL_SPACE:
        return
    sys.stdout.flush()
    for part, so_far in explain_parts(chosen, clock=time.monotonic, limit_s=limit_s):
        kinds = {"cut-short": ("curve", "search"), "curve": ("curve", "search")}.get(part, (part,))
        ready = [b for b in _blocks(chosen, so_far) if b.kind in kinds]
        if ready:
            print_text("\n" + blocks_text(ready))
            sys.stdout.flush()


def _blocks(chosen: Chosen, explained: Explained) -> tuple[Block, ...]:
    from slingwright.words.explaining import explain_blocks

    currency = chosen.setting.book.currency
    return explain_blocks(explained, chosen.units, currency, language=chosen.language)


def _day(at: str | None) -> date:
    if at is None:
        return date.today()
    try:
        return date.fromisoformat(at)
    except ValueError as error:
        raise fail("--at", f"{at!r} is no date", "write it as 2026-05-31") from error


def _check(offer: int, limit: float | None) -> None:
    if offer < 1:
        raise fail("--offer", f"{offer} is no offer's number", "offers count from 1")
    if limit is not None and not 0 < limit < float("inf"):
        raise fail("--limit", f"{limit} is no time", "give seconds above 0")


class _Progress:
    """Says on stderr, once a second, how many candidates were solved; silent for quick answers."""

    def __init__(self, language: str) -> None:
        self._last, self._language = time.monotonic(), language

    def __call__(self, solved: int) -> None:
        now = time.monotonic()
        if now - self._last >= 1:
            self._last = now
            sys.stderr.write(f"{_searching(solved, self._language)}\n")
            sys.stderr.flush()


def _searching(solved: int, language: str) -> str:
    from slingwright.words import read_catalogue

    return read_catalogue(language).fill("terminal", "searching", solved=str(solved))
