"""The next question of a lift as a document: what each answer says, and the lift that it leads to."""

from __future__ import annotations

import copy
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from slingwright.errors import Fault, InputFault, fail
from slingwright.usecases.ask import QUESTIONS, Interview
from slingwright.usecases.documents import hash_input
from slingwright.usecases.explained_document import Speech, question_document
from slingwright.usecases.made_by import head
from slingwright.usecases.rulebooks import open_rulebook, rulebook_record
from slingwright.usecases.shop_files import open_shop

if TYPE_CHECKING:
    from slingwright.choose.explained import Piece, Question
    from slingwright.lift.model import Lift
    from slingwright.units import Units

__all__ = ["ask_document", "plain_tables", "take_answers"]

_SIDES = {"middle": (0, 0), "left": (-1, 0), "right": (1, 0), "front": (0, -1), "back": (0, 1)}
_SAID = {"free": "free", "any-angle": "any angle", "vertical-only": "vertical only"}


def take_answers(
    interview: Interview, *, done: tuple[str, ...], code: str | None, answer: str | None
) -> None:
    """Go on with an interview: `done` were put before, `code` is answered now.

    Raises
    ------
    InputFault
        No such question, an answer without one or the other way round, or an answer that does not read.
    """
    faults = [
        Fault("done" if one in done else "code", f"there is no question {one[:40]!r}", ", ".join(QUESTIONS))
        for one in (*done, *((code,) if code else ()))
        if one not in QUESTIONS
    ]
    if (code is None) != (answer is None):
        faults.append(Fault("answer" if answer is None else "code", "is missing beside the other", ""))
    if faults:
        raise InputFault(faults)
    interview.skipped.update(done)
    if code is not None and answer is not None:
        try:
            interview.take(code, answer)
        except InputFault as fault:
            told = "; ".join(one.problem for one in fault.faults)
            raise fail("answer", told, fault.hint) from None


def ask_document(
    interview: Interview, content: bytes, *, clock: Callable[[], float], limit_s: float | None = None
) -> dict[str, Any]:
    """The `slingwright/ask/1` document.

    Parameters
    ----------
    interview, content
        The interview as it stands, and the bytes that it began with.
    clock, limit_s
        A running count of seconds, and how many the question may take; then there is none, and `proved` is
        False.

    Raises
    ------
    InputFault
        The shop's files are at fault.
    """
    from slingwright.choose.again import OutOfTime
    from slingwright.words import standing_cautions

    began = clock()
    proved, question = True, None
    try:
        question = interview.next_question(
            out_of_time=lambda: limit_s is not None and clock() - began > limit_s
        )
    except OutOfTime:
        proved = False
    settings, lift = interview.settings, interview.lift
    opened = open_shop(settings)
    rulebook = open_rulebook(replace(settings, profile=lift.profile), regime=lift.rulebook)
    speech = Speech(units=interview.units, currency=opened.book.currency, language=settings.language)
    return {
        **head(
            "ask/1",
            rulebook=rulebook_record(rulebook),
            shop_sha256=opened.shop.sha256,
            price_book=opened.price_book_record,
            input_sha256=hash_input(content),
            seed=settings.seed,
        ),
        "proved": proved,
        "question": None if question is None else question_document(question, speech),
        "answers": [_answer(interview, question, piece) for piece in question.pieces] if question else [],
        "done": sorted({*interview.skipped, *interview.answered}),
        "lift": plain_tables(interview.tables),
        "cautions": list(standing_cautions(language=settings.language)),
    }


def _answer(interview: Interview, question: Question, piece: Piece) -> dict[str, Any]:
    """One answer as it may be sent back, and the lift it leads to; both null where only a figure will do."""
    said = _says(question, piece, interview.lift, interview.units)
    if said is None:
        return {"says": None, "lift": None}
    then = replace(
        interview, tables=copy.deepcopy(interview.tables), skipped=set(interview.skipped), answered=[]
    )
    then.take(question.code, said)
    return {"says": said, "lift": plain_tables(then.tables)}


def _says(question: Question, piece: Piece, lift: Lift, units: Units) -> str | None:
    """An answer in words that the interview reads; of a stretch its end that is worse for the slings."""
    from slingwright.units import Rounding, show_length, show_temperature, show_weight

    if question.code == "centre":
        return _centre(piece.choice, lift, units)
    if piece.choice:
        return _SAID.get(piece.choice)
    if piece.low is None or piece.high is None:
        return None
    if question.code == "weight":
        return show_weight(piece.high, units, rounding=Rounding.UP)
    if question.code == "surface-temperature":
        return show_temperature(piece.high, units, rounding=Rounding.UP)
    if question.code == "edge-radius":
        return show_length(piece.low, units, rounding=Rounding.DOWN)
    return None  # neither end of a hook or a pin is the worse one: thick for the eye, thin for the bend


def _centre(choice: str, lift: Lift, units: Units) -> str:
    """A place in the box that the centre may lie in: its middle, or half-way to a side (as the question)."""
    low, high = lift.load.centre.low_m, lift.load.centre.high_m
    along, across = _SIDES[choice]
    shares = (1 / 2 + along / 4, 1 / 2 + across / 4, 1 / 2)
    return ", ".join(_exact(a + s * (b - a), units) for a, b, s in zip(low, high, shares, strict=True))


def _exact(length_m: float, units: Units) -> str:
    """A length as it is, to a tenth of a millimetre or a hundredth of an inch."""
    from slingwright.units import Units
    from slingwright.units.parse import INCH_M

    if units is Units.US:
        return f"{float(Fraction(length_m) / INCH_M):.2f} in"
    return f"{length_m * 1000:.1f} mm"


def plain_tables(value: Any) -> Any:
    """A lift's tables as JSON holds them: a date of TOML's as it is written."""
    if isinstance(value, dict):
        return {key: plain_tables(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [plain_tables(inner) for inner in value]
    return value if value is None or isinstance(value, str | int | float | bool) else str(value)
