"""What nobody waits for is searched apart from what is waited for, in half of the processes at most."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

import pytest

from slingwright.desk.places import Place, Places
from slingwright.desk.turns import AT_LEISURE, FIRST, LATER, GivenUp


def _never() -> bool:
    return False


def _four(most: int = 2) -> tuple[Places, list[Place]]:
    all_ = [Place(ready=True) for _ in range(4)]
    return Places(most, all_, threading.Condition()), all_


def _first(places: Places) -> Place:
    place = places.take_first()
    assert place is not None
    return place


def test_what_is_waited_for_begins_where_nothing_else_goes_on() -> None:
    places, _ = _four()
    behind = [_first(places), _first(places)]
    assert all(places.stays(one, FIRST, LATER) for one in behind)
    two = [_first(places), _first(places)]
    assert all(sum(one.held) == 1 for one in two)
    assert not any(one.is_behind for one in two)


def test_while_anything_is_waited_for_nothing_else_goes_on() -> None:
    told: list[bool] = []
    places = Places(2, [Place(ready=True) for _ in range(4)], threading.Condition(), told.append)
    one, other = _first(places), _first(places)
    assert told == [True]
    assert places.stays(one, FIRST, LATER)
    assert told == [True]
    places.leave(other, FIRST)
    assert told == [True, False]
    places.leave(one, LATER)
    assert told == [True, False]


def test_no_more_go_on_than_may_and_the_next_takes_the_place_of_one_that_ends() -> None:
    places, _ = _four()
    behind = [_first(places), _first(places)]
    third = _first(places)
    assert [places.stays(one, FIRST, LATER) for one in (*behind, third)] == [True, True, False]
    places.leave(third, FIRST)
    taken: list[Place | None] = []
    waits = threading.Thread(target=lambda: taken.append(places.take(LATER, _never)))
    waits.start()
    waits.join(0.1)
    assert waits.is_alive()
    places.leave(behind[1], LATER)
    waits.join(10)
    assert len(taken) == 1
    assert taken[0] is not None
    assert taken[0].held == [0, 1, 0]
    assert not behind[0].held[FIRST]


def test_what_explains_makes_room_for_other_offers_and_begins_beside_none() -> None:
    places, _ = _four(most=1)
    place = _first(places)
    assert places.stays(place, FIRST, LATER)
    assert places.stays(place, LATER, AT_LEISURE)
    assert places.take(LATER, _never) is place  # the one that explains gives way in its own process
    assert place.held == [0, 1, 1]
    assert not places.stays(place, LATER, AT_LEISURE)  # one that rests is enough
    with pytest.raises(GivenUp):
        places.take(AT_LEISURE, _later())


def test_what_explains_does_not_begin_while_other_offers_are_waited_for() -> None:
    places, _ = _four(most=1)
    place = _first(places)
    assert places.stays(place, FIRST, LATER)
    taken: list[Place | None] = []
    waits = threading.Thread(target=lambda: taken.append(places.take(LATER, _never)))
    waits.start()
    for _ in range(500):
        if places._waiting:
            break
        time.sleep(0.01)
    assert not places.stays(place, LATER, AT_LEISURE)
    places.leave(place, LATER)
    waits.join(10)
    assert taken
    assert taken[0] is not None


def test_without_a_process_nothing_is_waited_for() -> None:
    none: list[Place] = []
    places = Places(2, none, threading.Condition())
    assert places.take_first() is None
    assert places.take(LATER, _never) is None
    starting = Places(2, [Place()], threading.Condition())
    assert starting.take_first() is None
    with pytest.raises(GivenUp):
        starting.take(LATER, _later())


def _later() -> Callable[[], bool]:
    asked = iter([False, False])
    return lambda: next(asked, True)
