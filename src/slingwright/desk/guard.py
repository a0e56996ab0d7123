"""What stands before every page: the size of what is sent, the token, and the headers of what is answered."""

from __future__ import annotations

import hmac
from collections.abc import Awaitable, Callable

from fastapi import FastAPI, Request, Response
from fastapi.responses import PlainTextResponse

__all__ = ["MOST_BODY", "guard"]

MOST_BODY = 1_100_000  # bytes: a lift file of 1 MB and its envelope
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
_HEADERS = {
    "Content-Security-Policy": _POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
    "Cache-Control": "no-store",
}
_Next = Callable[[Request], Awaitable[Response]]


def guard(app: FastAPI, *, token: str | None) -> None:
    """Put the guards before an app's pages; with a `token` nobody gets in without it."""

    @app.middleware("http")
    async def stand_before(request: Request, call_next: _Next) -> Response:
        refused = _refused(request, token)
        response = refused if refused is not None else await call_next(request)
        for name, value in _HEADERS.items():
            response.headers.setdefault(name, value)
        return response


def _refused(request: Request, token: str | None) -> Response | None:
    if token is not None:
        given = request.headers.get("authorization", "").removeprefix("Bearer ")
        if not hmac.compare_digest(given.encode(), token.encode()):
            refusal = PlainTextResponse("This desk asks for its token.\n", status_code=401)
            refusal.headers["WWW-Authenticate"] = "Bearer"
            return refusal
    if request.method in ("POST", "PUT", "PATCH"):
        length = request.headers.get("content-length", "")
        if not length.isdigit():
            return PlainTextResponse("The length of what is sent must be said.\n", status_code=411)
        if int(length) > MOST_BODY:
            return PlainTextResponse("More is sent than a lift can need (1 MB).\n", status_code=413)
    return None
