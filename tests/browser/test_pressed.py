"""What comes of pressing the button comes into sight, on a telephone, too."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.filling import fill

IN_SIGHT = """element => { const { top } = element.getBoundingClientRect();
    return top >= -1 && top < innerHeight / 2; }"""


def test_on_a_telephone_the_answer_comes_into_sight(desk: str, page: Page) -> None:
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(f"{desk}/")
    fill(page)
    page.get_by_role("button", name="Find the sling").last.click()
    heading = page.locator("#answer h1[data-link]")
    heading.wait_for()
    expect(heading).to_be_focused()
    assert heading.evaluate(IN_SIGHT)


def test_on_a_telephone_what_is_wrong_comes_into_sight_when_the_button_is_pressed(
    desk: str, page: Page
) -> None:
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(f"{desk}/")
    page.locator("[id='load.weight']").fill("4 elephants")
    page.get_by_role("button", name="Find the sling").last.click()
    faults = page.locator("#faults .faults")
    expect(faults).to_be_focused()
    assert faults.evaluate(IN_SIGHT)
