"""From a file's bytes to nested tables and to the hash that an answer carries; TOML or JSON, same shape."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from typing import Any, Literal

__all__ = ["document_bytes", "hash_input", "read_tables"]


def document_bytes(document: Mapping[str, object]) -> bytes:
    """A document as every door of the program gives it out: UTF-8, whatever the machine's language.

    A NaN in it is our bug and raises ValueError.
    """
    return json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False).encode("utf-8") + b"\n"


def hash_input(content: bytes) -> str:
    """The SHA-256 of an input as it came, for `made_by.input_sha256`."""
    return hashlib.sha256(content).hexdigest()


def read_tables(content: bytes, file: str, *, what: str) -> dict[str, Any]:
    """Read a file's tables.

    Parameters
    ----------
    content
        Its bytes.
    file
        Its name: `.json` and `.toml` are believed; of any other the first letter decides.
    what
        What kind of file is wanted, for faults: `a hang problem`.

    Raises
    ------
    InputFault
        It is no text, or neither TOML nor JSON, or too large or too deep.
    """
    from slingwright.lift.text import document_from_text

    return document_from_text(content, _form_of(content, file), what=what)


def _form_of(content: bytes, file: str) -> Literal["toml", "json"]:
    ending = file.lower().rpartition(".")[2]
    if ending == "json":
        return "json"
    if ending == "toml":
        return "toml"
    return "json" if content.removeprefix(b"\xef\xbb\xbf").lstrip()[:1] == b"{" else "toml"
