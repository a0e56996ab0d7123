"""The papers of a lift, a link each: sheet, drawing, the scene in space, the lift file itself."""

from __future__ import annotations

from datetime import date
from typing import Any

from fastapi import Response
from fastapi.responses import JSONResponse

from slingwright.desk.bench import Bench, Look
from slingwright.desk.pages.figure import CASE_OF
from slingwright.desk.pages.render import Shown, lift_page
from slingwright.errors import Fault
from slingwright.usecases.lift_text import lift_text

__all__ = ["paper_of"]


def paper_of(
    bench: Bench, tables: dict[str, Any], look: Look, paper: str, shown_as: tuple[int, str], on: date
) -> Response:
    """Make a lift's `paper`, bearing the date `on`; `shown_as` is the offer's index and the pose drawn."""
    from slingwright.usecases.choose_sling import draw_chosen, print_sheet, scene_of_chosen

    if paper == "lift.toml":
        return _file(lift_text(tables, as_json=False), "application/toml", paper)
    if paper not in ("sheet.pdf", "drawing.svg", "scene.json"):
        shown = Shown(faults=[Fault("", f"there is no paper {paper!r}", "")])
        return lift_page(bench, tables, look, shown, status=404)
    chosen = bench.answer(tables, look)
    offer = max(0, min(shown_as[0], len(chosen.answer.offers) - 1))
    if paper == "sheet.pdf":
        return _file(print_sheet(chosen, on=on, offer_index=offer), "application/pdf", paper)
    if chosen.is_stop:
        fault = Fault("", "this lift is a stop: nothing hangs that could be drawn", "")
        return lift_page(bench, tables, look, Shown(faults=[fault]), status=404)
    case = CASE_OF[shown_as[1]]
    if chosen.answer.offers[offer].case(case) is None:
        fault = Fault("pose", "this offer has no such pose", "ask for the drawing as told")
        return lift_page(bench, tables, look, Shown(faults=[fault]), status=404)
    if paper == "scene.json":
        return JSONResponse(scene_of_chosen(chosen, offer_index=offer, case=case))
    return _file(draw_chosen(chosen, offer_index=offer, case=case), "image/svg+xml", paper)


def _file(content: str | bytes, kind: str, name: str) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=kind, headers=headers)
