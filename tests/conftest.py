"""What holds for every test: no network, and the same hypothesis examples on every machine."""

from __future__ import annotations

import ipaddress
import socket
from typing import Any

from hypothesis import settings

settings.register_profile("fixed", max_examples=200, derandomize=True, deadline=None, print_blob=True)
settings.register_profile("explore", max_examples=2000, deadline=None, print_blob=True)
settings.load_profile("fixed")  # `--hypothesis-profile=explore` hunts with fresh examples instead


def _is_inside(address: Any) -> bool:
    """Tell whether an address stays on this machine (a file socket does)."""
    if not isinstance(address, tuple):
        return True
    host = str(address[0])
    if host in ("", "localhost"):
        return True
    try:
        return ipaddress.ip_address(host.partition("%")[0]).is_loopback
    except ValueError:
        return False


def _shut_the_door() -> None:
    """Let sockets reach this machine only: a test that needs the world is not repeatable."""
    real_connect, real_connect_ex = socket.socket.connect, socket.socket.connect_ex

    def connect(self: socket.socket, address: Any) -> None:
        if not _is_inside(address):
            msg = f"a test tried to reach {address!r}; tests stay on this machine"
            raise AssertionError(msg)
        real_connect(self, address)

    def connect_ex(self: socket.socket, address: Any) -> int:
        if not _is_inside(address):
            msg = f"a test tried to reach {address!r}; tests stay on this machine"
            raise AssertionError(msg)
        return real_connect_ex(self, address)

    socket.socket.connect = connect  # type: ignore[method-assign]
    socket.socket.connect_ex = connect_ex  # type: ignore[method-assign]


_shut_the_door()
