"""The sheet itself: clear labels, all on the paper, told without colour, nobody's text as markup."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slingwright.draw import draw_bars, draw_offer
from slingwright.draw.labels import Box
from slingwright.draw.svg import text_width_mm, wrap_text
from slingwright.units import Units
from tests.golden import scenes
from tests.golden.building import Scene
from tests.unit.draw.test_drawing_reads_back import SVG, draw, of_class, read_views

NAMES = sorted(scenes.ALL)
WIDTH_MM = 180.0


def texts_of(svg: str) -> str:
    return "\n".join(t for t in ET.fromstring(svg).itertext() if t.strip())


def renamed(scene: Scene, title: str) -> Scene:
    return Scene(lift=replace(scene.lift, title=title), answer=scene.answer)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("height_mm", [190.0, 120.0])
def test_everything_is_on_the_paper_and_no_higher_than_asked(name: str, height_mm: float) -> None:
    root = ET.fromstring(draw(scenes.ALL[name](), height_mm=height_mm))
    _, _, width, height = (float(v) for v in root.attrib["viewBox"].split())
    assert (width, height <= height_mm) == (WIDTH_MM, True)
    for e in root.iter():
        for key in ("x", "x1", "x2", "cx"):
            assert 0 <= float(e.attrib.get(key, 0)) <= width
        for key in ("y", "y1", "y2", "cy"):
            assert 0 <= float(e.attrib.get(key, 0)) <= height


@pytest.mark.parametrize("name", NAMES)
def test_labels_do_not_lie_on_each_other(name: str) -> None:
    """Upright texts of a view, each taken as tight as its capitals are: none shares paper with another."""
    for group in read_views(draw(scenes.ALL[name]())).values():
        boxes = []
        for e in group.iter(f"{SVG}text"):
            if "transform" in e.attrib:
                continue
            size = float(e.attrib["font-size"])
            wide = 0.85 * text_width_mm(e.text or "", size)  # the product's own estimate is generous
            shift = {"middle": wide / 2, "end": wide}.get(e.attrib.get("text-anchor", ""), 0.0)
            box = Box(float(e.attrib["x"]) - shift, float(e.attrib["y"]) - 0.7 * size, wide, 0.7 * size)
            boxes.append((e.text, box))
        for i, (text, box) in enumerate(boxes):
            for other, second in boxes[i + 1 :]:
                assert box.overlap(second) == 0.0, (text, other)


@pytest.mark.parametrize("name", NAMES)
def test_each_leg_is_named_in_every_view_and_told_in_full_from_the_front(name: str) -> None:
    scene = scenes.ALL[name]()
    for view, group in read_views(draw(scene)).items():
        said = ["".join(t.itertext()) for t in group.iter(f"{SVG}text")]
        for path in scene.offer.case("stiff").result.paths:
            mine = [t for t in said if t == path.name or t.startswith(f"{path.name} ")]
            assert mine
            if view == "elevation" and not path.slack:
                assert any(re.search(r"\d (lb|kN) \d+(\.\d)?°$", t) for t in mine)


def test_slack_leg_is_told_by_dashes_and_by_word() -> None:
    group = read_views(draw(scenes.tilted_chiller()))["elevation"]
    (slack,) = of_class(group, "slack")
    assert slack.attrib["data-path"] == "D"
    assert "stroke-dasharray" in slack.attrib
    assert "D slack" in "".join(group.itertext())
    assert not [e for e in of_class(group, "leg") if e is not slack and "stroke-dasharray" in e.attrib]


def test_tilt_is_said_by_view() -> None:
    """The contract's bridle example tilts 1.02°; by hand its parts are 0.8° (front) and 0.6° (end)."""
    svg = draw(scenes.chiller())
    views = read_views(svg)
    assert "hangs 0.8° down to the left" in "".join(views["elevation"].itertext())
    assert "hangs 0.6° down to the left" in "".join(views["end"].itertext())
    assert "Tilt\u00a01°" in texts_of(svg)


def test_planning_only_unless_table_adopted_and_load_known() -> None:
    assert "PLANNING ONLY" in texts_of(draw(scenes.chiller()))
    assert "PLANNING ONLY" not in texts_of(draw(scenes.chiller(adopted=True)))
    scene = scenes.unknown_centre()
    svg = draw(scene)
    assert "PLANNING ONLY" in texts_of(svg)
    assert "somewhere in here" in texts_of(svg)
    assert len([g for g in read_views(svg).values() if of_class(g, "centre-box")]) == 3


def test_title_block_tells_version_input_and_cautions() -> None:
    made_by = {"tool": "slingwright 9.8.7", "input_sha256": "0123456789abcdef" * 4}
    text = texts_of(draw(scenes.chiller(), made_by=made_by))
    assert "slingwright 9.8.7" in text
    assert "0123456789ab" in text
    assert "qualified person" in text
    assert "Local codes" in text


@pytest.mark.parametrize(
    ("title", "said"),
    [
        ("<script>alert(1)</script>", "<script>alert(1)</script>"),
        ("a & b \"quoted\" 'single' ]]> <!-- -->", "a & b \"quoted\" 'single' ]]> <!-- -->"),
        ("bell \x07 and nul \x00 and lone \ud800 surrogate", "bell   and nul   and lone   surrogate"),
        ("W" * 400, "W" * 400),
        ("", "Drawing to scale of :"),
        ("Ünïcode 重い荷 عربى", "Ünïcode 重い荷 عربى"),
    ],
)
def test_title_is_text_whatever_it_holds(title: str, said: str) -> None:
    svg = draw(renamed(scenes.chiller(), title))
    root = ET.fromstring(svg)
    assert not list(root.iter(f"{SVG}script"))
    assert said in "".join(root.itertext())
    svg.encode("utf-8")


def test_same_input_same_bytes() -> None:
    assert draw(scenes.hull()) == draw(scenes.hull())


def test_a_case_that_is_not_there_is_named() -> None:
    with pytest.raises(LookupError, match=r"no case 'renders'; it has stiff, soft"):
        draw_offer(scenes.chiller().lift, scenes.chiller().offer, units=Units.US, case="renders")


def test_bars_are_shares_of_the_rated_load() -> None:
    """Lengths by hand from each sling's own figures: the limit line is one limit from the bars' start."""
    offer = scenes.chiller().offer
    root = ET.fromstring(draw_bars(offer, units=Units.US))
    limit_x = next(float(e.attrib["x1"]) for e in root.iter(f"{SVG}line") if e.attrib["stroke-width"] == "0.5"
                   and e.attrib["x1"] == e.attrib["x2"] and float(e.attrib["x1"]) > 10)  # fmt: skip
    for sling in offer.slings:
        (row,) = (g for g in root.iter(f"{SVG}g") if g.attrib.get("data-sling") == sling.id)
        for kind, figure in (("nominal", sling.part_tension_n), ("worst", sling.design_tension_n)):
            (bar,) = of_class(row, kind)
            whole = limit_x - float(bar.attrib["x"])
            share = figure / sling.part_limit_n
            assert float(bar.attrib["width"]) == pytest.approx(share * whole, abs=0.01)
        assert f"({-(-sling.design_tension_n * 100 // sling.part_limit_n):.0f} %)" in "".join(row.itertext())
    assert "chance" not in "".join(root.itertext()).lower()


def test_bars_of_a_hitch_that_governs_show_the_hitch() -> None:
    offer = scenes.chiller().offer
    sling = replace(
        offer.slings[0],
        hitch_load_n=20000.0,
        hitch_rated_n=25000.0,
        utilisation=0.8,
        governed_by=replace(offer.slings[0].governed_by, check="hitch"),
    )
    root = ET.fromstring(draw_bars(replace(offer, slings=(sling,)), units=Units.SI))
    (row,) = (g for g in root.iter(f"{SVG}g") if "data-limit-n" in g.attrib)
    assert float(row.attrib["data-limit-n"]) == 25000.0
    assert float(row.attrib["data-worst-n"]) == pytest.approx(20000.0)


@given(st.text(max_size=200), st.integers(1, 4))
def test_wrapped_lines_fit(text: str, lines: int) -> None:
    """No line is wider than asked but a single character, and no more lines than asked."""
    wrapped = wrap_text(text, 2.5, 30.0, at_most=lines)
    assert len(wrapped) <= lines
    assert all(text_width_mm(line, 2.5) <= 30.0 or len(line) <= 1 for line in wrapped)
