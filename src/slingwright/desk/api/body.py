"""What is sent: a file's own bytes, so that the answer bears the hash that the command line's does."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from fastapi import Depends, HTTPException, Query, Request

__all__ = ["FAULTS", "Language", "Sent", "SentFile", "body"]

Language = Annotated[
    Literal["en", "es"], Query(description="Of the sentences; keys, codes and figures are the same in each.")
]
_ENDINGS = {"application/json": "json", "application/toml": "toml"}
_PROBLEM = {"application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}}}
FAULTS: dict[int | str, dict[str, Any]] = {
    status: {"description": text, "content": _PROBLEM}
    for status, text in {
        401: "The token is missing or wrong.",
        411: "The length of what is sent is not said.",
        413: "More is sent than is taken.",
        415: "What is sent is neither JSON nor TOML.",
        422: "The input is at fault; all faults at once, each with its field.",
        503: "Too many searches wait already.",
    }.items()
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SentFile:
    """A file's bytes, and a name whose ending says how they are written."""

    content: bytes
    name: str


async def _read(request: Request) -> SentFile:
    media = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if media not in _ENDINGS:
        raise HTTPException(415, "Send application/json or application/toml")
    return SentFile(content=await request.body(), name=f"sent.{_ENDINGS[media]}")


Sent = Annotated[SentFile, Depends(_read)]


def body(about: str, example: Mapping[str, Any]) -> dict[str, Any]:
    """The OpenAPI words for a file that is sent."""
    return {
        "requestBody": {
            "required": True,
            "description": about,
            "content": {
                "application/json": {"schema": {"type": "object"}, "example": example},
                "application/toml": {"schema": {"type": "string"}},
            },
        }
    }
