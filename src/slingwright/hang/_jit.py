"""The one place where kernels are compiled: serial, without the interpreter's lock, cached on disk.

Never `parallel=True`: on a machine without OpenMP two threads inside such kernels abort the process. Threads
are our own (`batch.py`). A cache folder that cannot be written makes the first solve slower, never an error.
"""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

from slingwright.hang import _beside
from slingwright.hang._jit_load import load, undisturbed
from slingwright.hang._jit_part import PART

with undisturbed():
    import numba

__all__ = ["compiled_kernels", "inner_kernel", "kernel", "lane_kernel", "taken_in_kernel"]

_log = logging.getLogger("slingwright.hang")
_said: list[str] = []
_kernels: list[Any] = []
_compiling: list[bool] = []
_OPTIONS: dict[str, Any] = {"nogil": True, "error_model": "numpy"}
F = TypeVar("F", bound=Callable[..., Any])


def _say_once(message: str, reason: object) -> None:
    if message not in _said:
        _said.append(message)
        _log.warning("%s (%s): solving goes on, compiling anew in each process", message, reason)


class _ForgivingCache:
    """numba's disk cache, keyed on all kernels' sources, whose failures are remarks instead of errors."""

    def __init__(self, inner: Any, name: str) -> None:
        self._inner, self._name = inner, name
        # numba looks at a function's own file alone, but a kernel holds the code of those it calls
        inner._cache_file._source_stamp = (inner._cache_file._source_stamp, _fingerprint())

    def __getattr__(self, name: str) -> Any:
        return getattr(self._inner, name)

    def load_overload(self, sig: Any, target_context: Any) -> Any:
        try:
            found = load(self._inner, sig, target_context)
            while found is None and _beside.waits(self._name):
                found = load(self._inner, sig, target_context)
            if found is None and not _compiling:
                _compiling.append(True)
                _log.warning("compiling the statics, once after installing: some seconds")
                _beside.begin(self._name)
            return found
        except Exception as broken:  # noqa: BLE001  (whatever a damaged file raises, compiling is the cure)
            _say_once("compiled code on disk cannot be read", broken)
            return None

    def save_overload(self, sig: Any, data: Any) -> None:
        try:
            self._inner.save_overload(sig, data)
        except OSError as full:
            _say_once("compiled code cannot be kept on disk", full)


def _fingerprint() -> str:
    if not _kernels_text:
        here = Path(__file__).parent
        digest = hashlib.sha256()
        for name in sorted(here.glob("_kernel*.py")):
            digest.update(name.read_bytes())
        for own in ("_jit.py", "_jit_part.py"):
            digest.update((here / own).read_bytes())
        _kernels_text.append(digest.hexdigest())
    return _kernels_text[0]


_kernels_text: list[str] = []


def kernel(function: F) -> F:
    """Compile `function` on its first call; keep the machine code on disk where that can be done.

    `error_model="numpy"`: divisions do not branch, so that loops over samples become vector code; no
    other freedom is given to the compiler, so a sample's bits do not depend on its neighbours.
    """
    return _compile(function)


def inner_kernel(function: F) -> F:
    """As `kernel`, for those that only other kernels call: no door for Python, and no code of their own.

    They become machine code as parts of the kernels that call them, and are kept on disk with these.
    """
    return _compile_part(function, {})


def taken_in_kernel(function: F) -> F:
    """As `inner_kernel`, written out wherever it is called: for those of many arrays called once a sample.

    Left to the compiler each call of such a one copies its arrays and counts who holds them.
    """
    return _compile_part(function, {"inline": "always"})


def lane_kernel(function: F) -> F:
    """As `inner_kernel`, and a product and a sum may be rounded once together (fused).

    Only for loops over a full block of lanes, in which every lane runs the same instructions.
    """
    return _compile_part(function, {"fastmath": {"contract"}})


def _off() -> bool:
    """Whether numba's own switch, for debuggers, is on: nothing is compiled or kept."""
    return bool(getattr(numba.config, "DISABLE_JIT", False))


def _compile_part(function: F, more: dict[str, Any]) -> F:
    if _off():
        return function
    return cast(F, numba.njit(**_OPTIONS, **PART, **more)(function))


def _compile(function: F) -> F:
    if _off():
        return function
    try:
        compiled = numba.njit(cache=True, **_OPTIONS)(function)
        compiled._cache = _ForgivingCache(compiled._cache, function.__name__)
    except (RuntimeError, OSError) as unwritable:  # numba finds no folder to write to
        _say_once("no writable folder for compiled code", unwritable)
        compiled = numba.njit(**_OPTIONS)(function)
    _kernels.append(compiled)
    return cast(F, compiled)


def compiled_kernels() -> int:
    """How many kernels with a door this process has had to compile itself (none: all were on disk)."""
    return sum(sum(k.stats.cache_misses.values()) for k in _kernels)
