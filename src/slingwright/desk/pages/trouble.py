"""The page that stands where a page cannot, for people; programs get a problem document."""

from __future__ import annotations

from fastapi import Request
from fastapi.responses import HTMLResponse

from slingwright.desk.pages.asked import look_of
from slingwright.desk.pages.render import render

__all__ = ["for_people", "trouble_page"]

_TOLD = frozenset({401, 404, 405, 411, 413, 421, 500, 503})
_PASSING = 503  # the same address answers later


def for_people(request: Request) -> bool:
    """Whether a browser asks to show a page: not a program, nor a script of the page."""
    return "text/html" in request.headers.get("accept", "") and not request.url.path.startswith("/api/")


def trouble_page(request: Request, status: int) -> HTMLResponse:
    """Say what is wrong and what to do, in a page of the desk with the given status."""
    again = None
    if status == _PASSING and request.method == "GET":
        again = request.url.path + (f"?{request.url.query}" if request.url.query else "")
    key = str(status) if status in _TOLD else "other"
    html = render("trouble.html", look_of(request), key=key, status=status, again=again)
    return HTMLResponse(html, status_code=status)
