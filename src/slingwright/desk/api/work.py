"""The API of the shop's work: quotes, orders laid out, and every paper. Nothing is kept of what is sent."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Annotated, Any, Literal

from fastapi import APIRouter, Query, Response
from fastapi.responses import JSONResponse
from pydantic import BeforeValidator
from starlette.concurrency import run_in_threadpool

from slingwright.desk.api.body import Language, Sent, SentFile, body
from slingwright.desk.bench import MOST_SECONDS, Bench, Look
from slingwright.desk.problems import refusal
from slingwright.errors import fail

if TYPE_CHECKING:
    from slingwright.usecases.make_order import MadeOrder
    from slingwright.usecases.quote import Quoted

__all__ = ["add_work"]

_Units = Annotated[Literal["us", "si"] | None, Query()]
_Offer = Annotated[int, Query(ge=1, le=99, description="Which offer, from 1.")]
_Customer = Annotated[str | None, Query(max_length=200)]


def _day(text: object) -> object:
    """Let a written date through alone: a bare number would count from 1970, and date a paper."""
    if isinstance(text, str) and _DAY.fullmatch(text) is None:
        msg = "write it as 2026-05-31"
        raise ValueError(msg)
    return text


_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_At = Annotated[date | None, BeforeValidator(_day), Query(description="The paper's date; left out: today.")]
_ORDER = {
    "schema": "slingwright/order/1",
    "number": "HQ-1042",
    "customer": "Saltmarsh Boatyard (fictional)",
    "rulebook": "us",
    "line": [
        {
            "spec": {
                "form": "twisted-eye", "fibre": "polyester", "class": 7, "plies": 2, "width": "2 in",
                "length": "9 ft",
            },
            "quantity": 4,
        }
    ],
}  # fmt: skip
_PDF: dict[int | str, dict[str, Any]] = {
    200: {"content": {"application/pdf": {}}, "description": "The paper."},
    409: {
        "content": {"application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}}},
        "description": "There is no such paper, for the answer is no; the document says why.",
    },
}
_SVG = {**_PDF, 200: {"content": {"image/svg+xml": {}}, "description": "The drawing."}}
_PaperName = Literal["quote", "data-sheet"]


def add_work(
    router: APIRouter, bench: Bench, *, today: Callable[[], date], lift_example: Mapping[str, Any]
) -> None:
    """Add the routes."""
    lift = body("A lift file.", lift_example)
    quotable = body("A lift, an offers document or an order.", lift_example)
    order = body("An order.", _ORDER)

    @router.post("/quote", summary="A numbered quote", openapi_extra=quotable)
    async def quote(
        sent: Sent,
        offer: _Offer = 1,
        customer: _Customer = None,
        at: _At = None,
        units: _Units = None,
        language: Language = "en",
    ) -> JSONResponse:
        """The document `slingwright/quote/1`, as `slingwright quote --json` prints it."""
        from slingwright.usecases.quote_document import quote_document

        asked = _Ask(bench, sent, units, language)
        quoted = await run_in_threadpool(asked.quoted, offer, customer, at or today())
        return JSONResponse(quote_document(quoted))

    @router.post("/make", summary="An order laid out", openapi_extra=order)
    async def make(sent: Sent, units: _Units = None, language: Language = "en") -> JSONResponse:
        """The document `slingwright/make/1`, as `slingwright make --json` prints it."""
        from slingwright.usecases.make_document import make_document

        return JSONResponse(make_document(await run_in_threadpool(_Ask(bench, sent, units, language).made)))

    @router.post("/papers/lift-sheet", summary="The lift sheet", openapi_extra=lift, responses=_PDF)
    async def lift_sheet(
        sent: Sent, offer: _Offer = 1, at: _At = None, units: _Units = None, language: Language = "en"
    ) -> Response:
        """The PDF of an offer, or the sheet that says why not."""
        asked = _Ask(bench, sent, units, language)
        return _pdf(await run_in_threadpool(asked.sheet, offer, at or today()))

    @router.post("/papers/drawing", summary="The drawing", openapi_extra=lift, responses=_SVG)
    async def drawing(
        sent: Sent, offer: _Offer = 1, units: _Units = None, language: Language = "en"
    ) -> Response:
        """The SVG of an offer."""
        svg = await run_in_threadpool(_Ask(bench, sent, units, language).drawing, offer)
        if svg is None:
            return refusal("nothing hangs, so there is nothing to draw; POST /api/v1/choose says why")
        return Response(svg, media_type="image/svg+xml")

    @router.post("/papers/{paper}", summary="A quote or a data sheet", openapi_extra=quotable, responses=_PDF)
    async def quoted_paper(
        sent: Sent, paper: _PaperName, offer: _Offer = 1, item: _Offer = 1,
        customer: _Customer = None, at: _At = None, units: _Units = None, language: Language = "en",
    ) -> Response:  # fmt: skip
        """The PDF of what `/quote` quotes."""
        asked = _Ask(bench, sent, units, language)
        pdf = await run_in_threadpool(asked.quoted_paper, paper, offer, item, customer, at or today())
        return refusal("nothing is quoted; POST /api/v1/quote says why") if pdf is None else _pdf(pdf)


class _Ask:
    """One request's file, with the settings it is answered under."""

    def __init__(self, bench: Bench, sent: SentFile, units: str | None, language: str) -> None:
        self.bench, self.sent, self.look = bench, sent, Look(units=units, language=language)
        self.settings = replace(bench.settings, units=units or bench.settings.units, language=language)

    def quoted(self, offer: int, customer: str | None, on: date) -> Quoted:
        """What is asked for, quoted."""
        from slingwright.usecases.quote import QuoteRequest, quote_slings

        if customer is not None and not customer.isprintable():
            raise fail("customer", "holds characters that cannot be printed")
        # a folder with nothing in it: what is sent can name files, and none of this machine is for it
        with self.bench.turn(), TemporaryDirectory() as nowhere:
            request = QuoteRequest(
                content=self.sent.content,
                file=self.sent.name,
                folder=Path(nowhere),
                sling={},
                offer=offer,
                customer=customer,
                on=on,
                settings=self.settings,
                limit_s=MOST_SECONDS,
            )
            return quote_slings(request, clock=self.bench.clock)

    def quoted_paper(
        self, paper: _PaperName, offer: int, item: int, customer: str | None, on: date
    ) -> bytes | None:
        """The paper of a quote; None where nothing is quoted."""
        from slingwright.usecases.data_sheet import print_data_sheet
        from slingwright.usecases.quote import print_quote

        quoted = self.quoted(offer, customer, on)
        if quoted.is_stop:
            return None
        return print_quote(quoted) if paper == "quote" else print_data_sheet(quoted, item)

    def made(self) -> MadeOrder:
        """An order laid out."""
        from slingwright.usecases.make_order import MakeRequest, make_order

        with self.bench.turn(), TemporaryDirectory() as nowhere:
            return make_order(
                MakeRequest(
                    content=self.sent.content,
                    file=self.sent.name,
                    folder=Path(nowhere),
                    settings=self.settings,
                )
            )

    def sheet(self, offer: int, on: date) -> bytes:
        """The lift sheet (PDF) of an offer, or the one of a stop."""
        from slingwright.usecases.choose_sling import print_sheet

        chosen = self.bench.answer_file(self.sent.content, self.sent.name, self.look)
        _check_offer(offer, max(1, len(chosen.answer.offers)))
        return print_sheet(chosen, on=on, offer_index=offer - 1)

    def drawing(self, offer: int) -> str | None:
        """The drawing (SVG) of an offer; None where nothing hangs."""
        from slingwright.usecases.choose_sling import draw_chosen

        chosen = self.bench.answer_file(self.sent.content, self.sent.name, self.look)
        if chosen.is_stop:
            return None
        _check_offer(offer, len(chosen.answer.offers))
        return draw_chosen(chosen, offer_index=offer - 1)


def _check_offer(offer: int, most: int) -> None:
    if offer > most:
        raise fail("offer", f"there is no offer {offer}", f"1 to {most}")


def _pdf(content: bytes) -> Response:
    return Response(content, media_type="application/pdf")
