"""The desk in a real browser: a newcomer's way, a phone, no script, keys alone, and what the pages call for.

Run as a pytest call of its own (`tools/check.py`): Playwright's event loop stays in its process.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.filling import fill, look_again


def test_a_newcomer_gets_from_the_empty_page_to_the_lift_sheet(desk: str, page: Page) -> None:
    page.goto(desk)
    fill(page)
    page.get_by_role("button", name="Find the sling").first.click()
    page.get_by_role("heading", name="Press onto its bed").first.wait_for()
    assert page.locator("#answer .drawing svg").bounding_box()["width"] > 600  # type: ignore[index]
    assert page.locator(".twin tbody tr").count() == 4
    with page.expect_download() as sheet:
        page.get_by_role("link", name="Lift sheet (PDF)").first.click()
    assert Path(sheet.value.path()).read_bytes().startswith(b"%PDF")
    shared = page.url
    page.goto(desk)
    page.goto(shared)
    assert page.get_by_role("heading", name="Offer 1: best").is_visible()


def test_nothing_of_the_drawing_runs_out_of_its_frame(desk: str, page: Page) -> None:
    page.goto(f"{desk}/example/chiller")
    page.evaluate("document.fonts.ready")
    outside = page.evaluate(
        """() => { const svg = document.querySelector('#answer .drawing svg');
        const box = svg.getBoundingClientRect();
        return [...svg.querySelectorAll('text')].filter(t => { const b = t.getBoundingClientRect();
        return b.right > box.right + 1 || b.left < box.left - 1; }).map(t => t.textContent) }"""
    )
    assert outside == []
    assert page.evaluate("document.fonts.check('16px \\'Source Sans Pro\\'')")


@pytest.mark.parametrize("path", ["/", "/example/chiller", "/example/scrubber_vessel", "/lift?l=broken"])
def test_a_phone_never_scrolls_sideways(desk: str, browser: Browser, path: str) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 740})
    page.goto(desk + path, timeout=90_000)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    page.close()


def test_all_of_it_works_without_a_script(desk: str, browser: Browser) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.set_default_timeout(90_000)
    page.goto(f"{desk}/")
    page.get_by_role("link", name="Scrubber vessel").click()
    look_again(page)
    assert page.get_by_role("alert").first.inner_text().startswith("STOP")
    page.fill("[id='load.weight']", "4 elephants")
    page.get_by_role("button", name="Find the sling").first.click()
    assert page.locator("[id='load.weight']").input_value() == "4 elephants"
    assert "elephants" in page.get_by_role("alert").inner_text()
    context.close()


def test_the_keyboard_alone_reaches_the_answer(desk: str, page: Page) -> None:
    page.goto(desk)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    fill(page)
    page.locator("[id='want.least_angle']").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/lift?l=*")
    page.locator("#answer h1").wait_for()
    assert page.get_by_role("heading", name="Offer 1: best").is_visible()
    order = page.evaluate(
        "[...document.querySelectorAll('a,input,select,textarea,button,summary')]"
        ".filter(e => e.ariaHidden !== 'true').map(e => e.tabIndex)"
    )  # a leg is reached once, not in each view
    assert set(order) == {0}


def test_print_is_the_answer_without_the_form(desk: str, page: Page) -> None:
    page.goto(f"{desk}/example/chiller")
    page.emulate_media(media="print")
    page.locator("#answer .drawing svg").wait_for()  # a busy machine searches for longer than a page waits
    assert not page.locator("form.lift").is_visible()
    assert page.get_by_text("A qualified person must approve the lift").first.is_visible()
