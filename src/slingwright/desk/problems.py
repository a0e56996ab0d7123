"""A fault of the input as RFC 9457 has it: problem+json, with all faults found as the extension `faults`."""

from __future__ import annotations

from typing import Any

from fastapi import Request
from fastapi.responses import JSONResponse

from slingwright.errors import InputFault

__all__ = ["problem_of", "problem_response"]


def problem_of(fault: InputFault) -> dict[str, Any]:
    """The problem document of a fault."""
    return {
        "type": "about:blank",
        "title": "The input is at fault",
        "status": 422,
        "detail": fault.problem,
        "field": fault.field,
        "hint": fault.hint,
        "faults": [{"field": f.field, "problem": f.problem, "hint": f.hint} for f in fault.faults],
    }


async def problem_response(request: Request, fault: Exception) -> JSONResponse:
    """Answer a fault that reached the top of the API."""
    assert isinstance(fault, InputFault)
    return JSONResponse(problem_of(fault), status_code=422, media_type="application/problem+json")
