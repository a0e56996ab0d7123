"""A desk that is asked slowly, or by a crowd, stays up and says what it does."""

from __future__ import annotations

import asyncio
import socket
import threading
import time
from collections.abc import Iterator
from typing import Any

import pytest
import uvicorn
from fastapi import FastAPI, Request
from fastapi.testclient import TestClient

from slingwright.desk import patience
from slingwright.desk.problems import answer_problems


def _app() -> FastAPI:
    app = FastAPI()

    @app.post("/size")
    async def size(request: Request) -> int:
        return len(await request.body())

    answer_problems(app)
    app.add_middleware(patience.SlowBodyLimit)
    return app


@pytest.fixture
def port(monkeypatch: pytest.MonkeyPatch) -> Iterator[int]:
    monkeypatch.setattr(patience, "_HEAD_S", 0.5)
    monkeypatch.setattr(patience, "_BODY_S", 0.5)
    server = uvicorn.Server(uvicorn.Config(_app(), port=0, lifespan="off", **patience.server_options()))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield server.servers[0].sockets[0].getsockname()[1]
    server.should_exit = True
    thread.join()


def said(port: int, *parts: bytes) -> bytes:
    """What comes back where the parts are sent and nothing after them."""
    with socket.create_connection(("127.0.0.1", port), timeout=20) as open_socket:
        answer = b""
        try:
            for part in parts:
                open_socket.sendall(part)
                time.sleep(0.05)
            while more := open_socket.recv(65536):
                answer += more
        except ConnectionError:  # shut with what was sent unread
            pass
        return answer


def test_a_head_that_never_ends_is_not_waited_for(port: int) -> None:
    assert said(port, b"POST /size HTTP/1.1\r\nHost: a\r\n", b"X-A: b\r\n") == b""


def test_a_body_that_never_comes_is_answered(port: int) -> None:
    answer = said(
        port, b"POST /size HTTP/1.1\r\nHost: a\r\nContent-Length: 9\r\nConnection: close\r\n\r\n", b"abc"
    )
    assert answer.startswith(b"HTTP/1.1 408")
    assert b"application/problem+json" in answer


def test_a_long_link_is_read_and_an_endless_head_is_not(port: int) -> None:
    head = b"POST /size?l=" + b"a" * 60_000 + b" HTTP/1.1\r\nHost: a\r\nContent-Length: 3\r\n"
    assert b"200 OK" in said(port, head + b"Connection: close\r\n\r\nabc")
    assert b"200" not in said(port, b"POST /size?l=" + b"a" * 200_000 + b" HTTP/1.1\r\n\r\n")
    assert b"200 OK" in said(
        port, b"POST /size HTTP/1.1\r\nHost: a\r\nContent-Length: 0\r\nConnection: close\r\n\r\n"
    )


def test_one_too_many_is_told_when_to_come_back() -> None:
    limit = patience.CrowdLimit(_app(), most=0)
    got = TestClient(limit).post("/size", content=b"abc")
    assert got.status_code == 503
    assert got.headers["retry-after"].isdigit()


def test_who_has_left_makes_room_again() -> None:
    async def fails(scope: Any, receive: Any, send: Any) -> None:
        msg = "gone"
        raise OSError(msg)

    limit = patience.CrowdLimit(fails, most=1)
    for _ in range(3):
        with pytest.raises(OSError, match="gone"):
            asyncio.run(limit({"type": "http"}, None, None))  # type: ignore[arg-type]  # neither is called
    assert limit.now == 0
