"""The Tab key goes through a page in the order it is read, and what has the focus shows it."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

WHERE = """() => { const e = document.activeElement, s = getComputedStyle(e);
  const all = [...document.querySelectorAll('*')];
  return { at: all.indexOf(e), tag: e.tagName, name: e.className, ring: parseFloat(s.outlineWidth) || 0,
           style: s.outlineStyle }; }"""


@pytest.mark.parametrize("path", ["/learn/choke", "/about", "/sling"])
def test_tab_goes_in_the_order_of_the_page_and_shows_where_it_is(desk: str, page: Page, path: str) -> None:
    page.goto(desk + path)
    stops = []
    for _ in range(12):
        page.keyboard.press("Tab")
        found = page.evaluate(WHERE)
        if found["tag"] == "BODY":
            break
        stops.append(found)
    assert stops[0]["name"] == "skip"
    assert len(stops) >= 8
    assert [stop["at"] for stop in stops] == sorted(stop["at"] for stop in stops)
    for stop in stops:
        assert stop["ring"] >= 2, stop
        assert stop["style"] == "solid", stop


def test_the_way_to_the_content_leads_there(desk: str, page: Page) -> None:
    page.goto(f"{desk}/learn")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('main') !== null")
