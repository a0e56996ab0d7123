"""The API of the shop's work: quotes, orders and their papers. Nothing is kept of what is sent."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from typing import TYPE_CHECKING, Any, Literal

from fastapi import APIRouter, Response
from starlette.concurrency import run_in_threadpool

from slingwright.desk.api.answers import (
    At,
    Customer,
    Document,
    Offer,
    Serial,
    Shown,
    Specimen,
    answers,
    paper,
    papers,
    settings_of,
)
from slingwright.desk.api.body import SentFile, SentParts, parts_body
from slingwright.desk.api.examples import Examples
from slingwright.desk.bench import MOST_SECONDS, Bench, Look
from slingwright.desk.problems import Refused
from slingwright.errors import fail

if TYPE_CHECKING:
    from slingwright.usecases.certificate import CertifyAnswer
    from slingwright.usecases.make_order import MadeOrder
    from slingwright.usecases.quote import Quoted
    from slingwright.usecases.tag import TagAnswer

__all__ = ["add_work"]

_QuotePaper = Literal["quote", "data-sheet"]
_MakePaper = Literal["approval", "traveler"]
_MOST_SLINGS = 500  # of one request's tags, certificates or traveler: each is a page or a line of its own
_SHUT = "a gate is shut; POST /api/v1/make says which, and specimen=true shows the paper"


def add_work(router: APIRouter, bench: Bench, *, today: Callable[[], date], examples: Examples) -> None:
    """Add the routes."""
    work = _Work(bench)
    _add_documents(router, work, today=today, examples=examples)
    _add_papers(router, work, today=today, examples=examples)


def _add_documents(
    router: APIRouter, work: _Work, *, today: Callable[[], date], examples: Examples
) -> None:  # fmt: skip
    quotable, order, recorded = _bodies(examples)

    @router.post("/quote", summary="A numbered quote", openapi_extra=quotable, responses=answers("quote"))
    async def quote(
        sent: SentParts, look: Shown, offer: Offer = 1, customer: Customer = None, at: At = None
    ) -> Response:
        """The document `slingwright/quote/1`, as `slingwright quote --json` prints it."""
        from slingwright.usecases.quote_document import quote_document

        quoted = await run_in_threadpool(work.quoted, sent, look, offer, customer, at or today())
        return Document(quote_document(quoted))

    @router.post("/make", summary="An order laid out", openapi_extra=order, responses=answers("make"))
    async def make(sent: SentParts, look: Shown) -> Response:
        """The document `slingwright/make/1`, as `slingwright make --json` prints it."""
        from slingwright.usecases.make_document import make_document

        def made() -> Response:
            with work.order(sent, look) as order:
                return Document(make_document(order))

        return await run_in_threadpool(made)

    @router.post("/tag", summary="What an order's tags say", openapi_extra=order, responses=answers("tag"))
    async def tag(
        sent: SentParts, look: Shown, serial: Serial = None, specimen: Specimen = False, at: At = None
    ) -> Response:
        """The document `slingwright/tag/1`, as `slingwright tag --json` prints it."""
        from slingwright.usecases.tag import tag_document

        tags = await run_in_threadpool(work.tags, sent, look, serial, specimen, at or today())
        return Document(tag_document(tags))

    certified = answers("certificate")

    @router.post("/certificate", summary="Slings certified", openapi_extra=recorded, responses=certified)
    async def certificate(
        sent: SentParts, look: Shown, serial: Serial = None, specimen: Specimen = False, at: At = None
    ) -> Response:
        """The document `slingwright/certificate/1`, as `slingwright certificate --json` prints it."""
        from slingwright.usecases.certificate import certificate_document

        found = await run_in_threadpool(work.certified, sent, look, serial, specimen, at or today())
        return Document(certificate_document(found))


def _bodies(examples: Examples) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    return (
        parts_body("A lift, an offers document or an order.", examples["order"]),
        parts_body("An order.", examples["order"]),
        parts_body("An order; with it the making record.", examples["order"], record=True),
    )


def _add_papers(router: APIRouter, work: _Work, *, today: Callable[[], date], examples: Examples) -> None:
    quotable, order, recorded = _bodies(examples)
    pdf = papers("application/pdf")

    @router.post("/papers/tags", summary="Tags, one a page", openapi_extra=order, responses=pdf)
    async def tags(
        sent: SentParts, look: Shown, serial: Serial = None, specimen: Specimen = False, at: At = None
    ) -> Response:
        """The PDF of what `/tag` says."""
        return await run_in_threadpool(work.tag_paper, sent, look, serial, specimen, at or today())

    @router.post("/papers/certificate", summary="A certificate", openapi_extra=recorded, responses=pdf)
    async def certificate(
        sent: SentParts, look: Shown, serial: Serial = None, specimen: Specimen = False, at: At = None
    ) -> Response:
        """The PDF of one sling; `serial` may be left out where there is but one."""
        return await run_in_threadpool(work.certificate_paper, sent, look, serial, specimen, at or today())

    @router.post("/papers/approval", summary="The approval drawing", openapi_extra=order, responses=pdf)
    async def approval(
        sent: SentParts, look: Shown, specimen: Specimen = False, at: At = None
    ) -> Response:  # fmt: skip
        """The PDF that a customer accepts before anything is cut."""
        return await run_in_threadpool(work.make_paper, sent, look, "approval", specimen, at or today())

    @router.post("/papers/traveler", summary="The traveler", openapi_extra=order, responses=pdf)
    async def traveler(
        sent: SentParts, look: Shown, specimen: Specimen = False, at: At = None
    ) -> Response:  # fmt: skip
        """The PDF that goes with an order over the floor."""
        return await run_in_threadpool(work.make_paper, sent, look, "traveler", specimen, at or today())

    @router.post("/papers/{paper}", summary="A quote or a data sheet", openapi_extra=quotable, responses=pdf)
    async def quoted_paper(
        paper: _QuotePaper, sent: SentParts, look: Shown, offer: Offer = 1, item: Offer = 1,
        customer: Customer = None, at: At = None,
    ) -> Response:  # fmt: skip
        """The PDF of what `/quote` quotes."""
        asked = (sent, look, paper, offer, item, customer, at or today())
        return await run_in_threadpool(work.quoted_paper, *asked)


class _Work:
    """The shop at work for one request after another."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench

    def quoted(self, sent: SentFile, look: Look, offer: int, customer: str | None, on: date) -> Quoted:
        """What is asked for, quoted."""
        from slingwright.usecases.quote import QuoteRequest, quote_slings

        if customer is not None and not customer.isprintable():
            raise fail("customer", "holds characters that cannot be printed")
        with self.bench.turn(), sent.folder() as folder:
            request = QuoteRequest(
                content=sent.content,
                file=sent.name,
                folder=folder,
                sling={},
                offer=offer,
                customer=customer,
                on=on,
                settings=settings_of(self.bench, look),
                limit_s=MOST_SECONDS,
            )
            return quote_slings(request, clock=self.bench.clock)

    def quoted_paper(
        self, sent: SentFile, look: Look, name: _QuotePaper, offer: int, item: int, customer: str | None,
        on: date,
    ) -> Response:  # fmt: skip
        """The paper of a quote."""
        from slingwright.usecases.data_sheet import print_data_sheet
        from slingwright.usecases.quote import print_quote

        quoted = self.quoted(sent, look, offer, customer, on)
        if quoted.is_stop:
            raise Refused("nothing is quoted; POST /api/v1/quote says why")
        return paper(print_quote(quoted) if name == "quote" else print_data_sheet(quoted, item))

    @contextmanager
    def order(self, sent: SentFile, look: Look, *, counted: bool = False) -> Iterator[MadeOrder]:
        """An order laid out; `counted` = every sling of it is going to be a line or a page."""
        from slingwright.usecases.make_order import MakeRequest, make_order

        with self.bench.turn(), sent.folder() as folder:
            request = MakeRequest(
                content=sent.content, file=sent.name, folder=folder, settings=settings_of(self.bench, look)
            )
            made = make_order(request)
            slings = sum(line.line.quantity for line in made.lines)
            if counted and slings > _MOST_SLINGS:
                hint = f"at most {_MOST_SLINGS} in one request: send the order in parts"
                raise fail("line", f"asks for {slings} slings", hint)
            yield made

    def tags(self, sent: SentFile, look: Look, serial: str | None, specimen: bool, on: date) -> TagAnswer:
        """An order's tags."""
        from slingwright.usecases.tag import tag_slings

        with self.order(sent, look, counted=True) as made:
            return tag_slings(made, serial=serial or None, on=on, specimen=specimen)

    def tag_paper(
        self, sent: SentFile, look: Look, serial: str | None, specimen: bool, on: date
    ) -> Response:  # fmt: skip
        """The tags' paper."""
        from slingwright.usecases.tag import print_tags

        found = self.tags(sent, look, serial, specimen, on)
        if not found.tags:
            raise Refused(_SHUT)
        return paper(print_tags(found, on=on))

    def certified(
        self, sent: SentFile, look: Look, serial: str | None, specimen: bool, on: date
    ) -> CertifyAnswer:  # fmt: skip
        """An order's slings certified."""
        from slingwright.usecases.certificate import certify

        with self.order(sent, look, counted=True) as made:
            return certify(made, sent.record, serial=serial or None, on=on, specimen=specimen)

    def certificate_paper(
        self, sent: SentFile, look: Look, serial: str | None, specimen: bool, on: date
    ) -> Response:  # fmt: skip
        """One certificate."""
        from slingwright.usecases.certificate import print_certificate

        found = self.certified(sent, look, serial, specimen, on)
        if not found.certificates:
            raise Refused("nothing is certified; POST /api/v1/certificate says why")
        if len(found.certificates) > 1:
            first = found.certificates[0].serial
            raise fail("serial", "is missing: there are several certificates", f"one of them: {first}")
        return paper(print_certificate(found, 0, on=on))

    def make_paper(
        self, sent: SentFile, look: Look, name: _MakePaper, specimen: bool, on: date
    ) -> Response:  # fmt: skip
        """The approval drawing or the traveler."""
        from slingwright.usecases.make_papers import print_approval, print_traveler

        with self.order(sent, look, counted=name == "traveler") as made:
            if not made.lines:
                raise Refused("nothing of it is made; POST /api/v1/make says why")
            if name == "approval":
                return paper(print_approval(made, on=on, specimen=specimen))
            if not made.is_released and not specimen:
                raise Refused(_SHUT)
            return paper(print_traveler(made, on=on, specimen=specimen))
