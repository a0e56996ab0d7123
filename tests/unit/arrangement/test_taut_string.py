"""The taut string round a section against closed forms and against a walk round the convex hull."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import ConvexHull

from slingwright.arrangement.section import perimeter, taut_string, top_of
from slingwright.lift.model import Section
from slingwright.lift.sections import box_section, convex_hull, round_section


def length_of(section: Section, hook: tuple[float, float]) -> float:
    """The whole closed string: both free sides and what lies on the load."""
    string = taut_string(section, hook)
    free = math.dist(hook, string.turns_m[0]) + math.dist(hook, string.turns_m[-1])
    return free + string.lies_m


def test_off_a_box_it_leaves_at_the_top_corners_and_turns_four_times() -> None:
    """A box 1 m by 1.2 m, hook 2.2 m over its top middle (CONTRACT's basket): 3.4 m lie, four contacts."""
    string = taut_string(box_section(0.0, 1.0, 1.2), (0.5, 3.4))
    assert string.turns_m == ((0.0, 1.2), (0.0, 0.0), (1.0, 0.0), (1.0, 1.2))
    assert string.lies_m == pytest.approx(3.4, abs=1e-12)
    lean = math.atan2(0.5, 2.2)  # each side stands so far from the upright
    assert string.contact_rad == pytest.approx(math.pi + 2 * lean, abs=1e-12)


def test_beside_a_box_it_still_goes_round_underneath() -> None:
    """Hook low and to the left: it leaves at the bottom left corner and comes back over the top left one."""
    string = taut_string(box_section(0.0, 1.0, 1.0), (-1.0, 0.5))
    assert string.turns_m == ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    assert string.lies_m == pytest.approx(3.0)


@given(st.floats(0.05, 3), st.floats(0.02, 6), st.floats(-0.6, 0.6))
def test_off_a_circle_it_is_the_belt_round_one_pulley_and_a_point(
    r: float, over: float, aside: float
) -> None:
    """Closed form: 2 sqrt(d² - r²) + r (2 pi - 2 acos(r / d)); textbook geometry, from memory."""
    section = round_section(0.0, 2 * r, drawn_points=24)
    hook = (r + aside * r, r + math.sqrt(max((r + over) ** 2 - (aside * r) ** 2, 0.0)))
    far = math.dist(hook, (r, r))
    string = taut_string(section, hook)
    wrap = 2 * math.pi - 2 * math.acos(r / far)
    assert string.lies_m == pytest.approx(r * wrap, rel=1e-12)
    assert string.contact_rad == pytest.approx(wrap, rel=1e-12)
    assert length_of(section, hook) == pytest.approx(2 * math.sqrt(far**2 - r**2) + r * wrap, rel=1e-9)
    for end in (string.turns_m[0], string.turns_m[-1]):  # it leaves along the tangent
        along, spoke = np.subtract(hook, end), np.subtract(end, (r, r))
        assert abs(float(along @ spoke)) <= 1e-9 * far * r + 1e-12
    assert string.turns_m[0][0] < string.turns_m[-1][0]
    assert perimeter(section) == pytest.approx(2 * math.pi * r)


@given(
    st.lists(st.tuples(st.integers(-40, 40), st.integers(0, 60)), min_size=3, max_size=12, unique=True),
    st.integers(-50, 50),
    st.integers(70, 200),
)
def test_round_any_convex_section_it_is_the_hull_of_section_and_hook(
    points: list[tuple[int, int]], hook_y: int, hook_z: int
) -> None:
    """A string drawn tight round section and hook is the outline of their common convex hull (scipy's)."""
    ring = convex_hull([(y / 10, z / 10) for y, z in points])
    if len(ring) < 3:
        return
    hook = (hook_y / 10, hook_z / 10)
    section = Section(x_m=0.0, points_m=ring)
    hull = ConvexHull(np.array([*ring, hook]))
    assert length_of(section, hook) == pytest.approx(hull.area, rel=1e-9)  # in two dimensions: its outline
    string = taut_string(section, hook)
    assert string.contact_rad >= math.pi - 1e-9  # with the turn at the hook it makes a whole one
    assert all(turn in ring for turn in string.turns_m)


def test_a_circle_is_the_limit_of_polygons() -> None:
    """Inscribed polygons come near the circle's string from below."""
    hook, circle = (0.5, 2.0), round_section(0.0, 1.0, drawn_points=8)
    right = length_of(circle, hook)
    short = [
        length_of(Section(x_m=0.0, points_m=round_section(0.0, 1.0, drawn_points=n).points_m), hook)
        for n in (16, 64, 256)
    ]
    assert short == sorted(short)
    assert short[-1] < right
    assert right - short[-1] < 2e-4


@pytest.mark.parametrize("section", [box_section(0.0, 1.0, 1.0), round_section(0.0, 1.0, drawn_points=8)])
def test_a_hook_inside_the_load_is_no_hook(section: Section) -> None:
    with pytest.raises(ValueError, match="inside"):
        taut_string(section, (0.5, 0.6))


def test_the_top_of_a_section_is_its_upper_surface() -> None:
    roof = Section(x_m=0.0, points_m=((0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (1.0, 1.5), (0.0, 1.0)))
    assert top_of(roof, 1.0) == pytest.approx(1.5)
    assert top_of(roof, 0.5) == pytest.approx(1.25)
    assert top_of(roof, -9.0) == pytest.approx(1.0)  # clamped to its breadth
    assert top_of(round_section(0.0, 2.0, drawn_points=8), 1.6) == pytest.approx(1.0 + 0.8)
