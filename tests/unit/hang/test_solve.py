"""Closed forms, the margins, the verdicts."""

import copy
import json
import math
from dataclasses import replace
from pathlib import Path as File

import pytest

from slingwright.hang.document import problem_from_document
from slingwright.hang.problem import Body, Path, Point, Problem
from slingwright.hang.solve import solve

DATA = File(__file__).parents[2] / "data" / "hang"
EXAMPLES = {e["name"]: e["problem"] for e in json.loads((DATA / "contract.json").read_text())}
CASES = {c["id"]: c["problem"] for c in json.loads((DATA / "cases.json").read_text())["cases"]}


def ring(legs, centre_z, strain=0.03, rated=1e5, weight=2e5, radius=1.5, length=3.0):
    """`legs` equal legs from one hook to a level ring about the load's own z axis."""
    paths = []
    for i in range(legs):
        a = 2 * math.pi * i / legs
        pick = (radius * math.cos(a), radius * math.sin(a), 0.0)
        paths.append(
            Path(
                name=str(i), points=(Point("world", (0.0, 0.0, 9.0)), Point("load", pick)), length_m=length,
                rated_n=rated, strain_at_rated=strain,
            )
        )  # fmt: skip
    body = Body(name="load", weight_n=weight, centre_of_gravity_m=(0.0, 0.0, centre_z))
    return Problem(bodies=(body,), paths=tuple(paths))


def ring_pull(legs, strain=0.03, rated=1e5, weight=2e5, radius=1.5, length=3.0):
    """(tension, stretched length, stiffness): by bisection on N k (d - L) sqrt(d^2 - a^2) / d = W."""
    k = rated / (strain * length)
    low, high = length, 3 * length
    for _ in range(200):
        d = 0.5 * (low + high)
        if legs * k * (d - length) * math.sqrt(d * d - radius * radius) / d < weight:
            low = d
        else:
            high = d
    return k * (d - length), d, k


def critical(legs, **more):
    """Plumb length below which the ring capsizes: its Hessian's level entry by hand (cases/hang, own study).

    N [k c^2/2 + (T/d)(1 - c^2/2)] = W / rho, c the cosine of the legs above the horizontal.
    """
    pull, d, k = ring_pull(legs, **more)
    c2 = (more.get("radius", 1.5) / d) ** 2
    return more.get("weight", 2e5) / (legs * (k * c2 / 2 + pull / d * (1 - c2 / 2)))


@pytest.mark.parametrize("legs", [3, 4, 6])
@pytest.mark.parametrize("strain", [0.03, 0.08])
def test_ring_has_the_closed_forms_tension_and_plumb_length(legs, strain):
    pull, d, _ = ring_pull(legs, strain=strain)
    hang = solve(ring(legs, -0.4, strain))
    assert [p.tension_n for p in hang.paths] == pytest.approx([pull] * legs, rel=1e-9)
    assert hang.hook_above_cg_m == pytest.approx(math.sqrt(d * d - 1.5**2) + 0.4, rel=1e-9)
    assert hang.tilt_deg == pytest.approx(0.0, abs=1e-7)
    assert hang.determinate is (legs == 3)
    assert hang.null_modes == ("yaw",)


@pytest.mark.parametrize("legs", [3, 4, 5])
@pytest.mark.parametrize("strain", [0.03, 0.08])
@pytest.mark.parametrize("offset", [1e-5, 1e-3, 0.1])
def test_status_turns_at_the_critical_height(legs, strain, offset):
    """Just below it hangs, just above it capsizes; the margin says by how much."""
    _, d, _ = ring_pull(legs, strain=strain)
    limit = math.sqrt(d * d - 1.5**2) - critical(legs, strain=strain)  # centre's height above the picks
    below, above = solve(ring(legs, limit - offset, strain)), solve(ring(legs, limit + offset, strain))
    assert (below.status, above.status) == ("stable", "capsizes")
    assert below.stability.centre_may_rise_m == pytest.approx(offset, rel=1e-4)
    assert above.stability.centre_may_rise_m == pytest.approx(-offset, rel=1e-4)
    assert above.stability.push_deg is None
    assert [p.tension_n for p in above.paths] == pytest.approx([p.tension_n for p in below.paths], rel=1e-8)


def test_equal_tensions_but_one_fibre_capsizes():
    """A tall load between the two fibres' critical heights: polyester holds it, nylon does not."""
    heights = {}
    for strain in (0.03, 0.08):
        _, d, _ = ring_pull(4, strain=strain)
        heights[strain] = math.sqrt(d * d - 1.5**2) - critical(4, strain=strain)
    between = 0.5 * sum(heights.values())
    polyester, nylon = solve(ring(4, between, 0.03)), solve(ring(4, between, 0.08))
    assert (polyester.status, nylon.status) == ("stable", "capsizes")
    assert nylon.paths[0].tension_n == pytest.approx(polyester.paths[0].tension_n, rel=0.02)


def test_an_off_centre_tall_load_is_no_upside_down_answer():
    problem = ring(4, 1.2, 0.08)
    heights = [(0.0, "capsizes"), (0.02, "capsizes")]
    for x, status in heights:
        body = replace(problem.bodies[0], centre_of_gravity_m=(x, 0.0, 2.0))
        hang = solve(replace(problem, bodies=(body,)))
        assert hang.status == status
        assert hang.tilt_deg < 30.0


def test_a_tall_load_can_be_pushed_less_than_a_low_one():
    low, tall = solve(ring(4, 0.0)), solve(ring(4, 1.4))
    assert low.status == tall.status == "stable"
    assert low.stability.push_deg is None or low.stability.push_deg > tall.stability.push_deg
    assert 0.0 < tall.stability.push_deg < 60.0


def test_push_of_a_pendulum_is_unbounded_within_a_right_angle():
    """One leg, centre under the pick: pushed to any angle below the horizontal it swings back."""
    hang = solve(problem_from_document(CASES["C01"]))
    assert hang.stability.push_deg is None
    assert hang.stability.centre_may_rise_m == pytest.approx(1.0, abs=1e-9)  # up to the pick itself


@pytest.mark.parametrize("name", ["beam", "basket, renders", "two hooks"])
def test_margins_of_the_general_search(name):
    """The centre raised by a little less than its margin still hangs, by a little more it does not."""
    problem = problem_from_document(EXAMPLES[name])
    hang = solve(problem)
    rise = hang.stability.centre_may_rise_m
    load = problem.bodies[0]
    pose = next(b for b in hang.bodies if b.name == "load")
    up = pose.rotation[2]  # the vertical in the load's own axes
    for share, status in ((0.99, "stable"), (1.01, "capsizes")):
        centre = tuple(c + share * rise * u for c, u in zip(load.centre_of_gravity_m, up, strict=True))
        bodies = (replace(load, centre_of_gravity_m=centre), *problem.bodies[1:])
        raised = solve(replace(problem, bodies=bodies))
        assert raised.status == status
        assert [p.tension_n for p in raised.paths] == pytest.approx(
            [p.tension_n for p in hang.paths], rel=1e-5
        )


def test_reach_margin_of_one_hook():
    """Four legs of 2.0 m to picks 2.236 m off centre miss by 0.236 m; ample ones come down to the picks."""
    short = solve(problem_from_document(CASES["C40"]))
    assert short.status == "unreachable"
    assert short.reach_margin_m == pytest.approx(2.0 - math.sqrt(5.0), abs=1e-7)
    assert short.stability.centre_may_rise_m is None
    ample = solve(ring(4, -0.4))
    assert ample.reach_margin_m == pytest.approx(3.0 - 1.5, abs=1e-7)


def test_reach_turns_where_the_legs_just_meet():
    for length, status in ((1.5 * (1 + 1e-5), "stable"), (1.5 * (1 - 1e-5), "unreachable")):
        hang = solve(ring(4, -0.4, length=length))
        assert hang.status == status
        assert hang.reach_margin_m == pytest.approx(length - 1.5, abs=1e-7)


@pytest.mark.parametrize("name", EXAMPLES)
def test_supports_carry_the_weight_and_stretch_follows_the_tension(name):
    problem = problem_from_document(EXAMPLES[name])
    hang = solve(problem)
    weight = sum(b.weight_n for b in problem.bodies)
    total = [sum(s.force_n[i] for s in hang.supports) for i in range(3)]
    assert total == pytest.approx([0.0, 0.0, -weight], abs=1e-8 * weight)
    for path, answer in zip(problem.paths, hang.paths, strict=True):
        elastic = path.length_m if path.elastic_m is None else path.elastic_m
        strain = answer.stretch_m / elastic
        assert answer.tension_n == pytest.approx(path.rated_n * strain / path.strain_at_rated, rel=1e-9)
    assert hang.residual < 1e-9


@pytest.mark.parametrize("name", EXAMPLES)
def test_poses_put_every_path_at_its_stretched_length(name):
    """The printed pose alone gives back the stretch: what an outside reader would rebuild."""
    problem = problem_from_document(EXAMPLES[name])
    hang = solve(problem)
    poses = {b.name: b for b in hang.bodies}

    def at(q):
        if q.on == "world":
            return q.at_m
        pose = poses[q.on]
        rows = zip(pose.origin_m, pose.rotation, strict=True)
        return [o + sum(r * a for r, a in zip(row, q.at_m, strict=True)) for o, row in rows]

    for path, answer in zip(problem.paths, hang.paths, strict=True):
        run = sum(math.dist(at(a), at(b)) for a, b in zip(path.points, path.points[1:], strict=False))
        assert run - path.length_m == pytest.approx(answer.stretch_m, abs=1e-9)


def test_a_round_load_in_free_baskets_rolls_and_is_no_capsize():
    """Radius 0.4 m, hook 3 m over the axis: leaving points are the tangents', the arc below lies on it."""
    r, b, apart = 0.4, 3.0, 1.5
    paths = []
    for i, x in enumerate((-0.5 * apart, 0.5 * apart)):
        high = math.hypot(b, 0.0)
        a = math.acos(r / high)
        leave = [(x, s * r * math.sin(a), r * math.cos(a)) for s in (-1, 1)]
        lies = r * (2 * math.pi - 2 * a)
        hook = (0.0, 0.0, b)
        top = Point("world", hook)
        free = sum(math.dist(hook, q) for q in leave)
        paths.append(
            Path(
                name=str(i), points=(top, *(Point("load", q) for q in leave), top),
                length_m=free + lies - 0.02, lies_m=lies, rated_n=3e4, strain_at_rated=0.03,
            )
        )  # fmt: skip
    body = Body(name="load", weight_n=4e4, centre_of_gravity_m=(0.05, 0.0, 0.0))
    hang = solve(Problem(bodies=(body,), paths=tuple(paths)))
    assert hang.status == "stable"
    assert hang.null_modes == ("yaw", "roll")


def test_a_wide_flat_plate_in_two_free_baskets_capsizes_on_paper():
    """4 x 2 x 0.2 m at 60 degrees (practice page, own study): unstable free, a tall box is not."""

    def box(wide, high, long):
        rise = 0.5 * wide * math.tan(math.radians(60))
        hook = [0.0, 0.0, high + rise]
        paths = []
        for i, x in enumerate((-0.25 * long, 0.25 * long)):
            turns = [[x, -wide / 2, high], [x, -wide / 2, 0.0], [x, wide / 2, 0.0], [x, wide / 2, high]]
            points = [{"on": "world", "at_m": hook}, *({"on": "load", "at_m": t} for t in turns)]
            points.append({"on": "world", "at_m": hook})
            length = 2 * math.dist(hook, turns[0]) + wide + 2 * high
            paths.append(
                {
                    "name": str(i),
                    "points": points,
                    "length_m": length,
                    "rated_n": 3e4,
                    "strain_at_rated": 0.03,
                }
            )
        body = {"name": "load", "weight_n": 3e4, "centre_of_gravity_m": [0.0, 0.0, high / 2]}
        return problem_from_document({"bodies": [body], "paths": paths})

    assert solve(box(2.0, 0.2, 4.0)).status == "capsizes"
    assert solve(box(1.0, 1.5, 4.0)).status == "stable"


def test_angles_of_a_basket_are_given_at_both_ends():
    hang = solve(problem_from_document(EXAMPLES["basket, renders"]))
    for path in hang.paths:
        assert path.lower_angle_from_horizontal_deg == pytest.approx(path.angle_from_horizontal_deg, abs=2.0)
        assert path.lower_angle_from_vertical_deg == pytest.approx(90 - path.lower_angle_from_horizontal_deg)


def test_bodies_in_any_order_and_load_by_name():
    doc = copy.deepcopy(EXAMPLES["beam"])
    straight = solve(problem_from_document(doc))
    doc["bodies"].reverse()
    turned = solve(problem_from_document(doc))
    assert turned.tilt_deg == pytest.approx(straight.tilt_deg, abs=1e-8)
    assert turned.hook_above_cg_m == pytest.approx(straight.hook_above_cg_m, abs=1e-9)
    assert [p.tension_n for p in turned.paths] == pytest.approx(
        [p.tension_n for p in straight.paths], rel=1e-9
    )


def test_a_slack_path_to_another_hook_leaves_the_heading_free():
    """Found by hypothesis: the carrying paths share a hook, the loose one does not; the flow once crept."""
    here, there = (-1.0, -1.0, 2.0), (-1.0, -0.5, 2.0)

    def path(name, hook, pick, length, strain, *more, lies=None):
        points = (Point("world", hook), Point("load", pick), *more)
        return Path(
            name=name, points=points, length_m=length, rated_n=1.0, strain_at_rated=strain, lies_m=lies
        )

    load = Body(name="load", weight_n=1.0, centre_of_gravity_m=(-1.0, -0.5, 1.0))
    paths = (
        path("0", here, (0.5, -1.0, -1.0), 10**0.5, 10**-1.5, Point("world", here), lies=1.0),
        path("1", there, (-1.0, -1.0, -1.0), 1.0, 0.1),
        path("2", here, (-2.0, -1.0, -1.0), 10**-0.5, 0.1),
    )
    hang = solve(Problem(bodies=(load,), paths=paths))
    assert hang.residual < 1e-9
    assert [p.slack for p in hang.paths] == [False, True, False]
    assert hang.null_modes == ("yaw",)


def test_three_legs_almost_in_one_plane_count_as_indeterminate():
    """The middle pick 2 cm out of line: exact rank 3, but made lengths decide who carries."""
    problem = problem_from_document(CASES["C39"])
    middle = problem.paths[1]
    pick = middle.points[1]
    for aside, determinate in ((0.02, False), (1.0, True)):
        moved = Point("load", (pick.at_m[0], pick.at_m[1] + aside, pick.at_m[2]))
        paths = (problem.paths[0], replace(middle, points=(middle.points[0], moved)), problem.paths[2])
        hang = solve(replace(problem, paths=paths))
        assert not any(p.slack for p in hang.paths)
        assert hang.determinate is determinate
