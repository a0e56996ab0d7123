"""The lift that a sent form holds."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile

from slingwright.desk.bench import Bench, Look
from slingwright.desk.form import FIELDS, tables_from_form
from slingwright.desk.link import unpack_lift
from slingwright.desk.pages.mesh import is_mesh, tables_with_mesh

__all__ = ["tables_of", "unknown_of", "words_of"]

_UNKNOWN = "unknown"  # the name of the buttons that say so, and what they put into their field


def words_of(form: FormData, *, pressed: bool = True) -> dict[str, str]:
    """What was typed, by field; the button "I do not know", where one was `pressed`, typed it into its own.

    A form that sends itself has its script type it: what it names as a button need only have the focus.
    """
    words = {key: value for key, value in form.items() if isinstance(value, str)}
    words.pop(_UNKNOWN, None)
    if pressed and (path := unknown_of(form)):
        words[path] = _UNKNOWN
    return words


def unknown_of(form: FormData) -> str:
    """The field whose button "I do not know" sent the form; "" where another did."""
    path = form.get(_UNKNOWN)
    return str(path) if path in {field.path for field in FIELDS if field.unknown} else ""


async def tables_of(form: FormData, words: Mapping[str, str], bench: Bench, look: Look) -> dict[str, Any]:
    """The lift that a form holds: as a file, as a file's text, with a mesh, or in its fields.

    Raises
    ------
    InputFault
        It does not read.
    Busy
        A mesh is to be measured, and too many searches wait already.
    """
    from slingwright.usecases.documents import read_tables

    file = form.get("file")
    if isinstance(file, UploadFile) and is_mesh(file.filename or ""):
        base = unpack_lift(words["base"]) if words.get("base") else {}
        sent = (await file.read(), file.filename or "")
        return await run_in_threadpool(tables_with_mesh, bench, base, *sent, words, look)
    if isinstance(file, UploadFile):
        return read_tables(await file.read(), file.filename or "", what="a lift")
    if "text" in words:
        return read_tables(words["text"].encode(), "", what="a lift")
    base = unpack_lift(words["base"]) if words.get("base") else {}
    return tables_from_form(base, words)
