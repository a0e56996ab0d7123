"""Worked statics problems of open teaching pages (X1 to X6, T5b), through the hang and the leg rule.

The legs of these pages do not stretch: stiff legs stand for them (strain 1e-4 at 1 MN).
"""

from __future__ import annotations

import math

import pytest

from slingwright.hang.problem import Body, Path, Point, Problem
from slingwright.hang.result import Hang, Status
from slingwright.hang.solve import solve
from slingwright.rulebook import Rulebook

LB_N = 4.4482216152605
FT = 0.3048
INCH = 0.0254
Vector = tuple[float, float, float]


def leg(name: str, hook: Vector, pick: Vector) -> Path:
    """A stiff leg of just the length it spans."""
    points = (Point("world", hook), Point("load", pick))
    return Path(name=name, points=points, length_m=math.dist(hook, pick), rated_n=1e6, strain_at_rated=1e-4)


def hang(weight_n: float, centre: Vector, legs: tuple[Path, ...]) -> Hang:
    body = Body(name="load", weight_n=weight_n, centre_of_gravity_m=centre)
    answer = solve(Problem(bodies=(body,), paths=legs))
    assert answer.status is Status.STABLE
    return answer


def tensions(answer: Hang) -> list[float]:
    return [path.tension_n for path in answer.paths]


def test_we17_two_cables(us: Rulebook) -> None:
    """400 kg, two cables 40 deg each side of the VERTICAL, g 9.8: 2,558 N (X1)."""
    weight_n = 400 * 9.8
    hook, reach = (0.0, 0.0, 1.0), math.tan(math.radians(40))
    legs = tuple(leg(n, hook, (s * reach, 0.0, 0.0)) for n, s in (("A", -1), ("B", 1)))
    assert tensions(hang(weight_n, (0.0, 0.0, -0.5), legs)) == pytest.approx([2558, 2558], abs=1)
    assert us.leg_floor(2, weight_n, 50.0).value == pytest.approx(2558, abs=1)


def test_we18_least_angle_of_a_cable_limit(us: Rulebook) -> None:
    """500 kg, symmetric, g 9.81, cables of 3.5 kN: least angle 44.48 deg from the horizontal (X2)."""
    weight_n = 500 * 9.81
    at, below = us.leg_floor(2, weight_n, 44.494), us.leg_floor(2, weight_n, 44.474)
    assert at.value < 3500 < below.value
    hook, reach = (0.0, 0.0, 1.0), 1 / math.tan(math.radians(44.484))
    legs = tuple(leg(n, hook, (s * reach, 0.0, 0.0)) for n, s in (("A", -1), ("B", 1)))
    assert tensions(hang(weight_n, (0.0, 0.0, -0.5), legs)) == pytest.approx([3500, 3500], abs=1)


def test_we19_pipe_with_its_centre_off(us: Rulebook) -> None:
    """820 kg, 4.7 m, centre 1.45 m from one end, sling 5.6 m end to end, level (X3).

    Printed 44.8 and 23.9 deg, 7.88 and 6.12 kN. One sling free to slide could not have two tensions: it is
    two fixed legs of 2.0446 and 3.5554 m. The picks sit a little above the centre, or the pipe may roll.
    """
    hook = (1.45, 0.0, 1.4415)
    legs = (leg("short", hook, (0.0, 0.0, 0.0)), leg("long", hook, (4.7, 0.0, 0.0)))
    assert [path.length_m for path in legs] == pytest.approx([2.0446, 3.5554], abs=5e-4)
    answer = hang(820 * 9.81, (1.45, 0.0, -0.05), legs)
    assert tensions(answer) == pytest.approx([7880, 6120], abs=10)
    assert [p.angle_from_horizontal_deg for p in answer.paths] == pytest.approx([44.8, 23.9], abs=0.1)
    assert answer.tilt_deg == pytest.approx(0, abs=0.05)
    # the symmetric rule at the flattest leg is the larger, as a floor for both
    assert us.leg_floor(2, 820 * 9.81, 23.92).value > max(tensions(answer))


def test_we20_vertical_picks_off_centre() -> None:
    """10,000 lb, picks 8 and 2 ft from the centre: 2,000 and 8,000 lb (T5b)."""
    legs = tuple(leg(n, (x * FT, 0.0, 3.0), (x * FT, 0.0, 0.0)) for n, x in (("far", -8), ("near", 2)))
    found = tensions(hang(10_000 * LB_N, (0.0, 0.0, -0.5), legs))
    assert [t / LB_N for t in found] == pytest.approx([2000, 8000], abs=1)


@pytest.mark.parametrize(("shift_ft", "share_lb"), [(0.0, 6000), (0.5, 6500)])
def test_we21_two_cranes(shift_ft: float, share_lb: float) -> None:
    """Lugs 10 ft apart, one share 6,000 lb; the centre moves 6 in towards it: 6,500 lb, 8.3 % more (X4)."""
    legs = tuple(leg(n, (x * FT, 0.0, 3.0), (x * FT, 0.0, 0.0)) for n, x in (("A", 0), ("B", 10)))
    centre = ((6.0 + shift_ft) * FT, 0.0, -0.5)
    found = tensions(hang(10_000 * LB_N, centre, legs))
    assert found[1] / LB_N == pytest.approx(share_lb, abs=1)


def test_we22_four_legs_alike(us: Rulebook) -> None:
    """9,740 kg, g 9.8, half plan 165.2 x 60.25 in, 230 in high: 52.6 deg, 30,038.2 N each (X5)."""
    weight_n = 9740 * 9.8
    hook = (0.0, 0.0, 230 * INCH)
    corners = (("A", 1, 1), ("B", -1, 1), ("C", -1, -1), ("D", 1, -1))
    legs = tuple(leg(n, hook, (x * 165.2 * INCH, y * 60.25 * INCH, 0.0)) for n, x, y in corners)
    answer = hang(weight_n, (0.0, 0.0, -1.0), legs)
    assert tensions(answer) == pytest.approx([30_038.2] * 4, abs=1)
    angles = [path.angle_from_horizontal_deg for path in answer.paths]
    assert angles == pytest.approx([52.6] * 4, abs=0.01)
    # the rule does not trust four alike: three count, or two where that is chosen (60,076.4 N, derived)
    assert us.leg_floor(4, weight_n, angles[0]).value == pytest.approx(30_038.2 * 4 / 3, abs=1)
    two = us.leg_floor(4, weight_n, angles[0], two_legs_carry_all=True)
    assert two.value == pytest.approx(60_076.4, abs=1.5)


def test_we23_three_legs() -> None:
    """Hook (0.5, 0.4, 2), picks (0.1, 0, 0) (0.8, 0.3, 0) (0.1, 0.7, 0), centre under the hook (X6).

    Printed lengths 2.08, 2.02, 2.06 m; tensions for 1,000 N derived: 106.0, 578.5, 336.6 N.
    """
    hook = (0.5, 0.4, 2.0)
    picks = ((0.1, 0.0, 0.0), (0.8, 0.3, 0.0), (0.1, 0.7, 0.0))
    legs = tuple(leg(name, hook, pick) for name, pick in zip("ABC", picks, strict=True))
    assert [path.length_m for path in legs] == pytest.approx([2.08, 2.02, 2.06], abs=0.01)
    found = tensions(hang(1000.0, (0.5, 0.4, -0.5), legs))
    assert found == pytest.approx([106.0, 578.5, 336.6], abs=0.1)
    assert sum(found) > 1000
