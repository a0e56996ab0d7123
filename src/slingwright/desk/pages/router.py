"""The pages: a lift in by form, file or link, its answer and papers out. All works without a script."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse
from starlette.datastructures import QueryParams as Query

from slingwright.desk.bench import Bench, Look
from slingwright.desk.form import FIELDS
from slingwright.desk.link import pack_lift, unpack_lift
from slingwright.desk.pages.asked import customer_of, look_of, query_of, whole_of
from slingwright.desk.pages.figure import pose_of
from slingwright.desk.pages.live import add_live, live_lift
from slingwright.desk.pages.opened import opened_lift
from slingwright.desk.pages.papers import QUOTED, Asked, paper_of, quoted_paper
from slingwright.desk.pages.render import Shown, lift_page, render, sketch_part
from slingwright.desk.pages.typed import tables_of, unknown_of, words_of
from slingwright.errors import Fault, InputFault
from slingwright.words import read_catalogue

__all__ = ["pages_router"]


def pages_router(bench: Bench, *, today: Callable[[], date]) -> APIRouter:
    """Make the pages' routes."""
    router = APIRouter(default_response_class=HTMLResponse)

    @router.get("/")
    def empty(request: Request) -> HTMLResponse:
        return lift_page(bench, {}, look_of(request), Shown())

    @router.get("/example/{name}")
    def example(name: str, request: Request) -> Response:
        look = look_of(request)
        for one in bench.examples():
            if one.name == name:
                return _to_lift(one.tables, look)
        shown = Shown(faults=[Fault("", f'there is no example "{name}"', "")])
        return lift_page(bench, {}, look, shown, status=404)

    @router.get("/lift")
    async def lift(request: Request) -> Response:
        if "hx-request" in request.headers:  # opened in place
            return await live_lift(bench, request)
        return await opened_lift(bench, request)

    @router.post("/lift")
    async def typed(request: Request) -> Response:
        async with request.form(max_files=1, max_fields=400) as form:
            look = look_of(request, form)
            words, unknown = words_of(form), unknown_of(form)
            try:
                to = _to_lift(await tables_of(form, words, bench, look), look)
            except InputFault as fault:
                shown = Shown(faults=fault.faults, typed=words, pressed=not unknown)
                return lift_page(bench, {}, look, shown, status=422)
            if unknown:  # nobody asked for an answer yet: what is still empty is no fault
                to.headers["location"] += f"&half=1#{unknown}"
            return to

    @router.post("/lift/sketch")
    async def sketch(request: Request) -> HTMLResponse:
        async with request.form(max_files=1, max_fields=400) as form:
            words = {key: value for key, value in form.items() if isinstance(value, str)}
            return sketch_part(words, look_of(request, form))

    _add_slings(router, bench, today)
    add_live(router, bench)

    _add_papers(router, bench, today)
    return router


def _add_papers(router: APIRouter, bench: Bench, today: Callable[[], date]) -> None:
    """The route of a lift's papers."""

    @router.get("/lift/{paper}")
    def paper(paper: str, request: Request) -> Response:
        query = request.query_params
        look = look_of(request)
        try:
            tables = unpack_lift(query.get("l", ""))
        except InputFault as fault:
            return lift_page(bench, {}, look, Shown(faults=fault.faults), status=422)
        try:
            asked = Asked(
                paper=paper, offer=whole_of(query.get("offer")), pose=pose_of(query.get("pose")),
                item=whole_of(query.get("item")) + 1, customer=customer_of(query), on=today(),
            )  # fmt: skip
            return paper_of(bench, tables, look, asked)
        except InputFault as fault:
            return lift_page(bench, tables, look, Shown(faults=fault.faults), status=422)


def _add_slings(router: APIRouter, bench: Bench, today: Callable[[], date]) -> None:
    """The routes of a sling that somebody knows, and of the drawings that explain a word."""

    @router.get("/sling")
    def sling(request: Request) -> HTMLResponse:
        return _sling(bench, request.query_params, look_of(request), today())

    @router.get("/sling/{paper}")
    def sling_paper(paper: str, request: Request) -> Response:
        from slingwright.desk.pages.sling import quote_for

        look = look_of(request)
        if paper not in QUOTED:
            fault = Fault("", f"there is no paper {paper!r}", "")
            return lift_page(bench, {}, look, Shown(faults=[fault]), status=404)
        try:
            return quoted_paper(quote_for(bench, request.query_params, look, today()), paper, 1)
        except InputFault:
            return _sling(bench, request.query_params, look, today())

    @router.get("/explain/{name}.svg")
    def explain(name: str, request: Request) -> Response:
        from slingwright.draw import EXPLAINED, explain_drawing

        look = look_of(request)
        if name not in EXPLAINED:
            fault = Fault("", f"nothing explains {name!r}", "")
            return lift_page(bench, {}, look, Shown(faults=[fault]), status=404)
        return Response(explain_drawing(name, look.language), media_type="image/svg+xml")


def _sling(bench: Bench, said: Query, look: Look, on: date) -> HTMLResponse:
    from slingwright.desk.pages.faults import told_of_sling
    from slingwright.desk.pages.sling import GROUPS, NEEDED, choices_of, sling_view, units_of
    from slingwright.desk.pages.wanted import lift_wanting

    fields = [field for group in GROUPS.values() for field in group]
    asked = {key: value for key, value in said.items() if key in fields}
    view = sling_view(bench, asked, look, on) if asked else None
    faults = told_of_sling(view.faults if view else (), look, fields)
    title = read_catalogue(look.language).fill("desk-sling", "lifts-title", sling=view.named if view else "")
    base = pack_lift(lift_wanting(asked, title)) if view and view.named else ""
    needed = NEEDED if bench.settings.rulebook else {"rulebook", *NEEDED}
    html = render(
        "sling.html", look, groups=GROUPS, needed=needed,
        said=asked, base=base, query=urlencode(asked), lift_fields=[f for f in FIELDS if f.path in _LIFTED],
        choices={key: choices_of(key, look.language) for key in fields}, view=view,
        units_shown=units_of(bench, asked, look),
        faults=faults, wrong={told.id for told in faults},
    )  # fmt: skip
    return HTMLResponse(html, status_code=422 if faults else 200)


_LIFTED = (
    "load.weight",
    "load.shape",
    "load.length",
    "load.width",
    "load.height",
    "load.diameter",
    "load.centre_of_gravity",
    "hook.headroom",
)  # what is asked of a load to be lifted with a sling that is known


def _to_lift(tables: Mapping[str, Any], look: Look) -> Response:
    return RedirectResponse(f"/lift?{query_of(tables, look)}", status_code=303)
