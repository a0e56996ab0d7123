"""What would change the answer: each change searched again here by the test itself, on a small shop."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from slingwright.choose.again import Again, OutOfTime
from slingwright.choose.change import changes
from slingwright.choose.explained import Change
from slingwright.choose.search import Search
from slingwright.choose.setting import Setting, draw
from slingwright.lift.model import Lift
from slingwright.rulebook import load_rulebook
from tests.choosing import small_shop
from tests.lifts import read_document

DRAWS = draw(1, samples=128)
SHOP = small_shop(widths=("2 in", "3 in"), forms=("twisted-eye", "endless"), fibres=("polyester",))


def document(**load: Any) -> dict[str, Any]:
    """Four lugs on a box, its weight an estimate, its centre within a hand's breadth."""
    picks = [
        {"name": n, "at": [x, y, "40 in"], "pin": "1 in", "rated": "20,000 lb", "rated_at": "any angle"}
        for n, x, y in (
            ("A", "10 in", "8 in"), ("B", "90 in", "8 in"), ("C", "90 in", "42 in"), ("D", "10 in", "42 in")
        )
    ]  # fmt: skip
    return {
        "load": {
            "weight": "12,000 lb", "known_by": {"weight": "estimate", "centre_of_gravity": "drawing"},
            "shape": "frame", "length": "100 in", "width": "50 in", "height": "40 in",
            "centre_of_gravity": ["50 in", "25 in", "15 in"], "centre_tolerance": ["6 in", "2 in", "1 in"],
            "pick_point": picks, "surface_temperature": "80 °F", **load,
        },
        "hook": {"headroom": "9 ft", "thickness": "1 1/2 in", "width": "6 in"},
        "want": {"level_within": "5 deg", "least_angle": "45 deg"},
    }  # fmt: skip


def setting_of(lift: Lift) -> Setting:
    return Setting(lift=lift, rulebook=load_rulebook("us"), shop=SHOP.shop, book=SHOP.book, draws=DRAWS)


def best_price(lift: Lift) -> int | None:
    """The price of the best of a fresh search."""
    found = Search(setting_of(lift)).walk("price").answer
    return None if found is None else found.candidate.price_minor


def by_code(lift: Lift) -> dict[str, Change]:
    return {c.code: c for c in changes(Again(setting_of(lift)))}


def test_what_is_saved_is_what_a_search_on_the_altered_lift_finds() -> None:
    lift = read_document(document())
    now = best_price(lift)
    found = by_code(lift)
    room = found["headroom"]
    assert room.helps
    assert room.figure is not None
    assert now is not None
    hooks = tuple(replace(h, headroom_m=room.figure) for h in lift.hooks)
    higher = best_price(replace(lift, hooks=hooks))
    assert room.then.price_minor == higher
    assert room.saved_minor == now - (higher or 0)


def test_a_weighed_load_is_worth_what_the_smaller_bound_saves() -> None:
    found = by_code(read_document(document()))["weight-known"]
    weighed = read_document(document(weight_tolerance="1 %"))  # a scale's tolerance: assumptions.toml
    assert found.figure == pytest.approx(weighed.load.weight.high_n)
    assert found.then.price_minor == best_price(weighed)
    assert found.helps
    assert found.saved_minor is not None
    assert found.saved_minor > 0


def test_a_load_weighed_already_is_not_told_to_be_weighed() -> None:
    doc = document(weight_tolerance="1 %", centre_tolerance="1 %")
    found = by_code(read_document(doc))
    assert "weight-known" not in found
    assert "centre-known" not in found
    assert {"headroom", "spreader-beam"} <= set(found)


def test_four_picks_want_no_fifth_and_three_get_the_one_that_is_missing() -> None:
    doc = document()
    assert "another-pick" not in by_code(read_document(doc))
    doc["load"]["pick_point"].pop(2)  # C: A has none across the centre any more
    three = read_document(doc)
    found = by_code(three)["another-pick"]
    lugs = three.load.pick_points
    missing = replace(lugs[0], name="new pick", at_m=tuple(2.54 * x / 100 for x in (90, 42, 40)))  # type: ignore[arg-type]
    four = replace(three, load=replace(three.load, pick_points=(*lugs, missing)))
    assert found.then.price_minor == best_price(four)


def test_where_nothing_fits_the_least_room_that_makes_it_possible_is_found() -> None:
    doc = document()
    doc["hook"]["headroom"] = "6 ft"
    lift = read_document(doc)
    again = Again(setting_of(lift))
    assert not again.now.fits
    assert again.now.stop is not None
    assert again.now.stop.rule
    room = next(c for c in changes(again) if c.code == "headroom")
    assert room.helps
    assert room.then.fits
    assert room.figure is not None
    least = lift.hooks[0].headroom_m
    # five halvings of the steps tried: a little less is not enough
    step = (room.figure - least) / 2**4
    enough, short = (
        replace(lift, hooks=(replace(lift.hooks[0], headroom_m=room.figure - less),)) for less in (0.0, step)
    )
    assert best_price(enough) is not None
    assert best_price(short) is None


def test_where_nothing_fits_the_heaviest_load_that_does_is_found() -> None:
    lift = read_document(document(weight="60,000 lb"))
    again = Again(setting_of(lift))
    assert not again.now.fits
    found = {c.code: c for c in changes(again)}
    light = found["lighter"]
    high = lift.load.weight.high_n
    assert light.helps
    assert light.figure is not None
    assert high is not None
    assert light.figure < high
    assert not found["headroom"].helps


def test_no_time_leaves_what_was_not_searched_unsaid() -> None:
    again = Again(setting_of(read_document(document())), out_of_time=lambda: True)
    with pytest.raises(OutOfTime):
        list(changes(again))


def test_a_load_too_heavy_by_far_is_told_what_would_be_light_enough() -> None:
    found = by_code(read_document(document(weight="400,000 lb")))["lighter"]
    assert found.helps
    assert found.then.fits


def test_where_nothing_fits_a_flatter_wish_is_tried_down_to_the_rulebooks_own_limit() -> None:
    doc = document(weight="5,000 lb", centre_tolerance="1 in")
    doc["want"]["least_angle"] = "62 deg"
    lift = read_document(doc)
    assert best_price(lift) is None
    found = by_code(lift)["least-angle"]
    assert found.helps
    assert found.figure is not None
    assert 30 <= found.figure < 62
    flatter = replace(lift, want=replace(lift.want, least_angle_deg=found.figure))
    assert best_price(flatter) is not None
    doc["want"]["least_angle"] = "30 deg"
    assert "least-angle" not in by_code(read_document(doc))
