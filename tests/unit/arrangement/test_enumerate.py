"""Which arrangements a lift allows, for each kind of lift, counted by hand."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest

from slingwright.arrangement import Arrangement
from slingwright.arrangement.enumerate import GridSteps, arrangements
from slingwright.lift.model import Section
from slingwright.sling import Hitch
from tests.lifts import example_lift, read_document, smallest_document

FOOT = 0.3048
STEPS = GridSteps(placement_m=FOOT)
ROUND = ("basket", "choker", "double-basket", "double-choker")


def made(doc: dict[str, Any]) -> list[Arrangement]:
    return list(arrangements(read_document(doc), STEPS))


def picked(count: int, *, height: str = "3 ft") -> dict[str, Any]:
    doc = smallest_document()
    places = (("0 in", "0 in"), ("6 ft", "4 ft"), ("0 in", "4 ft"), ("6 ft", "0 in"), ("3 ft", "2 ft"))
    doc["load"]["pick_point"] = [
        {"name": str(i), "at": [*places[i], height], "pin": "1 in"} for i in range(count)
    ]
    return doc


@pytest.mark.parametrize(
    ("count", "family"),
    [(1, "vertical"), (2, "bridle-2"), (3, "bridle-3"), (4, "bridle-4"), (5, "bridle-n")],
)
def test_pick_points_make_a_bridle_of_equal_and_one_of_made_lengths(count: int, family: str) -> None:
    found = made(picked(count))
    # one leg has nothing to differ from; of more than four nobody hangs each at its own place for sure
    kinds = ["equal", "made"] if 2 <= count <= 4 else ["equal"]
    assert [(a.family, a.lengths) for a in found] == [(family, kind) for kind in kinds]
    assert all(a.legs == count for a in found)
    assert all(h.round is None and h.hitch is Hitch.VERTICAL for a in found for h in a.holdings)


def test_round_a_box_every_hitch_stands_at_every_pair_of_places() -> None:
    """A 6 ft box, steps of 1 ft: over the centre, pairs 1 and 2 ft either side; at the ends none lies."""
    found = made(smallest_document())
    count = Counter(a.family for a in found)
    assert count == {f"{hitch}-1": 1 for hitch in ROUND} | {f"{hitch}-2": 2 for hitch in ROUND}
    for a in found:
        xs = [h.round.x_m for h in a.holdings if h.round]
        assert sum(xs) / len(xs) == pytest.approx(3 * FOOT)  # symmetrical about the centre of gravity
        assert a.level_height_m is None  # off edges the leaving points hold at every height
        assert a.lengths == "equal"


def test_where_a_sling_may_not_lie_none_is_put() -> None:
    doc = smallest_document()
    doc["load"]["bears"] = [["0 ft", "1.5 ft"], ["4.5 ft", "6 ft"]]
    assert {a.placement for a in made(doc) if a.family == "basket-2"} == {"x 0.3048 1.5240"}
    assert not [a for a in made(doc) if a.legs == 1]


def test_double_wraps_lie_once_round_more_and_touch_a_whole_turn_more() -> None:
    found = {a.family: a for a in made(smallest_document()) if a.legs == 1}
    once, twice = found["basket-1"].holdings[0].round, found["double-basket-1"].holdings[0].round
    assert once is not None
    assert twice is not None
    assert twice.lies_m - once.lies_m == pytest.approx(once.perimeter_m)
    assert once.perimeter_m == pytest.approx(14 * FOOT)
    assert twice.contact_rad - once.contact_rad == pytest.approx(2 * 3.141592653589793)
    single, double = found["choker-1"].holdings[0].round, found["double-choker-1"].holdings[0].round
    assert single is not None
    assert double is not None
    assert (single.loop_m, double.loop_m) == pytest.approx((14 * FOOT, 28 * FOOT))
    assert single.turns_m == ((pytest.approx(3 * FOOT), pytest.approx(2 * FOOT), pytest.approx(3 * FOOT)),)


def test_several_hooks_take_the_nearest_picks_and_none_stays_empty() -> None:
    lift = example_lift("pontoon_two_hooks")
    found = list(arrangements(lift, STEPS))
    assert [(a.family, a.lengths) for a in found] == [("hooks-vertical", "equal"), ("hooks-vertical", "made")]
    assert [h.hook for h in found[0].holdings] == [0, 1]
    doc = picked(2)
    room = doc.pop("hook")
    doc["hook"] = [room | {"at": ["0 in", "0 in"]}, room | {"at": ["100 ft", "0 in"]}]
    assert made(doc) == []  # the far hook would hold nothing


def test_a_beam_hangs_on_two_tops_and_holds_as_many_picks_at_each_end() -> None:
    found = [a for a in arrangements(example_lift("duct_section"), STEPS) if a.family.startswith("beam")]
    assert len(found) == 2  # one each beam on hand
    for a in found:
        assert [(h.role, h.beam_end, h.hook) for h in a.holdings] == [
            ("top", 0, 0),
            ("top", 1, 0),
            ("main", 0, None),
            ("main", 1, None),
        ]
        assert a.lengths == "beam"
        assert a.legs == 2


def test_off_a_hexagon_the_string_leaves_by_the_shoulder_until_the_hook_sees_past_it() -> None:
    """1 m high and wide: the side from (1, 0.5) to (0.7, 1) meets the middle line at 1.3333 m (by hand)."""
    lift = example_lift("pipe_40ft")
    ring = ((0.3, 0.0), (0.7, 0.0), (1.0, 0.5), (0.7, 1.0), (0.3, 1.0), (0.0, 0.5))
    centre = replace(lift.load.centre, nominal_m=(6.0, 0.5, 0.5))
    load = replace(lift.load, sections=(Section(x_m=6.0, points_m=ring),), centre=centre)
    found = [a for a in arrangements(replace(lift, load=load), STEPS) if a.family == "basket-1"]
    low, high = (a.level_height_m for a in found)
    assert low == pytest.approx((1.0, 4 / 3))
    assert high == pytest.approx((4 / 3, float("inf")))
    leaving = [a.holdings[0].round.turns_m[0][1:] for a in found if a.holdings[0].round]
    assert leaving == [(0.3, 1.0), (0.0, 0.5)]


def test_round_a_curve_one_arrangement_serves_every_height() -> None:
    found = [a for a in arrangements(example_lift("pipe_40ft"), STEPS) if a.family == "basket-1"]
    assert [a.level_height_m for a in found] == [None]


def test_order_and_everything_else_is_the_same_each_time() -> None:
    for name in ("pipe_40ft", "yard_launch", "crane_rail_beam", "duct_section"):
        lift = example_lift(name)
        assert list(arrangements(lift, STEPS)) == list(arrangements(lift, STEPS))
