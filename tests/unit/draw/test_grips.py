"""Grips stand on the drawn pick points, and what a view says of its metres leads back to the load."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from slingwright.desk.pages.sketch import sketch_of, sketch_units
from slingwright.draw import Grip, Sketch, draw_offer, draw_sketch
from slingwright.units import Units
from tests.golden import scenes

SVG = "{http://www.w3.org/2000/svg}"


def layers(svg: str) -> dict[str, ET.Element]:
    return {g.attrib["data-grips"]: g for g in ET.fromstring(svg).iter(f"{SVG}g") if "data-grips" in g.attrib}


def numbers(text: str) -> list[float]:
    return [float(one) for one in text.split()]


def put(layer: ET.Element, at: list[float]) -> list[float]:
    """Where the layer's own words say that a point of the load falls [mm]."""
    origin, metre = numbers(layer.attrib["data-origin-mm"]), numbers(layer.attrib["data-metre-mm"])
    return [origin[i] + sum(at[k] * metre[2 * k + i] for k in range(3)) for i in (0, 1)]


@pytest.mark.parametrize("case", ["stiff", "worst"])
def test_grips_stand_on_the_pick_points_of_the_load_as_it_hangs(case: str) -> None:
    scene = scenes.tilted_chiller()
    case = case if scene.offer.case(case) else "soft"
    svg = draw_offer(scene.lift, scene.offer, units=Units.US, case=case, anchors={})
    marks: dict[str, dict[str, list[float]]] = {}
    for view in (g for g in ET.fromstring(svg).iter(f"{SVG}g") if "data-view" in g.attrib):
        marks[view.attrib["data-view"]] = {
            g.attrib["data-pick"]: [float(g.attrib["data-x-mm"]), float(g.attrib["data-y-mm"])]
            for g in view.iter(f"{SVG}g")
            if "data-pick" in g.attrib
        }
    picks = {p.name: p.at_m for p in scene.lift.load.pick_points}
    found = layers(svg)
    assert set(found) == {"elevation", "end", "plan"}
    for view, layer in found.items():
        grips = {g.attrib["data-name"]: g for g in layer if g.attrib["data-grip"] != "new"}
        assert list(grips) == list(picks)
        for row, (name, grip) in enumerate(grips.items()):
            assert grip.attrib["data-grip"] == str(row)
            at = numbers(grip.attrib["data-at-m"])
            assert at == pytest.approx(picks[name], abs=1e-6)
            drawn = numbers(grip.attrib["transform"].removeprefix("translate(").removesuffix(")"))
            assert drawn == pytest.approx(marks[view][name], abs=2e-3)
            assert put(layer, at) == pytest.approx(marks[view][name], abs=2e-2)


def test_a_paper_has_no_grips_and_no_links() -> None:
    scene = scenes.chiller()
    svg = draw_offer(scene.lift, scene.offer, units=Units.US)
    assert not layers(svg)
    assert "<a " not in svg


def test_the_sketch_is_to_one_scale_and_holds_every_point() -> None:
    picks = [Grip(row=0, name="A", at_m=(-0.2, 0.3, 1.0)), Grip(row=2, name="<b>", at_m=(4.0, 0.3, 1.0))]
    svg = draw_sketch(Sketch(size_m=(4.0, 1.5, 1.0), picks=picks), units=Units.SI)
    root = ET.fromstring(svg)
    wide, high = numbers(root.attrib["viewBox"])[2:]
    metres = set()
    for layer in layers(svg).values():
        metre = numbers(layer.attrib["data-metre-mm"])
        metres |= {round(abs(v), 3) for v in metre if v}
        for grip in layer:
            x, y = put(layer, numbers(grip.attrib["data-at-m"]))
            assert 0 < x < wide
            assert 0 < y < high
    assert len(metres) == 1, "one scale, level"
    assert {text.text for text in root.iter(f"{SVG}text")} >= {"A", "<b>", "4 m", "1.5 m", "1 m"}


TYPED = {"load.length": "9 ft", "load.width": "5 ft", "load.height": "6 ft 4 in", "load.shape": "box"}
ROW = {"name": "A", "at.0": "6 in", "at.1": "6 in", "at.2": "6 ft 4 in"}


def test_the_sketch_leaves_out_what_cannot_be_read_and_guesses_nothing() -> None:
    rows = [ROW, ROW | {"name": "B", "at.0": "far"}, ROW | {"name": "C", "at.2": ""}]
    typed = TYPED | {"load.weight": "4 elephants", "load.centre_of_gravity": "unknown"}
    svg = sketch_of(typed, rows, Units.US, "en")
    assert svg is not None
    named = [g.attrib["data-name"] for g in layers(svg)["plan"] if g.attrib["data-grip"] != "new"]
    assert named == ["A"]
    assert sketch_of(typed | {"load.height": ""}, rows, Units.US, "en") is None
    assert sketch_of(typed | {"load.height": "tall"}, rows, Units.US, "en") is None


def test_a_round_load_is_as_wide_and_high_as_its_diameter() -> None:
    typed = {"load.length": "12 m", "load.diameter": "600 mm", "load.shape": "cylinder"}
    svg = sketch_of(typed, [], sketch_units(typed, None), "en")
    assert svg is not None
    texts = [text.text for text in ET.fromstring(svg).iter(f"{SVG}text")]
    assert texts.count("600 mm") == 2
    assert sketch_units(TYPED, None) is Units.US
    assert sketch_units(TYPED, "si") is Units.SI
