"""What the API answers with: the documents of `--json`, byte for byte, and papers; and how it is asked to."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Annotated, Any, Literal

from fastapi import Depends, Query, Request, Response
from pydantic import BeforeValidator

from slingwright.desk.bench import Bench, Look
from slingwright.desk.pages.asked import MOST_NAME
from slingwright.errors import fail
from slingwright.usecases.documents import document_bytes
from slingwright.usecases.settings import Settings

__all__ = [
    "XLSX", "At", "Customer", "Document", "Language", "Offer", "Serial", "Shown", "Specimen", "answers",
    "check_offer", "csv_or_xlsx", "paper", "papers", "settings_of",
]  # fmt: skip


class Document(Response):
    """A document exactly as the command line prints it."""

    media_type = "application/json"

    def render(self, content: Mapping[str, object]) -> bytes:
        """Write it as the command line does."""
        return document_bytes(content)


Language = Annotated[
    Literal["en", "es"] | None,
    Query(description="Of the sentences; keys, codes and figures stay. Left out: the desk's own."),
]


def _look(
    request: Request,
    units: Annotated[Literal["us", "si"] | None, Query(description="Left out: the file's own.")] = None,
    language: Language = None,
) -> Look:
    return Look(units=units, language=language or request.app.state.bench.settings.language)


def _day(text: object) -> object:
    """Let a written date through alone: a bare number would count from 1970, and date a paper."""
    if isinstance(text, str) and _DAY.fullmatch(text) is None:
        msg = "write it as 2026-05-31"
        raise ValueError(msg)
    return text


_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
Shown = Annotated[Look, Depends(_look)]
At = Annotated[date | None, BeforeValidator(_day), Query(description="The paper's date; left out: today.")]
Offer = Annotated[int, Query(ge=1, le=99, description="Which offer, from 1.")]
Customer = Annotated[str | None, Query(max_length=MOST_NAME)]
Serial = Annotated[str | None, Query(max_length=60, description="Of this sling only.")]
Specimen = Annotated[bool, Query(description="Whatever the gates, SPECIMEN across.")]


def settings_of(bench: Bench, look: Look) -> Settings:
    """The desk's settings with what a request asked for."""
    return replace(bench.settings, units=look.units or bench.settings.units, language=look.language)


def answers(name: str) -> dict[int | str, dict[str, Any]]:
    """The OpenAPI words for a document of a published schema."""
    schema = {"$ref": f"#/components/schemas/{name}"}
    return {200: {"description": "The document.", "content": {"application/json": {"schema": schema}}}}


def papers(media: str, about: str = "The paper.") -> dict[int | str, dict[str, Any]]:
    """The OpenAPI words for a paper of this media type."""
    problem = {"schema": {"$ref": "#/components/schemas/Problem"}}
    content = {media: {"schema": {"type": "string", "format": "binary"}}}
    return {
        200: {"content": content, "description": about},
        409: {
            "content": {"application/problem+json": problem},
            "description": "There is no such paper, for the answer is no; the document says why.",
        },
    }


def paper(content: bytes) -> Response:
    """A PDF."""
    return Response(content, media_type="application/pdf")


def csv_or_xlsx(content: bytes, *, workbook: bool) -> Response:
    """A spreadsheet."""
    return Response(content, media_type=XLSX if workbook else "text/csv")


XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def check_offer(offer: int, most: int) -> None:
    """Refuse an offer that there is not.

    Raises
    ------
    InputFault
        There are fewer.
    """
    if offer > most:
        raise fail("offer", f"there is no offer {offer}", f"1 to {most}")
