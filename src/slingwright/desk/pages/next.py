"""What to ask next and what would change the answer, each with the link to the lift in which it is so."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from slingwright.desk.bench import Look
from slingwright.desk.pages.asked import query_of
from slingwright.errors import InputFault
from slingwright.usecases.altered_tables import Tap, answer_taps, changed_tables
from slingwright.usecases.choose_sling import Chosen
from slingwright.words import Block, next_question_text, read_catalogue
from slingwright.words.explaining import explain_blocks, unweighed_text

__all__ = ["AskView", "Choice", "asked_next", "changed_choices"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A sentence, and the link that makes it so: what it says, and where it leads ("" = there is none)."""

    text: str
    say: str = ""
    query: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AskView:
    """The next question: its code, its words, each answer with where it leads, and the way past it."""

    code: str
    text: str
    pieces: tuple[Choice, ...]
    unknown: str  # the query that no longer asks it
    left: str  # what was not weighed before the time ran out; "" where all was


def asked_next(chosen: Chosen, tables: Mapping[str, Any], look: Look) -> AskView | None:
    """The question whose answer would help most; None where none matters, or none is known yet."""
    answer = chosen.answer
    explained = answer.explained
    question = None if explained is None else explained.question
    code = answer.next_question if question is None else question.code
    if code is None or code in look.skip:
        return None
    pieces: tuple[Choice, ...] = ()
    if question is not None:
        block = next(b for b in _blocks(chosen) if b.kind == "question")
        taps = answer_taps(question, tables, chosen.lift, chosen.units)
        pieces = tuple(
            _piece(row.text, tap, look) for row, tap in zip(block.rows[1 : len(taps) + 1], taps, strict=True)
        )
    return AskView(
        code=code,
        text=next_question_text(code, language=look.language),
        pieces=pieces,
        unknown=_query(tables, replace(look, skip=(*look.skip, code))),
        left="" if explained is None else unweighed_text(explained, language=look.language),
    )


def changed_choices(chosen: Chosen, tables: Mapping[str, Any], look: Look) -> tuple[Choice, ...]:
    """What would change the answer, in sentences; with a link where this lift alone can be so changed."""
    explained = chosen.answer.explained
    block = next((b for b in _blocks(chosen) if b.kind == "changes"), None)
    if explained is None or block is None:
        return ()
    helps = [change for change in explained.changes if change.helps]
    say = read_catalogue(look.language).word("desk-taps", "so-changed")
    choices = []
    for at, row in enumerate(block.rows):
        changed = changed_tables(helps[at], tables, chosen.lift, chosen.units) if at < len(helps) else None
        query = "" if changed is None else _query(changed, look)
        choices.append(Choice(text=row.text, say=say if query else "", query=query))
    return tuple(choices)


def _blocks(chosen: Chosen) -> tuple[Block, ...]:
    explained = chosen.answer.explained
    if explained is None:
        return ()
    return explain_blocks(explained, chosen.units, chosen.setting.book.currency, language=chosen.language)


def _piece(text: str, tap: Tap | None, look: Look) -> Choice:
    if tap is None:
        return Choice(text=text)
    words = read_catalogue(look.language)
    if tap.figure:
        say = words.fill("desk-taps", tap.code, figure=tap.figure)
    else:
        say = words.fill("desk-taps", "choice", answer=words.word("question-answers", tap.code))
    return Choice(text=text, say=say, query=_query(tap.tables, look))


def _query(tables: Mapping[str, Any], look: Look) -> str:
    try:
        return query_of(tables, look)
    except InputFault:  # longer than a link may be
        return ""
