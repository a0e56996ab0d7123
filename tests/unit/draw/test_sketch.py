"""The sketch of a load: every word within its frame and clear of the others, however near its points lie."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import combinations
from xml.etree import ElementTree as ET

import pytest

from slingwright.draw.grips import Grip
from slingwright.draw.ink import SMALL_MM
from slingwright.draw.labels import Box
from slingwright.draw.marks import dimension
from slingwright.draw.sketch import Sketch, draw_sketch
from slingwright.draw.svg import text_width_mm
from slingwright.units import Units
from slingwright.words import languages

SVG = "{http://www.w3.org/2000/svg}"
FOOT_M = 0.3048
VESSEL = (3 * FOOT_M, 3 * FOOT_M, 16 * FOOT_M)
TRUNNIONS = (("left trunnion", (0.0, 0.46, 1.2)), ("right trunnion", (VESSEL[0], 0.46, 1.2)))
CROWDED = tuple((f"lug {i}", (0.1 * i, 0.4 + 0.05 * i, 0.8)) for i in range(5))


def sketched(size_m: tuple[float, float, float], picks: tuple, language: str = "en") -> ET.Element:
    grips = [Grip(row=row, name=name, at_m=at) for row, (name, at) in enumerate(picks)]
    sketch = Sketch(size_m=size_m, picks=grips, centre_m=(size_m[0] / 2, size_m[1] / 2, size_m[2] / 2))
    return ET.fromstring(draw_sketch(sketch, units=Units.US, language=language))


def boxes_of(root: ET.Element) -> Iterator[tuple[str, Box]]:
    """Each word and where it stands; what is turned stands beside its dimension and is left out."""
    for text in root.iter(f"{SVG}text"):
        if "transform" in text.attrib:
            continue
        x, y, size = (float(text.attrib[key]) for key in ("x", "y", "font-size"))
        long = text_width_mm(text.text or "", size)
        left = {"start": x, "middle": x - long / 2, "end": x - long}[text.get("text-anchor", "start")]
        yield text.text or "", Box(left, y - 0.75 * size, long, 0.8 * size)


def test_a_figure_is_written_as_the_language_writes_it() -> None:
    root = sketched((6.096, 1.0, 1.0), (), "es")
    said = [text.text.replace("\u00a0", " ") for text in root.iter(f"{SVG}text") if text.text]
    assert any("20 ft" in one for one in said)
    sketch = Sketch(size_m=(6.096, 1.0, 1.0))
    assert "6,096" in draw_sketch(sketch, units=Units.SI, language="es")


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("picks", [TRUNNIONS, CROWDED, ()], ids=["two trunnions", "a row of lugs", "none"])
@pytest.mark.parametrize("size_m", [VESSEL, (6.0, 0.6, 0.6), (2.0, 2.0, 1.0)], ids=["tall", "long", "flat"])
def test_no_word_lies_on_another_or_out_of_the_sheet(
    size_m: tuple[float, float, float], picks: tuple, language: str
) -> None:
    root = sketched(size_m, picks, language)
    wide, high = (float(one) for one in root.attrib["viewBox"].split()[2:])
    words = list(boxes_of(root))
    for word, box in words:
        assert box.x >= 0, word
        assert box.x + box.width <= wide, word
        assert 0 <= box.y <= high, word
    for (one, a), (other, b) in combinations(words, 2):
        assert a.overlap(b) < 0.2, f"{one} on {other}"
    assert [word for word, _ in words].count("left trunnion") in (0, 2)


def test_a_dimension_shorter_than_its_text_keeps_the_text_clear_of_its_ends() -> None:
    root = ET.fromstring(dimension((0.0, 2.0), (0.0, 0.0), -4.2, "1 ft 3 in"))
    text = next(e for e in root.iter() if e.tag.endswith("text"))
    strokes = [e for e in root.iter() if e.tag.endswith("line") and e.get("stroke-width") == "0.35"]
    assert len(strokes) == 2
    ends = [float(e.get(key, "")) for e in strokes for key in ("x1", "x2")]
    turned = re.fullmatch(r"rotate\(-90 (\S+) \S+\)", text.get("transform", ""))
    assert turned is not None
    ascender = 0.72 * SMALL_MM  # Source Sans: of what it is set in
    assert float(turned[1]) - ascender > max(ends) + 0.35 / 2


def test_its_letters_can_be_read_on_a_telephone() -> None:
    """290 px wide is what a page of 360 px leaves for it."""
    root = sketched(VESSEL, TRUNNIONS)
    wide = float(root.attrib["viewBox"].split()[2])
    sizes = {float(text.attrib["font-size"]) * 290 / wide for text in root.iter(f"{SVG}text")}
    assert min(sizes) > 9.5
