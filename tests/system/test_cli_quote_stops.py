"""`slingwright quote` of a lift, or of an offers document, that has no offer: the answer is no, and why."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.shops import EXAMPLE
from tests.system.command import Command

SHOP = ("--shop", EXAMPLE / "shop.toml")
AT = ("--at", "2026-03-01")
STOPPED = """
rulebook = "us"
[load]
weight = "400 000 lb"
known_by = "plate"
shape = "box"
length = "9 ft"
width = "5 ft"
height = "6 ft"
centre_of_gravity = ["4 ft 6 in", "2 ft 6 in", "30 in"]
[[load.pick_point]]
name = "A"
at = ["6 in", "2 ft 6 in", "6 ft"]
pin = "1 in"
rated = "400 000 lb"
rated_at = "any angle"
[[load.pick_point]]
name = "B"
at = ["8 ft 6 in", "2 ft 6 in", "6 ft"]
pin = "1 in"
rated = "400 000 lb"
rated_at = "any angle"
[hook]
headroom = "24 ft"
[site]
temperature = ["20 °F", "110 °F"]
purpose = "lift"
"""


@pytest.mark.parametrize("given", ["lift", "offers"])
def test_a_lift_that_is_a_stop_is_answered_with_why(command: Command, tmp_path: Path, given: str) -> None:
    """A valid file whose answer is no: exit 1, the lift's own stops, no paper; so, too, from its document."""
    file, pdf = tmp_path / "lift.toml", tmp_path / "quote.pdf"
    file.write_text(STOPPED, encoding="utf-8")
    offers = command.answers("offers", "choose", file, *SHOP, code=1)
    if given == "offers":
        file = tmp_path / "offers.json"
        file.write_text(json.dumps(offers), encoding="utf-8")
    found = command.answers("quote", "quote", file, *AT, *SHOP, "--pdf", pdf, code=1)
    assert (found["answer"], found["items"], found["refused"], found["number"]) == ("refused", [], [], None)
    assert len(found["stops"]) == len(offers["stops"])
    assert found["stops"][0].startswith(offers["stops"][0]["text"])
    assert found["cautions"]
    assert not pdf.exists()
    told = command("quote", file, *AT, *SHOP)
    assert told.code == 1
    assert "this lift has no offer" in told.out
    assert offers["stops"][0]["text"] in re.sub(r"\s+", " ", told.out)


def test_stops_of_a_damaged_document_are_a_fault(command: Command, tmp_path: Path) -> None:
    file = tmp_path / "offers.json"
    made_by = {"rulebook": {"id": "us"}}
    file.write_text(
        json.dumps({"schema": "slingwright/offers/1", "made_by": made_by, "answer": "stop", "stops": [1]})
    )
    fault = command.answers("fault", "quote", file, *AT, *SHOP, code=2)
    assert fault["field"] == "stops"
