"""What stands before every page: the size of what is sent, the token, and the headers of what is answered."""

from __future__ import annotations

import base64
import hmac
from collections.abc import Awaitable, Callable, Collection

from fastapi import FastAPI, Request, Response

from slingwright.desk.problems import problem_for

__all__ = ["MOST_BODY", "MOST_UPLOAD", "guard"]

MOST_BODY = 1_100_000  # bytes: a lift file of 1 MB and its envelope
MOST_UPLOAD = 12_000_000  # bytes of a form with files in it: a mesh of 10 MB, far more than a load needs
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors "
)
_HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
    "Cache-Control": "no-store",
}
_UNCHANGING = ("/static/", "/fonts/")  # nothing of a visitor: not fetched again for every page
_Next = Callable[[Request], Awaitable[Response]]


def guard(
    app: FastAPI, *, token: str | None, hosts: Collection[str] = (), embed_origins: Collection[str] = ()
) -> None:
    """Put the guards before an app's pages; with a `token` nobody gets in without it.

    `hosts` are the names the desk may be called by (none = any): a page elsewhere whose name leads to this
    machine could else read the answers. `embed_origins` are those whose pages may show the desk in a frame.
    """
    headers = {"Content-Security-Policy": _POLICY + (" ".join(embed_origins) or "'none'"), **_HEADERS}

    async def failed(request: Request, fault: Exception) -> Response:
        # the server logs the fault itself, to standard error; nothing of it goes out
        detail = "a fault of the desk, not of what was sent; no figure of it may be used"
        response = problem_for(request, 500, "The desk failed", detail)
        response.headers.update(headers)  # it is answered outside of what stands before every page
        return response

    app.add_exception_handler(Exception, failed)

    @app.middleware("http")
    async def stand_before(request: Request, call_next: _Next) -> Response:
        refused = _refused(request, token, hosts)
        response = refused if refused is not None else await call_next(request)
        if request.url.path.startswith(_UNCHANGING) and response.status_code == 200:
            response.headers["Cache-Control"] = "private, max-age=600"
        for name, value in headers.items():
            response.headers.setdefault(name, value)
        return response


def _refused(request: Request, token: str | None, hosts: Collection[str]) -> Response | None:
    if hosts and _host_of(request) not in hosts:
        return problem_for(request, 421, "Not this desk", "the desk is called by another name than its own")
    if token is not None and not _holds(request.headers.get("authorization", ""), token):
        refusal = problem_for(
            request, 401, "This desk asks for its token", "as Bearer, or as the password of any name"
        )
        # a browser asks its user for the second; no cookie is needed then
        refusal.headers["WWW-Authenticate"] = 'Basic realm="Slingwright", charset="UTF-8"'
        return refusal
    if request.method in ("POST", "PUT", "PATCH"):
        length = request.headers.get("content-length", "")
        if not (length.isascii() and length.isdigit()) or len(length) > 15:
            return problem_for(request, 411, "No length", "the length of what is sent must be said")
        form = request.headers.get("content-type", "").lower().startswith("multipart/form-data")
        most = MOST_UPLOAD if form else MOST_BODY
        if int(length) > most:
            return problem_for(request, 413, "Too large", f"more is sent than a lift can need ({most} bytes)")
    return None


def _host_of(request: Request) -> str:
    host = request.headers.get("host", "")
    return host.rpartition(":")[0] if host.rpartition(":")[2].isdigit() else host


def _holds(authorization: str, token: str) -> bool:
    way, _, given = authorization.partition(" ")
    if way.lower() == "basic":
        try:
            given = base64.b64decode(given, validate=True).decode().partition(":")[2]
        except ValueError:
            return False
    return hmac.compare_digest(given.encode(errors="replace"), token.encode())
