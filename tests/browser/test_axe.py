"""axe-core finds nothing on any page in any state, on a desk and on a narrow telephone.

axe-core (MPL-2.0, `vendor/axe`) is the outside judge. Its rules of WCAG 2.2 A and AA and its best practices
run in each page as it is, under the page's own policy. What it cannot settle itself is not counted.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tools.page_states import STATES, WIDTHS, Served, State, reach, serve

AXE = (Path(__file__).parent / "vendor" / "axe" / "axe.min.js").read_text("utf-8")
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


@pytest.fixture(scope="session")
def served() -> Iterator[Served]:
    with serve(brief=True) as served:
        yield served


def found_by_axe(page: Page) -> list[str]:
    """Each violation in a line; empty is good."""
    page.evaluate(AXE)
    told = page.evaluate("tags => axe.run(document, { runOnly: tags })", TAGS)
    assert len(told["passes"]) > 10, "axe did not look at the page"
    return [
        f"{one['id']}: {node['target']} {node['failureSummary']}"
        for one in told["violations"]
        for node in one["nodes"]
    ]


@pytest.mark.parametrize("state", STATES, ids=lambda state: state.name)
def test_axe_finds_nothing(browser: Browser, served: Served, state: State) -> None:
    """Brought into its state at the first width, then made as narrow as the next ones."""
    first, *further = WIDTHS
    with reach(browser, served, state, first) as page:
        for width in (first, *further):
            page.set_viewport_size({"width": width, "height": WIDTHS[width]})
            page.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
            assert found_by_axe(page) == [], f"at {width}"
            if state.media == "screen":  # a sheet of paper is never so narrow
                assert page.evaluate("document.documentElement.scrollWidth") <= width, "it scrolls sideways"


def test_axe_would_find_something(browser: Browser, served: Served) -> None:
    """The judge is awake: a field whose name is taken away is found."""
    with reach(browser, served, STATES[0], 1280) as page:
        page.evaluate("document.querySelector('label').remove()")
        assert any(line.startswith("label:") for line in found_by_axe(page))
