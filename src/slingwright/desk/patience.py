"""How long and for how many the desk waits: slow heads, slow bodies, crowds. Uvicorn leaves these open."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from typing import Any

import h11
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send
from uvicorn.protocols.http.h11_impl import H11Protocol

from slingwright.desk.problems import busy

__all__ = ["MOST_HEAD", "CrowdLimit", "PatientProtocol", "SlowBodyLimit", "server_options"]

MOST_HEAD = 80_000  # bytes of a request's head: the longest link and what a browser says with it
_HEAD_S = 15.0  # for a whole head, however it trickles in
_BODY_S = 15.0  # for a body, and on top of it
_SLOWEST = 20_000.0  # bytes a second: a telephone at the end of its signal
_MOST_AT_ONCE = 100  # requests; searches are bounded far below it


class PatientProtocol(H11Protocol):
    """Uvicorn's HTTP, closing a connection on which no whole head comes in time."""

    _late: asyncio.TimerHandle | None = None

    # narrower than asyncio's own, as uvicorn's is
    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Start to wait for the first head."""
        super().connection_made(transport)
        self._watch()

    def data_received(self, data: bytes) -> None:
        """Take what came; a head still missing keeps its first deadline."""
        super().data_received(data)
        self._watch()

    def on_response_complete(self) -> None:
        """Wait for the next head on the same connection."""
        super().on_response_complete()
        self._watch()

    def connection_lost(self, exc: Exception | None) -> None:
        """Wait no longer."""
        super().connection_lost(exc)
        self._stop()

    def _watch(self) -> None:
        if self.conn.their_state is not h11.IDLE:
            self._stop()
        elif self._late is None and not self.transport.is_closing():
            self._late = self.loop.call_later(_HEAD_S, self.transport.close)

    def _stop(self) -> None:
        if self._late is not None:
            self._late.cancel()
            self._late = None


class SlowBodyLimit:
    """Middleware: a body that trickles in is answered with 408, not waited for."""

    def __init__(self, app: ASGIApp, clock: Callable[[], float] = time.monotonic) -> None:
        self.app, self.clock = app, clock

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Give the app a `receive` that does not wait for ever."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        length = Request(scope).headers.get("content-length", "0")
        size = int(length) if length.isascii() and length.isdigit() and len(length) < 12 else 0
        end = self.clock() + _BODY_S + size / _SLOWEST
        whole = False

        async def receive_in_time() -> Message:
            nonlocal whole
            if whole:  # what is waited for now is the visitor going away
                return await receive()
            try:
                async with asyncio.timeout(max(0.0, end - self.clock())):
                    message = await receive()
            except TimeoutError:
                raise HTTPException(408, "What is sent comes too slowly") from None
            whole = message["type"] != "http.request" or not message.get("more_body", False)
            return message

        await self.app(scope, receive_in_time, send)


class CrowdLimit:
    """Middleware: beyond so many requests at once a further one is told when to come back."""

    def __init__(self, app: ASGIApp, most: int = _MOST_AT_ONCE) -> None:
        self.app, self.most, self.now = app, most, 0

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let it in, or send it away."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        if self.now >= self.most:
            await busy(Request(scope))(scope, receive, send)
            return
        self.now += 1
        try:
            await self.app(scope, receive, send)
        finally:
            self.now -= 1


def server_options() -> dict[str, Any]:
    """What uvicorn is started with."""
    return {
        "http": PatientProtocol,
        "h11_max_incomplete_event_size": MOST_HEAD,
        "limit_concurrency": 900,  # connections: below the files that a process may usually hold
        "timeout_keep_alive": 10,
        "timeout_graceful_shutdown": 5,
        "backlog": 256,
        "server_header": False,
        "log_level": "warning",
    }
