"""The drawing in a real browser: the other pose, a leg touched, pick points moved by every hand, print."""

from __future__ import annotations

import re

import pypdfium2
import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, Route

from tests.browser.filling import look_again

INCH_M = 0.0254


def grip(page: Page, name: str, view: str = "elevation", host: str = "#figure") -> Locator:
    return page.locator(f"{host} .grips[data-grips={view}] .grip[data-name='{name}']")


def field(page: Page, row: int, axis: int) -> str:
    return page.locator(f"[id='load.pick_point.{row}.at.{axis}']").input_value()


def inches(text: str) -> float:
    feet, rest = re.search(r"([\d.]+) ft", text), re.search(r"([\d.]+) in", text)
    assert feet or rest, text
    return (float(feet[1]) * 12 if feet else 0.0) + (float(rest[1]) if rest else 0.0)


def told_tilt(page: Page) -> float:
    said = re.search(r"Tilt\s*([\d.]+)°", page.locator("#figure .drawing svg").text_content() or "")
    assert said is not None
    return float(said[1])


def per_inch(page: Page) -> float:
    """How many pixels an inch of the load is on the drawing."""
    svg = page.locator("#figure .drawing svg")
    view = page.locator("#figure [data-view=elevation]")
    mm_per_m = float(view.get_attribute("data-mm-per-m") or "nan")
    box = svg.bounding_box()
    assert box is not None
    wide = float((svg.get_attribute("viewBox") or "").split()[2])
    high = float((svg.get_attribute("viewBox") or "").split()[3])
    return min(box["width"] / wide, box["height"] / high) * mm_per_m * INCH_M


def centre(at: Locator) -> tuple[float, float]:
    box = at.locator(".ring").bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def hear_changes(page: Page) -> None:
    """Count what the form is told, and keep it from being sent: another test's business."""
    page.evaluate(
        """() => { window.changed = [];
        document.querySelector('form.lift').addEventListener('change', (event) => {
          window.changed.push(event.target.name); event.stopImmediatePropagation(); }, true); }"""
    )


def changes(page: Page, count: int) -> list[str]:
    page.wait_for_function("count => window.changed.length >= count", arg=count)
    found: list[str] = page.evaluate("window.changed")
    return found


def test_the_worst_case_redraws_drawing_view_in_space_table_and_sentence(desk: str, page: Page) -> None:
    page.goto(f"{desk}/example/chiller")
    told = told_tilt(page)
    sentence = page.locator(".pose").inner_text()
    row = page.locator("[id=leg-A]").inner_text()
    page.get_by_role("link", name="Worst case within what you told us").click()
    page.locator("[data-pose=worst]").wait_for()
    worst = told_tilt(page)
    assert worst != told
    assert page.locator("#figure .drawing svg").get_attribute("data-case") == "worst"
    assert page.locator(".pose").inner_text() != sentence
    assert page.locator("[id=leg-A]").inner_text() != row
    page.get_by_role("button", name="Turn it in space").click()
    stage = page.locator("[data-view3d-stage][data-ready]")
    stage.wait_for()
    assert float(stage.get_attribute("data-tilt-deg") or "nan") == pytest.approx(worst, abs=0.051)
    page.get_by_role("link", name="As told").click()
    page.locator("[data-pose=told]").wait_for()
    assert told_tilt(page) == told


@pytest.mark.parametrize("width", [1280, 1100, 800, 360])
def test_all_of_a_pick_point_stands_in_sight_at_every_width(desk: str, page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(f"{desk}/example/chiller")
    assert page.locator(".picks").evaluate("one => one.scrollWidth <= one.clientWidth")


def test_a_touched_leg_says_its_figures(desk: str, page: Page) -> None:
    page.goto(f"{desk}/example/chiller")
    page.locator("#figure .touch[data-touch=plan] a[data-leg=leg-C]").hover(force=True)
    panel = page.locator("[data-figures=leg-C]")
    panel.wait_for()
    said = panel.inner_text().replace("\u00a0", " ")
    cells = page.locator("[id=leg-C] td").all_inner_texts()
    assert all(cell in said for cell in cells)
    assert page.locator("[id=leg-C]").get_attribute("data-shown") is not None
    page.locator("#figure .touch[data-touch=elevation] a[data-leg=leg-B]").focus()
    page.keyboard.press("Enter")
    page.locator("[data-figures=leg-B]").wait_for()
    assert panel.is_hidden()
    assert "#" not in page.url
    page.keyboard.press("Escape")
    page.locator("[data-figures=leg-B]").wait_for(state="hidden")
    for put_away in (
        lambda: page.locator("[data-figures=leg-B] [data-away]").click(),
        lambda: page.locator("#figure .drawing").click(position={"x": 3, "y": 3}),
        lambda: page.locator("h1").click() or page.keyboard.press("Escape"),
    ):
        page.locator("#figure .touch[data-touch=elevation] a[data-leg=leg-B]").focus()
        page.keyboard.press("Enter")
        page.locator("[data-figures=leg-B]").wait_for()
        put_away()
        page.locator("[data-figures=leg-B]").wait_for(state="hidden")


def test_a_leg_leads_to_its_row_without_a_script(desk: str, browser: Browser) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.set_default_timeout(90_000)
    page.goto(f"{desk}/example/chiller")
    look_again(page)
    leg = page.locator("#figure .touch[data-touch=elevation] a[data-leg=leg-B]")
    page.goto(page.url + (leg.get_attribute("href") or ""))
    assert page.locator("tr:target").get_attribute("id") == "leg-B"
    context.close()


def test_a_pick_point_is_dragged_by_mouse_and_its_fields_follow(desk: str, page: Page) -> None:
    """From the front 10 in to the left and 6 in up: across stays, the drawn tilt is reckoned with."""
    page.goto(f"{desk}/example/chiller")
    hear_changes(page)
    at = grip(page, "B")
    at.scroll_into_view_if_needed()
    x, y = centre(at)
    step = per_inch(page)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 5 * step, y - 3 * step, steps=3)
    page.mouse.move(x - 10 * step, y - 6 * step, steps=3)
    page.mouse.up()
    assert len(set(changes(page, 1))) == 1
    assert inches(field(page, 1, 0)) == pytest.approx(8 * 12 + 6 - 10, abs=1.0)
    assert inches(field(page, 1, 2)) == pytest.approx(6 * 12 + 4 + 6, abs=1.0)
    assert field(page, 1, 1) == "6 in"
    moved = centre(at)
    assert moved == pytest.approx((x - 10 * step, y - 6 * step), abs=step)
    assert f"{field(page, 1, 0)} along" in page.locator("#figure [data-grip-status]").inner_text()


def test_a_tap_moves_nothing(desk: str, page: Page) -> None:
    page.goto(f"{desk}/example/chiller")
    hear_changes(page)
    x, y = centre(grip(page, "C", "plan"))
    page.mouse.click(x, y)
    page.wait_for_timeout(500)
    assert page.evaluate("window.changed") == []
    assert field(page, 2, 0) == "8 ft 6 in"


@pytest.fixture
def phone(browser: Browser) -> BrowserContext:
    return browser.new_context(viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True)


def test_a_finger_drags_a_pick_point_in_the_view_from_above(desk: str, phone: BrowserContext) -> None:
    page = phone.new_page()
    page.set_default_timeout(90_000)
    page.goto(f"{desk}/example/chiller")
    hear_changes(page)
    at = grip(page, "D", "plan")
    at.scroll_into_view_if_needed()
    x, y = centre(at)
    before = page.evaluate("scrollY")
    fingers = phone.new_cdp_session(page)

    def touch(kind: str, *points: tuple[float, float]) -> None:
        told = {"type": kind, "touchPoints": [{"x": px, "y": py} for px, py in points]}
        fingers.send("Input.dispatchTouchEvent", told)

    step = per_inch(page)
    touch("touchStart", (x, y))
    for i in range(1, 7):
        touch("touchMove", (x + 5 * i * step, y + 2 * i * step))
    touch("touchEnd")
    changes(page, 1)
    assert page.evaluate("scrollY") == before, "the page stays where it is under the finger"
    assert inches(field(page, 3, 0)) == pytest.approx(6 + 30, abs=2.5)
    assert inches(field(page, 3, 1)) == pytest.approx(54 - 12, abs=2.5)
    assert field(page, 3, 2) == "6 ft 4 in"
    phone.close()


def test_arrow_keys_move_a_pick_point_in_the_fields_own_unit(desk: str, page: Page) -> None:
    page.goto(f"{desk}/example/chiller")
    hear_changes(page)
    grip(page, "A").focus()
    for key in ("ArrowRight", "ArrowRight", "Shift+ArrowUp"):
        page.keyboard.press(key)
    page.wait_for_function("() => document.getElementById('load.pick_point.0.at.2').value === '6 ft 10 in'")
    assert [field(page, 0, axis) for axis in range(3)] == ["7 in", "6 in", "6 ft 10 in"]
    page.fill("[id='load.pick_point.0.at.1']", "150 mm")
    grip(page, "A", "plan").focus()
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Shift+ArrowDown")
    page.keyboard.press("Tab")  # what leaves the point says it at once
    assert field(page, 0, 1) == "60 mm"


def test_a_moved_point_gives_a_new_answer_and_stays_in_hand(desk: str, page: Page) -> None:
    """The answer replaces the drawing, the sketch by the fields follows, the keys stay on the point."""
    page.goto(f"{desk}/example/chiller")
    before = page.locator("[id=leg-A]").inner_text()
    grip(page, "A").focus()
    page.keyboard.press("Shift+ArrowRight")
    page.wait_for_function(
        "before => { const now = document.getElementById('leg-A'); return now && now.innerText !== before; }",
        arg=before,
    )
    assert field(page, 0, 0) == "1 ft"
    assert (grip(page, "A").get_attribute("data-at-m") or "").startswith("0.304800 ")
    page.locator("#sketch .grip[data-name=A][data-at-m^='0.304800 ']").first.wait_for()
    assert page.evaluate("document.activeElement.closest('#figure .grips').dataset.grips") == "elevation"
    assert page.evaluate("document.activeElement.dataset.name") == "A"


def test_points_are_placed_before_there_is_an_answer(desk: str, browser: Browser) -> None:
    """A load whose sizes alone are told is sketched; a point is added and moved on the sketch."""
    page = browser.new_page()  # its console tells of the refused lift
    page.set_default_timeout(90_000)
    page.goto(desk)
    for key, text in (("length", "3 m"), ("width", "2 m"), ("height", "1 m")):
        page.fill(f"[id='load.{key}']", text)
    page.get_by_role("button", name="Find the sling").first.click()
    page.locator("#sketch svg").wait_for()
    # what is missing takes the focus when it is told, which may be after the sketch stands there
    page.wait_for_function("() => document.querySelector('#faults').contains(document.activeElement)")
    hear_changes(page)
    page.locator("#sketch [data-grip-add]").click()
    assert field(page, 0, 0) == ""
    page.keyboard.press("Shift+ArrowLeft")
    changes(page, 1)
    assert page.locator("[id='load.pick_point.0.name']").input_value() == "A"
    assert [field(page, 0, axis) for axis in range(3)] == ["1400 mm", "1000 mm", "1000 mm"]
    page.locator("#sketch [data-grip-add]").click()
    assert grip(page, "B", "plan", "#sketch").is_visible()
    page.close()


def test_another_pose_is_drawn_where_the_reader_is(desk: str, page: Page) -> None:
    page.goto(f"{desk}/example/chiller")
    page.evaluate("scrollTo(0, 250)")
    page.get_by_role("link", name="Worst case within what you told us").click()
    page.wait_for_url("**pose=worst**")
    page.wait_for_function(
        "() => !document.querySelector('[hx-trigger^=load], .htmx-request, .htmx-settling')"
    )
    page.evaluate("() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
    assert page.evaluate("scrollY") == 250


def test_legs_that_lie_on_each_other_leave_the_drawing_in_sight(desk: str, page: Page) -> None:
    page.goto(f"{desk}/example/chiller")
    page.locator("#figure .touch[data-touch=elevation] a[data-leg=leg-A]").focus()
    page.keyboard.press("Enter")
    page.locator("[data-figures=leg-A]").wait_for()
    box = page.locator("[data-touched]").bounding_box()
    assert box is not None
    assert box["height"] < 0.5 * page.evaluate("innerHeight")


def test_print_shows_the_drawing_and_the_cautions_and_nothing_to_press(desk: str, page: Page) -> None:
    page.goto(f"{desk}/example/chiller")
    page.emulate_media(media="print")
    paper = pypdfium2.PdfDocument(page.pdf(format="A4"))
    sheets = [one.get_textpage().get_text_bounded() for one in paper]  # what stands within the paper's edges
    text = " ".join("".join(sheets).split())
    for there in ("Leg by leg", "Governed by", "A qualified person must approve the lift", "PLANNING ONLY"):
        assert there in text, there
    for gone in (
        "Find the sling",
        "Turn it in space",
        "Add a pick point",
        "What is meant",
        "Worst case within",
    ):
        assert gone not in text, gone
    assert sheets[0].count("the rule's") == 4, "every leg stands whole on the drawing's own page"
    assert page.locator("#figure .drawing svg").is_visible()
    for gone in ("form.lift", "[data-grip-hands]", ".poses", ".touch", ".grips", "[data-view3d-start]"):
        assert not page.locator(gone).first.is_visible(), gone


def test_a_newer_change_takes_the_place_of_one_that_is_on_its_way(desk: str, page: Page) -> None:
    """The first question is held up for good: what is asked after it is sent and answered all the same."""
    page.goto(f"{desk}/example/chiller")
    on_its_way: list[Route] = []
    page.route("**/lift/live", lambda r: r.continue_() if on_its_way else on_its_way.append(r))
    page.fill("[id='load.weight']", "11 000 lb")
    page.locator("[id='load.weight']").dispatch_event("change")
    page.wait_for_function("() => !document.getElementById('before').hidden")
    page.fill("[id='load.weight']", "10 900 lb")
    page.locator("[id='load.weight']").dispatch_event("change")
    page.locator("#answer", has_text="10,900 lb").wait_for()
    assert len(on_its_way) == 1
