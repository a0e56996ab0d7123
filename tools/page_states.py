"""Every page of the desk in every state: the one list that the screenshots and the axe tests walk.

Whoever adds a page, or a state of one, adds it here: it is then looked at and checked at every width.
"""

from __future__ import annotations

import html
import http.server
import shutil
import socket
import threading
import time
import urllib.parse
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any
from unittest import mock

from slingwright.desk.link import pack_lift
from slingwright.words.learning import TOPICS

__all__ = ["LANGUAGES", "STATES", "WIDTHS", "Served", "State", "open_browser", "reach", "serve"]

ROOT = Path(__file__).resolve().parent.parent
LANGUAGES = ("en", "es")
WIDTHS = {1280: 900, 360: 740}  # pixels: a desk, and a narrow telephone
_WHOLE_S, _MOMENT_S = 10.0, 1.0  # for what explains an answer: the desk's own time, and a brief desk's
_PATIENT_S = 100.0
PATIENCE_MS = 120_000  # a first search on a machine that does much else


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """A desk in this process: its address and the app behind it.

    `shop`: the address of a page elsewhere that shows it in a frame.
    `brief`: only what a state is about is searched to its end.
    """

    address: str
    app: Any
    shop: str
    brief: bool = False

    @contextmanager
    def busy(self) -> Iterator[None]:
        """All places taken, so that the next search is turned away."""
        with self.app.state.bench.full():
            yield

    @contextmanager
    def long(self) -> Iterator[None]:
        """Every search waits for its turn, and is stopped in the end."""
        bench = self.app.state.bench
        with bench.turn(), bench.turn():
            yield
            bench.stop_all()

    @contextmanager
    def held_so_far(self) -> Iterator[threading.Event]:
        """Every search tells of the first that passes with a caution, and goes no further until let go."""
        from slingwright.desk import jobs

        go, tell = threading.Event(), jobs.Job.tell

        def told(job: jobs.Job, **news: object) -> None:
            tell(job, **news)
            if news.get("early") is not None:
                go.wait()

        with mock.patch.object(jobs, "SO_FAR_S", 0.0), mock.patch.object(jobs.Job, "tell", told):
            try:
                yield go
            finally:
                self.app.state.bench.stop_all()
                go.set()


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """A page in one state: where it is, what a visitor does there, how it is shown.

    `act` brings the opened page into the state. `framed`: inside another shop's page. `busy`: the desk has no
    place for another search. `long`: no search comes to its turn; `so_far`: none gets further than to what
    passes with a caution.
    `whole`: it is about what would change the answer, which is searched to its end even on a brief desk, so
    of a lift that no other state opens: a desk remembers what it found in a moment.
    """

    name: str
    path: str
    act: Callable[[Any], None] | None = None
    media: str = "screen"
    framed: bool = False
    busy: bool = False
    long: bool = False
    so_far: bool = False
    whole: bool = False


def _wrong_weight(page: Any) -> None:
    page.fill("[id='load.weight']", "4 elephants")
    page.fill("[id='load.centre_of_gravity']", "somewhere in the middle; 2 ft; 2 ft")
    page.locator("form.lift button[type=submit], form.lift > button").last.click()
    page.locator(".faults").wait_for()


def _explain(page: Any) -> None:
    page.locator("#question:not([hx-get]), #changes:not([hx-get])").nth(1).wait_for(state="attached")


def _in_space(page: Any) -> None:
    page.locator("[data-view3d-start]").click()
    page.locator("[data-view3d-stage][data-ready]").wait_for()


def _second_offer(page: Any) -> None:
    page.locator("details.offer > summary").first.click()
    page.locator("details.offer a[href^='/lift?'][href*='offer=2']").first.click()
    page.wait_for_url("**offer=2**")


def _worst_case(page: Any) -> None:
    page.locator("a[href*='pose=worst']:not([href*='.svg'])").first.click()
    page.wait_for_url("**pose=worst**")


def _running(page: Any) -> None:
    page.locator("#progress button").wait_for()


def _so_far(page: Any) -> None:
    page.locator("#answer [data-so-far]").wait_for()
    page.locator("#progress button").wait_for()


def _stopped(page: Any) -> None:
    page.locator("#progress button").click()
    page.locator("#answer .stop-sign").wait_for()


def _dragged(page: Any) -> None:
    """In hand, moved and not let go."""
    ring = page.locator("#figure .grips[data-grips=elevation] .grip[data-name='B'] .ring")
    ring.scroll_into_view_if_needed()
    box = ring.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 20, y - 12, steps=3)


def _dropped(page: Any) -> None:
    """By key, and answered anew."""
    page.locator("#figure .grips[data-grips=elevation] .grip[data-name='B']").focus()
    page.keyboard.press("ArrowLeft")
    page.wait_for_function("link => location.href !== link", arg=page.url)


_IN_SIGHT = """() => { const button = document.querySelector("details.mesh button");
    const { bottom, left } = button.getBoundingClientRect();
    const shown = Math.floor(bottom) <= innerHeight; // scrolled by whole pixels
    return shown && button.contains(document.elementFromPoint(left + 9, bottom - 9)); }"""


def _mesh(page: Any) -> None:
    page.locator("details.mesh > summary").click()
    page.wait_for_function(_IN_SIGHT)


def _too_large(page: Any) -> None:
    page.locator("details:has(#file) > summary").click()
    page.set_input_files("#file", {"name": "big.toml", "mimeType": "text/plain", "buffer": b"#" * 1_200_000})
    page.locator("form:has(#file) button").click()
    page.wait_for_url("**/lift")


_LONG = {"width": "3 in", "length": "35 ft 3 in"}


def _named(weight: str) -> dict[str, Any]:
    """A lift that wants one sling, which does or does not do for it."""
    sling = {
        "form": "flat-eye",
        "fibre": "polyester",
        "class": 7,
        "plies": 2,
        "width": "3 in",
        "length": "20 ft",
    }
    load = {"weight": weight, "shape": "box", "length": "6 ft", "width": "4 ft", "height": "4 ft"}
    return {
        "title": "Gearbox",
        "load": load | {"centre_of_gravity": ["3 ft", "2 ft", "2 ft"]},
        "hook": {"headroom": "20 ft"},
        "want": {"sling": sling},
    }


# no title, a weight that is estimated, a centre that nobody knows: how far it may swing stands first
_UNSURE = {
    "load": _named("9000 lb")["load"] | {"known_by": "estimate", "centre_of_gravity": "unknown"},
    "hook": {"headroom": "20 ft"},
    "want": {"sling": {"form": "endless", "fibre": "nylon", "class": 7, "plies": 1} | _LONG},
}
_SLING = "/sling?rulebook=us&form=flat-eye&fibre=polyester&webbing_class=7&plies=2&width=2+in"
STATES = (
    State(name="lift-empty", path="/"),
    State(name="lift-answered", path="/example/chiller"),
    State(name="lift-sling-named", path=f"/lift?l={pack_lift(_named('4000 lb'))}"),
    State(name="lift-sling-does-not-do", path=f"/lift?l={pack_lift(_named('40 000 lb'))}"),
    State(name="lift-centre-unknown", path=f"/lift?l={pack_lift(_UNSURE)}"),
    State(name="lift-second-offer", path="/example/chiller", act=_second_offer),
    State(name="lift-several-hooks", path="/example/pontoon_two_hooks"),
    State(name="lift-round-load", path="/example/duct_section"),
    State(name="lift-metric", path="/example/compressor_en"),
    State(name="lift-stop", path="/example/scrubber_vessel"),
    State(name="lift-faults", path="/", act=_wrong_weight),
    State(name="lift-explained", path="/example/pump_skid_parts", act=_explain, whole=True),
    State(name="lift-in-space", path="/example/chiller", act=_in_space),
    State(name="lift-worst-case", path="/example/chiller", act=_worst_case),
    State(name="lift-dragged", path="/example/chiller", act=_dragged),
    State(name="lift-dropped", path="/example/chiller", act=_dropped),
    State(name="lift-framed", path="/example/hot_casting", framed=True),
    State(name="lift-framed-empty", path="/", framed=True),
    State(name="lift-print", path="/example/chiller", media="print"),
    State(name="lift-stop-print", path="/example/scrubber_vessel", media="print"),
    State(name="lift-link-broken", path="/lift?l=broken"),
    State(name="lift-busy", path="/example/precast_stair", busy=True),
    State(name="lift-running", path="/example/conduit_bundle", act=_running, long=True),
    State(name="lift-so-far", path="/example/crane_rail_beam", act=_so_far, so_far=True),
    State(name="lift-stopped", path="/example/conduit_bundle", act=_stopped, long=True),
    State(name="lift-mesh", path="/", act=_mesh),
    State(name="lift-too-large", path="/", act=_too_large),
    State(name="lift-no-such-example", path="/example/nothing"),
    State(name="sling-empty", path="/sling"),
    State(name="sling-answered", path=f"{_SLING}&hitch=basket&angle_from_horizontal=60+deg"),
    State(name="sling-priced", path=f"{_SLING}&length=9+ft"),
    State(name="sling-refused", path=f"{_SLING[:-4]}5+in"),
    State(name="sling-faults", path=f"{_SLING[:-4]}wide&angle_from_horizontal=steep"),
    State(name="learn", path="/learn"),
    *(State(name=f"learn-{topic}", path=f"/learn/{topic}") for topic in TOPICS),
    State(name="learn-angles-en", path="/learn/angles?rules=en"),
    State(name="learn-tag-en", path="/learn/tag?rules=en"),
    State(name="about", path="/about"),
    State(name="not-found", path="/nowhere"),
)  # fmt: skip


class _ShopsPage(http.server.BaseHTTPRequestHandler):
    """A page of a shop's own: `?desk=` the desk's address, `lift=` what its frame opens with, `lang=`."""

    def do_GET(self) -> None:
        said = dict(urllib.parse.parse_qsl(urllib.parse.urlsplit(self.path).query))
        desk, lift, lang = (html.escape(said.get(key, ""), quote=True) for key in ("desk", "lift", "lang"))
        page = (
            f'<!doctype html><html lang="{lang}"><title>Shop</title>'
            '<meta name="viewport" content="width=device-width"><main><h1>Harrow Quay</h1>'
            f'<script src="{desk}/embed.js" data-lift="{lift}" data-lang="{lang}"></script>'
        ).encode()
        self.send_response(200)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.send_header("Content-Length", str(len(page)))
        self.end_headers()
        self.wfile.write(page)

    def log_message(self, format: str, *args: object) -> None:
        pass


@contextmanager
def _shop() -> Iterator[str]:
    """Another origin."""
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), _ShopsPage) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        try:
            yield f"http://127.0.0.1:{server.server_address[1]}"
        finally:
            server.shutdown()
            thread.join()


@contextmanager
def serve(*, brief: bool = False) -> Iterator[Served]:
    """Serve Harrow Quay's desk from this process on a free port, with a fixed date on its papers."""
    from slingwright.desk.app import create_app
    from slingwright.usecases.settings import resolve_settings

    file = ROOT / "examples" / "harrow_quay" / "shop.toml"
    settings = resolve_settings({"shop": str(file)}, {}, file.parent)
    with _shop() as shop:
        app = create_app(settings, today=lambda: date(2026, 1, 31), embed_origins=[shop])
        with _serving(app) as address:
            yield Served(address=address, app=app, shop=shop, brief=brief)


@contextmanager
def _serving(app: Any) -> Iterator[str]:
    import uvicorn

    app.state.bench.warm()
    app.state.bench.search_s = _PATIENT_S  # a busy machine must not cut an answer that a state is about
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = uvicorn.Server(uvicorn.Config(app, host="127.0.0.1", port=port, log_level="error"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        if not thread.is_alive():
            raise RuntimeError("the desk did not start")
        time.sleep(0.05)
    try:
        yield f"http://127.0.0.1:{port}"
    finally:
        server.should_exit = True
        thread.join(timeout=30)


@contextmanager
def open_browser() -> Iterator[Any]:
    """The Chromium of this machine, with WebGL drawn by the processor."""
    import os

    from playwright.sync_api import sync_playwright

    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        raise RuntimeError("no Chromium is installed")
    sandbox = [] if os.geteuid() else ["--no-sandbox"]  # Chromium refuses its sandbox to root
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=found,
            args=[*sandbox, "--use-angle=swiftshader", "--enable-unsafe-swiftshader"],
        )
        yield browser
        browser.close()


@contextmanager
def reach(page: Any, served: Served, state: State, language: str = "en") -> Iterator[Any]:
    """Bring an open page into a state; what is yielded is the desk's own part of it, a page or a frame."""
    page.set_default_timeout(PATIENCE_MS)
    served.app.state.bench.explain_s = _WHOLE_S if state.whole or not served.brief else _MOMENT_S
    page.emulate_media(media=state.media)
    with ExitStack() as held:
        if state.busy:
            held.enter_context(served.busy())
        if state.so_far:
            held.enter_context(served.held_so_far())
        if state.long:
            held.enter_context(served.long())
        page.goto(_address(served, state, language))
        desk = page.frames[1] if state.framed else page
        desk.locator("main").wait_for()
        if state.act is not None:
            state.act(desk)
        if not (state.long or state.so_far):  # which asks again and again
            desk.wait_for_function(_ALL_THERE)
        desk.evaluate("document.fonts.ready")
        yield desk
        page.mouse.up()


# what follows the first answer has come, too
_ALL_THERE = (
    "() => !document.querySelector('[hx-trigger^=load], .htmx-request, .htmx-swapping, .htmx-settling')"
)


def _address(served: Served, state: State, language: str) -> str:
    if not state.framed:
        return f"{served.address}{state.path}{'&' if '?' in state.path else '?'}lang={language}"
    lift = "" if state.path == "/" else pack_lift(_example(served, state.path.rpartition("/")[2]))
    return (
        f"{served.shop}/?{urllib.parse.urlencode({'desk': served.address, 'lift': lift, 'lang': language})}"
    )


def _example(served: Served, name: str) -> dict[str, Any]:
    return next(dict(one.tables) for one in served.app.state.bench.examples() if one.name == name)
