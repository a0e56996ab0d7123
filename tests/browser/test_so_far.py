"""What passes gives way to the best where the reader is: nothing moves, and who cannot see it is told."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, expect

from tools.page_states import WIDTHS, Served, serve


@pytest.fixture(scope="module")
def served() -> Iterator[Served]:
    with serve(brief=True) as served:
        yield served


def top_of(page: Page, part: str) -> float:
    return float(page.evaluate("part => document.querySelector(part).getBoundingClientRect().top", part))


@pytest.mark.parametrize("width", WIDTHS)
def test_the_best_comes_where_the_reader_is(served: Served, page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": WIDTHS[width]})
    with served.held_so_far() as go:
        page.goto(f"{served.address}/example/{('chiller', 'pontoon_two_hooks')[width < 1000]}")
        mark = page.locator("#answer [data-so-far]")
        mark.wait_for()
        expect(page.locator("#news")).to_have_text("FOUND SO FAR: not yet the best")
        expect(page.locator("#answer a[href*='.pdf'], #answer [data-view3d]")).to_have_count(0)
        page.locator("#answer .block.offer").evaluate(
            "block => scrollBy(0, block.getBoundingClientRect().top)"
        )
        page.evaluate("scrollBy(0, 300)")
        page.locator("#answer .block.offer a, #answer .block.offer summary").last.evaluate(
            "one => one.focus({ preventScroll: true })"
        )
        expect(mark).to_be_in_viewport()
        was = top_of(page, "#answer .block.offer")
        go.set()
        page.locator("#figure").wait_for()
        page.locator("#figure [data-view3d-start]").wait_for()
        page.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
        assert abs(top_of(page, "#answer .block.offer") - was) < 2
        expect(mark).to_have_count(0)
        said = "The best is found: it stands below in place of what was found so far."
        expect(page.locator("#news")).to_have_text(said)
        expect(page.locator("#progress .settled")).to_have_text(said)
        assert page.evaluate("document.querySelector('#answer').contains(document.activeElement)")
