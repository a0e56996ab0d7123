"""A lift opened by its link is shown as far as it is known, soon, with and without a script."""

from __future__ import annotations

import html
import re
import time
from collections.abc import Iterator

import pytest
from fastapi.testclient import TestClient

from slingwright.desk.bench import Bench, Look
from slingwright.desk.link import pack_lift
from slingwright.desk.pages import opened
from slingwright.desk.turns import Busy
from tests.desk.doors import desk_client

PEOPLE = {"Accept": "text/html"}


@pytest.fixture
def client() -> Iterator[TestClient]:
    with desk_client() as client:
        yield client


def bench_of(client: TestClient) -> Bench:
    found: Bench = client.app.state.bench  # type: ignore[attr-defined]  # an ASGI app to its types
    return found


def example(client: TestClient, name: str) -> dict[str, object]:
    return next(dict(one.tables) for one in bench_of(client).examples() if one.name == name)


def test_a_search_that_does_not_end_shows_its_page_with_progress_and_stop(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench, lift = bench_of(client), example(client, "chiller")
    link = f"/lift?l={pack_lift(lift)}"
    with bench.turn(), bench.turn():  # nothing can begin
        began = time.monotonic()
        for name in ("_FIRST_S", "_WHOLE_S", "_LONGER_S"):
            monkeypatch.setattr(opened, name, 0.2)
        page = client.get(link, headers=PEOPLE)
        assert time.monotonic() - began < 5, "it waited for what does not come"
        assert page.status_code == 200
        assert "Waiting for a turn" in page.text
        assert "A lift to start from" not in page.text
        again = re.search(r'<noscript>.*?href="([^"]+)"', page.text)
        assert again is not None
        assert html.unescape(again[1]) == f"{link}&wait=1"
        stop = re.search(r'<form method="post" action="(/lift/stop[^"]+)"', page.text)
        assert stop is not None
        assert len(bench._jobs._tabs) == 1
        assert "Waiting for a turn" in client.get(f"{link}&wait=1", headers=PEOPLE).text
        assert len(bench._jobs._tabs) == 1, "the same link waits for the same search"
        stopped = client.post(html.unescape(stop[1]), headers=PEOPLE)
    assert "NO ANSWER" in stopped.text
    assert "<html" in stopped.text
    job = bench.ask(lift, Look(), tab=None)
    assert job.wait(lambda job: job.whole is not None, 120), "what was stopped is begun anew"


def test_the_page_s_script_takes_its_search_on(client: TestClient) -> None:
    bench, lift = bench_of(client), example(client, "chiller")
    with bench.turn(), bench.turn():
        page = bench.ask(lift, Look(), tab=None)
        mine = bench.ask(lift, Look(), tab="aaaaaaaa")
        other = bench.ask(lift, Look(), tab="bbbbbbbb")
        assert mine is page
        assert other is not page
        other.drop()
    assert mine.wait(lambda job: job.explained is not None, 120), "a page is not explained, a tab is"


def test_a_page_that_nobody_takes_on_is_not_explained_and_its_answer_is_kept(client: TestClient) -> None:
    bench, lift = bench_of(client), example(client, "chiller")
    job = bench.ask(lift, Look(), tab=None)
    job.wait(lambda job: False, 120)
    assert job.done
    assert job.explained is None
    assert bench.known(lift, Look()) is not None
    later = bench.ask(lift, Look(), tab="cccccccc")
    assert later is not job
    assert later.whole is not None
    later.drop()


def test_a_search_that_does_not_look_up_is_cut_off(client: TestClient) -> None:
    bench, lift = bench_of(client), example(client, "pipe_40ft")
    slow, held = bench.clock, []

    def clock() -> float:
        if held:
            time.sleep(3.0)  # a candidate that takes so long
        return slow()

    bench.clock = clock
    tab = {"HX-Request": "true", "Lift-Tab": "dddddddd", "Lift-Turn": "1"}
    job = bench.ask(lift, Look(), tab="dddddddd", turn=1)
    job.wait(lambda job: job.first is not None, 120)
    held.append(1)
    began = time.monotonic()
    answer = client.post(f"/lift/stop?l={pack_lift(lift)}&part=rest", headers=tab)
    assert time.monotonic() - began < 2
    assert job.done
    assert "The search was stopped" in client.get(f"/lift/part/first?l={pack_lift(lift)}", headers=tab).text
    assert answer.status_code == 200


def test_who_was_told_that_the_desk_is_busy_is_answered_later(client: TestClient) -> None:
    bench, lift = bench_of(client), example(client, "chiller")
    with bench.full():
        job = bench.ask(lift, Look(), tab="eeeeeeee", turn=1)
        with pytest.raises(Busy):
            job.wait(lambda job: False, 20)
    again = bench.ask(lift, Look(), tab="eeeeeeee", turn=1)
    assert again.wait(lambda job: job.whole is not None, 120)
    again.drop()


def test_pose_and_offer_come_as_parts_and_stand_in_their_link(client: TestClient) -> None:
    lift = example(client, "chiller")
    query = f"l={pack_lift(lift)}"
    page = client.get(f"/lift?{query}", headers=PEOPLE).text
    assert f'hx-get="/lift/part/first?{query}&amp;offer=1&amp;pose=worst"' in page
    assert f'hx-get="/lift/part/first?{query}&amp;offer=2"' in page
    tab = {"HX-Request": "true", "Lift-Tab": "ffffffff", "Lift-Turn": "1"}
    part = client.get(f"/lift/part/first?{query}&offer=2&pose=worst", headers=tab).text
    assert f'data-link="/lift?{query}&amp;offer=2&amp;pose=worst"' in part
    assert 'data-pose="worst"' in part


def test_a_page_just_opened_can_be_stopped_before_it_asks_for_a_part(client: TestClient) -> None:
    bench, lift = bench_of(client), example(client, "pipe_40ft")
    tab = {"HX-Request": "true", "Lift-Tab": "12345678", "Lift-Turn": "0"}
    with bench.turn(), bench.turn():
        job = bench.ask(lift, Look(), tab=None)
        answer = client.post(f"/lift/stop?l={pack_lift(lift)}&part=first", headers=tab)
        assert job.stopped
    assert "NO ANSWER" in answer.text
