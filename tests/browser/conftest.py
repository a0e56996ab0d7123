"""The served desk and a browser, shared by all browser tests."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="session")  # it takes seconds to start
def desk() -> Iterator[str]:
    """The served desk's address."""
    with served() as address:
        yield address


@contextmanager
def served(*options: str) -> Iterator[str]:
    """The real command in a process of its own, with further options."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    shop = ROOT / "examples" / "harrow_quay" / "shop.toml"
    command = [sys.executable, "-m", "slingwright.cli.main", "desk", "--shop", str(shop), "--port", str(port)]
    command += options
    # not a pipe: one that nobody reads stops the server when it is full
    with (
        TemporaryDirectory() as folder,
        (Path(folder) / "stderr").open("w", encoding="utf-8") as said,
        subprocess.Popen(command, cwd=ROOT, stderr=said, text=True) as server,
    ):
        try:  # whatever fails, it ends: who started it waits for that
            while "Ready: " not in (told := told_by(said.name)):
                assert server.poll() is None, told
                time.sleep(0.05)
            address = f"http://127.0.0.1:{port}"
            assert "127.0.0.1" in told
            for _ in range(100):
                try:
                    urllib.request.urlopen(address, timeout=1).close()
                    break
                except OSError:
                    continue
            yield address
        finally:
            server.terminate()
        server.wait(timeout=60)
        assert "Traceback" not in (told := told_by(said.name)), told[-6000:]


def told_by(file: str) -> str:
    """What the server has said so far; read apart from the place where it writes."""
    return Path(file).read_text("utf-8")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    assert found, "no Chromium is installed: the browser tests cannot be run"
    with sync_playwright() as playwright:
        sandbox = [] if os.geteuid() else ["--no-sandbox"]  # Chromium refuses its sandbox to root
        drawing = ["--use-angle=swiftshader", "--enable-unsafe-swiftshader"]  # WebGL without a graphics card
        browser = playwright.chromium.launch(executable_path=found, args=[*sandbox, *drawing])
        yield browser
        browser.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A desktop page on which nothing may go wrong unseen: console, requests to elsewhere."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    page = context.new_page()
    page.set_default_timeout(90_000)  # a search on a machine that does much else
    troubles: list[str] = []
    page.on("console", lambda said: troubles.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.on("request", lambda sent: None if "127.0.0.1" in sent.url else troubles.append(sent.url))
    yield page
    context.close()
    assert [t for t in troubles if not t.startswith("data:")] == []
