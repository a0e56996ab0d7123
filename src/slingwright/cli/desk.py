"""`slingwright desk`: the pages and the API, served from this machine."""

from __future__ import annotations

import gc
import ipaddress
import logging
import os
import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Annotated

from cyclopts import Parameter

from slingwright.cli.options import NOTHING_SET, SettingOptions, find_settings
from slingwright.desk.searcher import SELDOM
from slingwright.desk.searchers import Searchers
from slingwright.errors import fail

__all__ = ["desk"]

log = logging.getLogger(__name__)


def desk(
    *,
    host: Annotated[str, Parameter(help="The address to listen on; beyond this machine needs --token.")] = (
        "127.0.0.1"
    ),
    port: Annotated[int, Parameter(help="The port to listen on.")] = 8040,
    token: Annotated[str | None, Parameter(help="Ask every visitor for this token.")] = None,
    embed_origin: Annotated[
        tuple[str, ...],
        Parameter(
            help="An origin whose pages may show the desk in a frame; may be given again.", negative=""
        ),
    ] = (),
    searchers: Annotated[
        int | None,
        Parameter(
            help="Searches waited for at once, two processes for each; by default one a core, at most 4"
        ),
    ] = None,
    settings: SettingOptions = NOTHING_SET,
) -> int:
    """Serve the page where a lift becomes a sling, and its API, until it is stopped."""
    found = find_settings(settings)
    if not 0 < port < 65536:
        raise fail("--port", f"{port} is no port", "1 to 65535")
    if token is not None and len(token) < _SHORTEST_TOKEN:
        raise fail("--token", "is too short to keep anybody out", f"{_SHORTEST_TOKEN} characters or more")
    if token is None and not _is_loopback(host):
        raise fail("--host", f"{host} can be reached from other machines", "give a --token as well")
    for origin in embed_origin:
        if _ORIGIN.fullmatch(origin) is None:
            hint = "scheme and host, and the port where it is another: https://shop.example"
            raise fail("--embed-origin", f"{origin!r} is no origin", hint)
    if searchers is not None and not 0 <= searchers <= _MOST_SEARCHERS:
        raise fail("--searchers", f"{searchers} is no count of processes", f"0 to {_MOST_SEARCHERS}")
    found.need_shop()
    beside = Searchers(found, min(4, _cores()) if searchers is None else searchers)
    beside.start()  # it gets ready while the rest is loaded
    # without a token only the machine's own names count: another name that leads here is a trick
    hosts = () if token is not None else (*_OWN_NAMES, host, f"[{host}]")
    with _nothing_thrown_away():
        import uvicorn

        from slingwright.desk.app import create_app
        from slingwright.desk.patience import server_options
        from slingwright.words import read_catalogue

        app = create_app(found, token=token, hosts=hosts, embed_origins=embed_origin, searchers=beside)
        app.state.bench.warm()
    shown = f"[{host}]" if ":" in host else host
    ready = read_catalogue(found.language).fill("terminal", "ready", address=f"http://{shown}:{port}/")
    sys.stderr.write(f"{ready}\n")
    sys.stderr.flush()
    sys.setswitchinterval(_SWITCH_S)
    gc.set_threshold(*SELDOM)
    try:
        uvicorn.run(app, host=host, port=port, **server_options())
    finally:
        beside.close()
    return 0


def _cores() -> int:
    """How many this process may use."""
    return len(os.sched_getaffinity(0)) if sys.platform == "linux" else os.cpu_count() or 1


@contextmanager
def _nothing_thrown_away() -> Iterator[None]:
    """What is loaded meanwhile stays for good: to look for garbage in it would take a third of the start."""
    gc.disable()
    try:
        yield
        gc.freeze()
    finally:
        gc.enable()


_SHORTEST_TOKEN = 16
_SWITCH_S = 0.001  # a drawing is made in ten; who only passes something on does not wait for half of it
_MOST_SEARCHERS = 64
# no path, no wildcard: it stands in a header as it is
_ORIGIN = re.compile(r"https?://[A-Za-z0-9]([A-Za-z0-9.-]{0,251}[A-Za-z0-9])?(:[0-9]{1,5})?")
_OWN_NAMES = ("localhost", "127.0.0.1", "[::1]")


def _is_loopback(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"
