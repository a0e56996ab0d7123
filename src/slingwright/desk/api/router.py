"""The API: a lift in, the documents of `--json` out."""

from __future__ import annotations

import json
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Body, Query
from fastapi.responses import JSONResponse

from slingwright.desk.bench import Bench, Look

__all__ = ["api_router"]

_LIFT = {
    "title": "Press onto its bed",
    "load": {
        "weight": "4000 lb", "shape": "box", "length": "6 ft", "width": "4 ft", "height": "4 ft",
        "centre_of_gravity": ["3 ft", "2 ft", "2 ft"], "edge_radius": "1 in",
    },
    "hook": {"headroom": "14 ft", "thickness": "2 in"},
}  # fmt: skip
_FAULT = {
    422: {
        "description": "The input is at fault: RFC 9457, all faults at once.",
        "content": {"application/problem+json": {"schema": {"type": "object"}}},
    }
}


def api_router(bench: Bench) -> APIRouter:
    """Make the API's routes."""
    router = APIRouter()

    @router.post("/choose", responses=_FAULT, summary="The right slings for a lift")  # type: ignore[arg-type]
    def choose(
        lift: Annotated[dict[str, Any], Body(examples=[_LIFT], description="A lift file's tables.")],
        units: Annotated[Literal["us", "si"] | None, Query()] = None,
    ) -> JSONResponse:
        """The document `slingwright/offers/1`, as `slingwright choose --json` prints it."""
        from slingwright.usecases.offers_document import offers_document

        return JSONResponse(offers_document(bench.answer(lift, Look(units=units))))

    @router.post("/hang", responses=_FAULT, summary="How explicit slings hang")  # type: ignore[arg-type]
    def hang(
        problem: Annotated[dict[str, Any], Body(description="A hang problem's tables.")],
    ) -> JSONResponse:
        """The document `slingwright/hang/1`, as `slingwright hang --json` prints it."""
        from slingwright.usecases.solve_hang import hang_document, solve_hang

        return JSONResponse(hang_document(solve_hang(json.dumps(problem).encode(), "problem.json")))

    @router.get("/rate", responses=_FAULT, summary="A sling's rated load in a hitch")  # type: ignore[arg-type]
    def rate(
        form: str, fibre: str, width: str, plies: str,
        rulebook: Literal["us", "en"] | None = None, webbing_class: str = "", hitch: str = "",
        choke: str = "", angle_from_horizontal: str = "", table: bool = False,
    ) -> JSONResponse:  # fmt: skip
        """The document `slingwright/rating/1`, as `slingwright rate --json` prints it."""
        from slingwright.desk.pages.sling import rate_for
        from slingwright.usecases.rate_sling import rating_document

        said = {
            "form": form, "fibre": fibre, "width": width, "plies": plies, "rulebook": rulebook or "",
            "webbing_class": webbing_class, "hitch": hitch, "choke": choke,
            "angle_from_horizontal": angle_from_horizontal,
        }  # fmt: skip
        return JSONResponse(rating_document(rate_for(bench, said, table=table)))

    return router
