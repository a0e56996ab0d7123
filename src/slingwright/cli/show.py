"""Print one JSON document, or plain text, or what is wrong with the input; nothing else prints.

Documents leave as UTF-8 bytes whatever the terminal's language, so the same input gives the same bytes.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping

from slingwright.errors import InputFault
from slingwright.usecases.documents import document_bytes

__all__ = ["fault_document", "fault_text", "print_document", "print_fault", "print_text"]


def print_document(document: Mapping[str, object]) -> None:
    """Print one JSON document on stdout. A NaN in it is our bug and raises ValueError, unprinted."""
    content = document_bytes(document)
    sys.stdout.flush()
    sys.stdout.buffer.write(content)


def print_text(text: str) -> None:
    """Print text for people on stdout."""
    sys.stdout.write(text.rstrip("\n") + "\n")


def fault_document(fault: InputFault) -> dict[str, object]:
    """Give the `slingwright/fault/1` document: the first fault at its top, then all of them."""
    faults = [{"field": f.field, "problem": f.problem, "hint": f.hint} for f in fault.faults]
    return {"schema": "slingwright/fault/1", **faults[0], "faults": faults}


def fault_text(fault: InputFault) -> str:
    """Word every fault for people: one line each, its hint indented below."""
    lines = []
    for one in fault.faults:
        lines.append(f"{one.field}: {one.problem}" if one.field else one.problem)
        if one.hint:
            lines.append(f"    {one.hint}")
    return "\n".join(lines)


def print_fault(fault: InputFault, *, as_json: bool) -> None:
    """Print what is wrong with the input: a document on stdout, or text on stderr."""
    if as_json:
        print_document(fault_document(fault))
    else:
        sys.stderr.write(fault_text(fault) + "\n")
