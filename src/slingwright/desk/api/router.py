"""The API: a file in, the documents of `--json` out."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from slingwright.desk.api.body import FAULTS, Language, Sent, body
from slingwright.desk.api.work import add_work
from slingwright.desk.bench import Bench, Look

__all__ = ["api_router"]

_LIFT = {
    "title": "Press onto its bed",
    "rulebook": "us",
    "load": {
        "weight": "4000 lb", "shape": "box", "length": "6 ft", "width": "4 ft", "height": "4 ft",
        "centre_of_gravity": ["3 ft", "2 ft", "2 ft"],
        "pick_point": [
            {"name": name, "at": [x, y, "4 ft"], "pin": "1 in"}
            for name, x, y in (
                ("A", "1 ft", "1 ft"), ("B", "5 ft", "1 ft"), ("C", "5 ft", "3 ft"), ("D", "1 ft", "3 ft"),
            )
        ],
    },
    "hook": {"headroom": "18 ft", "thickness": "2 in"},
}  # fmt: skip
_PROBLEM = {
    "weight_n": 50000.0,
    "centre_of_gravity_m": [0.0, 0.0, -1.0],
    "hook_m": [0.0, 0.0, 0.0],
    "paths": [
        {
            "upper_m": [0.0, 0.0, 0.0], "pick_m": [0.0, 0.0, 0.0], "length_m": 3.0, "rated_n": 80000.0,
            "strain_at_rated": 0.03,
        }
    ],
}  # fmt: skip


def api_router(bench: Bench, *, today: Callable[[], date]) -> APIRouter:
    """Make the API's routes; `today` is the date of papers that are asked for without one."""
    router = APIRouter(responses=FAULTS)

    @router.post("/choose", summary="The right slings for a lift", openapi_extra=body("A lift file.", _LIFT))
    async def choose(
        sent: Sent,
        units: Annotated[Literal["us", "si"] | None, Query()] = None,
        explain: Annotated[bool, Query(description="Also what would change the answer.")] = False,
        language: Language = "en",
    ) -> JSONResponse:
        """The document `slingwright/offers/1`, as `slingwright choose --json` prints it."""

        def work() -> dict[str, Any]:
            from slingwright.usecases.offers_document import offers_document

            chosen = bench.answer_file(sent.content, sent.name, Look(units=units, language=language))
            return offers_document(bench.explain(chosen) if explain else chosen)

        return JSONResponse(await run_in_threadpool(work))

    @router.post("/hang", summary="How explicit slings hang", openapi_extra=body("A hang problem.", _PROBLEM))
    async def hang(sent: Sent, language: Language = "en") -> JSONResponse:
        """The document `slingwright/hang/1`, as `slingwright hang --json` prints it."""

        def work() -> dict[str, Any]:
            from slingwright.usecases.solve_hang import hang_document, solve_hang

            with bench.turn():
                return hang_document(solve_hang(sent.content, sent.name), language=language)

        return JSONResponse(await run_in_threadpool(work))

    @router.get("/rate", summary="A sling's rated load in a hitch")
    def rate(
        form: str, fibre: str, width: str, plies: str,
        rulebook: Literal["us", "en"] | None = None, webbing_class: str = "", hitch: str = "",
        choke: str = "", angle_from_horizontal: str = "", table: bool = False, language: Language = "en",
    ) -> JSONResponse:  # fmt: skip
        """The document `slingwright/rating/1`, as `slingwright rate --json` prints it."""
        from slingwright.desk.pages.sling import rate_for
        from slingwright.usecases.rate_sling import rating_document

        said = {
            "form": form, "fibre": fibre, "width": width, "plies": plies, "rulebook": rulebook or "",
            "webbing_class": webbing_class, "hitch": hitch, "choke": choke,
            "angle_from_horizontal": angle_from_horizontal,
        }  # fmt: skip
        return JSONResponse(rating_document(rate_for(bench, said, table=table), language=language))

    _add_schemas(router)
    add_work(router, bench, today=today, lift_example=_LIFT)
    return router


def _add_schemas(router: APIRouter) -> None:
    @router.get("/schema", summary="The names of all published schemas")
    def schemas() -> list[str]:
        """Every name that `/schema/{name}` knows."""
        from slingwright.usecases.print_schema import schema_names

        return list(schema_names())

    @router.get("/schema/{name}", summary="The JSON Schema of a file or a document")
    def schema(name: str) -> JSONResponse:
        """As `slingwright schema NAME` prints it."""
        from slingwright.usecases.print_schema import print_schema

        return JSONResponse(print_schema(name))
