"""The API: a file in, the documents of `--json` out."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Annotated, Literal

from fastapi import APIRouter, Path, Response
from starlette.concurrency import run_in_threadpool

from slingwright.desk.api.answers import Document, Shown, answers, settings_of
from slingwright.desk.api.body import FAULTS, Sent, body
from slingwright.desk.api.examples import Examples
from slingwright.desk.api.floor import add_floor
from slingwright.desk.api.lifts import add_lifts
from slingwright.desk.api.work import add_work
from slingwright.desk.bench import Bench
from slingwright.errors import fail
from slingwright.usecases.print_schema import schema_names

__all__ = ["api_router"]


def api_router(bench: Bench, *, today: Callable[[], date], examples: Examples) -> APIRouter:
    """Make the API's routes; `today` is the date of papers that are asked for without one."""
    router = APIRouter(responses=FAULTS)
    add_lifts(router, bench, today=today, examples=examples)
    _add_statics(router, bench, examples)
    # its papers last: one of them takes any name
    add_floor(router, bench, today=today, examples=examples)
    add_work(router, bench, today=today, examples=examples)
    _add_schemas(router)
    return router


def _add_statics(router: APIRouter, bench: Bench, examples: Examples) -> None:
    problem = body("A hang problem.", examples["hang-problem"])

    @router.post(
        "/hang", summary="How explicit slings hang", openapi_extra=problem, responses=answers("hang")
    )
    async def hang(sent: Sent, look: Shown) -> Response:
        """The document `slingwright/hang/1`, as `slingwright hang --json` prints it."""

        def work() -> Response:
            from slingwright.usecases.solve_hang import hang_document, solve_hang

            with bench.turn():
                return Document(hang_document(solve_hang(sent.content, sent.name), language=look.language))

        return await run_in_threadpool(work)

    @router.get("/rate", summary="A sling's rated load in a hitch", responses=answers("rating"))
    def rate(
        look: Shown, form: str, fibre: str, width: str, plies: str,
        rulebook: Literal["us", "en"] | None = None, webbing_class: str = "", hitch: str = "",
        choke: str = "", angle_from_horizontal: str = "", table: bool = False,
    ) -> Response:  # fmt: skip
        """The document `slingwright/rating/1`, as `slingwright rate --json` prints it."""
        from slingwright.desk.pages.sling import rate_for
        from slingwright.usecases.rate_sling import rating_document

        said = {
            "form": form, "fibre": fibre, "width": width, "plies": plies, "rulebook": rulebook or "",
            "webbing_class": webbing_class, "hitch": hitch, "choke": choke,
            "angle_from_horizontal": angle_from_horizontal,
        }  # fmt: skip
        language = settings_of(bench, look).language
        return Document(rating_document(rate_for(bench, said, table=table), language=language))


_Name = Annotated[str, Path(json_schema_extra={"enum": list(schema_names())})]


def _add_schemas(router: APIRouter) -> None:
    @router.get("/schema", summary="The names of all published schemas")
    def schemas() -> list[str]:
        """Every name that `/schema/{name}` knows."""
        return list(schema_names())

    @router.get("/schema/{name}", summary="The JSON Schema of a file or a document")
    def schema(name: _Name) -> Response:
        """As `slingwright schema NAME` prints it."""
        from slingwright.usecases.print_schema import print_schema

        if name not in schema_names():
            raise fail("name", "is no schema's", f"there are: {', '.join(schema_names())}")
        return Document(print_schema(name))
