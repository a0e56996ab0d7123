"""On a first run the kernels are compiled by two processes, one a core.

numba compiles under one lock, so a second thread would not help. The process that meets the first kernel
without code on disk compiles that one and its like; a child compiles the others into the same cache, and
whoever needs one of these waits for it. A child that fails or cannot be started costs time, never an answer.
"""

from __future__ import annotations

import logging
import os
import subprocess
import sys

__all__ = ["GENERAL", "HOOK", "begin", "compile_group", "finish"]

HOOK, GENERAL = "hook", "general"
NEAR = "near"  # whoever meets it compiles it: few lifts need it
_OF_GENERAL, _OF_NEAR = ("run_general", "look"), ("run_bodies",)
_WAIT_S = 120.0
_CHILD = (
    "import sys; sys.path[:] = {path!r}; "
    "from slingwright.hang._beside import compile_group; compile_group({group!r})"
)

_log = logging.getLogger("slingwright.hang")
_groups: list[str] = []  # what the child compiles
_begun: list[subprocess.Popen[bytes] | None] = []


def _group(kernel: str) -> str:
    """The rest are one body's under one hook, or read such a body's samples."""
    return GENERAL if kernel in _OF_GENERAL else NEAR if kernel in _OF_NEAR else HOOK


def begin(kernel: str) -> None:
    """Have the kernels that do not go with `kernel` compiled by a child; only the first call does."""
    if _begun:
        return
    _begun.append(None)
    if _cores() < 2:
        return
    group = HOOK if _group(kernel) == GENERAL else GENERAL
    try:
        _groups.append(group)
        _begun[0] = subprocess.Popen(
            [sys.executable, "-c", _CHILD.format(path=sys.path, group=group)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
    except OSError as refused:
        _log.info("no second process to compile in (%s): this one does it all", refused)


def _cores() -> int:
    if hasattr(os, "sched_getaffinity"):  # what this process may use; not every system tells
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def finish(kernel: str) -> bool:
    """Wait for the child that compiles `kernel`; whether there was one (its code may be on disk now)."""
    child = _begun[0] if _begun else None
    if child is None or _group(kernel) not in _groups:
        return False
    try:
        child.wait(_WAIT_S)
    except subprocess.TimeoutExpired:
        child.kill()
    return True


def compile_group(group: str) -> None:
    """What the child does: compile one group's kernels by using them."""
    from slingwright.hang import warm

    _begun.append(None)  # no child of its own
    {HOOK: warm.warm_hook, GENERAL: warm.warm_general}[group]()
