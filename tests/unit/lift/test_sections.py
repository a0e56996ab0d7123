"""Cross-sections: convex, anticlockwise, and of the shape the load has; scipy is the judge of hulls."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy.spatial import ConvexHull

from slingwright.errors import InputFault
from slingwright.lift.model import Load, Section
from slingwright.lift.sections import convex_hull
from tests.lifts import read_document, smallest_document

FT = 0.3048


def load_of(**keys: Any) -> Load:
    doc = smallest_document()
    doc["load"] |= keys
    return read_document(doc).load


def area_of(section: Section) -> float:
    """Shoelace area, above zero where the points run anticlockwise."""
    points = np.array(section.points_m)
    following = np.roll(points, -1, axis=0)
    return float((points[:, 0] * following[:, 1] - following[:, 0] * points[:, 1]).sum() / 2)


def test_box_and_frame_are_rectangles() -> None:
    for shape in ("box", "frame"):
        (section,) = load_of(shape=shape).sections
        assert area_of(section) == pytest.approx(12 * FT**2)
        assert section.radius_m is None


def test_cylinder_is_round_and_lies_on_the_floor() -> None:
    load = load_of(shape="cylinder", width=None, height=None, diameter="2 ft")
    (section,) = load.sections
    assert section.radius_m == pytest.approx(FT)
    assert section.centre_yz_m == pytest.approx((FT, FT))
    assert (load.width_m, load.height_m, load.diameter_m) == pytest.approx((2 * FT, 2 * FT, 2 * FT))
    assert all(np.hypot(y - FT, z - FT) == pytest.approx(FT) for y, z in section.points_m)
    assert area_of(section) > 0


def test_bundle_is_round_with_a_diameter_and_square_without() -> None:
    assert load_of(shape="bundle", width=None, height=None, diameter="2 ft").sections[0].radius_m is not None
    assert load_of(shape="bundle").sections[0].radius_m is None


def test_own_hull_narrows_to_keel_and_ends_and_is_convex() -> None:
    load = load_of(shape="hull")
    assert load.sections_assumed
    for section in load.sections:
        assert convex_hull(section.points_m) == tuple(_from_lowest(section.points_m))
        assert all(0 <= y <= 4 * FT + 1e-9 and 0 <= z <= 3 * FT + 1e-9 for y, z in section.points_m)
        assert area_of(section) > 0
    assert area_of(load.sections[-1]) < area_of(load.section_at(3 * FT)) / 3


def _from_lowest(points: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    first = points.index(min(points))
    return [*points[first:], *points[:first]]


def test_given_stations_are_bridged_over_their_hollows() -> None:
    """A V with a notch in its top: the notch is bridged, its area by hand 1/2 · 4 · 3 ft²."""
    points = [["0 in", "3 ft"], ["2 ft", "0 in"], ["4 ft", "3 ft"], ["2 ft", "2 ft"]]
    stations = [{"x": "1 ft", "points": points}, {"x": "5 ft", "points": points[:3]}]
    load = load_of(shape="hull", section=stations)
    assert not load.sections_assumed
    assert [section.x_m for section in load.sections] == pytest.approx([FT, 5 * FT])
    assert [area_of(section) for section in load.sections] == pytest.approx([6 * FT**2] * 2)


@pytest.mark.parametrize(
    ("stations", "field"),
    [
        ([{"x": "9 ft", "points": [["0 in", "0 in"], ["1 ft", "0 in"], ["1 ft", "1 ft"]]}],
         "load.section[0].x"),
        ([{"x": "1 ft", "points": [["0 in", "0 in"], ["9 ft", "0 in"], ["1 ft", "1 ft"]]}],
         "load.section[0].points[1]"),
        ([{"x": "1 ft", "points": [["0 in", "0 in"], ["1 ft", "0 in"], ["2 ft", "0 in"]]}],
         "load.section[0].points"),
        ([{"x": "1 ft", "points": [["0 in", "0 in"], ["1 ft", "0 in"]]}], "load.section[0].points"),
        ([{"points": [["0 in", "0 in"], ["1 ft", "0 in"], ["1 ft", "1 ft"]]}], "load.section[0].x"),
        ([{"x": "2 ft", "points": [["0 in", "0 in"], ["1 ft", "0 in"], ["1 ft", "1 ft"]]}] * 2,
         "load.section"),
    ],
)  # fmt: skip
def test_a_wrong_station_is_named(stations: list[Any], field: str) -> None:
    with pytest.raises(InputFault) as caught:
        load_of(shape="hull", section=stations)
    assert field in [fault.field for fault in caught.value.faults]


def test_hull_equals_scipys() -> None:
    """General library: scipy.spatial.ConvexHull, 200 random clouds."""
    rng = np.random.default_rng(3)
    for _ in range(200):
        cloud = rng.normal(size=(int(rng.integers(4, 60)), 2))
        theirs = {tuple(point) for point in cloud[ConvexHull(cloud).vertices]}
        assert set(convex_hull([(float(y), float(z)) for y, z in cloud])) == theirs


def test_hull_of_points_in_a_line_is_its_ends() -> None:
    assert len(convex_hull([(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)])) == 2
