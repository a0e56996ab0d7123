"""The small drawings that explain a word: each whole, within its frame, told in words, and safe in a page."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest

from slingwright.draw import EXPLAINED, explain_alt, explain_drawing, explain_text
from slingwright.draw.svg import text_width_mm
from slingwright.words import languages

SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("name", EXPLAINED)
def test_a_drawing_says_what_it_shows_and_its_words_stay_within(name: str, language: str) -> None:
    root = ET.fromstring(explain_drawing(name, language))
    assert root.findtext(f"{SVG}title") == explain_alt(name, language)
    assert len(explain_text(name, language)) > 40
    wide, high = (float(v) for v in root.attrib["viewBox"].split()[2:])
    for text in root.iter(f"{SVG}text"):
        x, y, size = (float(text.attrib[k]) for k in ("x", "y", "font-size"))
        assert size <= y <= high
        if "transform" in text.attrib:
            continue  # stands upright beside its dimension
        long = text_width_mm(text.text or "", size)
        left = {"start": x, "middle": x - long / 2, "end": x - long}[text.get("text-anchor", "start")]
        assert left >= 0
        assert left + long <= wide


@pytest.mark.parametrize("name", EXPLAINED)
def test_nothing_is_drawn_out_of_the_frame(name: str) -> None:
    root = ET.fromstring(explain_drawing(name))
    wide, high = (float(v) for v in root.attrib["viewBox"].split()[2:])
    for e in root.iter():
        for x, y in ((e.get("x1"), e.get("y1")), (e.get("x2"), e.get("y2")), (e.get("cx"), e.get("cy"))):
            if x is not None and y is not None:
                assert 0 <= float(x) <= wide
                assert 0 <= float(y) <= high
        for x, y in re.findall(r"([-\d.]+),([-\d.]+)", e.get("points", "")):
            assert 0 <= float(x) <= wide
            assert 0 <= float(y) <= high


def test_the_angle_is_taken_from_the_horizontal() -> None:
    """Its arc begins on the horizontal through the pick point and ends on the leg."""
    root = ET.fromstring(explain_drawing("angle"))
    (arc,) = (p for p in root.iter(f"{SVG}path") if " A 8 8 " in p.get("d", "") and p.get("fill") == "none")
    start_x, start_y, *_, end_x, end_y = (float(v) for v in re.findall(r"[-\d.]+", arc.attrib["d"]))
    assert (start_x, start_y) == (17.0, 31.0)
    leg = next(e for e in root.iter(f"{SVG}line") if e.get("stroke-linecap") == "round")
    top, foot = (float(leg.attrib["x1"]), float(leg.attrib["y1"])), (9.0, 31.0)
    cross = (end_x - foot[0]) * (top[1] - foot[1]) - (end_y - foot[1]) * (top[0] - foot[0])
    assert abs(cross) < 0.05


def test_a_name_that_is_none_is_refused() -> None:
    with pytest.raises(LookupError, match="no drawing explains 'sling'"):
        explain_drawing("sling")
