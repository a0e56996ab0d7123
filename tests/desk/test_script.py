"""A script in every text field stays text: in pages, drawings and papers."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

import pytest

from slingwright.desk.link import pack_lift
from tests.desk.doors import desk_client
from tests.lifts import lift_document

SCRIPT = '"><script>alert(1)</script><img src=x onerror=alert(1)>'
TYPST = '#import "/etc/passwd" #read("/etc/hostname")'


def _spoilt(lift: dict[str, Any], text: str) -> dict[str, Any]:
    """A lift with the text in each field that takes any text."""
    lift["title"] = text
    lift["load"]["surface"] = text
    for number, pick in enumerate(lift["load"]["pick_point"]):
        pick["name"] = f"{number}{text}"[:40]  # no two of one name
    return lift


@pytest.mark.parametrize("text", [SCRIPT, TYPST])
def test_a_script_in_the_words_of_a_lift_never_runs(text: str) -> None:
    lift = _spoilt(lift_document("chiller"), text)
    link = pack_lift(lift)
    with desk_client() as client:
        page = client.get(f"/lift?l={link}").text
        svg = client.get(f"/lift/drawing.svg?l={link}").text
        pdf = client.get(f"/lift/sheet.pdf?l={link}").content
    assert "alert(1)" in page or text == TYPST  # it is shown, as the text it is
    assert "<script>alert" not in page
    assert "<img src=x" not in page
    drawn = ElementTree.fromstring(svg)
    assert [e.tag for e in drawn.iter() if e.tag.endswith(("script", "foreignObject", "img"))] == []
    assert [k for e in drawn.iter() for k in e.attrib if k.lower().startswith("on")] == []
    assert pdf.startswith(b"%PDF")
    assert re.search(rb"/(JavaScript|JS|Launch|EmbeddedFile)\b", pdf) is None


def test_a_script_typed_into_a_field_comes_back_as_text() -> None:
    with desk_client() as client:
        typed = {
            key: SCRIPT for key in ("load.weight", "load.shape", "load.length", "hook.headroom", "rulebook")
        }
        got = client.post("/lift", data=typed | {"units": SCRIPT, "lang": SCRIPT})
        assert "<script>alert" not in got.text
        assert "<img src=x" not in got.text
        for path in (f"/example/{SCRIPT}", f"/lift/{SCRIPT}", f"/sling?form={SCRIPT}", f"/lift?l={SCRIPT}"):
            text = client.get(path, headers={"accept": "text/html"}).text
            assert "<script>alert" not in text, path
