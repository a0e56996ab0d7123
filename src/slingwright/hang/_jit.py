"""The one place where kernels are compiled: serial, without the interpreter's lock, cached on disk.

Never `parallel=True`: on a machine without OpenMP two threads inside such kernels abort the process. Threads
are our own (`batch.py`). A cache folder that cannot be written makes the first solve slower, never an error.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Any, TypeVar, cast

import numba

__all__ = ["kernel"]

_log = logging.getLogger("slingwright.hang")
_said: list[bool] = []
F = TypeVar("F", bound=Callable[..., Any])


def kernel(function: F) -> F:
    """Compile `function` on its first call; keep the machine code on disk where that can be done.

    `error_model="numpy"`: divisions do not branch, so that loops over samples become vector code; no
    other freedom is given to the compiler, so a sample's bits do not depend on its neighbours.
    """
    options: dict[str, Any] = {"nogil": True, "error_model": "numpy"}
    try:
        compiled = numba.njit(cache=True, **options)(function)
    except (RuntimeError, OSError) as unwritable:  # numba finds no folder to write to
        if not _said:
            _said.append(True)
            _log.warning("no writable folder for compiled code (%s): compiling anew in each process", unwritable)
        compiled = numba.njit(**options)(function)
    return cast(F, compiled)
