"""Fewer searches tell the same amount: each held to one that searches every amount, best first."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from slingwright.choose.again import Again
from slingwright.choose.amounts import best_of, least_of
from slingwright.choose.change import _tries
from slingwright.choose.explained import Standing
from slingwright.lift.model import Lift
from tests.lifts import read_document
from tests.unit.choose.test_change import document, setting_of

_HALVINGS = 5


def low_room(feet: float, **load: Any) -> Lift:
    doc = document(**load)
    doc["hook"]["headroom"] = f"{feet} ft"
    return read_document(doc)


def steep(degrees: float) -> Lift:
    doc = document(weight="5,000 lb", centre_tolerance="1 in")
    doc["want"]["least_angle"] = f"{degrees} deg"
    return read_document(doc)


def level(degrees: float) -> Lift:
    doc = document(weight="5,000 lb", centre_tolerance="1 in")
    doc["want"]["level_within"] = f"{degrees} deg"
    return read_document(doc)


def test_one_search_tells_that_the_most_does_not_help() -> None:
    for lift in (low_room(3, weight="60,000 lb"), low_room(30)):
        again = Again(setting_of(lift))
        now = again.now
        room = next(_tries(again, nothing_fits=not now.fits))
        assert len(room.amounts) >= 3
        assert not (best_of if now.fits else least_of)(again, room, now).helps
        assert again.searches == 2  # and the lift as it is


def every_amount(again: Again, lift: Any, amounts: tuple[float, ...]) -> tuple[float, Standing]:
    """The first amount with an answer, halved towards the last without; each the whole best of its lift."""
    below: float | None = None
    for amount in amounts:
        then = again.answer(lift(amount))
        if then.fits:
            break
        below = amount
    if not then.fits or below is None:
        return amount, then
    for _ in range(_HALVINGS):
        middle = (below + amount) / 2
        between = again.answer(lift(middle))
        if between.fits:
            amount, then = middle, between
        else:
            below = middle
    return amount, then


@pytest.mark.parametrize(
    ("lift", "helping"),
    [
        (low_room(6), {"headroom"}),
        (low_room(3), set()),
        (low_room(6, weight="60,000 lb"), set()),
        (steep(62), {"least-angle"}),
        (level(0.9), {"level-within"}),
    ],
)
def test_the_least_amount_is_that_of_searching_each(lift: Lift, helping: set[str]) -> None:
    again, plain = Again(setting_of(lift)), Again(setting_of(lift))
    assert not again.now.fits
    seen = set()
    for one in _tries(again, nothing_fits=True):
        found = least_of(again, one, again.now)
        amount, then = every_amount(plain, one.lift, one.amounts)
        assert (found.figure or 0.0, found.then) == (amount if one.unit else 0.0, then), one.code
        seen |= {one.code} if one.passes is not None and then.fits else set()
    assert helping <= seen
    assert again.searches <= plain.searches + 1  # and the lift as it is


@pytest.mark.parametrize("feet", [9, 9.5, 30])
def test_the_amount_that_helps_most_is_that_of_searching_each(feet: float) -> None:
    lift = low_room(feet)
    again, plain = Again(setting_of(lift)), Again(setting_of(lift))
    assert again.now.fits
    for one in _tries(again, nothing_fits=False):
        found = best_of(again, one, again.now)
        each = [(amount, plain.answer(one.lift(amount))) for amount in one.amounts]
        amount, then = min(each, key=lambda pair: pair[1].order)
        assert (found.figure or 0.0, found.then) == (amount if one.unit else 0.0, then), one.code


def test_room_above_slings_round_a_load_is_searched_amount_by_amount() -> None:
    """Their way round it is taken for a hook at the top of the room, so that more room is another lift."""
    doc = document()
    del doc["load"]["pick_point"]
    doc["load"] |= {"shape": "box", "edge_radius": "1 in", "surface": 0.35}
    again = Again(setting_of(read_document(doc)))
    room = next(_tries(again, nothing_fits=False))
    assert room.code == "headroom"
    assert room.passes is None
    on_picks = next(_tries(Again(setting_of(low_room(9))), nothing_fits=False))
    assert on_picks.passes is not None


def test_nothing_follows_from_a_search_that_was_cut_short() -> None:
    """One try of each search: what is then told is what searching each amount tells."""
    lift = low_room(6)
    again, plain = (Again(setting_of(lift), tries=1) for _ in range(2))
    for one in _tries(again, nothing_fits=True):
        found = least_of(again, one, replace(again.now))
        amount, then = every_amount(plain, one.lift, one.amounts)
        assert (found.figure or 0.0, found.then.fits) == (amount if one.unit else 0.0, then.fits), one.code
