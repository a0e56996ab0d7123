"""Loading compiled code from the disk without what only compiling needs.

Before it loads anything, numba readies itself to compile: it imports some forty modules of its own and notes
what each can compile, a third of the time a fresh process takes to its first solve. Machine code needs only
the runtime that hands out arrays. And while numba's tens of thousands of objects are made, the search for
garbage among them finds none.

This leans on numba's inside. A numba on which it was not tried loads as its authors wrote it: only slower.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

__all__ = ["load", "undisturbed"]

_TRIED = "0.68."


@contextmanager
def undisturbed() -> Iterator[None]:
    """No search for garbage meanwhile; what was made stays for good and is not searched later either."""
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
        gc.freeze()
    finally:
        if collecting:
            gc.enable()


def load(cache: Any, signature: Any, target: Any) -> Any:
    """The compiled code of `signature` from one of numba's caches; None where it holds none."""
    import numba
    from numba.core.runtime.nrt import rtsys

    if not numba.__version__.startswith(_TRIED):
        return cache.load_overload(signature, target)
    with undisturbed():
        rtsys.initialize(target)
        with cache._guard_against_spurious_io_errors():
            return cache._load_overload(signature, target)
