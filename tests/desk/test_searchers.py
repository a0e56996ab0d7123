"""Searches in a process beside: answered, stopped and dropped as in this one, and a death survived."""

from __future__ import annotations

import asyncio
import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest
from fastapi.testclient import TestClient

from slingwright.desk.bench import Bench, Look
from slingwright.desk.jobs import Died, Job
from slingwright.desk.link import pack_lift
from slingwright.desk.pages import live
from slingwright.desk.searchers import Searchers
from slingwright.desk.turns import LATER
from slingwright.usecases.choose_sling import Chosen
from tests.desk.doors import SHOP, desk_client, harrow_quay
from tests.system.command import Command

_WAIT_S = 120.0  # however busy the machine is


@pytest.fixture(scope="module")
def searchers() -> Iterator[Searchers]:
    found = Searchers(harrow_quay(), 1)
    found.start()
    assert found.wait()
    yield found
    found.close()


@pytest.fixture
def client(searchers: Searchers) -> Iterator[TestClient]:
    with desk_client() as client:
        bench_of(client).searchers = searchers
        yield client


@pytest.fixture
def bench(client: TestClient) -> Bench:
    return bench_of(client)


def bench_of(client: TestClient) -> Bench:
    found: Bench = client.app.state.bench  # type: ignore[attr-defined]  # an ASGI app to its types
    return found


def example(bench: Bench, name: str) -> dict[str, object]:
    return next(dict(one.tables) for one in bench.examples() if one.name == name)


def pid_of(searchers: Searchers) -> int:
    process = searchers._alive[0]._process
    assert process is not None
    return process.pid


def until(true: Callable[[], bool]) -> None:
    end = time.monotonic() + _WAIT_S
    while not true():
        assert time.monotonic() < end
        time.sleep(0.02)


def timeless(chosen: Chosen | None) -> object:
    assert chosen is not None
    search = replace(chosen.answer.search, seconds=None)
    return chosen.lift, chosen.head, chosen.units, replace(chosen.answer, search=search)


def test_a_lift_is_answered_as_in_one_process(bench: Bench) -> None:
    lift = example(bench, "chiller")
    job = bench.ask(lift, Look(), tab=None)
    job.wait(lambda job: job.done, _WAIT_S)
    assert job.first is not None
    assert timeless(bench.known(lift, Look())) == timeless(job.whole)
    bench._kept.clear()
    first = bench._firsts.popitem()[1].answer
    bench.searchers = None
    assert timeless(bench.answer(lift, Look())) == timeless(job.whole)
    assert bench._firsts.popitem()[1].answer == first == job.first.answer


def test_a_search_is_stopped_dropped_and_taken_on_where_it_is_done(
    bench: Bench, searchers: Searchers
) -> None:
    lift = example(bench, "pipe_40ft")
    job = bench.ask(lift, Look(), tab="bbbbbbbb", turn=1)
    job.wait(lambda job: job.first is not None, _WAIT_S)
    job.stop()
    job.wait(lambda job: job.done, _WAIT_S)
    assert job.halted
    assert job.whole is not None
    assert job.whole.answer.offers
    assert bench.known(lift, Look()) is None
    other = bench.ask({**lift, "title": "other"}, Look(), tab="bbbbbbbb", turn=2)
    other.wait(lambda job: job.first is not None, _WAIT_S)
    other.drop()
    other.wait(lambda job: job.done, _WAIT_S)
    assert other.whole is None
    bench.explain_s = 0.0  # what is known at once
    page = bench.ask(example(bench, "chiller") | {"title": "taken on"}, Look(), tab=None)
    assert page.take_on()
    page.wait(lambda job: job.done, _WAIT_S)
    assert page.explained is not None
    assert not searchers._alive[0].errands


def test_a_search_whose_process_died_says_so_and_the_next_is_answered(
    client: TestClient, bench: Bench, searchers: Searchers
) -> None:
    lift = example(bench, "pipe_40ft") | {"title": "dies"}
    tab = {"HX-Request": "true", "Lift-Tab": "cccccccc", "Lift-Turn": "1"}
    job = bench.ask(lift, Look(), tab="cccccccc", turn=1)
    until(lambda: job.stage == "searching" or job.first is not None)
    os.kill(pid_of(searchers), signal.SIGKILL)
    job.wait(lambda job: job.done, _WAIT_S)
    assert job.died
    assert job.halted
    assert bench.known(lift, Look()) is None
    page = client.get(f"/lift/part/first?l={pack_lift(lift)}", headers=tab).text
    assert "broke off through a fault of this desk" in page
    assert "again=1" in page
    chiller = example(bench, "chiller") | {"title": "after it"}
    assert bench.answer(chiller, Look()).answer.offers


def test_a_paper_whose_search_died_is_refused(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    def dies(*of: object) -> bool:
        job = of[1]
        assert isinstance(job, Job)
        job.fail(Died())
        job.tell(stage="done")
        return True

    monkeypatch.setattr(Searchers, "run", dies)
    lift = example(bench_of(client), "chiller") | {"title": "never"}
    answer = client.get(f"/lift/sheet.pdf?l={pack_lift(lift)}")
    assert answer.status_code == 503
    assert answer.json()["title"] == "The search has ended before its time"


def test_as_many_are_searched_at_once_as_there_are_processes(bench: Bench) -> None:
    assert Bench(settings=bench.settings, searchers=Searchers(bench.settings, 3))._turns._free == 3
    assert Bench(settings=bench.settings, searchers=Searchers(bench.settings, 1))._turns._free == 2


@pytest.mark.parametrize("many", ["-1", "65"])
def test_so_many_processes_are_none(
    capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, many: str
) -> None:
    told = Command(capfd, monkeypatch)("desk", "--shop", SHOP, f"--searchers={many}")
    assert told.code == 2
    assert "--searchers" in told.err


def test_where_no_process_can_be_had_the_search_is_done_in_this_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "executable", "/nowhere/python")
    none = Searchers(harrow_quay(), 2)
    none.start()
    assert not none.wait()
    with desk_client() as client:
        bench = bench_of(client)
        bench.searchers = none
        assert bench.answer(example(bench, "chiller"), Look()).answer.offers
    none.close()


def test_what_may_not_go_on_where_the_best_was_found_is_answered_elsewhere_alike(
    bench: Bench, searchers: Searchers, monkeypatch: pytest.MonkeyPatch
) -> None:
    lift = example(bench, "chiller") | {"title": "elsewhere"}
    left: list[int] = []

    def stays(place: object, was: int, rank: int) -> bool:
        if was != rank:
            left.append(rank)
        return was == rank

    monkeypatch.setattr(searchers._places, "stays", stays)
    job = bench.ask(lift, Look(), tab=None)
    job.wait(lambda job: job.done, _WAIT_S)
    assert left == [LATER]
    bench.searchers = None
    bench._kept.clear()
    assert timeless(bench.answer(lift, Look())) == timeless(job.whole)


def test_what_is_stopped_before_the_others_are_looked_for_ends_with_the_best(
    bench: Bench, searchers: Searchers, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(searchers._places, "stays", lambda place, was, rank: False)
    monkeypatch.setattr(searchers._places, "_most", 0)  # it waits for a place that never comes
    job = bench.ask(example(bench, "chiller") | {"title": "stopped"}, Look(), tab="dddddddd", turn=1)
    job.wait(lambda job: job.first is not None, _WAIT_S)
    until(lambda: job.stage == "waiting")
    job.stop()
    job.wait(lambda job: job.done, _WAIT_S)
    assert job.halted
    assert job.whole is job.first is not None


def test_who_waits_for_a_page_is_woken_when_it_is_known() -> None:
    job = Job(key="")
    told = threading.Timer(0.2, lambda: job.tell(stage="done"))
    told.start()
    began = time.monotonic()
    asyncio.run(live.until(job, lambda job: False, _WAIT_S))
    assert time.monotonic() - began < _WAIT_S / 2
    assert not job.watchers
    asyncio.run(live.until(Job(key=""), lambda job: False, 0.01))  # nothing becomes known
