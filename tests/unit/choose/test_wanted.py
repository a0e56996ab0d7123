"""A sling that the lift names is searched for alone: what the whole range says of it, no more and no less."""

from __future__ import annotations

import functools
import json
from typing import Any

import pytest

from slingwright.choose.offer import Answer, Offer
from slingwright.sling import Form
from slingwright.usecases.choose_sling import ChooseRequest, Chosen, choose_sling
from slingwright.usecases.settings import resolve_settings
from tests.choosing import coarse_shop

_LIFT: dict[str, Any] = {
    "load": {
        "weight": "4000 lb", "shape": "box", "length": "8 ft", "width": "4 ft", "height": "4 ft",
        "centre_of_gravity": ["4 ft", "2 ft", "2 ft"],
        "pick_point": [
            {"name": name, "at": [x, y, "4 ft"], "pin": "1 in"}
            for name, x, y in (
                ("A", "1 ft", "6 in"), ("B", "7 ft", "6 in"), ("C", "7 ft", "42 in"), ("D", "1 ft", "42 in"),
            )
        ],
    },
    "hook": {"headroom": "16 ft"},
}  # fmt: skip
_SLING = {
    "form": "flat-eye", "fibre": "polyester", "class": 7, "plies": 2, "width": "2 in", "length": "10 ft",
}  # fmt: skip


def choose(want: dict[str, Any], **load: str) -> Chosen:
    lift = {**_LIFT, "load": {**_LIFT["load"], **load}, "want": want}
    shop = coarse_shop("1 ft")
    settings = resolve_settings({"shop": str(shop)}, {}, shop.parent)
    request = ChooseRequest(
        content=json.dumps(lift).encode(), file="lift.json", folder=None, settings=settings
    )
    return choose_sling(request, clock=lambda: 0.0)


@functools.cache
def whole_range() -> Answer:
    return choose({}).answer


def named(offer: Offer) -> dict[str, Any]:
    spec = offer.slings[0].spec
    eye = {"eye": f"{spec.eye_m} m"} if spec.eye_m else {}
    return {
        "form": str(spec.form), "fibre": str(spec.fibre), "class": spec.webbing_class, "plies": spec.plies,
        "width": f"{spec.width_m} m", "length": f"{spec.length_m} m", **eye,
    }  # fmt: skip


def stops(want: dict[str, Any], **load: str) -> list[tuple[str, str]]:
    answer = choose({"sling": want}, **load).answer
    assert answer.answer == "stop"
    return [(one.rule, one.detail) for one in answer.stops]


def test_named_it_is_offered_as_it_is_among_all() -> None:
    for offer in whole_range().offers:
        found = choose({"sling": named(offer)}).answer
        assert {s.spec for o in found.offers for s in o.slings} == {offer.slings[0].spec}
        same = [o for o in found.offers if o.slings[0].supply == offer.slings[0].supply]
        assert [o.price_minor for o in same if o.arrangement == offer.arrangement] == [offer.price_minor]
        assert [s.design_tension_n for s in same[0].slings] == [s.design_tension_n for s in offer.slings]


def test_a_length_between_the_shops_steps_is_hung_as_it_is() -> None:
    offer = choose({"sling": {**_SLING, "length": "2.93 m"}}).answer.offers[0]
    assert {s.spec.length_m for s in offer.slings} == {2.93}


def test_its_own_eye_is_kept() -> None:
    offer = choose({"sling": {**_SLING, "eye": "14 in"}}).answer.offers[0]
    assert {round(s.spec.eye_m, 4) for s in offer.slings} == {0.3556}


def test_the_note_says_that_nothing_else_was_looked_for() -> None:
    assert "only-the-sling-named" in choose({"sling": _SLING}).lift.notes
    assert "only-the-sling-named" not in whole_range().notes


@pytest.mark.parametrize(
    ("sling", "load", "told"),
    [
        ({"length": "40 ft"}, {}, [("headroom", "too-high")]),
        ({"length": "3.3 ft"}, {}, [("reach", "unreachable")]),  # 3.35 ft from the hook's plumb line
        ({}, {"weight": "40000 lb"}, [("rated-load", "part-over")]),
        ({"width": "2.3 in"}, {}, [("buildable", "named-not-built")]),
        ({"length": "200 ft"}, {}, [("buildable", "named-not-built")]),
        ({"length": "1 ft"}, {}, [("buildable", "named-too-short")]),
        ({"form": "triangle-triangle"}, {}, [("buildable", "named-not-used")]),
        ({"form": "endless"}, {}, [("buildable", "named-not-rated")]),
    ],
)  # fmt: skip
def test_what_stops_it_is_said(
    sling: dict[str, Any], load: dict[str, str], told: list[tuple[str, str]]
) -> None:
    assert stops({**_SLING, **sling}, **load) == told


def test_one_from_the_shelf_is_found_by_its_name() -> None:
    shop = choose({}).setting.shop
    ready = next(
        s for s in shop.stock if s.rulebook == "us" and s.spec.form is Form.FLAT_EYE and s.count >= 4
    )
    spec = ready.spec
    want = {
        "form": str(spec.form), "fibre": str(spec.fibre), "class": spec.webbing_class, "plies": spec.plies,
        "width": f"{spec.width_m} m", "length": f"{spec.length_m} m",
    }  # fmt: skip
    chosen = choose({"sling": want}, weight="300 lb")
    assert {one.id for one in chosen.setting.shop.stock} >= {ready.id}
    assert all(one.spec.length_m == spec.length_m for one in chosen.setting.shop.stock)
