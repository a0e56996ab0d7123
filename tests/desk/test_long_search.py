"""Lifts that make the search long: each is answered in bounded time and room and says what is not proved.

The desk runs in a process of its own, whose memory is its own, with a second for a search instead of twenty.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from slingwright.desk.link import pack_lift
from tests.desk.doors import SHOP
from tests.lifts import lift_document

SEARCH_S = 1.0
PATIENCE_S = 120.0  # on a machine that does much else
MOST_MB = 600  # the desk and all it started: 290 measured
DESK = f"""
import resource, socket, sys, threading
import uvicorn
from slingwright.desk.app import create_app
from slingwright.desk.patience import server_options
from slingwright.usecases.settings import resolve_settings
from pathlib import Path
shop = Path(sys.argv[1])
app = create_app(resolve_settings({{"shop": str(shop)}}, {{}}, shop.parent))
app.state.bench.warm()
app.state.bench.search_s = {SEARCH_S}
with socket.socket() as server:
    server.bind(("127.0.0.1", 0))
    server.listen()
    print(server.getsockname()[1], flush=True)
    uvicorn.Server(uvicorn.Config(app, **server_options())).run(sockets=[server])
"""


def long_lift(number: int) -> dict[str, Any]:
    """A heavy box whose centre lies far from its middle, held by slings round it: ten seconds and more."""
    box = {"shape": "box", "length": "12 ft", "width": "6 ft", "height": "5 ft"}
    load = box | {"weight": f"{30_000 + number} lb", "centre_of_gravity": ["4 ft", "2 ft", "2 ft"]}
    return {"title": f"Long {number}", "load": load, "hook": {"headroom": "30 ft"}}


@pytest.fixture
def desk() -> Iterator[tuple[str, int]]:
    """Its address and its process."""
    with subprocess.Popen(
        [sys.executable, "-c", DESK, str(SHOP)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        port = process.stdout.readline().strip()
        assert port, process.stderr.read()[-3000:]
        yield f"http://127.0.0.1:{port}", process.pid
        assert process.poll() is None, "the desk went down"
        process.terminate()
        assert "Traceback" not in process.stderr.read()


def asked(address: str, tables: dict[str, Any] | None = None) -> tuple[int, str, float]:
    """Status, text and how long it took."""
    body = None if tables is None else json.dumps(tables).encode()
    request = urllib.request.Request(address, body, {"Content-Type": "application/json"})
    began = time.monotonic()
    try:
        with urllib.request.urlopen(request, timeout=PATIENCE_S) as answer:
            return answer.status, answer.read().decode(), time.monotonic() - began
    except urllib.error.HTTPError as refused:
        return refused.code, refused.read().decode(), time.monotonic() - began


def megabytes(process: int) -> float:
    """The most that a process and those it started have held."""
    told = Path(f"/proc/{process}/status").read_text("utf-8")
    held = (int(line.split()[1]) for line in told.splitlines() if line.startswith("VmHWM:"))
    most = next(held, 0) / 1024  # one that has ended holds nothing
    children = Path(f"/proc/{process}/task/{process}/children").read_text("utf-8").split()
    return most + sum(megabytes(int(child)) for child in children)


def test_long_searches_end_in_time_and_others_are_served_meanwhile(desk: tuple[str, int]) -> None:
    address, process = desk
    with ThreadPoolExecutor(4) as visitors:
        answers = [
            visitors.submit(asked, f"{address}/api/v1/choose", long_lift(number)) for number in range(3)
        ]
        page = visitors.submit(asked, f"{address}/lift?l={pack_lift(long_lift(9))}")
        time.sleep(0.5)  # they have begun
        others = [asked(f"{address}{path}") for path in ("/learn/angles", "/sling", "/")]
        assert not all(one.done() for one in answers), "they were not long"
        found = [one.result() for one in answers]
    for status, text, took in others:
        assert status == 200, text
        assert took < 9, "who needs no search waited for those who do"
    for status, text, _ in found:
        answer = json.loads(text)
        assert status == 200
        assert answer["search"]["proved"] is False
        assert answer["search"]["seconds"] < SEARCH_S + 9, "it looked at the clock"
        assert answer["cautions"]
    assert page.result()[0] == 200
    assert "<html" in page.result()[1]
    status, text, _ = asked(f"{address}/api/v1/choose", lift_document("hot_casting"))
    assert status == 200
    assert json.loads(text)["search"]["proved"] is True, "an ordinary lift after them is answered whole"
    assert megabytes(process) < MOST_MB
