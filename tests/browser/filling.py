"""A lift typed into the form, and its answer waited for without a script, for any browser test."""

from __future__ import annotations

from playwright.sync_api import Page

__all__ = ["fill", "look_again"]

TYPED = {
    "title": "Press onto its bed",
    "load.weight": "4000 lb",
    "load.length": "6 ft",
    "load.width": "4 ft",
    "load.height": "4 ft",
    "load.centre_of_gravity": "3 ft; 2 ft; 2 ft",
    "hook.headroom": "18 ft",
    "hook.thickness": "2 in",
}
PICKS = (("1 ft", "1 ft"), ("5 ft", "1 ft"), ("5 ft", "3 ft"), ("1 ft", "3 ft"))


def fill(page: Page) -> None:
    for name, text in TYPED.items():
        page.fill(f"[id='{name}']", text)
    page.select_option("[id='load.shape']", "box")
    for i, (x, y) in enumerate(PICKS):
        for key, text in (("name", "ABCD"[i]), ("at.0", x), ("at.1", y), ("at.2", "4 ft"), ("pin", "1 in")):
            page.fill(f"[id='load.pick_point.{i}.{key}']", text)


def look_again(page: Page) -> None:
    """Without a script: ask how far it is until all of the answer stands there."""
    again = page.get_by_role("link", name="Look how far it is")
    for _ in range(20):
        if not again.count():
            return
        again.first.click()
