"""The pages: a lift in by form, file or link, its answer and papers out. All works without a script."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from functools import partial
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse
from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from starlette.datastructures import FormData, UploadFile
from starlette.datastructures import QueryParams as Query

from slingwright.desk.bench import Bench, Look
from slingwright.desk.form import FIELDS, field_id, fields_of, pick_rows, tables_from_form, typed_rows
from slingwright.desk.link import pack_lift, unpack_lift
from slingwright.errors import Fault, InputFault
from slingwright.usecases.lift_text import lift_text
from slingwright.words import read_catalogue

__all__ = ["pages_router"]

_UNITS = ("us", "si")
_ENVIRONMENT = Environment(
    loader=PackageLoader("slingwright.desk"),
    autoescape=select_autoescape(default=True),
    undefined=StrictUndefined,
)


def pages_router(bench: Bench, *, today: Callable[[], date]) -> APIRouter:
    """Make the pages' routes."""
    router = APIRouter(default_response_class=HTMLResponse)

    @router.get("/")
    def empty() -> HTMLResponse:
        return _page(bench, {}, Look(), faults=())

    @router.get("/example/{name}")
    def example(name: str) -> Response:
        for one in bench.examples():
            if one.name == name:
                return _to_lift(one.tables, Look())
        return _page(bench, {}, Look(), faults=[Fault("", f"there is no example {name!r}", "")], status=404)

    @router.get("/lift")
    def lift(request: Request) -> HTMLResponse:
        look, query = _look(request.query_params), request.query_params
        try:
            tables = unpack_lift(query.get("l", ""))
        except InputFault as fault:
            return _page(bench, {}, look, faults=fault.faults, status=422)
        return _answered(bench, tables, look, offer=_whole(query.get("offer")), explain="explain" in query)

    @router.post("/lift")
    async def typed(request: Request) -> Response:
        async with request.form(max_files=1, max_fields=400) as form:
            look = _look(form)
            words = {key: value for key, value in form.items() if isinstance(value, str)}
            try:
                return _to_lift(await _tables(form, words), look)
            except InputFault as fault:
                return _page(bench, {}, look, faults=fault.faults, status=422, typed=words)

    @router.get("/sling")
    def sling(request: Request) -> HTMLResponse:
        return _sling(bench, request.query_params)

    @router.get("/lift/{paper}")
    def paper(paper: str, request: Request) -> Response:
        query = request.query_params
        look, offer = _look(query), _whole(query.get("offer"))
        try:
            tables = unpack_lift(query.get("l", ""))
            return _paper(bench, tables, look, paper, offer, today())
        except InputFault as fault:
            return _page(bench, {}, look, faults=fault.faults, status=422)

    return router


def _sling(bench: Bench, said: Query) -> HTMLResponse:
    from slingwright.desk.pages.sling import FIELDS as SLING_FIELDS
    from slingwright.desk.pages.sling import choices_of, sling_view

    look = _look(said)
    asked = {key: value for key, value in said.items() if key in SLING_FIELDS}
    view = sling_view(bench, asked, look) if asked else None
    faults = view.faults if view else ()
    html = _ENVIRONMENT.get_template("sling.html").render(
        say=partial(_say, read_catalogue(look.language)), language=look.language, fields=SLING_FIELDS,
        said=asked,
        choices={key: choices_of(key, look.language) for key in SLING_FIELDS}, view=view,
        wrong={fault.field for fault in faults},
    )  # fmt: skip
    return HTMLResponse(html, status_code=422 if faults else 200)


async def _tables(form: FormData, words: Mapping[str, str]) -> dict[str, Any]:
    """The lift that a form holds: as a file, as a file's text, or in its fields."""
    from slingwright.usecases.documents import read_tables

    file = form.get("file")
    if isinstance(file, UploadFile):
        return read_tables(await file.read(), file.filename or "", what="a lift")
    if "text" in words:
        return read_tables(words["text"].encode(), "", what="a lift")
    base = unpack_lift(words["base"]) if words.get("base") else {}
    return tables_from_form(base, words)


def _look(said: Query | FormData) -> Look:
    units = said.get("units")
    return Look(units=units if units in _UNITS else None)


def _whole(text: str | None) -> int:
    return (
        int(text) - 1 if text is not None and text.isascii() and text.isdigit() and 0 < int(text) < 100 else 0
    )


def _query(tables: Mapping[str, Any], look: Look) -> str:
    units = f"&units={look.units}" if look.units else ""
    return f"l={pack_lift(tables)}{units}"


def _to_lift(tables: Mapping[str, Any], look: Look) -> Response:
    return RedirectResponse(f"/lift?{_query(tables, look)}", status_code=303)


def _answered(bench: Bench, tables: dict[str, Any], look: Look, *, offer: int, explain: bool) -> HTMLResponse:
    from slingwright.desk.pages.view import view_of

    try:
        chosen = bench.answer(tables, look)
    except InputFault as fault:
        return _page(bench, tables, look, faults=fault.faults, status=422)
    if explain:
        chosen = bench.explain(chosen)
    return _page(bench, tables, look, faults=(), view=view_of(chosen, offer=offer), explained=explain)


def _paper(bench: Bench, tables: dict[str, Any], look: Look, paper: str, offer: int, on: date) -> Response:
    from slingwright.usecases.choose_sling import draw_chosen, print_sheet, scene_of_chosen

    if paper == "lift.toml":
        return _file(lift_text(tables, as_json=False), "application/toml", paper)
    if paper not in ("sheet.pdf", "drawing.svg", "scene.json"):
        return _page(bench, tables, look, faults=[Fault("", f"there is no paper {paper!r}", "")], status=404)
    chosen = bench.answer(tables, look)
    shown = max(0, min(offer, len(chosen.answer.offers) - 1))
    if paper == "sheet.pdf":
        return _file(print_sheet(chosen, on=on, offer_index=shown), "application/pdf", paper)
    if chosen.is_stop:
        fault = Fault("", "this lift is a stop: nothing hangs that could be drawn", "")
        return _page(bench, tables, look, faults=[fault], status=404)
    if paper == "scene.json":
        return JSONResponse(scene_of_chosen(chosen, offer_index=shown))
    return _file(draw_chosen(chosen, offer_index=shown), "image/svg+xml", paper)


def _file(content: str | bytes, kind: str, name: str) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=kind, headers=headers)


def _page(
    bench: Bench,
    tables: Mapping[str, Any],
    look: Look,
    *,
    faults: Any,
    status: int = 200,
    view: Any = None,
    explained: bool = False,
    typed: Mapping[str, str] | None = None,
) -> HTMLResponse:
    """The one page in each of its states; what was `typed` stays in its fields."""
    catalogue = read_catalogue(look.language)
    values = fields_of(tables) | {k: v for k, v in (typed or {}).items() if not k.startswith("load.pick")}
    rows = typed_rows(pick_rows(tables), typed or {})
    html = _ENVIRONMENT.get_template("lift.html").render(
        say=partial(_say, catalogue), language=look.language, look=look, fields=FIELDS, values=values,
        rows=rows, several_hooks=isinstance(tables.get("hook"), list), view=view,
        explained=explained, examples=bench.examples(), query=_query(tables, look) if tables else "",
        base=(typed or {}).get("base", pack_lift(tables) if tables else ""),
        text=lift_text(tables, as_json=False) if tables else "",
        faults=[(fault, field_id(fault.field)) for fault in faults],
        wrong={field_id(fault.field) for fault in faults},
    )  # fmt: skip
    return HTMLResponse(html, status_code=status)


def _say(catalogue: Any, section: str, key: str, **figures: str) -> str:
    said: str = catalogue.fill(section, key, **figures)
    return said
