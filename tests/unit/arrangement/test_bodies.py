"""The bridge to the statics: the contract's own examples rebuilt from arrangements, number by number."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest

from slingwright.arrangement import Arrangement, Holding, Round
from slingwright.arrangement.bodies import BodyState, SlingState, build_problem, renders
from slingwright.arrangement.section import perimeter, taut_string
from slingwright.hang.document import problem_to_document
from slingwright.hang.solve import solve
from slingwright.lift.model import Beam
from slingwright.lift.sections import box_section, round_section
from slingwright.sling import Hitch

# the contract's examples with its printed tensions; source in tests/data/SOURCES.md
EXAMPLES = {
    e["name"]: e
    for e in json.loads(
        (Path(__file__).parents[2] / "data" / "hang" / "contract.json").read_text(encoding="utf-8")
    )
}


def bridle() -> tuple[Arrangement, BodyState, tuple[SlingState, ...]]:
    places = {"A": (0.15, 0.15), "B": (2.55, 0.15), "C": (2.55, 1.35), "D": (0.15, 1.35)}
    holdings = tuple(
        Holding(id=name, hitch=Hitch.VERTICAL, pick=name, lower_m=(*xy, 1.95)) for name, xy in places.items()
    )
    arrangement = Arrangement(
        family="bridle-4", placement="picks", holdings=holdings, hooks_xy_m=((1.3, 0.72),)
    )
    return (
        arrangement,
        BodyState(weight_n=52500.0, centre_of_gravity_m=(1.3, 0.72, 0.8)),
        (SlingState(length_m=2.75, rated_n=27579.0, strain_at_rated=0.03),) * 4,
    )


def basket() -> tuple[Arrangement, BodyState, tuple[SlingState, ...]]:
    section = box_section(0.0, 1.0, 1.2)
    holdings = []
    for name, x in (("fore", 0.4), ("aft", 1.6)):
        string = taut_string(section, (0.5, 3.4))
        way = Round(
            x_m=x, turns_m=tuple((x, y, z) for y, z in string.turns_m), lies_m=string.lies_m, loop_m=0.0,
            contact_rad=string.contact_rad, perimeter_m=perimeter(section), radius_m=None, edges=4,
            curved=False,
        )  # fmt: skip
        holdings.append(Holding(id=name, hitch=Hitch.BASKET, round=way))
    arrangement = Arrangement(
        family="basket-2", placement="x", holdings=tuple(holdings), hooks_xy_m=((1.05, 0.5),)
    )
    return (
        arrangement,
        BodyState(weight_n=30000.0, centre_of_gravity_m=(1.05, 0.5, 0.45)),
        (SlingState(length_m=7.9, rated_n=27579.0, strain_at_rated=0.03),) * 2,
    )


def choker() -> tuple[Arrangement, BodyState, tuple[SlingState, ...]]:
    holdings = tuple(
        Holding(
            id=name, hitch=Hitch.CHOKER,
            round=Round(
                x_m=x, turns_m=((x, 0.0, 0.3),), lies_m=0.0, loop_m=1.95, contact_rad=2 * math.pi,
                perimeter_m=1.95, radius_m=0.3, edges=0, curved=True,
            ),
        )
        for name, x in (("west", 2.2), ("east", 6.8))
    )  # fmt: skip
    arrangement = Arrangement(family="choker-2", placement="x", holdings=holdings, hooks_xy_m=((4.5, 0.0),))
    return (
        arrangement,
        BodyState(weight_n=17000.0, centre_of_gravity_m=(4.5, 0.0, 0.0)),
        (SlingState(length_m=7.2, rated_n=13789.5, strain_at_rated=0.03),) * 2,
    )


def beam() -> tuple[Arrangement, BodyState, tuple[SlingState, ...]]:
    spreader = Beam(
        name="b", span_m=3.0, weight_n=3200.0, rated_n=1e5, least_top_angle_deg=45.0, depth_m=0.24
    )
    tops = tuple(
        Holding(id=name, hitch=Hitch.VERTICAL, role="top", hook=0, beam_end=end)
        for end, name in enumerate(("top west", "top east"))
    )
    lows = tuple(
        Holding(id=name, hitch=Hitch.VERTICAL, hook=None, beam_end=end, pick=name, lower_m=(x, 0.5, 1.2))
        for end, (name, x) in enumerate((("low west", 0.5), ("low east", 3.5)))
    )
    arrangement = Arrangement(
        family="beam-vertical", placement="beam", holdings=(*tops, *lows), lengths="beam", beam=spreader,
        hooks_xy_m=((2.0, 0.5),),
    )  # fmt: skip
    return (
        arrangement,
        BodyState(weight_n=60000.0, centre_of_gravity_m=(2.1, 0.5, 0.6)),
        (SlingState(length_m=2.95, rated_n=48930.4, strain_at_rated=0.03),) * 2
        + (SlingState(length_m=1.8, rated_n=38254.7, strain_at_rated=0.03),) * 2,
    )


def two_hooks() -> tuple[Arrangement, BodyState, tuple[SlingState, ...]]:
    holdings = tuple(
        Holding(id=name, hitch=Hitch.VERTICAL, hook=i, pick=name, lower_m=(x, 0.5, 1.2))
        for i, (name, x) in enumerate((("north", 0.4), ("south", 3.6)))
    )
    arrangement = Arrangement(
        family="hooks-vertical", placement="picks", holdings=holdings, hooks_xy_m=((0.4, 0.5), (3.6, 0.5))
    )
    return (
        arrangement,
        BodyState(weight_n=60000.0, centre_of_gravity_m=(2.2, 0.5, 0.6)),
        (SlingState(length_m=2.95, rated_n=48930.4, strain_at_rated=0.03),) * 2,
    )


def numbers(doc: dict[str, Any]) -> dict[str, Any]:
    """A problem's figures without heights: the contract hangs hooks and beams at round figures of its own."""
    bodies = [(b["name"], b["weight_n"], b["centre_of_gravity_m"], b["start_m"][:2]) for b in doc["bodies"]]
    paths = [
        (
            p["name"], p["sling"], round(p["length_m"], 2), round(p.get("elastic_m", p["length_m"]), 2),
            p["rated_n"], p["strain_at_rated"],
            [(q["on"], [round(x, 9) for x in q["at_m"][: _told(q["on"])]]) for q in p["points"]],
        )
        for p in doc["paths"]
    ]  # fmt: skip
    return {"bodies": bodies, "paths": paths}


MADE = {
    "bridle": (bridle, False),
    "basket, renders": (basket, True),
    "basket, locked": (basket, False),
    "choker": (choker, False),
    "beam": (beam, False),
    "two hooks": (two_hooks, False),
}


@pytest.mark.parametrize("name", MADE)
def test_the_contracts_example_is_rebuilt(name: str) -> None:
    make, free = MADE[name]
    arrangement, load, slings = make()
    built = problem_to_document(build_problem(arrangement, load, slings, free=free))
    right = EXAMPLES[name]
    assert numbers(built) == numbers(right["problem"])
    hang = solve(build_problem(arrangement, load, slings, free=free))
    # the contract prints whole newtons and, for a locked basket, lengths to the centimetre
    least = 2e-3 if name == "basket, locked" else 1e-4
    assert [p.tension_n for p in hang.paths] == pytest.approx(right["tension_n"], abs=least * load.weight_n)
    assert hang.tilt_deg == pytest.approx(right["tilt_deg"], abs=0.02)


def test_a_locked_baskets_side_is_as_long_as_it_lies_on_the_level_load() -> None:
    """2.25 m a side of 7.9 m less 3.4 m that lie; it stretches with half of the sling: 3.95 m."""
    arrangement, load, slings = basket()
    for path in build_problem(arrangement, load, slings).paths:
        assert path.length_m == pytest.approx(2.25, abs=1e-12)
        assert path.elastic_m == pytest.approx(3.95, abs=1e-12)


def test_only_baskets_render() -> None:
    assert renders(basket()[0])
    assert not renders(choker()[0])
    assert not renders(bridle()[0])


def test_a_round_section_or_a_second_wrap_is_told_as_a_length_that_lies() -> None:
    arrangement, load, slings = basket()
    once = arrangement.holdings[0].round
    assert once is not None
    more = Round(
        x_m=once.x_m, turns_m=once.turns_m, lies_m=once.lies_m + once.perimeter_m, loop_m=0.0,
        contact_rad=once.contact_rad + 2 * math.pi, perimeter_m=once.perimeter_m,
        radius_m=None, edges=4, curved=False,
    )  # fmt: skip
    double = Arrangement(
        family="double-basket-1", placement="x", hooks_xy_m=((0.4, 0.5),),
        holdings=(Holding(id="A", hitch=Hitch.BASKET, wraps=2, round=more),),
    )  # fmt: skip
    longer = (SlingState(length_m=12.0, rated_n=27579.0, strain_at_rated=0.03),)
    (path,) = build_problem(double, load, longer, free=True).paths
    assert len(path.points) == 4
    assert path.lies_m == pytest.approx(3.4 + 4.4)
    single = Arrangement(
        family="basket-1", placement="x", hooks_xy_m=((0.4, 0.5),), holdings=arrangement.holdings[:1]
    )
    (plain,) = build_problem(single, load, slings[:1], free=True).paths
    assert plain.lies_m is None
    assert len(plain.points) == 6


def test_slings_that_do_not_reach_are_no_problem_to_solve() -> None:
    arrangement, load, _ = bridle()
    short = (SlingState(length_m=1.2, rated_n=1e4, strain_at_rated=0.03),) * 4
    with pytest.raises(ValueError, match="cannot reach"):
        build_problem(arrangement, load, short)


def test_a_round_section_is_round() -> None:
    assert perimeter(round_section(0.0, 0.6, drawn_points=12)) == pytest.approx(math.pi * 0.6)


def _told(on: str) -> int:
    """How many coordinates of a point the contract's example fixes: a hook's height is the bridge's own."""
    return 2 if on == "world" else 3
