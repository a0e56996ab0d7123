"""The drawing is the solved pose: hooks, picks, leg ends and centre read back to half a millimetre on paper.

The reader below knows the SVG's attributes and nothing of `slingwright.draw`; where a point should be is
figured from the case's problem and result by the contract's own words (world = origin + rotation · own).
"""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET

import pytest

from slingwright.choose.offer import Case
from slingwright.draw import draw_offer
from slingwright.units import Units
from tests.golden import scenes
from tests.golden.building import Scene

SVG = "{http://www.w3.org/2000/svg}"
HALF_MM = 0.5  # issue 2: "to half a millimetre on paper"
AXES = {"elevation": (0, 2), "end": (1, 2), "plan": (0, 1)}  # which of x, y, z run right and up
NAMES = sorted(scenes.ALL)


def read_views(svg: str) -> dict[str, ET.Element]:
    return {g.attrib["data-view"]: g for g in ET.fromstring(svg).iter(f"{SVG}g") if "data-view" in g.attrib}


def of_class(group: ET.Element, name: str) -> list[ET.Element]:
    return [e for e in group.iter() if name in e.attrib.get("class", "").split()]


def to_metres(group: ET.Element, x_mm: float, y_mm: float) -> tuple[float, float]:
    """Paper back to the world, by the group's own scale and origin."""
    scale = float(group.attrib["data-mm-per-m"])
    return (
        (x_mm - float(group.attrib["data-origin-x-mm"])) / scale,
        (float(group.attrib["data-origin-y-mm"]) - y_mm) / scale,
    )


def in_world(case: Case, on: str, at: tuple[float, float, float]) -> tuple[float, ...]:
    if on == "world":
        return at
    pose = next(b for b in case.result.bodies if b.name == on)
    return tuple(
        o + sum(r * v for r, v in zip(row, at, strict=True))
        for o, row in zip(pose.origin_m, pose.rotation, strict=True)
    )


def free_parts(case: Case) -> dict[tuple[str, int], tuple[tuple[float, ...], tuple[float, ...]]]:
    """Each free straight part of each path: its upper and lower end in the world."""
    parts = {}
    for path in case.problem.paths:
        number = 0
        for a, b in zip(path.points, path.points[1:], strict=False):
            if a.on != b.on:
                ends = in_world(case, a.on, a.at_m), in_world(case, b.on, b.at_m)
                parts[path.name, number] = tuple(sorted(ends, key=lambda p: -p[2]))
                number += 1
    return parts


def draw(scene: Scene, case: str = "stiff", **more: object) -> str:
    return draw_offer(scene.lift, scene.offer, units=Units(scene.lift.units), case=case, **more)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("case", ["stiff", "soft"])
def test_leg_ends_stand_where_the_load_hangs(name: str, case: str) -> None:
    scene = scenes.ALL[name]()
    solved = scene.offer.case(case)
    for view, group in read_views(draw(scene, case)).items():
        tolerance_m = HALF_MM / float(group.attrib["data-mm-per-m"])
        drawn = {}
        for leg in of_class(group, "leg"):
            x1, y1, x2, y2 = (float(leg.attrib[k]) for k in ("x1", "y1", "x2", "y2"))
            drawn[leg.attrib["data-path"], int(leg.attrib["data-part"])] = (x1, y1), (x2, y2)
        expected = free_parts(solved)
        assert drawn.keys() == expected.keys()
        right, up = AXES[view]
        for key, ends in expected.items():
            for end, at in zip(ends, drawn[key], strict=True):
                assert to_metres(group, *at) == pytest.approx((end[right], end[up]), abs=tolerance_m)


@pytest.mark.parametrize("name", NAMES)
def test_hooks_picks_and_centre_stand_where_they_hang(name: str) -> None:
    scene = scenes.ALL[name]()
    case = scene.offer.case("stiff")
    hooks = {p.at_m for path in case.problem.paths for p in path.points if p.on == "world"}
    held = [h for h in scene.offer.arrangement.holdings if h.pick is not None]
    load = next(b for b in case.problem.bodies if b.name == "load")
    expected = {
        "hook": [tuple(h) for h in hooks],
        "pick": [in_world(case, "load", h.lower_m) for h in held],
        "centre": [in_world(case, "load", load.centre_of_gravity_m)],
    }
    for view, group in read_views(draw(scene)).items():
        tolerance_m = HALF_MM / float(group.attrib["data-mm-per-m"])
        right, up = AXES[view]
        for kind, points in expected.items():
            drawn = [
                to_metres(group, float(e.attrib["data-x-mm"]), float(e.attrib["data-y-mm"]))
                for e in of_class(group, kind)
            ]
            assert len(drawn) == len(points)
            for point in points:
                wanted = point[right], point[up]
                assert min(math.dist(wanted, d) for d in drawn) <= tolerance_m


@pytest.mark.parametrize("name", NAMES)
def test_all_views_have_the_scale_they_say(name: str) -> None:
    root = ET.fromstring(draw(scenes.ALL[name]()))
    one_to = float(root.attrib["data-one-to"])
    for group in (g for g in root.iter(f"{SVG}g") if "data-view" in g.attrib):
        assert float(group.attrib["data-mm-per-m"]) == pytest.approx(1000 / one_to, rel=1e-6)
    (bar,) = (g for g in root.iter(f"{SVG}g") if g.attrib.get("class") == "scale-bar")
    step_m, step_mm = float(bar.attrib["data-step-m"]), float(bar.attrib["data-step-mm"])
    assert step_mm == pytest.approx(step_m * 1000 / one_to, abs=1e-3)
    box = [float(v) for v in root.attrib["viewBox"].split()]
    assert root.attrib["width"] == f"{box[2]:g}mm"  # one user unit is one millimetre
    assert f"1:{one_to:g} at 180 mm wide" in "".join(root.itertext())


def test_webbing_round_a_pipe_lies_on_its_circle() -> None:
    """In the end view every bit of the wrap is a radius from the pipe's axis, and goes under it."""
    scene = scenes.pipe()
    case = scene.offer.case("stiff")
    group = read_views(draw(scene))["end"]
    axis = in_world(case, "load", (0.0, 0.305, 0.305))
    bits = [
        e
        for e in group.iter(f"{SVG}line")
        if "data-sling" in e.attrib and "leg" not in e.attrib.get("class", "")
    ]
    ends = [
        to_metres(group, float(e.attrib[f"x{i}"]), float(e.attrib[f"y{i}"])) for e in bits for i in (1, 2)
    ]
    assert len(ends) > 20
    for end in ends:
        assert math.dist(end, (axis[1], axis[2])) == pytest.approx(0.305, abs=2e-3)
    assert min(e[1] for e in ends) == pytest.approx(axis[2] - 0.305, abs=2e-3)


def test_choker_goes_all_the_way_round() -> None:
    scene = scenes.bundle()
    group = read_views(draw(scene))["end"]
    bits = [
        e
        for e in group.iter(f"{SVG}line")
        if e.attrib.get("data-sling") == "A" and "leg" not in e.attrib.get("class", "")
    ]
    long_mm = sum(
        math.dist(
            (float(e.attrib["x1"]), float(e.attrib["y1"])), (float(e.attrib["x2"]), float(e.attrib["y2"]))
        )
        for e in bits
    )
    around_m = 2 * (0.5 + 0.4)  # the bundle's own section
    assert long_mm / float(group.attrib["data-mm-per-m"]) == pytest.approx(around_m, abs=1e-3)


@pytest.mark.parametrize("name", ["block", "bundle"])
def test_every_turn_over_an_edge_is_marked_protected(name: str) -> None:
    """Two baskets round a box, two chokers round a bundle of four corners."""
    for group in read_views(draw(scenes.ALL[name]())).values():
        marks = of_class(group, "protected")
        assert len(marks) == 2 * 4  # two slings, four corners each
        assert {m.attrib["data-sling"] for m in marks} == {"A", "B"}


def test_dimension_of_the_hook_is_the_drawn_height() -> None:
    """Figured here from the pose: the highest hook over the lowest of the chiller's eight corners."""
    scene = scenes.chiller(units="si")
    case = scene.offer.case("stiff")
    corners = [(x, y, z) for x in (0, 2.7) for y in (0, 1.5) for z in (0, 1.95)]
    top = max(p.at_m[2] for path in case.problem.paths for p in path.points if p.on == "world")
    low = min(in_world(case, "load", c)[2] for c in corners)
    text = "".join(ET.fromstring(draw_offer(scene.lift, scene.offer, units=Units.SI)).itertext())
    assert f"{top - low:.3f} m" in text
