"""The door to the outside is shut for tests; this machine stays reachable."""

from __future__ import annotations

import socket

import pytest


@pytest.mark.parametrize("address", [("192.0.2.1", 80), ("example.invalid", 443)])  # RFC 5737 and RFC 2606
def test_no_test_reaches_the_outside(address: tuple[str, int]) -> None:
    with socket.socket() as outward:
        with pytest.raises(AssertionError, match="tests stay on this machine"):
            outward.connect(address)
        with pytest.raises(AssertionError, match="tests stay on this machine"):
            outward.connect_ex(address)


def test_this_machine_stays_reachable() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server, socket.socket() as inward:
        inward.connect(server.getsockname())
