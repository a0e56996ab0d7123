"""The papers of a lift, a link each: sheet, drawing, the scene in space, the lift file itself."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fastapi import Response
from fastapi.responses import JSONResponse

from slingwright.desk.bench import Bench, Look
from slingwright.desk.pages.figure import CASE_OF
from slingwright.desk.pages.render import Shown, lift_page
from slingwright.errors import Fault
from slingwright.usecases.lift_text import lift_text

if TYPE_CHECKING:
    from slingwright.usecases.choose_sling import Chosen
    from slingwright.usecases.quote import Quoted

__all__ = ["QUOTED", "Asked", "file_of", "paper_of", "quoted_paper"]

_MOST_TITLE = 60  # letters of a lift's title in a file's name
QUOTED = ("quote.pdf", "quote.json", "data-sheet.pdf")
_NAMES = frozenset({"sheet.pdf", "drawing.svg", "drawing.pdf", "scene.json", *QUOTED})


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Which paper of a lift, bearing the date `on`.

    `offer` is its index and `pose` what is drawn of it; `item` which of a quote's slings has the data sheet,
    `customer` for whom the quote is.
    """

    paper: str
    offer: int
    pose: str
    item: int
    customer: str | None
    on: date


def paper_of(bench: Bench, tables: dict[str, Any], look: Look, asked: Asked) -> Response:
    """Make a paper of a lift."""
    from slingwright.usecases.choose_sling import draw_chosen, print_drawing, print_sheet, scene_of_chosen

    paper, on = asked.paper, asked.on
    if paper == "lift.toml":
        return file_of(lift_text(tables, as_json=False), "application/toml", _named(tables, asked))
    if paper not in _NAMES:
        shown = Shown(faults=[Fault("", f"there is no paper {paper!r}", "")])
        return lift_page(bench, tables, look, shown, status=404)
    chosen = bench.answer(tables, look)
    offer = max(0, min(asked.offer, len(chosen.answer.offers) - 1))
    name = _named(tables, replace(asked, offer=offer))
    if paper == "sheet.pdf":
        return file_of(print_sheet(chosen, on=on, offer_index=offer), "application/pdf", name)
    if chosen.is_stop:
        fault = Fault("", "this lift is a stop: nothing hangs that could be drawn", "")
        return lift_page(bench, tables, look, Shown(faults=[fault]), status=404)
    if paper in QUOTED:
        return _quoted(bench, chosen, look, replace(asked, offer=offer))
    case = CASE_OF[asked.pose]
    if chosen.answer.offers[offer].case(case) is None:
        fault = Fault("pose", "this offer has no such pose", "ask for the drawing as told")
        return lift_page(bench, tables, look, Shown(faults=[fault]), status=404)
    if paper == "drawing.pdf":
        return file_of(print_drawing(chosen, on=on, offer_index=offer, case=case), "application/pdf", name)
    if paper == "scene.json":
        return JSONResponse(scene_of_chosen(chosen, offer_index=offer, case=case))
    return file_of(draw_chosen(chosen, offer_index=offer, case=case), "image/svg+xml", name)


def _named(tables: Mapping[str, Any], asked: Asked) -> str:
    """A paper's file by its lift, so that the papers of several do not overwrite each other in one folder.

    The lift's title in plain letters, the offer and the pose where they are not the usual ones, the paper.
    """
    plain = unicodedata.normalize("NFKD", str(tables.get("title", ""))).encode("ascii", "ignore").decode()
    title = re.sub(r"[^a-z0-9]+", "-", plain.lower())[:_MOST_TITLE].strip("-")
    whole = asked.paper == "lift.toml"  # has all offers
    offer = f"offer-{asked.offer + 1}" if asked.offer and not whole else ""
    pose = asked.pose if asked.pose != "told" and asked.paper.startswith("drawing") else ""
    return "-".join(part for part in (title, offer, pose, asked.paper) if part)


def _quoted(bench: Bench, chosen: Chosen, look: Look, asked: Asked) -> Response:
    """The quote of an offer that is known already, from its own document: nothing is searched again."""
    from slingwright.usecases.offers_document import offers_document
    from slingwright.usecases.quote import QuoteRequest, quote_slings

    document = offers_document(chosen)
    document["search"]["seconds"] = None  # the same offer has the same number, however long it took
    request = QuoteRequest(
        content=json.dumps(document, sort_keys=True).encode(),
        file="offers.json",
        folder=Path(),
        sling={},
        offer=asked.offer + 1,
        customer=asked.customer,
        on=asked.on,
        settings=replace(bench.settings, units=look.units or bench.settings.units, language=look.language),
    )
    return quoted_paper(quote_slings(request, clock=bench.clock), asked.paper, asked.item)


def quoted_paper(quoted: Quoted, paper: str, item: int) -> Response:
    """A paper of a quote, or its document; where nothing is quoted the document says why.

    Raises
    ------
    InputFault
        There is no such item, or it has no data sheet.
    """
    from slingwright.usecases.data_sheet import print_data_sheet
    from slingwright.usecases.quote import print_quote
    from slingwright.usecases.quote_document import quote_document

    if paper == "quote.json" or quoted.is_stop:
        status = 409 if quoted.is_stop else 200
        return JSONResponse(quote_document(quoted), status_code=status)
    assert quoted.quote is not None
    made = print_quote(quoted) if paper == "quote.pdf" else print_data_sheet(quoted, item)
    name, _, kind = paper.rpartition(".")
    which = quoted.quote.number if paper == "quote.pdf" else f"{quoted.quote.number}-{item}"
    return file_of(made, "application/pdf", f"{name}-{which}.{kind}")


def file_of(content: str | bytes, kind: str, name: str) -> Response:
    """A file to keep, under its name."""
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=kind, headers=headers)
