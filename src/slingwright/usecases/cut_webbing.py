"""Plan the cutting of a job's webbings; the clock is handed in, and each plan is timed by it."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from slingwright.errors import fail
from slingwright.usecases.documents import hash_input, read_tables
from slingwright.usecases.made_by import head

if TYPE_CHECKING:
    from slingwright.make.cutting import CutPlan, CutRequest

__all__ = ["CutAnswer", "cut_document", "cut_webbing", "print_cut_list", "read_limit_s"]

_JSON_LIST = re.compile(r"\s*\[\s*[{\]]")
_MOST_LIMIT_S = 3600
_STOPS = ("infeasible", "unknown")


@dataclass(frozen=True, slots=True, kw_only=True)
class CutAnswer:
    """One plan a webbing, in the job's order, each with the seconds it took."""

    request: CutRequest
    plans: tuple[CutPlan, ...]
    seconds: tuple[float, ...]
    input_sha256: str

    @property
    def stops(self) -> bool:
        """Whether a webbing has no plan: its rolls do not suffice, or none was found in time."""
        return any(plan.status in _STOPS for plan in self.plans)


def cut_webbing(
    content: bytes, file: str, *, limit_s: float, clock: Callable[[], float], whole_s: float = math.inf
) -> CutAnswer:
    """Read a cut job and plan each of its webbings.

    Parameters
    ----------
    content, file
        The job's bytes and its file's name.
    limit_s
        Seconds for each webbing.
    clock
        A running count of seconds.
    whole_s
        Seconds for all webbings together; those that come after it have no plan yet.

    Raises
    ------
    InputFault
        Every fault of the file.
    """
    request = _read(content, file)
    from slingwright.make.cutting.solve import solve_cut

    plans: list[CutPlan] = []
    seconds: list[float] = []
    for problem in request.problems:
        started = clock()
        left_s = max(0.0, whole_s - sum(seconds))
        plans.append(solve_cut(problem, time_limit_s=min(limit_s, left_s), clock=clock))
        seconds.append(clock() - started)
    return CutAnswer(
        request=request, plans=tuple(plans), seconds=tuple(seconds), input_sha256=hash_input(content)
    )


def _read(content: bytes, file: str) -> CutRequest:
    from slingwright.make.cutting import parse_cut, read_cut_text

    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as found:
        raise fail("", f"is not a text: byte {found.start} is not UTF-8", "save it as UTF-8") from None
    if not text.strip() or text.lstrip()[0] == "{" or _JSON_LIST.match(text) or file.endswith(".json"):
        return read_cut_text(text)
    # the lift's reader of TOML knows the texts that would keep Python's busy for minutes
    return parse_cut(read_tables(content, "job.toml", what="a cut job"))


def print_cut_list(answer: CutAnswer, *, on: dt.date, units: str | None, language: str = "en") -> bytes:
    """The cut list (PDF): a plan that a cutter can follow, roll by roll, with a picture."""
    from slingwright.papers.cut_list import cut_list
    from slingwright.units import Units

    made_by = head("cut-plan/1", input_sha256=answer.input_sha256)["made_by"]
    assert isinstance(made_by, Mapping)
    return cut_list(answer.plans, made_by=made_by, on=on, units=Units(units or "si"), language=language)


def read_limit_s(text: str) -> float:
    """Read the seconds a webbing may take.

    Raises
    ------
    InputFault
        It is no number of seconds that anyone would wait.
    """
    try:
        limit_s = float(text)
    except ValueError:
        limit_s = -1.0
    if not 0 < limit_s <= _MOST_LIMIT_S:
        raise fail("--limit", f"{text!r} is no number of seconds", f"above 0, at most {_MOST_LIMIT_S}")
    return limit_s


def cut_document(answer: CutAnswer, *, language: str = "en") -> dict[str, object]:
    """The `slingwright/cut-plan/1` document; all of it but `seconds` is the same at every run."""
    from slingwright.make.cutting import cut_answer
    from slingwright.words.cutting import cut_caution_texts

    return {
        **head("cut-plan/1", input_sha256=answer.input_sha256),
        **cut_answer(answer.request, answer.plans, answer.seconds),
        "cautions": list(cut_caution_texts(language=language)),
    }
