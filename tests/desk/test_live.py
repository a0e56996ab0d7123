"""The lift page in place, in process: parts as they become known, faults, what is newer, what is stopped."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from httpx2 import Response

from slingwright.desk.app import create_app
from slingwright.desk.bench import Bench, Look
from slingwright.desk.jobs import Job
from slingwright.desk.link import pack_lift
from slingwright.desk.tabs import MOST_TABS, Jobs, Outdated
from slingwright.desk.turns import Busy
from slingwright.usecases.settings import Settings, resolve_settings

SHOP = Path(__file__).parents[2] / "examples" / "harrow_quay" / "shop.toml"
PICK_KEYS = ("name", "at.0", "at.1", "at.2", "pin", "rated", "rated_at")
TYPED = {
    "title": "Press",
    "load.weight": "4000 lb",
    "load.shape": "box",
    "load.length": "6 ft",
    "load.width": "4 ft",
    "load.height": "4 ft",
    "load.centre_of_gravity": "3 ft; 2 ft; 2 ft",
    "load.pick_point.0.name": "",
    "hook.headroom": "18 ft",
    "hook.thickness": "2 in",
} | {
    f"load.pick_point.{i}.{key}": value
    for i, (x, y) in enumerate((("1 ft", "1 ft"), ("5 ft", "1 ft"), ("5 ft", "3 ft"), ("1 ft", "3 ft")))
    for key, value in {"at.0": x, "at.1": y, "at.2": "4 ft", "name": "ABCD"[i], "pin": "1 in"}.items()
}
A_WHILE = 120  # polls: a machine that does much else


@pytest.fixture(scope="module")
def shop_settings() -> Settings:
    return resolve_settings({"shop": str(SHOP)}, {}, SHOP.parent)


@pytest.fixture(scope="module")
def client(shop_settings: Settings) -> Iterator[TestClient]:
    app = create_app(shop_settings, today=lambda: date(2026, 1, 31))
    with TestClient(app, follow_redirects=False) as client:
        yield client


def bench_of(client: TestClient) -> Bench:
    found: Bench = client.app.state.bench  # type: ignore[attr-defined]  # an ASGI app to its types
    return found


def headers(tab: str, turn: int, *, pressed: bool = False) -> dict[str, str]:
    said = {"HX-Request": "true", "Lift-Tab": tab, "Lift-Turn": str(turn)}
    return said | ({"Lift-Pressed": "1"} if pressed else {})


def followed(client: TestClient, answer: Response, tab: str, turn: int) -> Response:
    """Ask again as the page does until the part is there."""
    for _ in range(A_WHILE):
        again = re.search(r'class="progress"[^>]* hx-get="([^"]+)"', answer.text)
        if again is None:
            return answer
        answer = client.get(again[1].replace("&amp;", "&"), headers=headers(tab, turn))
        assert answer.status_code == 200, answer.text
    pytest.fail("it never came")


TITLE_OF_AN_OFFER = r"<h2(?: id=\"offer-title\")?>(Offer \d[^<]+)"


def test_the_answer_comes_in_parts_that_say_where_they_stand(client: TestClient) -> None:
    tab = "aaaaaaaa"
    first = followed(client, client.post("/lift/live", data=TYPED, headers=headers(tab, 1)), tab, 1)
    assert "hx-retarget" not in first.headers
    assert "<html" not in first.text
    assert "<svg" in first.text
    assert "A qualified person must approve the lift" in first.text, "no result without its cautions"
    link = re.search(r'data-link="(/lift\?l=[^"]+)"', first.text)
    assert link is not None
    query = link[1].partition("?")[2]
    rest = followed(client, client.get(f"/lift/part/rest?{query}", headers=headers(tab, 1)), tab, 1)
    plain = client.get(link[1]).text  # whole, for all of it is known now
    offers = re.findall(TITLE_OF_AN_OFFER, plain)
    assert len(offers) > 1
    assert offers[0].startswith("Offer 1: best, cheapest, "), "this lift tells nothing"
    [after] = re.findall(r'<h2 id="offer-title" hx-swap-oob="innerHTML">([^<]+)', rest.text)
    assert after == offers[0], "what else the best is, known only now, is not said above it"
    assert re.findall(r"<h2>(Offer \d[^<]+)", rest.text) == offers[1:]
    question = followed(client, client.get(f"/lift/part/question?{query}", headers=headers(tab, 1)), tab, 1)
    assert question.text.strip().startswith('<div id="question">')
    changes = followed(client, client.get(f"/lift/part/changes?{query}", headers=headers(tab, 1)), tab, 1)
    assert "What would change the answer" in changes.text
    # and what is known comes at once, to another page too
    again = client.post("/lift/live", data=TYPED, headers=headers("bbbbbbbb", 1))
    assert re.findall(TITLE_OF_AN_OFFER, again.text) == offers


def test_the_first_part_is_the_best_of_the_whole(client: TestClient) -> None:
    bench, told = bench_of(client), {**TYPED, "load.weight": "4100 lb"}
    link = client.post("/lift", data=told).headers["location"]
    from slingwright.desk.link import unpack_lift

    job = bench.ask(unpack_lift(link.partition("l=")[2]), Look(), tab="cccccccc", turn=1)
    assert job.wait(lambda job: job.whole is not None, 120)
    assert job.first is not None
    assert job.whole is not None
    one, other = job.first.answer.offers[0], job.whole.answer.offers[0]
    assert (one.slings, one.price_minor, one.findings) == (other.slings, other.price_minor, other.findings)
    assert len(job.first.answer.offers) == 1


def test_a_fault_comes_to_its_field_and_leaves_the_answer(client: TestClient) -> None:
    wrong = client.post(
        "/lift/live", data={**TYPED, "load.weight": "4 elephants"}, headers=headers("dddddddd", 1)
    )
    assert wrong.status_code == 200, "a browser's console would call it an error"
    assert wrong.headers["hx-retarget"] == "#faults"
    assert 'data-fault="load.weight"' in wrong.text
    assert "elephants" in wrong.text


def test_what_nobody_has_typed_yet_is_no_fault_until_an_answer_is_asked_for(client: TestClient) -> None:
    begun = {"title": "Press", "load.weight": "4000 lb", "load.shape": "", "hook.headroom": ""}
    typing = client.post("/lift/live", data=begun, headers=headers("eeeeeeee", 1)).text
    assert 'class="faults"' not in typing
    assert 'href="#load.shape"' in typing
    assert 'href="#hook.headroom"' in typing
    pressed = client.post("/lift/live", data=begun, headers=headers("eeeeeeee", 2, pressed=True)).text
    assert 'class="faults"' in pressed
    assert 'class="wanted"' not in pressed


def test_the_button_that_has_the_focus_says_nothing(client: TestClient) -> None:
    """A form that sends itself names the button that was reached by key: nobody pressed it."""
    sent = {**TYPED, "load.weight": "4 elephants", "unknown": "load.weight"}
    live = client.post("/lift/live", data=sent, headers=headers("ffffffff", 1)).text
    assert "elephants" in live
    location = client.post("/lift", data=sent).headers["location"]
    assert "elephants" not in client.get(location).text
    assert "STOP" in client.get(location).text, "nobody knows the weight"


def test_i_do_not_know_on_a_half_filled_form_marks_its_field_and_finds_no_fault(client: TestClient) -> None:
    """Without a script: what was typed stays, what is still empty is said, and is no fault."""
    begun = {
        "title": "Press",
        "load.weight": "",
        "load.shape": "",
        "load.length": "9 ft",
        "hook.headroom": "",
    }
    begun |= {f"load.pick_point.{row}.{key}": "" for row in range(2) for key in PICK_KEYS}
    begun |= {"load.pick_point.0.name": "A", "load.pick_point.0.at.0": "1 ft"}
    begun |= {"load.pick_point.0.at.1": "1 ft", "load.pick_point.0.at.2": "3 ft"}
    sent = client.post("/lift", data={**begun, "unknown": "load.centre_of_gravity"})
    assert sent.headers["location"].endswith("#load.centre_of_gravity"), "back to where it was pressed"
    got = client.get(sent.headers["location"])
    assert got.status_code == 200
    assert 'class="faults"' not in got.text
    assert "aria-invalid" not in got.text
    assert re.search(r'name="load.centre_of_gravity" value="unknown"', got.text)
    for kept in ('value="Press"', 'value="9 ft"', 'value="3 ft"'):
        assert kept in got.text, kept
    assert 'class="wanted"' in got.text
    assert 'href="#load.shape"' in got.text
    wrong = client.post("/lift", data={**begun, "load.length": "9 elephants", "unknown": "load.weight"})
    page = client.get(wrong.headers["location"]).text
    assert re.findall('data-fault="([^"]+)"', page) == ["load.length"], "what was typed wrong is told"
    asked = client.post("/lift", data=begun)
    assert 'class="faults"' in client.get(asked.headers["location"]).text, "an answer was asked for"
    whole = client.post("/lift", data={**TYPED, "unknown": "load.edge_radius"})
    assert 'class="faults"' not in client.get(whole.headers["location"]).text


def test_an_unknown_button_of_no_field_is_nothing(client: TestClient) -> None:
    sent = client.post("/lift", data={**TYPED, "unknown": "hook.headroom"})
    assert sent.headers["location"] == client.post("/lift", data=TYPED).headers["location"]


def test_a_newer_question_drops_the_older_one_s_search(client: TestClient) -> None:
    bench = bench_of(client)
    long = next(one.tables for one in bench.examples() if one.name == "conduit_bundle")
    older = bench.ask(long, Look(), tab="abcdef01", turn=1)
    newer = bench.ask({**long, "title": "newer"}, Look(), tab="abcdef01", turn=2)
    older.wait(lambda job: False, 120)
    assert older.done
    assert older.whole is None
    assert bench.job_of("abcdef01") is newer
    with pytest.raises(Outdated):
        bench.ask(long, Look(), tab="abcdef01", turn=1)
    late = client.get(f"/lift/part/first?l={pack_lift(long)}", headers=headers("abcdef01", 1))
    assert late.status_code == 204
    newer.drop()


def test_a_part_of_the_older_answer_does_not_drop_the_newer_question(client: TestClient) -> None:
    """The page sends a part of what stands there with the number of what has been asked since."""
    bench, tab = bench_of(client), "abcdef15"
    older = next(one.tables for one in bench.examples() if one.name == "pipe_40ft")
    newer = {**older, "title": "newer"}
    with bench.turn(), bench.turn():  # nothing can begin
        bench.ask(older, Look(), tab=tab, turn=1)
        job = bench.ask(newer, Look(), tab=tab, turn=2)
        for part in ("rest", "question", "changes", "first"):
            late = client.get(f"/lift/part/{part}?l={pack_lift(older)}", headers=headers(tab, 2))
            assert late.status_code == 204
        assert bench.job_of(tab) is job
        assert not job.unwanted
        early = client.get(f"/lift/part/rest?l={pack_lift(newer)}", headers=headers(tab, 3))
        assert early.status_code == 200
        newest = bench.ask({**older, "title": "newest"}, Look(), tab=tab, turn=3)
        assert newest is not job, "a part that came before it, with its number, is not taken for it"
    newest.drop()


def test_what_something_newer_took_the_place_of_says_nothing(client: TestClient) -> None:
    bench, tab = bench_of(client), "abcdef16"
    lift = {**next(one.tables for one in bench.examples() if one.name == "pipe_40ft"), "title": "dropped"}
    with bench.turn(), bench.turn():
        job = bench.ask(lift, Look(), tab=tab, turn=1)
        job.drop()
    assert job.wait(lambda job: job.done, 60)
    page = client.get(f"/lift/part/first?l={pack_lift(lift)}", headers=headers(tab, 1))
    assert page.status_code == 204


def test_a_stopped_search_says_what_is_not_proved_and_is_not_taken_for_the_answer(client: TestClient) -> None:
    bench, tab = bench_of(client), "abcdef02"
    long = next(one.tables for one in bench.examples() if one.name == "pipe_40ft")
    query = f"l={pack_lift(long)}"
    job = bench.ask(long, Look(), tab=tab, turn=1)
    assert job.wait(lambda job: job.first is not None, 120)
    stopped = client.post(f"/lift/stop?{query}&part=first", headers=headers(tab, 1))
    stopped = followed(client, stopped, tab, 1)
    assert job.stopped
    assert job.halted
    assert job.whole is job.first
    assert "The search was stopped" in stopped.text
    assert "again=1" in stopped.text
    assert job.whole not in bench._kept.values()
    again = bench.ask(long, Look(), tab=tab, turn=2, again=True)
    assert again is not job
    again.drop()


def test_stopped_before_anything_is_found_is_no_stop_of_the_lift(client: TestClient) -> None:
    bench, tab = bench_of(client), "abcdef03"
    lift = {**next(one.tables for one in bench.examples() if one.name == "pipe_40ft"), "title": "unseen"}
    with bench.turn(), bench.turn():  # nothing can begin
        job = bench.ask(lift, Look(), tab=tab, turn=1)
        client.post(f"/lift/stop?l={pack_lift(lift)}&part=first", headers=headers(tab, 1))
        page = client.get(f"/lift/part/first?l={pack_lift(lift)}", headers=headers(tab, 1)).text
    assert job.done
    assert "NO ANSWER" in page
    assert "STOP: not like this" not in page


def test_progress_says_the_stage_and_how_many_and_can_be_stopped(client: TestClient) -> None:
    bench, tab = bench_of(client), "abcdef04"
    lift = {**next(one.tables for one in bench.examples() if one.name == "pipe_40ft"), "title": "waits"}
    with bench.turn(), bench.turn():
        waits = client.get(f"/lift?l={pack_lift(lift)}", headers=headers(tab, 1))
        assert "Waiting for a turn" in waits.text
        assert 'hx-post="/lift/stop?' in waits.text
        assert 'value="waits"' in waits.text, "the form is filled from the lift at once"
        job = bench.job_of(tab)
        assert job is not None
        job.drop()
    with bench.full():
        busy = client.get(f"/lift?l={pack_lift({**lift, 'title': 'busy'})}", headers=headers("abcdef05", 1))
        busy = followed_once(client, busy, "abcdef05")
    assert "The desk is busy" in busy.text
    assert "/lift/stop" not in busy.text


def followed_once(client: TestClient, answer: Response, tab: str) -> Response:
    if "The desk is busy" in answer.text:
        return answer
    time.sleep(0.3)
    again = re.search(r'class="progress"[^>]* hx-get="([^"]+)"', answer.text)
    assert again is not None
    return client.get(again[1].replace("&amp;", "&"), headers=headers(tab, 1))


def test_a_part_opened_by_itself_leads_to_the_page(client: TestClient) -> None:
    sent = client.get("/lift/part/rest?l=abc")
    assert sent.status_code == 303
    assert sent.headers["location"] == "/lift?l=abc"


def test_tabs_are_bounded_and_forgotten() -> None:
    now = [0.0]
    jobs = Jobs(clock=lambda: now[0])
    first = jobs.ask("0", 1, "k", lambda: Job(key="k"))
    for tab in range(1, MOST_TABS):
        jobs.ask(str(tab), 1, "k", lambda: Job(key="k"))
    with pytest.raises(Busy):
        jobs.ask("one more", 1, "k", lambda: Job(key="k"))
    first.stage = "done"
    jobs.ask("one more", 1, "k", lambda: Job(key="k"))
    assert jobs.of("0") is None, "a tab whose job is done makes room"
    gone = jobs.of("1")
    now[0] = 10.0
    jobs.ask("2", None, "k", lambda: Job(key="k"))  # its page asks for what is missing
    with pytest.raises(Busy):
        jobs.ask("two more", 1, "k", lambda: Job(key="k"))
    now[0] = 20.0
    jobs.ask("two more", 1, "k", lambda: Job(key="k"))
    assert jobs.of("1") is None, "and so does one whose page asks for nothing any more"
    assert gone is not None
    assert gone.unwanted
    assert jobs.of("2") is not None
    now[0] = 1e4
    jobs.ask("much later", 1, "k", lambda: Job(key="k"))
    assert jobs.of("2") is None
    assert len(jobs._tabs) == 1


def test_links_that_are_broken_are_told_in_place(client: TestClient) -> None:
    broken = client.get("/lift?l=broken", headers=headers("abcdef06", 1))
    assert broken.status_code == 200
    assert "The link is damaged" in broken.text
    assert "<html" not in broken.text


def test_a_pick_point_that_is_only_begun_is_still_to_be_said(client: TestClient) -> None:
    begun = {key: text for key, text in TYPED.items() if "pick_point" not in key}
    begun |= {"load.pick_point.0.name": "A"}
    answer = client.post("/lift/live", data=begun, headers=headers("cafecafe", 1))
    assert answer.status_code == 200
    assert '<a href="#load.pick_point.0.at.0">Pick points 1</a>' in answer.text
