"""Read an input file within a size limit; write papers whole or not at all."""

from __future__ import annotations

import json
import os
import sys
import tempfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from slingwright.cli.options import STDIN
from slingwright.errors import Fault, InputFault, fail

__all__ = ["MOST_INPUT_BYTES", "Paper", "read_input", "write_lines", "write_papers"]

MOST_INPUT_BYTES = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """Something to be written: the option that asked for it (for faults), where to, and its bytes."""

    option: str
    path: Path
    content: bytes


def read_input(file: str, *, most_bytes: int = MOST_INPUT_BYTES) -> bytes:
    """Read a file, or stdin for `-`, never more than `most_bytes`.

    Raises
    ------
    InputFault
        It cannot be read, or is larger than that.
    """
    try:
        if file == STDIN:
            content = sys.stdin.buffer.read(most_bytes + 1)
        else:
            with open(file, "rb") as opened:
                content = opened.read(most_bytes + 1)
    except (OSError, ValueError) as error:  # ValueError: a NUL in the name
        reason = error.strerror if isinstance(error, OSError) else str(error)
        raise fail("", f"{file!r} cannot be read: {reason}", "give a file's path, or - for stdin") from error
    if len(content) > most_bytes:
        raise fail("", f"{file!r} is larger than {most_bytes} bytes", "a file of this kind is far smaller")
    return content


def write_papers(papers: Iterable[Paper]) -> None:
    """Write all papers, or none: each to a new file beside its place first, then all are moved there.

    Raises
    ------
    InputFault
        Every place that cannot be written to; then nothing at all was written.
    """
    papers = tuple(papers)
    faults: list[Fault] = []
    written: list[tuple[str, Path]] = []
    try:
        for paper in papers:
            try:
                written.append((_write_beside(paper), paper.path))
            except (OSError, ValueError) as error:
                faults.append(_write_fault(paper, error))
        if faults:
            raise InputFault(faults)
        for temporary, path in written:
            os.replace(temporary, path)
    finally:
        for temporary, _ in written:
            Path(temporary).unlink(missing_ok=True)


def write_lines(option: str, path: Path, lines: Iterable[Mapping[str, object]]) -> None:
    """Write documents one a line as they come, for files too long to hold; the place is taken when whole.

    Raises
    ------
    InputFault
        It cannot be written; then the place is as it was.
    """
    empty = Paper(option=option, path=path, content=b"")
    try:
        temporary = _write_beside(empty)
    except (OSError, ValueError) as error:
        raise InputFault([_write_fault(empty, error)]) from error
    try:
        with open(temporary, "w", encoding="utf-8") as file:
            for line in lines:
                file.write(json.dumps(line, ensure_ascii=False, allow_nan=False) + "\n")
        os.replace(temporary, path)
    except OSError as error:
        raise InputFault([_write_fault(empty, error)]) from error
    finally:
        Path(temporary).unlink(missing_ok=True)


def _write_beside(paper: Paper) -> str:
    if paper.path.is_dir():
        raise IsADirectoryError(None, "it is a folder")
    handle, temporary = tempfile.mkstemp(prefix=f".{paper.path.name}.", dir=paper.path.absolute().parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(paper.content)
        os.chmod(temporary, 0o666 & ~_umask())
    except OSError:
        Path(temporary).unlink(missing_ok=True)
        raise
    return temporary


def _umask() -> int:
    """Read the mask for new files; there is no way to ask but to set it and set it back."""
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _write_fault(paper: Paper, error: OSError | ValueError) -> Fault:
    reason = error.strerror if isinstance(error, OSError) else str(error)
    hint = "make the folder first" if isinstance(error, FileNotFoundError) else "choose another place"
    return Fault(paper.option, f"{str(paper.path)!r} cannot be written: {reason}", hint)
