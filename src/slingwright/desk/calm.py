"""Work that nobody waits for goes behind what somebody waits for."""

from __future__ import annotations

import os
import sys
import threading

__all__ = ["be_calm"]

# how far it gives way, as `nice` counts it; with more it would not come to its end where other programs have
# work for all cores
_CALM = 10


def be_calm() -> None:
    """Let what is waited for go before this thread; elsewhere than on Linux it would hold for the process."""
    if sys.platform == "linux":
        os.setpriority(os.PRIO_PROCESS, threading.get_native_id(), _CALM)
