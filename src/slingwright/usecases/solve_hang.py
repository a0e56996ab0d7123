"""Solve an explicit hang problem, and on wish its spread over what is not known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from slingwright.errors import Fault, InputFault
from slingwright.usecases.documents import hash_input, read_tables
from slingwright.usecases.made_by import head

if TYPE_CHECKING:
    from slingwright.hang.result import Hang
    from slingwright.hang.spread import SpreadAnswer

__all__ = ["HangAnswer", "hang_document", "solve_hang"]

_WHAT = "a hang problem"
_WHAT_SPREAD = "a spread"


@dataclass(frozen=True, slots=True, kw_only=True)
class HangAnswer:
    """A hang with the hash of what it was asked, and its spread if that was asked too."""

    hang: Hang
    spread: SpreadAnswer | None
    input_sha256: str

    @property
    def stops(self) -> bool:
        """Whether the answer is no: it would capsize or is out of reach, itself or anywhere in its spread."""
        found = self.spread
        return str(self.hang.status) != "stable" or (
            found is not None
            and (
                found.corner_capsizes
                or found.corner_unreachable
                or found.chance_capsizes + found.chance_unreachable > 0
            )
        )


def solve_hang(
    content: bytes, file: str = "", *, spread: bytes | None = None, spread_file: str = ""
) -> HangAnswer:
    """Read a hang problem (contract or short form) and solve it.

    Parameters
    ----------
    content, file
        The problem's bytes and its file's name.
    spread, spread_file
        The same of a spread; None = the deterministic hang alone.

    Raises
    ------
    InputFault
        Every fault of both files; the spread's fields are under `spread`.
    """
    from slingwright.hang.document import problem_from_document
    from slingwright.hang.spread import solve_spread, spread_from_document

    faults: list[Fault] = []
    problem = asked = None
    try:
        problem = problem_from_document(read_tables(content, file, what=_WHAT))
    except InputFault as fault:
        faults += fault.faults
    if spread is not None:
        try:
            asked = spread_from_document(read_tables(spread, spread_file, what=_WHAT_SPREAD), "spread")
        except InputFault as fault:
            faults += (Fault(f.field or "spread", f.problem, f.hint) for f in fault.faults)
    if faults or problem is None:
        raise InputFault(faults)
    from slingwright.hang.solve import solve

    return HangAnswer(
        hang=solve(problem),
        spread=None if asked is None else solve_spread(problem, asked),
        input_sha256=hash_input(content),
    )


def hang_document(answer: HangAnswer, *, language: str = "en") -> dict[str, object]:
    """The `slingwright/hang/1` document; its keys are those of an offer's case `result`, with a head."""
    from slingwright.hang.document import hang_to_document

    seed = None if answer.spread is None else answer.spread.seed
    document = head("hang/1", input_sha256=answer.input_sha256, seed=seed) | hang_to_document(answer.hang)
    if answer.spread is not None:
        from slingwright.hang.spread import spread_to_document

        document["spread"] = spread_to_document(answer.spread)
    from slingwright.words.hanging import hang_caution_codes, hang_caution_text

    codes = hang_caution_codes(spread=answer.spread is not None)
    document["cautions"] = [hang_caution_text(code, language=language) for code in codes]
    return document
