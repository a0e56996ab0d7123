"""How the desk answers many at once: visitors who each change one field of a lift every few seconds.

    python benchmarks/desk.py                        20 visitors for two minutes
    python benchmarks/desk.py --most                 then ever more of them, until the 95th percentile is 1 s
    python benchmarks/desk.py --plain                the same without a script: whole pages
    python benchmarks/desk.py --searches             no desk: the searches for the best of such changes alone

The desk is started on this machine, so the load runs on the same cores: both shares of processor time are
said. Half of the visitors have a lift that nobody has asked for before (a random box, by a seed) and change
its weight or the room above to what nobody has asked for either; half go through a few weights of an example.
Timed is what a visitor waits for: from the change to the drawing and the best offer, looks at its progress
included. The further parts are fetched as the page's script does, until the next change drops them.
"""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import gzip
import html
import json
import os
import random
import re
import socket
import subprocess
import sys
import time
import tomllib
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import httpx2 as httpx

from slingwright.desk.form import fields_of, pick_rows, tables_from_form
from slingwright.desk.link import pack_lift, unpack_lift
from slingwright.usecases.choose_sling import ChooseRequest, Chosen, choose_sling
from slingwright.usecases.settings import Settings, resolve_settings

EXAMPLE = Path(__file__).resolve().parent.parent / "examples" / "harrow_quay"
LIFTS = {"chiller": (9_000, 12_000), "duct_section": (2_000, 4_500), "precast_stair": (5_000, 9_000)}
WEIGHTS = 6  # of an example, that all visitors to it ask for
BETWEEN_S = 4.0
LOOK_S = 0.1  # as the page's script looks again
MOST_S = 1.0  # the 95th percentile at which `--most` ends
MOST_VISITORS = 2000
STRETCH_S = 40.0  # of `--most`
_NEXT = re.compile(r'hx-get="(/lift/part/(\w+)[^"]*)"')
_AGAIN = re.compile(r'<noscript>.*?href="(/lift\?[^"]+wait=1)"', re.S)
_DRAWN = 'id="figure"'  # not of what was found so far


@dataclass
class Seen:
    """What the visitors saw."""

    seconds: list[float] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)

    def quantile(self, share: float) -> float:
        """The time at a share of the ordered list [s]."""
        return sorted(self.seconds)[min(len(self.seconds) - 1, int(share * len(self.seconds)))]


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


class Visitor:
    """One open page."""

    def __init__(self, number: int, address: str, seen: Seen, *, seed: int, plain: bool) -> None:
        self.rng = random.Random(f"{seed} {number}")
        self.client = httpx.AsyncClient(base_url=address, timeout=60)
        self.seen, self.plain, self.new = seen, plain, number % 2 == 0
        self.name = tuple(LIFTS)[number // 2 % len(LIFTS)]
        example = tomllib.loads((EXAMPLE / f"{self.name}.toml").read_text("utf-8"))
        self.form = form_of(random_lift(self.rng) if self.new else example)
        self.tab, self.turn = f"{self.rng.getrandbits(64):016x}", 0
        self.rest: asyncio.Task[None] | None = None

    def changed(self) -> dict[str, str]:
        """The form with one field changed."""
        if not self.new:
            low, high = LIFTS[self.name]
            return self.form | {"load.weight": f"{self.rng.randrange(low, high, (high - low) // WEIGHTS)} lb"}
        if self.rng.random() < 0.5:
            return self.form | {"load.weight": f"{self.rng.uniform(1500, 12000):.2f} lb"}
        return self.form | {"hook.headroom": f"{self.rng.uniform(16, 40):.4f} ft"}

    async def visit(self, until: float) -> None:
        """Change a field again and again."""
        await asyncio.sleep(self.rng.uniform(0, BETWEEN_S))
        async with self.client:
            while time.monotonic() < until:
                await self.change()
                await asyncio.sleep(self.rng.expovariate(1 / BETWEEN_S))
            if self.rest is not None:
                self.rest.cancel()

    async def change(self) -> None:
        """Send one change, and wait until drawing and best offer (or a stop) stand there."""
        if self.rest is not None:
            self.rest.cancel()
        self.turn += 1
        form, began = self.changed(), time.monotonic()
        try:
            told = await (self._whole(form) if self.plain else self._part(form))
        except httpx.HTTPError as error:
            self.seen.errors.append(type(error).__name__)
            return
        if told.status_code != httpx.codes.OK or not ("stop-sign" in told.text or _DRAWN in told.text):
            self.seen.errors.append(str(told.status_code))
            return
        self.seen.seconds.append(time.monotonic() - began)
        if not self.plain:
            self.rest = asyncio.create_task(self._follow(told.text))

    async def _part(self, form: dict[str, str]) -> httpx.Response:
        told = await self.client.post("/lift/live", data=form, headers=self._head())
        while (found := {part: path for path, part in _NEXT.findall(told.text)}).get("first") and (
            _DRAWN not in told.text
        ):
            await asyncio.sleep(LOOK_S)
            told = await self.client.get(html.unescape(found["first"]), headers=self._head())
        return told

    async def _whole(self, form: dict[str, str]) -> httpx.Response:
        head = {"accept": "text/html"}
        told = await self.client.post("/lift", data=form, headers=head, follow_redirects=True)
        while _DRAWN not in told.text and (again := _AGAIN.search(told.text)):
            told = await self.client.get(html.unescape(again[1]), headers=head)
        return told

    async def _follow(self, text: str) -> None:
        """The further parts, one after the other, until the next change."""
        while later := [path for path, part in _NEXT.findall(text) if part != "first"]:
            try:
                told = await self.client.get(html.unescape(later[0]), headers=self._head())
            except httpx.HTTPError as error:
                self.seen.errors.append(type(error).__name__)
                return
            if 'class="progress"' in told.text:
                await asyncio.sleep(LOOK_S)
            text = told.text

    def _head(self) -> dict[str, str]:
        return {"hx-request": "true", "lift-tab": self.tab, "lift-turn": str(self.turn)}


def family(pid: int) -> list[list[str]]:
    """What the system says of a process and of those that it started: their `stat`, from the state on."""
    every = {}
    for file in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):  # it has ended meanwhile
            every[int(file.parent.name)] = file.read_text().rpartition(")")[2].split()
    return [stat for one, stat in every.items() if pid in (one, int(stat[1]))]


def processor_s(pid: int) -> float:
    """Processor time of a process and those that it started, so far [s]."""
    return sum(int(stat[11]) + int(stat[12]) for stat in family(pid)) / os.sysconf("SC_CLK_TCK")


def memory_mb(pid: int) -> float:
    """The memory of the same [MB]; what they share is counted once for each."""
    return sum(int(stat[21]) for stat in family(pid)) * os.sysconf("SC_PAGE_SIZE") / 1e6


def start(seed: int) -> tuple[subprocess.Popen[bytes], str, float]:
    """Start the desk; how long until the first lift's drawing and best offer stood in a page [s]."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    link = f"/lift?l={pack_lift(random_lift(random.Random(f'{seed} first')))}"
    began, address = time.monotonic(), f"http://127.0.0.1:{port}"
    line = [sys.executable, "-m", "slingwright.cli.main", "desk", "--port", str(port)]
    served = subprocess.Popen([*line, "--shop", str(EXAMPLE / "shop.toml")], stderr=subprocess.DEVNULL)
    with httpx.Client(base_url=address, timeout=60) as client:
        while served.poll() is None:
            try:
                if _DRAWN in client.get(link).text:
                    return served, address, time.monotonic() - began
            except httpx.TransportError:
                time.sleep(0.02)
    raise SystemExit("the desk did not start")


async def crowd(address: str, count: int, seconds: float, *, seed: int, plain: bool) -> Seen:
    """So many visitors for so long."""
    seen = Seen()
    visitors = [Visitor(number, address, seen, seed=seed, plain=plain) for number in range(count)]
    until = time.monotonic() + seconds
    await asyncio.gather(*(one.visit(until) for one in visitors))
    return seen


def measured(
    served: subprocess.Popen[bytes], address: str, count: int, seconds: float, *, seed: int, plain: bool
) -> float:
    """Let a crowd visit and print a row; its 95th percentile [s]."""
    began, ours, theirs = time.monotonic(), time.process_time(), processor_s(served.pid)
    seen = asyncio.run(crowd(address, count, seconds, seed=seed, plain=plain))
    wall = time.monotonic() - began
    load, desk = time.process_time() - ours, processor_s(served.pid) - theirs
    if not seen.seconds:
        raise SystemExit(f"nobody was answered: {sorted(set(seen.errors))}")
    print(
        f"{count:8}{len(seen.seconds):9}{len(seen.seconds) / wall:10.1f}{1e3 * seen.quantile(0.5):11.0f}"
        f"{1e3 * seen.quantile(0.95):9.0f}{1e3 * max(seen.seconds):9.0f}{len(seen.errors):8}"
        f"{desk / wall:9.2f}{load / wall:7.2f}{memory_mb(served.pid):9.0f}",
        flush=True,
    )
    if seen.errors:
        print("errors:", ", ".join(sorted(set(seen.errors))))
    return seen.quantile(0.95)


class _Found(Exception):  # noqa: N818  (the best is known, and the rest is not looked for)
    pass


def search_ms(settings: Settings, tables: dict[str, Any]) -> float:
    """Processor time from a lift's tables to its best offer, as the desk searches for it first [ms]."""

    def found(best: Chosen) -> None:
        raise _Found

    content = json.dumps(tables).encode()
    request = ChooseRequest(content=content, file="lift.json", folder=None, settings=settings)
    began = time.process_time()
    with contextlib.suppress(_Found):
        choose_sling(request, clock=time.monotonic, first=found, sooner=True)
    return 1e3 * (time.process_time() - began)


def searches(seed: int) -> None:
    """The searches of what ten visitors never seen before ask for, 15 changes each, one after the other."""
    settings, took = resolve_settings({"shop": str(EXAMPLE / "shop.toml")}, {}, EXAMPLE), []
    search_ms(settings, random_lift(random.Random("warm")))
    for number in range(0, 20, 2):
        visitor = Visitor(number, "http://nowhere", Seen(), seed=seed, plain=False)
        base = unpack_lift(visitor.form["base"])
        visitor.rng.uniform(0, BETWEEN_S)
        for _ in range(15):
            took.append(search_ms(settings, tables_from_form(base, visitor.changed())))
            visitor.rng.expovariate(1 / BETWEEN_S)
    took.sort()
    print(
        f"{len(took)} searches for the best, processor ms: mean {sum(took) / len(took):.0f}, median "
        f"{took[len(took) // 2]:.0f}, 95th {took[int(0.95 * len(took))]:.0f}, worst {took[-1]:.0f}"
    )


def weigh(address: str) -> None:
    """The size of an answered page with all it loads before anything is opened, as sent."""
    with httpx.Client(base_url=address, timeout=60) as client:
        page = client.get("/example/chiller", follow_redirects=True)
        while _DRAWN not in page.text and (again := _AGAIN.search(page.text)):
            page = client.get(html.unescape(again[1]))
        files = set(re.findall(r'(?:href|src)="(/static/[^"]+)"', page.text))
        for file in sorted(files):
            if file.endswith(".js"):
                named = re.findall(r'^import .*?"\./([^"]+)"', client.get(file).text, re.M)
                files |= {f"/static/{name}" for name in named}
        sizes = [len(gzip.compress(client.get(file).content, 5)) for file in files]
    whole = len(gzip.compress(page.content, 5)) + sum(sizes)
    print(
        f"the chiller's answered page and its {len(sizes)} files: {whole / 1000:.0f} kB gzip, less typeface"
    )


def main() -> int:
    """Start, weigh, measure."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--users", type=int, default=20)
    parser.add_argument("--seconds", type=float, default=120.0)
    parser.add_argument("--seed", type=int, default=int(time.time()), help="of the lifts never seen")
    parser.add_argument("--plain", action="store_true", help="whole pages, as without a script")
    parser.add_argument("--most", action="store_true", help="then more visitors, until the 95th is 1 s")
    parser.add_argument("--searches", action="store_true", help="no desk: time the searches alone")
    asked = parser.parse_args()
    if asked.searches:
        searches(asked.seed)
        return 0
    served, address, first_s = start(asked.seed)
    how = {"plain": asked.plain}
    try:
        print(f"first answer {first_s:.2f} s after the start (kernels compiled before)")
        weigh(address)
        print("visitors  answers  a second  median ms  95th ms  longest  errors  cores: desk   load       MB")
        slowest = measured(served, address, asked.users, asked.seconds, seed=asked.seed, **how)
        count = asked.users
        while asked.most and slowest <= MOST_S and count < MOST_VISITORS:
            count = count * 3 // 2
            lasts = min(asked.seconds, STRETCH_S)
            slowest = measured(served, address, count, lasts, seed=asked.seed + count, **how)
    finally:
        served.terminate()
        served.wait()
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
