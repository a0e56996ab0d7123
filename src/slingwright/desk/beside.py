"""The files sent beside a file, in a folder of their own: what is sent can name those and no other."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

__all__ = ["NOTHING_BESIDE", "beside_folder", "is_plain_name"]

NOTHING_BESIDE: Mapping[str, bytes] = {}
# no folder, no drive, nothing hidden, no name that some system keeps for a device with an ending
_PLAIN = re.compile(r"[A-Za-z0-9_][A-Za-z0-9_ .\-]{0,98}[A-Za-z0-9_]")


def is_plain_name(name: str) -> bool:
    """Whether a name is a file's name and nothing more."""
    return _PLAIN.fullmatch(name) is not None


@contextmanager
def beside_folder(files: Mapping[str, bytes]) -> Iterator[Path]:
    """A folder with these files and nothing else in it, gone afterwards.

    Parameters
    ----------
    files
        Contents by plain names (see `is_plain_name`).
    """
    with TemporaryDirectory(prefix="slingwright-") as place:
        folder = Path(place)
        for name, content in files.items():
            assert is_plain_name(name)
            (folder / name).write_bytes(content)
        yield folder
