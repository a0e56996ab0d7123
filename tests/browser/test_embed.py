"""The desk inside another shop's page, on another origin: as high as it is; an unlisted one is refused."""

from __future__ import annotations

import functools
import http.server
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from slingwright.desk.link import pack_lift
from tests.browser.conftest import served
from tests.lifts import lift_document


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        pass


@contextmanager
def site(folder: Path) -> Iterator[str]:
    """Another shop's server; a port of its own is an origin of its own."""
    with http.server.ThreadingHTTPServer(
        ("127.0.0.1", 0), functools.partial(_Quiet, directory=folder)
    ) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{server.server_address[1]}"
        server.shutdown()
        thread.join()


@pytest.fixture(scope="module")
def places(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, str, str]]:
    """The listed shop's address, an unlisted one's, and the desk's; both shops serve the same page."""
    folder = tmp_path_factory.mktemp("shop")
    with site(folder) as listed, site(folder) as unlisted, served("--embed-origin", listed) as desk:
        piece = pack_lift(lift_document("hot_casting"))
        (folder / "index.html").write_text(
            "<!doctype html><title>A shop's page</title><h1>Ours</h1>"
            f'<script src="{desk}/embed.js" data-lift="{piece}" data-units="si" '
            'data-title="Which sling?"></script><p>After it</p>'
        )
        (folder / "empty.html").write_text(
            f'<!doctype html><title>Empty</title><script src="{desk}/embed.js"></script>'
        )
        yield listed, unlisted, desk


def test_a_shop_s_page_shows_the_lift_in_a_frame_as_high_as_it_is(
    browser: Browser, places: tuple[str, str, str]
) -> None:
    listed, _, desk = places
    context = browser.new_context(viewport={"width": 1000, "height": 700})
    page = context.new_page()
    page.set_default_timeout(60_000)
    page.goto(listed)
    frame = page.locator("iframe")
    expect(frame).to_have_attribute("title", "Which sling?")
    inner = page.frame_locator("iframe")
    expect(inner.locator("main")).to_be_visible()
    inside = page.frames[1]
    assert inside.url.startswith(f"{desk}/lift?l=")
    assert "units=si" in inside.url
    page.wait_for_function("document.querySelector('iframe').offsetHeight !== 640")
    for part in ("#question", "#changes"):  # further parts of the answer make it higher as they come
        inside.locator(f"{part}:not([hx-get])").wait_for(state="attached")
    for _ in range(60):
        wanted = inside.evaluate("document.documentElement.getBoundingClientRect().height")
        if frame.bounding_box()["height"] == pytest.approx(wanted, abs=2):
            break
        page.wait_for_timeout(500)
    assert frame.bounding_box()["height"] == pytest.approx(wanted, abs=2)
    assert context.cookies() == []
    page.set_viewport_size({"width": 360, "height": 700})  # narrower is higher
    page.wait_for_function(f"document.querySelector('iframe').offsetHeight > {wanted} + 10")
    context.close()


def test_an_empty_form_can_be_filled_inside_the_frame(browser: Browser, places: tuple[str, str, str]) -> None:
    listed, _, desk = places
    context = browser.new_context()
    page = context.new_page()
    page.set_default_timeout(60_000)
    page.goto(f"{listed}/empty.html")
    inner = page.frame_locator("iframe")
    inner.locator('[id="load.weight"]').fill("unknown")
    inner.locator('[id="load.weight"]').press("Enter")
    # sent and answered in place, inside the frame: what else must be said
    expect(inner.locator("#faults [role=alert]")).to_be_visible(timeout=30_000)
    assert page.url == f"{listed}/empty.html"
    assert page.frames[1].url.startswith(desk)
    context.close()


def test_an_origin_that_is_not_listed_is_refused(browser: Browser, places: tuple[str, str, str]) -> None:
    _, unlisted, _ = places
    context = browser.new_context()
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.goto(unlisted)
    page.wait_for_timeout(3000)
    assert any("frame-ancestors" in text for text in said), said
    assert page.frames[1].locator("main").count() == 0
    assert page.locator("iframe").bounding_box()["height"] == 640  # no word of a height came out of it
    context.close()


def test_a_desk_without_listed_origins_is_framed_by_nobody(desk: str, browser: Browser) -> None:
    context = browser.new_context()
    answer = context.request.get(desk)
    assert "frame-ancestors 'none'" in answer.headers["content-security-policy"]
    context.close()
