"""Whatever goes wrong, as RFC 9457 has it: problem+json, with all faults found as the extension `faults`."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from slingwright.desk.bench import Busy
from slingwright.desk.jobs import Died
from slingwright.desk.pages.trouble import for_people, trouble_page
from slingwright.errors import Fault, InputFault
from slingwright.words import languages
from slingwright.words.catalogue import SOURCE
from slingwright.words.faults import fault_text

__all__ = ["Refused", "answer_problems", "busy", "problem", "problem_for", "problem_of"]

_RETRY_S = 5


class _Problem(JSONResponse):
    """All in ASCII: a fault repeats what was sent, and that may hold half a letter (a lone surrogate)."""

    media_type = "application/problem+json"

    def render(self, content: object) -> bytes:
        return json.dumps(content, allow_nan=False).encode("ascii")


def problem_of(fault: InputFault, language: str = SOURCE) -> dict[str, Any]:
    """The problem document of a fault; what has no words in the language stays English."""
    document = _document(422, "The input is at fault", fault.problem, fault.faults)
    return {key: _said(value, language) for key, value in document.items()}


def _said(value: Any, language: str) -> Any:
    """Every sentence of a problem document in a language; its fields and numbers stay."""
    if isinstance(value, str):
        return fault_text(value, language=language) or value
    if isinstance(value, list):
        return [{k: v if k == "field" else _said(v, language) for k, v in one.items()} for one in value]
    return value


def _language(request: Request) -> str:
    """As the rest of the API: what the address asks for, else the desk's own; itself never a fault."""
    asked: str = request.query_params.get("language", "")
    if asked in languages():
        return asked
    app = request.scope.get("app")  # none where a middleware outside the desk answers
    bench = getattr(app.state, "bench", None) if app is not None else None
    return bench.settings.language if bench is not None else "en"


def problem(status: int, title: str, detail: str) -> JSONResponse:
    """A problem that is nobody's field."""
    return _Problem(_document(status, title, detail), status_code=status)


def problem_for(request: Request, status: int, title: str, detail: str) -> Response:
    """A problem that is nobody's field: a page where a browser asks for one, else the document."""
    if for_people(request):
        return trouble_page(request, status)
    language = _language(request)
    told = {key: _said(value, language) for key, value in _document(status, title, detail).items()}
    return _Problem(told, status_code=status, headers={"Content-Language": language})


class Refused(Exception):  # noqa: N818  (nobody's error)
    """A paper is asked for and the answer is no; its text says which document tells why."""


def answer_problems(app: FastAPI) -> None:
    """Let an app answer every fault with a problem document."""
    app.add_exception_handler(InputFault, _input_fault)
    app.add_exception_handler(RequestValidationError, _unfit_parameters)
    app.add_exception_handler(HTTPException, _no_such)
    app.add_exception_handler(Refused, _refused)
    app.add_exception_handler(Busy, _busy)
    app.add_exception_handler(Died, _died)


def _document(status: int, title: str, detail: str, faults: Iterable[Fault] = ()) -> dict[str, Any]:
    # what the command line calls an option is a field of the same name here
    told = [{"field": f.field.removeprefix("--"), "problem": f.problem, "hint": f.hint} for f in faults]
    document: dict[str, Any] = {"type": "about:blank", "title": title, "status": status, "detail": detail}
    if told:
        document |= {"field": told[0]["field"], "hint": told[0]["hint"], "faults": told}
    return document


async def _input_fault(request: Request, fault: Exception) -> JSONResponse:
    assert isinstance(fault, InputFault)
    language = _language(request)
    return _Problem(problem_of(fault, language), status_code=422, headers={"Content-Language": language})


async def _unfit_parameters(request: Request, fault: Exception) -> JSONResponse:
    assert isinstance(fault, RequestValidationError)
    found = (Fault(".".join(str(part) for part in e["loc"][1:]), e["msg"]) for e in fault.errors())
    return await _input_fault(request, InputFault(found))


async def _refused(request: Request, refused: Exception) -> JSONResponse:
    language = _language(request)
    document = _document(409, "The answer is no", str(refused))
    told = {key: _said(value, language) for key, value in document.items()}
    return _Problem(told, status_code=409, headers={"Content-Language": language})


async def _no_such(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, HTTPException)
    title = str(fault.detail)
    told = f"{request.method} is not answered here" if fault.status_code in (404, 405) else title
    answer = problem_for(request, fault.status_code, title, told)
    answer.headers.update(fault.headers or {})
    return answer


async def _died(request: Request, fault: Exception) -> Response:
    told = "a fault of this desk, not of the lift: nothing is known of it; ask again"
    return problem_for(request, 503, "The search has ended before its time", told)


async def _busy(request: Request, fault: Exception) -> Response:
    return busy(request)


def busy(request: Request) -> Response:
    """The answer to one too many, with the time to come back."""
    told = "too many searches wait already; ask again in a few seconds"
    answer = problem_for(request, 503, "The desk is busy", told)
    answer.headers["Retry-After"] = str(_RETRY_S)
    return answer
