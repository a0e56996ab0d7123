"""The command line run in this process, and schemas made strict enough to hold what it prints to its word."""

from __future__ import annotations

import io
import json
import sys
from typing import Any, NamedTuple

import pytest
from jsonschema import Draft202012Validator

from slingwright.cli.main import run
from slingwright.usecases.print_schema import print_schema


class Told(NamedTuple):
    code: int
    out: str
    err: str

    @property
    def document(self) -> Any:
        return json.loads(self.out)


class Command:
    """Runs one command line with the streams watched; settings of the machine are gone."""

    def __init__(self, capfd: pytest.CaptureFixture[str], patch: pytest.MonkeyPatch) -> None:
        self.capfd, self.patch = capfd, patch

    def __call__(self, *arguments: object, stdin: bytes | str = b"") -> Told:
        content = stdin.encode() if isinstance(stdin, str) else stdin
        self.patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(content)))
        code = run([str(one) for one in arguments])
        return Told(code, *self.capfd.readouterr())

    def answers(self, schema: str, *arguments: object, stdin: bytes | str = b"", code: int = 0) -> Any:
        """Run with `--json`; the document must hold to its published schema, with no key beside it."""
        told = self(*arguments, "--json", stdin=stdin)
        assert told.code == code, told
        hold_to(schema, told.document)
        return told.document


def closed(schema: Any) -> Any:
    """A schema that allows no key it does not name."""
    if isinstance(schema, list):
        return [closed(one) for one in schema]
    if not isinstance(schema, dict):
        return schema
    found = {key: closed(value) for key, value in schema.items()}
    if found.get("type") == "object" and "properties" in found:
        found["additionalProperties"] = False
    return found


def hold_to(name: str, document: Any) -> None:
    faults = Draft202012Validator(closed(print_schema(name))).iter_errors(document)
    told = "\n".join(f"{fault.json_path}: {fault.message[:300]}" for fault in faults)
    assert not told, told
