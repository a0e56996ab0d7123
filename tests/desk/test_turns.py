"""Who works next: the more pressing first; who works at leisure gives way; what is given up takes no turn."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

import pytest

from slingwright.desk.turns import AT_LEISURE, FIRST, LATER, Busy, GivenUp, Turns


def started(work: Callable[[], None]) -> threading.Thread:
    thread = threading.Thread(target=work, daemon=True)
    thread.start()
    return thread


def waits(turns: Turns, count: int) -> None:
    for _ in range(500):
        if len(turns._waiting) == count:
            return
        time.sleep(0.01)
    pytest.fail(f"{count} were to wait, {len(turns._waiting)} do")


def test_the_pressing_go_before_those_at_leisure_whoever_came_first() -> None:
    turns, order = Turns(at_once=1, most_waiting=9), list[int]()

    def work(rank: int) -> None:
        with turns.turn(rank):
            order.append(rank)

    with turns.turn():
        threads = []
        for at, rank in enumerate((AT_LEISURE, LATER, FIRST)):
            threads.append(started(lambda rank=rank: work(rank)))
            waits(turns, at + 1)
    for one in threads:
        one.join(10)
    assert order == [FIRST, LATER, AT_LEISURE]


def test_who_works_at_leisure_lets_the_pressing_through_and_goes_on() -> None:
    turns, order = Turns(at_once=1, most_waiting=9), list[str]()
    with turns.turn(AT_LEISURE):
        turns.give_way(AT_LEISURE)  # to nobody
        other = started(lambda: _note(turns, LATER, order, "pressing"))
        waits(turns, 1)
        turns.give_way(LATER)  # as pressing as who waits
        assert order == []
        turns.give_way(AT_LEISURE)
        order.append("at leisure")
    other.join(10)
    assert order == ["pressing", "at leisure"]


def _note(turns: Turns, rank: int, order: list[str], what: str) -> None:
    with turns.turn(rank):
        order.append(what)


def test_what_is_given_up_takes_no_turn_and_leaves_none_behind() -> None:
    turns = Turns(at_once=1, most_waiting=9)
    hold, go = threading.Event(), threading.Event()

    def pressing() -> None:
        with turns.turn():
            hold.set()
            go.wait(10)

    with turns.turn(LATER):
        other = started(pressing)
        assert hold.wait(10)
        with pytest.raises(GivenUp):
            turns.give_way(LATER, given_up=hold.is_set)
    go.set()
    other.join(10)
    assert turns._free == 1
    assert not turns._waiting
    with turns.turn():
        assert turns._free == 0


def test_only_the_pressing_are_counted_and_sent_away() -> None:
    turns = Turns(at_once=1, most_waiting=1)
    with turns.turn():
        leisure = started(lambda: _note(turns, AT_LEISURE, [], ""))
        waits(turns, 1)
        first = started(lambda: _note(turns, FIRST, [], ""))
        waits(turns, 2)
        with pytest.raises(Busy), turns.turn():
            pass
    first.join(10)
    leisure.join(10)
    with turns.full(), pytest.raises(Busy), turns.turn():
        pass
    with turns.turn():
        pass


def test_the_pressing_begin_beside_the_others_who_then_give_way() -> None:
    turns, go, begun = Turns(at_once=1, most_waiting=9), threading.Event(), list[str]()

    def pressing() -> None:
        with turns.turn():
            begun.append("pressing")
            go.wait(10)

    with turns.turn(LATER):
        first = started(pressing)
        for _ in range(500):
            if begun:
                break
            time.sleep(0.01)
        assert begun, "it waited for who does not look up"
        second = started(pressing)
        waits(turns, 1)  # of the pressing no more than cores
        threading.Timer(0.1, go.set).start()
        turns.give_way(LATER)
        assert go.is_set()
    first.join(10)
    second.join(10)
    assert (turns._free, turns._pressing_free) == (1, 1)


def test_who_goes_on_with_less_makes_room_for_the_pressing() -> None:
    turns, order = Turns(at_once=1, most_waiting=9), list[str]()
    with turns.turn() as held:
        turns.lower(held, LATER)
        other = started(lambda: _note(turns, FIRST, order, "pressing"))
        other.join(10)
        assert order == ["pressing"]
        turns.give_way(held.rank)
    assert (turns._free, turns._pressing_free) == (1, 1)


def test_what_is_held_up_waits_at_its_next_look_and_what_is_waited_for_does_not() -> None:
    turns, order = Turns(at_once=1, most_waiting=9), list[str]()

    def later() -> None:
        with turns.turn(LATER):
            turns.give_way(LATER)
            order.append("later")

    turns.hold_up(True)
    other = started(later)
    with turns.turn():
        turns.give_way(FIRST)
        order.append("first")
    other.join(0.1)
    assert order == ["first"]
    turns.hold_up(False)
    other.join(10)
    assert order == ["first", "later"]
    turns.hold_up(True)
    with turns.turn(LATER), pytest.raises(GivenUp):
        turns.give_way(LATER, given_up=lambda: True)
    assert turns._free == 1
