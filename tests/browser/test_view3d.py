"""The view in space in a real browser: the drawing's own pose, turned by every hand, failing in words."""

from __future__ import annotations

import math
import re

import pytest
from playwright.sync_api import Browser, Locator, Page

THREE = re.compile(r"three\.\w+\.min\.js")


def opened(page: Page, address: str) -> Locator:
    page.goto(address)
    page.get_by_role("button", name="Turn it in space").click()
    stage = page.locator("[data-view3d-stage][data-ready]")
    stage.wait_for()
    return stage


def shown(stage: Locator, name: str) -> float:
    return float(stage.get_attribute(f"data-{name}-deg") or "nan")


def wait_for(page: Page, name: str, value: str) -> None:
    """Until the view shows it: by selector, for the page's policy lets nothing evaluate text."""
    page.locator(f"[data-view3d-stage][data-{name}='{value}']").wait_for(timeout=5000)


def told_tilt(page: Page) -> float:
    """The tilt that the flat drawing prints [deg]."""
    said = re.search(r"Tilt\s*([\d.]+)°", page.locator("#figure .drawing svg").text_content() or "")
    assert said is not None
    return float(said[1])


def drawn_lean(page: Page, view: str) -> float:
    """How far the drawing says that the load hangs down to the right in one of its views [deg]."""
    text = page.locator(f"#figure .drawing [data-view='{view}']").text_content() or ""
    leans = re.search(r"hangs ([\d.]+)° down to the (right|left)", text)
    if leans is None:
        assert "hangs level in this view" in text
        return 0.0
    return float(leans[1]) * (1 if leans[2] == "right" else -1)


@pytest.mark.parametrize("example", ["chiller", "pontoon_two_hooks"])
def test_it_hangs_as_the_flat_drawing_does(desk: str, page: Page, example: str) -> None:
    stage = opened(page, f"{desk}/example/{example}")
    assert shown(stage, "tilt") == pytest.approx(told_tilt(page), abs=0.051)  # printed to a tenth
    page.locator("[data-view3d-do=elevation]").click()
    wait_for(page, "yaw-deg", "0.00")
    assert shown(stage, "lean") == pytest.approx(drawn_lean(page, "elevation"), abs=0.051)


def test_every_part_is_labelled_as_the_drawing_has_it(desk: str, page: Page) -> None:
    opened(page, f"{desk}/example/chiller")
    legs = page.locator("#figure .drawing [data-view=elevation] .leg").all()
    drawn = {
        leg.get_attribute("data-path"): float(leg.get_attribute("data-tension-n") or "nan") for leg in legs
    }
    said = [text.split(" ", 1) for text in page.locator(".view3d-label").all_text_contents()]
    labels = {name: float(re.sub(r"[^\d.]", "", load)) for name, load in said}
    assert labels.keys() == drawn.keys()
    for name, pounds in labels.items():
        assert pounds * 4.4482216152605 == pytest.approx(drawn[name], abs=5)


def test_keys_mouse_and_buttons_turn_it(desk: str, page: Page) -> None:
    stage = opened(page, f"{desk}/example/chiller")
    assert page.evaluate("document.activeElement.hasAttribute('data-view3d-stage')")

    page.keyboard.press("ArrowRight")
    wait_for(page, "yaw-deg", "-22.00")
    page.keyboard.press("ArrowUp")
    wait_for(page, "pitch-deg", "28.00")
    page.keyboard.press("+")
    wait_for(page, "zoom", "1.250")
    page.get_by_role("button", name="Turn left").click()
    wait_for(page, "yaw-deg", "-32.00")
    box = stage.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 60, y)
    page.mouse.up()
    wait_for(page, "yaw-deg", "-62.00")
    page.keyboard.press("Home")
    wait_for(page, "yaw-deg", "-32.00")


def test_a_finger_turns_it_and_the_page_stays_within_a_phone(desk: str, browser: Browser) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 740}, has_touch=True)
    page = context.new_page()
    page.set_default_timeout(90_000)
    stage = opened(page, f"{desk}/example/chiller")
    stage.evaluate(
        """stage => { const box = stage.getBoundingClientRect();
        const at = { pointerId: 1, pointerType: "touch", clientY: box.y + 50, bubbles: true };
        const send = (name, x) =>
          stage.dispatchEvent(new PointerEvent(name, { ...at, clientX: box.x + x }));
        stage.setPointerCapture = () => {};  // which knows no made-up finger
        send("pointerdown", 50); send("pointermove", 90); send("pointerup", 90); }"""
    )
    wait_for(page, "yaw-deg", "-52.00")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    for button in page.locator(".view3d-controls button").all():
        size = button.bounding_box()
        assert size is not None
        assert min(size["width"], size["height"]) >= 44
    context.close()


def test_three_is_fetched_only_when_the_view_is_opened(desk: str, page: Page) -> None:
    fetched: list[str] = []
    page.on("request", lambda sent: fetched.append(sent.url))
    page.goto(f"{desk}/example/chiller")
    page.locator("#rest:not([hx-get])").wait_for(state="attached")  # all offers have come
    assert not [
        url for url in fetched if THREE.search(url) or url.endswith("view3d.js") or "scene.json" in url
    ]
    page.get_by_role("button", name="Turn it in space").click()
    page.locator("[data-view3d-stage][data-ready]").wait_for()
    assert len([url for url in fetched if THREE.search(url)]) == 2


def test_a_browser_without_webgl_says_so_and_keeps_the_table(desk: str, browser: Browser) -> None:
    page = browser.new_page()
    page.set_default_timeout(90_000)
    page.add_init_script(
        "const get = HTMLCanvasElement.prototype.getContext;"
        "HTMLCanvasElement.prototype.getContext = function (kind, ...rest) {"
        " return kind.startsWith('webgl') ? null : get.call(this, kind, ...rest); };"
    )
    page.goto(f"{desk}/example/chiller")
    page.get_by_role("button", name="Turn it in space").click()
    page.get_by_text("could not be opened here").wait_for()
    assert page.locator("[data-view3d-stage]").is_hidden()
    assert page.locator(".twin tbody tr").count() == 4
    assert math.isfinite(told_tilt(page))
    page.close()
