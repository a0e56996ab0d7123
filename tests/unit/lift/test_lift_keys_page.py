"""The reference page of the lift file's keys is the one its tool writes."""

from __future__ import annotations

from slingwright.lift.keys import tables
from tools.write_lift_keys import HEADINGS, PAGE, lift_keys_page


def test_the_page_is_up_to_date() -> None:
    assert PAGE.read_text(encoding="utf-8") == lift_keys_page(), "run tools/write_lift_keys.py"


def test_every_table_is_on_the_page() -> None:
    assert set(HEADINGS) == set(tables())
