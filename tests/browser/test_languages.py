"""The language switch in a real browser: the lift comes along, also one that changed while somebody typed."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

PATIENCE_MS = 90_000  # a machine that does much else


@pytest.fixture(autouse=True)
def _patience() -> None:
    expect.set_options(timeout=PATIENCE_MS)


def test_a_lift_changed_in_place_is_taken_into_the_other_language(desk: str, page: Page) -> None:
    page.goto(f"{desk}/example/chiller")
    expect(page.get_by_role("heading", name="Offer 1: best")).to_be_visible()
    before = page.url
    page.fill("[id='load.weight']", "9000 lb")
    page.keyboard.press("Tab")
    page.wait_for_function("before => location.href !== before", arg=before, timeout=PATIENCE_MS)
    page.get_by_role("link", name="Español").click()
    expect(page.get_by_role("heading", name="Propuesta 1: la mejor")).to_be_visible()
    assert "lang=es" in page.url
    assert page.locator("html").get_attribute("lang") == "es"
    assert page.locator("[id='load.weight']").input_value() == "9000 lb"
    assert page.locator(".beside[lang=en]").count() > 5, "cautions carry the English beside them"
    page.get_by_role("link", name="Kilogramos, metros").click()
    expect(page.get_by_text("kg").first).to_be_visible()
    assert "lang=es" in page.url


def test_nothing_is_cut_off_in_spanish_on_a_telephone(desk: str, page: Page) -> None:
    page.set_viewport_size({"width": 360, "height": 740})
    for path in ("/", "/sling", "/example/chiller", "/example/scrubber_vessel", "/learn/angles", "/about"):
        page.goto(f"{desk}{path}?lang=es")
        assert page.evaluate("document.documentElement.scrollWidth") <= 360, path
