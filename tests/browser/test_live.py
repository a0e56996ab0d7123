"""The lift page in place, in a real browser: it answers while somebody types, and the newer change wins."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.filling import fill

PATIENCE_MS = 90_000  # a machine that does much else
EXPLAINED = "#changes:not([hx-get])"


@pytest.fixture(autouse=True)
def _patience() -> None:
    expect.set_options(timeout=PATIENCE_MS)


def say(page: Page, field: str, text: str) -> None:
    page.fill(f"[id='{field}']", text)
    page.keyboard.press("Tab")


def test_a_newcomer_gets_to_the_lift_sheet_without_pressing_anything_but_it(desk: str, page: Page) -> None:
    page.goto(desk)
    say(page, "title", "Press onto its bed")
    missing = page.locator(".wanted")
    expect(missing).to_contain_text("Room above")
    assert page.locator(".faults").count() == 0, "nobody has typed anything wrong"
    fill(page)
    answer = page.locator("#answer")
    expect(answer.get_by_role("heading", name="Press onto its bed").first).to_be_visible()
    expect(answer.get_by_role("heading", name="Offer 1: best")).to_be_visible()
    expect(answer.get_by_text("A qualified person must approve the lift").first).to_be_visible()
    expect(missing).to_have_count(0)
    assert "/lift?l=" in page.url
    assert page.locator("[id='hook.thickness']").input_value() == "2 in", "the form stays as it is"
    expect(page.locator("#rest:not([hx-get])")).to_be_attached()
    with page.expect_download() as sheet:
        page.get_by_role("link", name="Lift sheet (PDF)").first.click()
    assert Path(sheet.value.path()).read_bytes().startswith(b"%PDF")
    link = page.url
    page.goto(desk)
    page.goto(link)
    expect(page.get_by_role("heading", name="Offer 1: best")).to_be_visible()


def test_of_two_quick_changes_the_newer_is_answered(desk: str, page: Page) -> None:
    page.goto(f"{desk}/example/chiller")
    say(page, "load.weight", "9000 lb")
    say(page, "load.weight", "7000 lb")
    expect(page.locator("#answer:not([data-before]) .block.lift")).to_contain_text("7,000 lb")
    expect(page.locator(EXPLAINED)).to_be_attached()
    expect(page.locator("#answer .block.lift")).not_to_contain_text("9,000 lb")
    link = page.url
    page.goto(link)
    expect(page.locator(".block.lift")).to_contain_text("7,000 lb")


def test_a_fault_stands_at_its_field_and_the_last_answer_stays_as_what_it_is(desk: str, page: Page) -> None:
    page.goto(f"{desk}/example/chiller")
    shown = page.locator("#answer .block.lift").inner_text()
    say(page, "load.weight", "4 elephants")
    field = page.locator("[id='load.weight']")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(page.locator(".field.bad .fault")).to_contain_text("elephants")
    expect(page.get_by_text("This is the answer to what you said before.")).to_be_visible()
    assert page.locator("#answer .block.lift").inner_text() == shown
    assert field.input_value() == "4 elephants"
    say(page, "load.weight", "9500 lb")
    expect(page.locator("#answer .block.lift")).to_contain_text("9,500 lb")
    expect(page.get_by_text("This is the answer to what you said before.")).to_be_hidden()
    expect(page.locator("[aria-invalid], .fault")).to_have_count(0)


def test_a_long_search_says_how_far_it_is_and_stops_on_demand(desk: str, page: Page) -> None:
    page.goto(f"{desk}/example/crane_rail_beam")
    say(page, "title", "A beam nobody has asked for yet")
    stop = page.get_by_role("button", name="Stop, and show what there is").first
    expect(stop).to_be_visible()
    expect(page.locator(".progress p").first).to_be_visible()
    stop.click()
    expect(page.locator(".progress")).to_have_count(0)
    expect(page.locator("#answer h1")).to_contain_text("A beam nobody has asked for yet")


def test_i_do_not_know_is_one_press(desk: str, page: Page) -> None:
    page.goto(f"{desk}/example/chiller")
    page.get_by_role("button", name="I do not know Weight").click()
    assert page.locator("[id='load.weight']").input_value() == "unknown"
    expect(page.locator("#answer .stop-sign")).to_be_visible()


def test_back_is_the_lift_before(desk: str, page: Page) -> None:
    page.goto(f"{desk}/example/chiller")
    before = page.url
    say(page, "load.weight", "9500 lb")
    expect(page.locator("#answer .block.lift")).to_contain_text("9,500 lb")
    assert page.url != before
    page.go_back()
    expect(page.locator("#answer .block.lift")).not_to_contain_text("9,500 lb")
    assert page.url == before


def test_i_do_not_know_works_without_a_script(desk: str, browser: Browser) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.set_default_timeout(90_000)
    page.goto(f"{desk}/example/hot_casting")
    page.get_by_role("button", name="I do not know Weight").click()
    assert page.locator("[id='load.weight']").input_value() == "unknown"
    assert page.locator(".stop-sign").is_visible()
    context.close()


# each time what stands above the form has another size, after the page's own watcher and before it is painted
SEEN = """() => { window.seen = [];
    const field = document.getElementById("load.weight"), form = document.querySelector("form.lift");
    const look = () => { const { top } = field.getBoundingClientRect();
        window.seen.push({ field: top, form: Math.round(form.getBoundingClientRect().top + scrollY) }); };
    const watcher = new ResizeObserver(look);
    for (const one of document.querySelectorAll("#faults, .shown")) watcher.observe(one); }"""


def test_on_a_telephone_the_field_in_hand_stays_where_it_is(desk: str, browser: Browser) -> None:
    """The answer above the form becomes shorter, then longer again, while somebody types below it."""
    page = browser.new_page(viewport={"width": 360, "height": 740})
    page.goto(f"{desk}/example/chiller", timeout=PATIENCE_MS)
    field = page.locator("[id='load.weight']")
    field.focus()
    page.evaluate(SEEN)
    page.wait_for_function("() => seen.length > 0")
    page.fill("[id='load.weight']", "10,300 lb")
    expect(page.locator("#answer:not([data-before]) .block.lift")).to_contain_text("10,300 lb")
    page.wait_for_function("() => new Set(seen.map((one) => one.form)).size > 1", timeout=PATIENCE_MS)
    page.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    seen = page.evaluate("seen")
    assert max(one["field"] for one in seen) - min(one["field"] for one in seen) < 3, seen
    page.close()


def test_only_what_a_shape_has_is_asked_and_one_empty_pick_point(desk: str, page: Page) -> None:
    page.goto(desk)
    page.select_option("[id='load.shape']", "cylinder")
    assert not page.locator("[id='load.width']").is_visible()
    assert page.locator("[id='load.diameter']").is_visible()
    page.select_option("[id='load.shape']", "box")
    assert not page.locator("[id='load.diameter']").is_visible()
    page.fill("[id='load.width']", "4 ft")
    page.select_option("[id='load.shape']", "cylinder")
    assert page.locator("[id='load.width']").is_visible(), "what is said is never hidden"
    assert not page.locator("[id='load.pick_point.1.name']").is_visible()
    page.fill("[id='load.pick_point.0.at.0']", "1 ft")
    assert page.locator("[id='load.pick_point.1.name']").is_visible()


def test_on_a_telephone_what_is_still_to_be_said_stands_in_sight(desk: str, browser: Browser) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 740})
    page.goto(desk, timeout=PATIENCE_MS)
    page.fill("[id='load.weight']", "4000 lb")
    told = page.locator("#told")
    expect(told).to_contain_text("Shape")
    expect(told).to_be_in_viewport()
    told.click()
    assert page.evaluate("document.activeElement.id") == "load.shape"
    page.close()
