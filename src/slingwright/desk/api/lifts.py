"""The API of a lift: choose, ask, measure, upgrade, and the papers that come straight from a lift."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Annotated, Any

from fastapi import APIRouter, Query, Response
from starlette.concurrency import run_in_threadpool

from slingwright.desk.api.answers import (
    At,
    Document,
    Offer,
    Shown,
    answers,
    check_offer,
    paper,
    papers,
    settings_of,
)
from slingwright.desk.api.body import SentFile, SentParts, parts_body
from slingwright.desk.api.examples import Examples
from slingwright.desk.bench import MOST_SECONDS, Bench, Look
from slingwright.desk.problems import Refused

__all__ = ["add_lifts"]

_Code = Annotated[str | None, Query(max_length=40, description="The question that is answered.")]
_Answer = Annotated[str | None, Query(max_length=200, description='In any unit, or "don\'t know".')]
_Done = Annotated[
    list[str], Query(default_factory=list, max_length=20, description="Questions that were put before.")
]


def add_lifts(
    router: APIRouter, bench: Bench, *, today: Callable[[], date], examples: Examples
) -> None:  # fmt: skip
    """Add the routes."""
    every = parts_body("A lift file.", examples["lift"])
    first = parts_body("A lift file.", dict(list(examples["lift"].items())[:1]))
    loads = parts_body("A lift file; its load is enough.", examples["load"])

    @router.post("/choose", summary="The right slings", openapi_extra=every, responses=answers("offers"))
    async def choose(
        sent: SentParts,
        look: Shown,
        explain: Annotated[bool, Query(description="Also what would change the answer.")] = False,
    ) -> Response:
        """The document `slingwright/offers/1`, as `slingwright choose --json` prints it."""
        return await run_in_threadpool(_chosen, bench, sent, look, explain=explain)

    @router.post("/ask", summary="The next question", openapi_extra=first, responses=answers("ask"))
    async def ask(
        sent: SentParts, look: Shown, done: _Done, code: _Code = None, answer: _Answer = None
    ) -> Response:  # fmt: skip
        """The document `slingwright/ask/1`, as `slingwright ask --json` prints it.

        Nothing is kept between questions: send the `lift` and the `done` of the answer before.
        """
        return await run_in_threadpool(_asked, bench, sent, look, tuple(done), code, answer)

    @router.post("/measure", summary="A load measured", openapi_extra=loads, responses=answers("measured"))
    async def measure(sent: SentParts, look: Shown) -> Response:
        """Weight, centre and sizes from shape, parts or a mesh; with a lift that needs the mesh no more."""
        return await run_in_threadpool(_measured, bench, sent, look)

    @router.post(
        "/upgrade", summary="A lift in today's form", openapi_extra=first, responses=answers("upgrade")
    )
    async def upgrade(sent: SentParts) -> Response:
        """The document `slingwright/upgrade/1`, as `slingwright upgrade --json` prints it."""
        return await run_in_threadpool(_upgraded, bench, sent)

    sheets = papers("application/pdf")

    @router.post("/papers/lift-sheet", summary="The lift sheet", openapi_extra=first, responses=sheets)
    async def lift_sheet(sent: SentParts, look: Shown, offer: Offer = 1, at: At = None) -> Response:
        """The PDF of an offer, or the sheet that says why not."""
        return await run_in_threadpool(_sheet, bench, sent, look, offer, at or today())

    drawings = papers("image/svg+xml", "The drawing.")

    @router.post("/papers/drawing", summary="The drawing", openapi_extra=first, responses=drawings)
    async def drawing(sent: SentParts, look: Shown, offer: Offer = 1) -> Response:
        """The SVG of an offer."""
        return await run_in_threadpool(_drawing, bench, sent, look, offer)


def _answer(bench: Bench, sent: SentFile, look: Look, *, explained: bool = False) -> Any:
    return bench.answer_file(sent.content, sent.name, look, beside=sent.beside, explained=explained)


def _chosen(bench: Bench, sent: SentFile, look: Look, *, explain: bool) -> Response:
    from slingwright.usecases.offers_document import offers_document

    return Document(offers_document(_answer(bench, sent, look, explained=explain)))


def _asked(
    bench: Bench, sent: SentFile, look: Look, done: tuple[str, ...], code: str | None, answer: str | None
) -> Response:
    from slingwright.usecases.ask import Interview
    from slingwright.usecases.ask_document import ask_document, take_answers

    with bench.turn(), sent.folder() as folder:
        interview = Interview.begin(sent.content, sent.name, folder=folder, settings=settings_of(bench, look))
        take_answers(interview, done=done, code=code, answer=answer)
        return Document(ask_document(interview, sent.content, clock=bench.clock, limit_s=MOST_SECONDS))


def _measured(bench: Bench, sent: SentFile, look: Look) -> Response:
    from slingwright.usecases.measure_load import measure_load, measured_document

    with bench.turn(), sent.folder() as folder:
        measured = measure_load(sent.content, sent.name, folder=folder, settings=settings_of(bench, look))
        return Document(measured_document(measured))


def _upgraded(bench: Bench, sent: SentFile) -> Response:
    from slingwright.usecases.upgrade_file import upgrade_document, upgrade_file

    with bench.turn(), sent.folder() as folder:
        return Document(upgrade_document(upgrade_file(sent.content, sent.name, folder=folder)))


def _sheet(bench: Bench, sent: SentFile, look: Look, offer: int, on: date) -> Response:
    from slingwright.usecases.choose_sling import print_sheet

    chosen = _answer(bench, sent, look)
    check_offer(offer, max(1, len(chosen.answer.offers)))
    return paper(print_sheet(chosen, on=on, offer_index=offer - 1))


def _drawing(bench: Bench, sent: SentFile, look: Look, offer: int) -> Response:
    from slingwright.usecases.choose_sling import draw_chosen

    chosen = _answer(bench, sent, look)
    if chosen.is_stop:
        raise Refused("nothing hangs, so there is nothing to draw; POST /api/v1/choose says why")
    check_offer(offer, len(chosen.answer.offers))
    return Response(draw_chosen(chosen, offer_index=offer - 1), media_type="image/svg+xml")
