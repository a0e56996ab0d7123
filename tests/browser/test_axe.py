"""axe-core finds nothing on any page in any state, in either language, on a desk and on a narrow telephone.

axe-core (MPL-2.0, `vendor/axe`) is the outside judge. Its rules of WCAG 2.2 A and AA and its best practices
run in each page as it is, under the page's own policy. What it cannot settle itself is not counted.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Frame, Page

from tools.page_states import LANGUAGES, STATES, WIDTHS, Served, State, reach, serve

AXE = (Path(__file__).parent / "vendor" / "axe" / "axe.min.js").read_text("utf-8")
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


@pytest.fixture(scope="session")
def served() -> Iterator[Served]:
    with serve(brief=True) as served:
        yield served


@pytest.fixture(scope="session")
def one_page(browser: Browser) -> Iterator[Page]:
    """Kept for all states: to open a new one takes as long as axe does."""
    context = browser.new_context(reduced_motion="reduce")
    yield context.new_page()
    context.close()


def found_by_axe(desk: Page | Frame) -> list[str]:
    """Each violation in a line; empty is good."""
    if not desk.evaluate("'axe' in window"):  # half a megabyte to read
        desk.evaluate(AXE)
    told = desk.evaluate("tags => axe.run(document, { runOnly: tags, resultTypes: ['violations'] })", TAGS)
    assert len(told["passes"]) > 10, "axe did not look at the page"
    return [
        f"{one['id']}: {node['target']} {node['failureSummary']}"
        for one in told["violations"]
        for node in one["nodes"]
    ]


@pytest.mark.parametrize("state", STATES, ids=lambda state: state.name)
def test_axe_finds_nothing(one_page: Page, served: Served, state: State) -> None:
    """In either language; brought into its state at one width, then made as wide as the next ones."""
    widths = list(WIDTHS)
    for language in LANGUAGES:
        one_page.set_viewport_size({"width": widths[0], "height": WIDTHS[widths[0]]})
        with reach(one_page, served, state, language) as desk:
            for width in widths:
                one_page.set_viewport_size({"width": width, "height": WIDTHS[width]})
                one_page.evaluate(
                    "new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"
                )
                assert found_by_axe(desk) == [], f"{language} at {width}"
                if state.media == "screen":  # a sheet of paper is never so narrow
                    wide = one_page.evaluate("document.documentElement.scrollWidth")
                    assert wide <= width, f"{language} at {width}: it scrolls sideways"
        widths.reverse()


def test_axe_would_find_something(one_page: Page, served: Served) -> None:
    """The judge is awake: a field whose name is taken away is found."""
    with reach(one_page, served, STATES[0]) as page:
        page.evaluate("document.querySelector('label').remove()")
        assert any(line.startswith("label:") for line in found_by_axe(page))
