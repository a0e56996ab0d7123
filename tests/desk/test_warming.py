"""Processes that search get ready before anyone asks, and behind who is answered meanwhile."""

from __future__ import annotations

import os
import sys
import threading
from dataclasses import replace

import pytest

from slingwright.desk import searcher, searchers
from slingwright.desk.calm import be_calm
from slingwright.desk.searchers import Searchers
from slingwright.desk.warming import search_once
from tests.desk.doors import harrow_quay


def test_a_lift_that_is_nobodys_is_searched_for() -> None:
    assert search_once(harrow_quay())


def test_where_the_shop_or_its_rulebook_has_nothing_for_it_nothing_happens() -> None:
    assert not search_once(replace(harrow_quay(), shop=None))
    assert not search_once(replace(harrow_quay(), rulebook="none of these"))


def test_the_first_process_hurries_and_the_others_do_not(monkeypatch: pytest.MonkeyPatch) -> None:
    done: list[str] = []
    monkeypatch.setattr(searcher, "_get_ready", lambda settings: done.append("ready"))
    monkeypatch.setattr(searcher, "search_once", lambda settings: done.append("searched"))
    monkeypatch.setattr(searcher, "be_calm", lambda: done.append("calm"))
    searcher._start(None, first=True)
    assert done == ["ready"]
    done.clear()
    searcher._start(None, first=False)
    assert done == ["calm", "ready", "searched"]


def test_what_cannot_be_got_ready_for_ends_the_process_and_a_search_that_fails_does_not(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def broken(settings: object) -> None:
        raise RuntimeError("broken")

    monkeypatch.setattr(searcher, "be_calm", lambda: None)
    monkeypatch.setattr(searcher, "_get_ready", lambda settings: None)
    monkeypatch.setattr(searcher, "search_once", broken)
    searcher._start(None, first=False)
    assert "has failed" in caplog.text
    monkeypatch.setattr(searcher, "_get_ready", broken)
    for first in (True, False):
        with pytest.raises(RuntimeError, match="broken"):
            searcher._start(None, first=first)


def test_only_the_first_of_a_desk_is_told_that_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[bool] = []
    found = Searchers(harrow_quay(), 1)
    try:

        def said(process: object, message: searcher.Begin | searcher.Said) -> None:
            if isinstance(message, searcher.Said) and "settings" in message.news:
                told.append(message.news["first"])
            process._to_say.put(message)  # type: ignore[attr-defined]  # a private class

        monkeypatch.setattr(searchers._Process, "_say", said)
        found.start()
        assert found.wait()
        with found._changed:
            assert found._changed.wait_for(lambda: sum(p.ready for p in found.alive) == 2, 60.0)
    finally:
        found.close()
    assert told == [True, False]


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere a priority is the whole process's")
def test_a_calm_thread_leaves_the_others_as_they_were() -> None:
    mine = os.getpriority(os.PRIO_PROCESS, threading.get_native_id())
    theirs: list[int] = []

    def work() -> None:
        be_calm()
        theirs.append(os.getpriority(os.PRIO_PROCESS, threading.get_native_id()))

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert theirs[0] > mine
    assert os.getpriority(os.PRIO_PROCESS, threading.get_native_id()) == mine
