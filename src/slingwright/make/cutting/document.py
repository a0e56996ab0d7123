"""Cut problems from a document: a line of an instance file, a list of them, or the shop's own job file."""

from __future__ import annotations

import json
import tomllib
from dataclasses import dataclass

from slingwright.errors import Fault, InputFault, fail
from slingwright.make.cutting.fields import Fields
from slingwright.make.cutting.instance import read_instance
from slingwright.make.cutting.job import read_job
from slingwright.make.cutting.problem import CutProblem

__all__ = ["CutRequest", "parse_cut", "read_cut_text"]

_INSTANCE_KEYS = frozenset({"capacity", "params", "items", "stock"})


@dataclass(frozen=True, slots=True)
class CutRequest:
    """The problems asked for; `several` = the answer is a list of plans even if there is only one."""

    problems: tuple[CutProblem, ...]
    several: bool


def read_cut_text(text: str) -> CutRequest:
    """Read JSON (one object or a list), one JSON object a line, or TOML (a job file).

    Raises
    ------
    InputFault
        if it is none of them, or with every fault found in it
    """
    text = text.removeprefix("\ufeff").strip()
    if not text:
        raise fail("", "the file is empty", "a cut job, see docs/reference/cut-plan.md")
    try:
        return parse_cut(_read_json(text))
    except (json.JSONDecodeError, _NotANumberError) as json_error:
        if text[0] == "{":
            raise fail("", f"is not JSON: {json_error}") from None
    except RecursionError:
        raise fail("", "is nested too deeply") from None
    try:
        return parse_cut(tomllib.loads(text))
    except (tomllib.TOMLDecodeError, RecursionError) as toml_error:
        raise fail("", f"is neither JSON nor TOML: {toml_error}") from None


class _NotANumberError(ValueError):
    """NaN or Infinity, which JSON does not have and Python's reader would let pass."""


def _refuse(constant: str) -> object:
    raise _NotANumberError(constant)


def _read_json(text: str) -> object:
    lines = [line for line in text.splitlines() if line.strip()]
    if len(lines) > 1 and all(line[0] == "{" and line.rstrip()[-1] == "}" for line in lines):
        return [json.loads(line, parse_constant=_refuse) for line in lines]
    return json.loads(text, parse_constant=_refuse)


def parse_cut(data: object) -> CutRequest:
    """Problems of a document already read.

    Raises
    ------
    InputFault
        with every fault found, each at its field
    """
    faults: list[Fault] = []
    if isinstance(data, list):
        if not data:
            raise fail("", "the list is empty", "at least one cut problem")
        request = CutRequest(tuple(read_instance(row, f"[{i}]", faults) for i, row in enumerate(data)), True)
    elif isinstance(data, dict) and not _INSTANCE_KEYS & data.keys():
        request = CutRequest(read_job(Fields(data, "", faults)), True)
    else:
        request = CutRequest((read_instance(data, "", faults),), False)
    if faults:
        raise InputFault(faults)
    return request
