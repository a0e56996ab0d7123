"""The API of the floor and the office: cut plans, routing, spreadsheets in and out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from typing import Annotated, Literal

from fastapi import APIRouter, Query, Response
from starlette.concurrency import run_in_threadpool

from slingwright.desk.api.answers import (
    XLSX,
    At,
    Document,
    Shown,
    answers,
    csv_or_xlsx,
    paper,
    papers,
    settings_of,
)
from slingwright.desk.api.body import Sent, SentFile, Table, body, table_body
from slingwright.desk.api.examples import Examples
from slingwright.desk.bench import MOST_SECONDS, Bench, Look
from slingwright.errors import fail
from slingwright.usecases.settings import Settings

__all__ = ["add_floor"]

_Kind = Literal["stock", "rolls", "order"]
_Form = Literal["csv", "xlsx"]
_MOST_LENGTHS = 10
_SHEET = (
    "number,customer,rulebook,form,fibre,class,plies,width,length,quantity\n"
    "EX-7,Saltmarsh Boatyard (fictional),us,twisted-eye,polyester,7,2,2 in,9 ft,4\n"
)


def add_floor(router: APIRouter, bench: Bench, *, today: Callable[[], date], examples: Examples) -> None:
    """Add the routes."""
    job = body("A cut job, or a list of them.", examples["cut-problem"])
    day = body("A day's orders.", examples["routing-day"])
    plan = body("A cut plan, as `/cut` answers it.", examples["cut-plan"])
    lists = papers("text/csv", "The list.")
    lists[200]["content"][XLSX] = {"schema": {"type": "string", "format": "binary"}}
    del lists[409]

    @router.post("/cut", summary="A cut plan", openapi_extra=job, responses=answers("cut-plan"))
    async def cut(sent: Sent, look: Shown) -> Response:
        """The document `slingwright/cut-plan/1`, as `slingwright cut --json` prints it."""
        return await run_in_threadpool(_cut, bench, sent, look, None)

    @router.post(
        "/papers/cut-list", summary="The cut list", openapi_extra=job, responses=papers("application/pdf")
    )
    async def cut_list(sent: Sent, look: Shown, at: At = None) -> Response:
        """The PDF that a cutter follows, roll by roll."""
        return await run_in_threadpool(_cut, bench, sent, look, at or today())

    @router.post("/route", summary="Which loft makes what", openapi_extra=day, responses=answers("route"))
    async def route(sent: Sent, look: Shown) -> Response:
        """The document `slingwright/route/1`, as `slingwright route --json` prints it."""
        return await run_in_threadpool(_route, bench, sent, look)

    sheet = table_body("A spreadsheet; its first row names the columns as the file names its keys.", _SHEET)

    @router.post(
        "/load/{kind}", summary="A file from a spreadsheet", openapi_extra=sheet, responses=answers("load")
    )
    async def load(kind: _Kind, sent: Table) -> Response:
        """The document `slingwright/load/1`, as `slingwright load --json` prints it; nothing is kept."""
        return await run_in_threadpool(_loaded, bench, kind, sent.content)

    @router.get("/export/price-list/{form}", summary="A price list", responses=lists)
    async def prices(
        form: _Form, rulebook: Literal["us", "en"],
        lengths: Annotated[str, Query(max_length=200, examples=["6 ft, 10 ft, 20 ft"])], at: At = None,
    ) -> Response:  # fmt: skip
        """All that the shop can sew in these lengths, as `slingwright export price-list` writes it."""
        if lengths.count(",") >= _MOST_LENGTHS:
            raise fail("lengths", "are too many", f"at most {_MOST_LENGTHS}")
        settings = replace(bench.settings, rulebook=rulebook)
        request = _Export(kind="price-list", form=form, on=at or today(), lengths=lengths)
        return await run_in_threadpool(_exported, bench, settings, request)

    @router.post("/export/cut-list/{form}", summary="A cut list", openapi_extra=plan, responses=lists)
    async def cuts(form: _Form, sent: Sent, at: At = None) -> Response:
        """A cut plan as a spreadsheet, as `slingwright export cut-list` writes it."""
        request = _Export(kind="cut-list", form=form, on=at or today(), plan=(sent.content, sent.name))
        return await run_in_threadpool(_exported, bench, bench.settings, request)


def _cut(bench: Bench, sent: SentFile, look: Look, on: date | None) -> Response:
    from slingwright.usecases.cut_webbing import cut_document, cut_webbing, print_cut_list

    settings = settings_of(bench, look)
    with bench.turn():
        answer = cut_webbing(
            sent.content, sent.name, limit_s=MOST_SECONDS, whole_s=MOST_SECONDS, clock=bench.clock
        )
        if on is None:
            return Document(cut_document(answer, language=settings.language))
        return paper(print_cut_list(answer, on=on, units=settings.units, language=settings.language))


def _route(bench: Bench, sent: SentFile, look: Look) -> Response:
    from slingwright.usecases.route_orders import route_document, route_orders

    with bench.turn():
        answer = route_orders(
            sent.content, sent.name, settings_of(bench, look), clock=bench.clock, limit_s=MOST_SECONDS
        )
        return Document(route_document(answer))


def _loaded(bench: Bench, kind: _Kind, content: bytes) -> Response:
    from slingwright.usecases.spreadsheets import Coming, load_document, load_rows_of

    with bench.turn():
        text = load_rows_of(Coming(kind), content, bench.settings)
        return Document(load_document(Coming(kind), text, content))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Export:
    """A list, its file's form and day, and what it is made from."""

    kind: str
    form: _Form
    on: date
    lengths: str | None = None
    plan: tuple[bytes, str] | None = None


def _exported(bench: Bench, settings: Settings, asked: _Export) -> Response:
    from slingwright.usecases.spreadsheets import ExportRequest, Going, export_rows

    request = ExportRequest(
        kind=Going(asked.kind),
        settings=settings,
        workbook=asked.form == "xlsx",
        on=asked.on,
        lengths=asked.lengths,
        plan=asked.plan,
    )
    with bench.turn():
        content, _ = export_rows(request)
    return csv_or_xlsx(content, workbook=request.workbook)
