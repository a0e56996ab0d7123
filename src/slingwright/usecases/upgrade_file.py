"""Turn a lift file of an older edition into the newest, its words, order and comments kept."""

from __future__ import annotations

import json
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from slingwright.errors import fail
from slingwright.usecases.documents import hash_input, read_tables
from slingwright.usecases.made_by import head

__all__ = ["Upgraded", "upgrade_document", "upgrade_file"]

_SCHEMA_LINE = re.compile(r"""^[ \t]*(?:schema|"schema"|'schema')[ \t]*=.*\n?""", re.M)
_TABLE = re.compile(r"^[ \t]*\[", re.M)


@dataclass(frozen=True, slots=True, kw_only=True)
class Upgraded:
    """The file as it was named, as it is named now, its document, and its text in its own format."""

    was: str | None
    now: str
    lift: dict[str, Any]
    text: str
    input_sha256: str

    @property
    def changed(self) -> bool:
        """Whether anything had to change."""
        return self.was != self.now


def upgrade_file(content: bytes, file: str, *, folder: Path) -> Upgraded:
    """Read a lift file of any edition, turn it into the newest, and make sure that it reads.

    Parameters
    ----------
    content, file
        Its bytes and its name.
    folder
        Where the meshes it names lie.

    Raises
    ------
    InputFault
        Everything wrong with the lift, or an edition newer than this program.
    """
    from slingwright.lift import folder_reader, read_lift, upgrade_lift

    doc = read_tables(content, file, what="a lift file")
    newest = upgrade_lift(doc)
    read_lift(newest, mesh_reader=folder_reader(folder))
    was = doc.get("schema")
    words = content.decode("utf-8-sig")
    return Upgraded(
        was=None if was is None else str(was),
        now=newest["schema"],
        lift=newest,
        text=_json_text(newest) if words.lstrip()[:1] == "{" else _toml_text(words, newest),
        input_sha256=hash_input(content),
    )


def _json_text(newest: dict[str, Any]) -> str:
    return json.dumps({"schema": newest["schema"], **newest}, indent=2, ensure_ascii=False) + "\n"


def _toml_text(words: str, newest: dict[str, Any]) -> str:
    """The text with its edition in the first line, so that comments and order stay as they were."""
    words = words.replace("\r\n", "\n")
    first = _TABLE.search(words)
    end = first.start() if first else len(words)
    text = f'schema = "{newest["schema"]}"\n{_SCHEMA_LINE.sub("", words[:end], count=1)}{words[end:]}'
    if _read_back(text) != newest:  # a `schema` written in some way that one line does not hold
        line = f'schema = "{newest["schema"]}"'
        raise fail("schema", "cannot be rewritten where it stands", f"write it on a line of its own: {line}")
    return text


def _read_back(text: str) -> dict[str, Any] | None:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return None


def upgrade_document(upgraded: Upgraded) -> dict[str, object]:
    """The `slingwright/upgrade/1` document: the editions and the lift as it now reads."""
    return {
        **head("upgrade/1", input_sha256=upgraded.input_sha256),
        "was": upgraded.was,
        "now": upgraded.now,
        "changed": upgraded.changed,
        "lift": upgraded.lift,
    }
