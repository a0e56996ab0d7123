"""The page on the desk's look, the style sheet and the drawings' ink say the same."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from slingwright.desk.app import create_app
from slingwright.draw import ink
from slingwright.usecases.settings import resolve_settings

ROOT = Path(__file__).parents[2]
STATIC = ROOT / "src" / "slingwright" / "desk" / "static"


@pytest.fixture
def client() -> Iterator[TestClient]:
    shop = ROOT / "examples" / "harrow_quay" / "shop.toml"
    with TestClient(create_app(resolve_settings({"shop": str(shop)}, {}, shop.parent))) as client:
        yield client


def tokens() -> dict[str, str]:
    root = re.search(r":root \{(.*?)\}", (STATIC / "desk.css").read_text("utf-8"))
    assert root
    return dict(re.findall(r"(--\w+): ([^;]+);", root[1]))


def light(colour: str) -> float:
    """Relative luminance (WCAG 2.2's definition)."""
    full = colour if len(colour) == 7 else "#" + "".join(c * 2 for c in colour[1:])
    parts = [int(full[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_the_page_on_design_lists_the_style_sheet_s_colours() -> None:
    said = dict(
        re.findall(r"\| `(--\w+)` \| `(#\w+)` \|", (ROOT / "docs" / "desk-design.md").read_text("utf-8"))
    )
    assert said == {name: value for name, value in tokens().items() if value.startswith("#")}


def test_page_and_drawing_share_their_ink() -> None:
    found = tokens()
    assert (found["--ink"], found["--muted"], found["--sling"]) == (ink.INK, ink.MUTED, ink.SLING)


def test_no_other_style_sheet_has_a_colour_of_its_own() -> None:
    for file in STATIC.glob("*.css"):
        if file.name not in ("desk.css", "print.css"):  # paper is black on white
            assert re.findall(r"#[0-9a-fA-F]{3,8}\b(?=[;\s,)}])", file.read_text("utf-8")) == [], file.name


def test_every_ink_can_be_read_on_the_paper() -> None:
    found = tokens()
    paper = light(found["--paper"])
    for name in ("--ink", "--muted", "--sling", "--stop", "--caution"):
        assert (paper + 0.05) / (light(found[name]) + 0.05) > 4.5, name


def test_a_page_weighs_under_100_kb_on_its_way(client: TestClient) -> None:
    """All that a browser fetches for an answer before the view in space, compressed as it is sent."""
    with client.stream("GET", "/example/chiller", headers={"Accept": "text/html"}) as answer:
        weight = sum(len(part) for part in answer.iter_raw())
        assert answer.headers["content-encoding"] == "gzip"
    page = client.get("/example/chiller").text
    css = (STATIC / "desk.css").read_text("utf-8")
    files = set(re.findall(r'(?:href|src)="(/static/[^"]+\.(?:css|js))"', page))
    fonts = re.findall(r"url\('(/static/[^']+)'\)", css)
    assert len(files) > 5
    assert len(fonts) == 2
    for file in (*files, *fonts):
        with client.stream("GET", file) as answer:
            assert answer.status_code == 200
            weight += sum(len(part) for part in answer.iter_raw())
    assert weight < 100_000
