"""Load on the desk as people make it: users who each change one field every few seconds.

    python benchmarks/desk.py [--users 20] [--pause 4] [--seconds 120] [--rate] > desk.json

Half of the users start from the examples, half from lifts that were never seen (random, by a seed). A change
is the form with one field changed (POST /lift, 303), then the answer's page. The load runs on the same cores
as the desk: its share of the processor is in the figures. `--rate` halves the pause until the 95th percentile
passes a second. Cold start and the page's weight are measured first.
"""

from __future__ import annotations

import argparse
import asyncio
import gzip
import json
import random
import socket
import subprocess
import sys
import time
import urllib.request
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from slingwright.desk.form import fields_of, pick_rows
from slingwright.desk.link import pack_lift

ROOT = Path(__file__).resolve().parent.parent
SHOP = ROOT / "examples" / "harrow_quay" / "shop.toml"
Address = tuple[str, int]


@dataclass
class Tally:
    """What was measured in one stretch."""

    seconds: list[float] = field(default_factory=list)
    errors: dict[str, int] = field(default_factory=dict)

    def report(self, lasted_s: float) -> dict[str, Any]:
        """Percentiles, throughput and errors."""
        found = sorted(self.seconds)
        at = {
            f"p{p}_ms": round(1000 * found[min(len(found) - 1, len(found) * p // 100)]) for p in (50, 95, 99)
        }
        return {
            "answers": len(found),
            "a_second": round(len(found) / lasted_s, 2),
            **at,
            "errors": self.errors,
        }


def random_lift(draw: random.Random) -> dict[str, Any]:
    """A box with four lugs that nobody has asked for before."""
    length, width, height = draw.uniform(5, 14), draw.uniform(3, 7), draw.uniform(2, 7)
    inset, centre = draw.uniform(0.05, 0.2), (draw.uniform(0.45, 0.55), draw.uniform(0.45, 0.55))

    def feet(value: float) -> str:
        return f"{value:.2f} ft"

    corners = [(inset, inset), (1 - inset, inset), (1 - inset, 1 - inset), (inset, 1 - inset)]
    picks = [
        {"name": name, "at": [feet(x * length), feet(y * width), feet(height)], "pin": "1 in"}
        for name, (x, y) in zip("ABCD", corners, strict=True)
    ]
    return {
        "title": f"Random {draw.random():.9f}",
        "rulebook": "us",
        "load": {
            "weight": f"{draw.uniform(1500, 14000):.0f} lb", "shape": "box", "length": feet(length),
            "width": feet(width), "height": feet(height), "known_by": "plate", "pick_point": picks,
            "centre_of_gravity": [feet(centre[0] * length), feet(centre[1] * width), feet(height / 2)],
        },
        "hook": {"headroom": feet(height + draw.uniform(8, 25)), "thickness": "2 in"},
        "site": {"temperature": ["40 °F", "90 °F"]},
    }  # fmt: skip


def form_of(tables: dict[str, Any]) -> dict[str, str]:
    """The page's form as the browser would send it."""
    form = {key: value for key, value in fields_of(tables).items() if value}
    for number, row in enumerate(pick_rows(tables)):
        form |= {f"load.pick_point.{number}.{key}": value for key, value in row.items()}
    return form | {"base": pack_lift(tables)}


def changed(form: dict[str, str], draw: random.Random) -> dict[str, str]:
    """One field changed: the weight or the room above."""
    if draw.random() < 0.5:
        return form | {"load.weight": f"{draw.uniform(1500, 12000):.0f} lb"}
    return form | {"hook.headroom": f"{draw.uniform(16, 40):.2f} ft"}


async def ask(
    address: tuple[str, int], method: str, path: str, body: bytes = b""
) -> tuple[int, dict[str, str]]:
    """One request on a connection of its own; its status and its head."""
    reader, writer = await asyncio.open_connection(*address, limit=1 << 20)
    try:
        head = f"{method} {path} HTTP/1.1\r\nHost: {address[0]}:{address[1]}\r\nAccept-Encoding: gzip\r\n"
        head += "Accept: text/html\r\nConnection: close\r\n"
        if body:
            head += f"Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {len(body)}\r\n"
        writer.write(head.encode() + b"\r\n" + body)
        answer = await reader.read(-1)
    finally:
        writer.close()
    top, _, _ = answer.partition(b"\r\n\r\n")
    first, *lines = top.decode("latin-1").split("\r\n")
    names = (line.partition(":") for line in lines)
    return int(first.split()[1]), {name.lower(): value.strip() for name, _, value in names}


async def user(
    address: Address, tables: dict[str, Any], draw: random.Random, pause_s: float, end: float, tally: Tally
) -> None:
    """Change a field, wait for the answer, look at it, and again."""
    form = form_of(tables)
    await asyncio.sleep(draw.uniform(0, pause_s))
    while time.monotonic() < end:
        began = time.monotonic()
        try:
            status, head = await ask(address, "POST", "/lift", urlencode(changed(form, draw)).encode())
            if status == 303:
                status, _ = await ask(address, "GET", head["location"])
        except (OSError, ValueError, IndexError) as error:
            tally.errors[type(error).__name__] = tally.errors.get(type(error).__name__, 0) + 1
        else:
            if status == 200:
                tally.seconds.append(time.monotonic() - began)
            else:
                tally.errors[str(status)] = tally.errors.get(str(status), 0) + 1
        await asyncio.sleep(draw.expovariate(1 / pause_s))


async def stretch(
    address: Address, lifts: list[dict[str, Any]], *, users: int, pause_s: float, seconds: float, seed: int
) -> dict[str, Any]:
    """All users together for so long."""
    tally, own = Tally(), time.process_time()
    began = time.monotonic()
    draws = [random.Random(f"{seed} {n}") for n in range(users)]
    tables = [lifts[n % len(lifts)] if n % 2 else random_lift(draws[n]) for n in range(users)]
    end = began + seconds
    await asyncio.gather(
        *(user(address, one, draw, pause_s, end, tally) for one, draw in zip(tables, draws, strict=True))
    )
    lasted = time.monotonic() - began
    share = {"users": users, "pause_s": pause_s, "load_cores": round((time.process_time() - own) / lasted, 3)}
    return share | (tally.report(lasted) if tally.seconds else {"answers": 0, "errors": tally.errors})


def start() -> tuple[subprocess.Popen[str], tuple[str, int], float]:
    """The desk in a process of its own, and the seconds until it gave its first answer."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "slingwright.cli.main", "desk", "--shop", str(SHOP), "--port", str(port)]
    began = time.monotonic()
    desk = subprocess.Popen(command, text=True, stderr=subprocess.PIPE)
    link = pack_lift(random_lift(random.Random(0)))
    while True:
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/lift?l={link}", timeout=60).read()
            return desk, ("127.0.0.1", port), time.monotonic() - began
        except OSError:
            if desk.poll() is not None:
                raise
            time.sleep(0.02)


def weight(address: tuple[str, int]) -> dict[str, int]:
    """Bytes on the wire of an answer's page and all that it loads before the view in space."""
    root = f"http://{address[0]}:{address[1]}"

    def size(path: str) -> tuple[int, bytes]:
        asked = urllib.request.Request(
            root + path, headers={"Accept-Encoding": "gzip", "Accept": "text/html"}
        )
        with urllib.request.urlopen(asked, timeout=60) as got:
            content = got.read()
            return len(content), gzip.decompress(content) if got.headers["Content-Encoding"] else content

    import re

    page, html = size(f"/lift?l={pack_lift(random_lift(random.Random(0)))}")
    loaded = re.findall(rb'(?:src|href)="(/static/[^"]+)"', html)
    return {"page": page, "its_files": sum(size(path.decode())[0] for path in dict.fromkeys(loaded))}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--users", type=int, default=20)
    parser.add_argument("--pause", type=float, default=4.0)
    parser.add_argument("--seconds", type=float, default=120.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--rate", action="store_true", help="then halve the pause until p95 passes a second")
    asked = parser.parse_args()
    import tomllib

    files = [tomllib.loads(file.read_text("utf-8")) for file in sorted(SHOP.parent.glob("*.toml"))]
    lifts = [
        one
        for one in files
        if "hook" in one and "pick_point" in one.get("load", {}) and "mesh" not in one["load"]
    ]
    desk, address, cold_s = start()
    try:
        found: dict[str, Any] = {
            "first_answer_s": round(cold_s, 2),
            "bytes": weight(address),
            "stretches": [],
        }
        pause = asked.pause
        while True:
            told = asyncio.run(
                stretch(
                    address, lifts, users=asked.users, pause_s=pause, seconds=asked.seconds, seed=asked.seed
                )
            )
            found["stretches"].append(told)
            print(told, file=sys.stderr, flush=True)
            if not asked.rate or told.get("p95_ms", 1e9) >= 1000 or pause < 0.05:
                break
            pause /= 2
        print(json.dumps(found, indent=2))
    finally:
        desk.terminate()


if __name__ == "__main__":
    main()
