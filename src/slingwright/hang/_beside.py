"""On a first run the kernels are compiled by two processes, one a core.

numba compiles under one lock, so a second thread would not help. The process that meets the first kernel
without code on disk compiles that one and its like; a child compiles others into the same cache, the one
that is needed soonest first, and whoever needs one of these waits till it is there. A child that fails or
cannot be started costs time, never an answer.
"""

from __future__ import annotations

import logging
import os
import subprocess
import sys
import time

__all__ = ["GENERAL", "HOOK", "begin", "compile_beside", "waits"]

HOOK, GENERAL = "hook", "general"
_OF_GENERAL = ("run_general", "look")
# what a child compiles, by what is not met yet; the rest are compiled by whoever meets them, so that both
# processes have about the same to do
_CHILD_S: dict[str, tuple[str, ...]] = {
    HOOK: ("run_hook", "look_hook", "read_samples", "hold_samples"),
    GENERAL: ("look_hook", *_OF_GENERAL),
}
_WAIT_S, _LOOK_S = 120.0, 0.1
_CHILD = (
    "import sys; sys.path[:] = {path!r}; "
    "from slingwright.hang._beside import compile_beside; compile_beside({group!r})"
)

_log = logging.getLogger("slingwright.hang")
_groups: list[str] = []  # what the child compiles
_begun: list[subprocess.Popen[bytes] | None] = []
_ends: list[float] = []  # when it is waited for no longer


def begin(kernel: str) -> None:
    """Have kernels that do not go with `kernel` compiled by a child; only the first call does."""
    if _begun:
        return
    _begun.append(None)
    if _cores() < 2:
        return
    group = HOOK if kernel in _OF_GENERAL else GENERAL
    try:
        _groups.append(group)
        _begun[0] = subprocess.Popen(
            [sys.executable, "-c", _CHILD.format(path=sys.path, group=group)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        _ends[:] = [time.monotonic() + _WAIT_S]
    except OSError as refused:
        _log.info("no second process to compile in (%s): this one does it all", refused)


def _cores() -> int:
    if hasattr(os, "sched_getaffinity"):  # what this process may use; not every system tells
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def waits(kernel: str) -> bool:
    """Wait a moment where a child compiles `kernel`; True: its code may be on disk now, or soon.

    Once more where the child has ended, then False.
    """
    child = _begun[0] if _begun else None
    if child is None or not _ends or kernel not in _CHILD_S[_groups[0]]:
        return False
    try:
        child.wait(_LOOK_S)
    except subprocess.TimeoutExpired:
        if time.monotonic() < _ends[0]:
            return True
        child.kill()
        child.wait()
    _ends.clear()
    return True


def compile_beside(group: str) -> None:
    """What the child does: compile its kernels, most by using them."""
    from slingwright.hang import warm

    _begun.append(None)  # no child of its own
    if group == HOOK:
        warm.warm_hook()
    else:
        warm.compile_margins()
        warm.warm_general()
