"""What is sent: a file's own bytes, so that the answer bears the hash that the command line's does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, Any

from fastapi import Depends, HTTPException, Request
from starlette.datastructures import UploadFile

from slingwright.desk.beside import NOTHING_BESIDE, beside_folder, is_plain_name
from slingwright.errors import Fault, InputFault

__all__ = ["FAULTS", "Sent", "SentFile", "SentParts", "Table", "body", "parts_body", "table_body"]

_JSON, _TOML, _PARTS = "application/json", "application/toml", "multipart/form-data"
_CSV, _XLSX = "text/csv", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_ENDINGS = {_JSON: "json", _TOML: "toml"}
_PARTS_TAKEN = ("file", "beside", "record")
_MOST_BESIDE, _MOST_FIELDS = 4, 20
_PROBLEM = {"application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}}}
FAULTS: dict[int | str, dict[str, Any]] = {
    status: {"description": text, "content": _PROBLEM}
    for status, text in {
        400: "The form that is sent cannot be read.",
        401: "The token is missing or wrong.",
        408: "What is sent comes too slowly.",
        411: "The length of what is sent is not said.",
        413: "More is sent than is taken.",
        415: "What is sent is in none of the forms that are taken.",
        421: "The desk is called by another name than its own.",
        422: "The input is at fault; all faults at once, each with its field.",
        503: "Too many searches wait already.",
    }.items()
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SentFile:
    """A file's bytes and a name whose ending says how they are written; `beside` = files it may name."""

    content: bytes
    name: str
    beside: Mapping[str, bytes] = field(default_factory=lambda: NOTHING_BESIDE)
    record: tuple[bytes, str] | None = None

    @contextmanager
    def folder(self) -> Iterator[Path]:
        """A folder that holds what was sent beside it, and no file of this machine."""
        with beside_folder(self.beside) as folder:
            yield folder


def _media(request: Request) -> str:
    return request.headers.get("content-type", "").partition(";")[0].strip().lower()


async def _read(request: Request) -> SentFile:
    media = _media(request)
    if media not in _ENDINGS:
        raise HTTPException(415, f"Send {_JSON} or {_TOML}")
    return SentFile(content=await request.body(), name=f"sent.{_ENDINGS[media]}")


async def _read_parts(request: Request) -> SentFile:
    if _media(request) != _PARTS:
        return await _read(request)
    # starlette answers a form that is none with 400, which is what it is
    async with request.form(max_files=_MOST_BESIDE + 2, max_fields=_MOST_FIELDS) as form:
        parts = [(key, value) for key, value in form.multi_items() if isinstance(value, UploadFile)]
        names = [key for key, value in form.multi_items()]
        files = [value for key, value in parts if key == "file"]
        records = [value for key, value in parts if key == "record"]
        beside = [value for key, value in parts if key == "beside"]
        faults = [
            Fault(key[:60], "is no part that is taken", "file, beside or record")
            for key in names
            if key not in _PARTS_TAKEN
        ]
        faults += [
            Fault(key, "is a text, not a file", "a part with a file's name")
            for key, value in form.multi_items()
            if key in _PARTS_TAKEN and not isinstance(value, UploadFile)
        ]
        if len(files) != 1:
            faults.append(Fault("file", "is missing" if not files else "is given twice", "send one"))
        if len(records) > 1:
            faults.append(Fault("record", "is given twice", "send one"))
        faults += _names_at_fault([one.filename or "" for one in beside])
        if faults:
            raise InputFault(faults)
        return SentFile(
            content=await files[0].read(),
            name=_name_of(files[0]),
            beside={one.filename or "": await one.read() for one in beside},
            record=(await records[0].read(), _name_of(records[0])) if records else None,
        )


def _name_of(part: UploadFile) -> str:
    """A name of ours, with the ending of the part's kind or name; without one its first letter decides."""
    ending = _ENDINGS.get((part.content_type or "").partition(";")[0].strip().lower())
    if ending is None:
        said = (part.filename or "").lower().rpartition(".")[2]
        ending = said if said in _ENDINGS.values() else None
    return f"sent.{ending}" if ending else "sent"


def _names_at_fault(names: list[str]) -> Iterator[Fault]:
    if len(names) > _MOST_BESIDE:
        yield Fault("beside", f"holds {len(names)} files", f"at most {_MOST_BESIDE}")
    for name in names:
        if not is_plain_name(name):
            yield Fault("beside", "has a name that is more than a file's", "letters, figures, space, . - _")
        elif names.count(name) > 1:
            yield Fault("beside", f"holds two files of the name {name!r}", "one of each name")


@dataclass(frozen=True, slots=True, kw_only=True)
class SentTable:
    """A spreadsheet's bytes."""

    content: bytes


async def _read_table(request: Request) -> SentTable:
    if _media(request) not in (_CSV, _XLSX):
        raise HTTPException(415, f"Send {_CSV} or {_XLSX}")
    return SentTable(content=await request.body())


Sent = Annotated[SentFile, Depends(_read)]
SentParts = Annotated[SentFile, Depends(_read_parts)]
Table = Annotated[SentTable, Depends(_read_table)]


def body(about: str, examples: Mapping[str, Any]) -> dict[str, Any]:
    """The OpenAPI words for a file that is sent; `examples` by name, the first first."""
    return _request(about, _plain(examples))


def parts_body(about: str, examples: Mapping[str, Any], *, record: bool = False) -> dict[str, Any]:
    """The same where further files may come with it, each as a part."""
    file = {"type": "string", "format": "binary"}
    properties: dict[str, Any] = {
        "file": {**file, "description": about},
        "beside": {
            "type": "array", "maxItems": _MOST_BESIDE, "items": file,
            "description": "Files that it names, under the names that it gives them.",
        },
    }  # fmt: skip
    if record:
        properties["record"] = {**file, "description": "What the floor wrote down (a making record)."}
    schema = {
        "type": "object", "properties": properties, "required": ["file"], "additionalProperties": False,
    }  # fmt: skip
    return _request(about, {**_plain(examples), _PARTS: {"schema": schema}})


def table_body(about: str, example: str) -> dict[str, Any]:
    """The OpenAPI words for a spreadsheet."""
    text = {"schema": {"type": "string"}, "example": example}
    return _request(about, {_CSV: text, _XLSX: {"schema": {"type": "string", "format": "binary"}}})


def _plain(examples: Mapping[str, Any]) -> dict[str, Any]:
    named = {name: {"summary": one.get("title", name), "value": one} for name, one in examples.items()}
    return {
        _JSON: {"schema": {"type": "object"}, "examples": named},
        _TOML: {"schema": {"type": "string"}},
    }


def _request(about: str, content: Mapping[str, Any]) -> dict[str, Any]:
    return {"requestBody": {"required": True, "description": about, "content": content}}
