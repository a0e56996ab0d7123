"""What passes is shown while the best is looked for: as that, without papers, and never as an answer.

Nothing here waits for time to go by: the search tells of it at once, and goes on when it is let go.
"""

from __future__ import annotations

import io
import re
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import chain, repeat

import pytest
from fastapi.testclient import TestClient
from httpx2 import Response

from slingwright.desk import jobs
from slingwright.desk.bench import Bench, Look
from slingwright.desk.jobs import Died, How, Job
from slingwright.desk.link import pack_lift
from slingwright.desk.pages import opened
from slingwright.desk.searcher import Said, _Outlet, _Told, receive
from slingwright.desk.searchers import _Errand
from slingwright.usecases import choose_sling
from slingwright.usecases.choose_sling import ChooseRequest, Chosen
from tests.desk.doors import desk_client

_WAIT_S = 120.0  # however busy the machine is
_POLLS = 200
MARK = "FOUND SO FAR: not yet the best"
PAPERS = (".pdf", "quote", ".toml", ".svg", "scene.json", "mailto:", "#rest")


@pytest.fixture
def client() -> Iterator[TestClient]:
    with desk_client() as client:
        yield client


@pytest.fixture
def bench(client: TestClient) -> Bench:
    found: Bench = client.app.state.bench  # type: ignore[attr-defined]  # an ASGI app to its types
    return found


@dataclass(slots=True)
class Held:
    """Searches that stand still where they have told of what passes; `jobs` are those that do."""

    go: threading.Event = field(default_factory=threading.Event)
    told: threading.Semaphore = field(default_factory=lambda: threading.Semaphore(0))
    jobs: list[Job] = field(default_factory=list)


@pytest.fixture
def held(monkeypatch: pytest.MonkeyPatch, bench: Bench) -> Iterator[Held]:
    held, tell = Held(), Job.tell

    def told(job: Job, **news: object) -> None:
        tell(job, **news)
        if news.get("early") is not None:
            held.jobs.append(job)
            held.told.release()
            held.go.wait(_WAIT_S)

    monkeypatch.setattr(jobs, "SO_FAR_S", 0.0)
    monkeypatch.setattr(Job, "tell", told)
    yield held
    bench.stop_all()
    held.go.set()


def example(bench: Bench, name: str) -> dict[str, object]:
    return next(dict(one.tables) for one in bench.examples() if one.name == name)


def kept_by(bench: Bench) -> list[Chosen]:
    return [one for shelf in (bench._firsts, bench._kept, bench._told) for one in shelf.values()]


class Page:
    """An open page with a script."""

    def __init__(self, client: TestClient, lift: dict[str, object], tab: str) -> None:
        self.client, self.lift = client, f"l={pack_lift(lift)}"
        self.headers = {"HX-Request": "true", "Lift-Tab": tab, "Lift-Turn": "1"}

    def get(self, address: str) -> Response:
        return self.client.get(address, headers=self.headers)

    def first(self) -> Response:
        """Ask again until anything of the answer is there."""
        answer = self.get(f"/lift/part/first?{self.lift}")
        for _ in range(_POLLS):
            if 'id="progress"' in answer.text:
                return answer
            answer = self.get(self.again(answer.text))
        pytest.fail("it never came")

    def again(self, html: str) -> str:
        """Where the page asks again."""
        found = re.search(r'class="progress"[^>]* hx-get="([^"]+)"', html)
        assert found is not None
        return found[1].replace("&amp;", "&")

    def best(self, answer: Response) -> Response:
        """Ask again as the page does until it is there."""
        for _ in range(_POLLS):
            if 'class="progress"' not in answer.text.partition('id="rest"')[0]:
                return answer
            answer = self.get(self.again(answer.text))
        pytest.fail("it never came")


def test_what_passes_is_shown_as_that_and_gives_way_to_the_best(
    client: TestClient, bench: Bench, held: Held
) -> None:
    page = Page(client, example(bench, "chiller") | {"title": "soon"}, "aaaaaaaa")
    early = page.first().text
    assert MARK in early
    for part in (
        "<svg",
        "Leg by leg",
        "CAUTION",
        "A qualified person must approve the lift",
        "Offer 1: found",
    ):
        assert part in early, part
    shown = early.partition('<textarea id="text"')[0]
    links = re.findall(r'(?:href|url|hx-get)="([^"]+)"', shown)
    assert links
    assert not [link for link in links if any(paper in link for paper in PAPERS)]
    assert 'hx-post="/lift/stop?' in early, "it can be stopped"
    assert re.search(r'id="news"[^>]*>' + MARK, early), "it is told to who cannot see it"
    again = page.get(page.again(early))
    assert again.headers["hx-retarget"] == "#progress"
    assert "data-so-far" not in again.text, "it is shown once, and stays"
    assert not kept_by(bench), "it is no answer"
    held.go.set()
    best = page.best(again).text
    assert MARK not in best
    assert "/lift/sheet.pdf" in best
    assert best.count("The best is found: it stands below in place of what was found so far") == 2
    (job,) = held.jobs
    assert job.early is not None
    assert job.first is not None
    assert job.early.answer.offers[0].order[0] == 1
    assert job.first.answer.offers[0].order[0] == 0
    assert not job.early.answer.search.proved
    assert kept_by(bench)
    for known in kept_by(bench):
        assert all("so-far" not in offer.picked_for for offer in known.answer.offers)


def test_where_it_is_the_best_itself_the_page_says_so(client: TestClient, bench: Bench, held: Held) -> None:
    page = Page(client, example(bench, "crane_rail_beam") | {"title": "same"}, "bbbbbbbb")
    early = page.first()
    assert MARK in early.text
    held.go.set()
    assert "what was found so far is the best. Nothing passes without" in page.best(early).text


def test_where_the_time_is_over_it_is_not_called_the_best(
    client: TestClient, bench: Bench, held: Held
) -> None:
    later, clock = [0.0], bench.clock
    bench.clock = lambda: clock() + later[0]
    page = Page(client, example(bench, "conduit_bundle") | {"title": "late"}, "cccccccc")
    early = page.first()
    assert MARK in early.text
    later[0] = 1e6
    held.go.set()
    ended = page.best(early).text
    assert "what stands here is what it had. A better one may be left" in ended
    for other in ("NO ANSWER", "The best is found", MARK):
        assert other not in ended
    assert not kept_by(bench)


def test_a_search_that_is_stopped_then_ends_with_it(client: TestClient, bench: Bench, held: Held) -> None:
    page = Page(client, example(bench, "chiller") | {"title": "stopped"}, "dddddddd")
    early = page.first().text
    post = re.search(r'hx-post="(/lift/stop[^"]+)"', early)
    assert post is not None
    stopped = client.post(post[1].replace("&amp;", "&"), headers=page.headers).text
    assert "The search ended before the best was proved" in stopped
    assert "NO ANSWER" not in stopped
    for other in (MARK, "The best is found", "The time for the search is over"):
        assert other not in stopped
    (job,) = held.jobs
    assert job.halted
    assert job.whole is job.early
    assert not kept_by(bench)


def test_a_page_opened_in_place_shows_it_and_one_without_a_script_waits(
    client: TestClient, bench: Bench, held: Held, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = Page(client, example(bench, "chiller") | {"title": "opened"}, "eeeeeeee")
    page.first()
    assert held.told.acquire(timeout=_WAIT_S)
    opened_there = page.get(f"/lift?{page.lift}").text
    assert MARK in opened_there
    assert 'class="progress"' in opened_there
    monkeypatch.setattr(opened, "_FIRST_S", 0.0)
    client.get(f"/lift?{page.lift}")  # a search of its own
    assert held.told.acquire(timeout=_WAIT_S)
    plain = client.get(f"/lift?{page.lift}")
    assert "data-so-far" not in plain.text
    assert 'class="progress"' in plain.text
    assert "seen=1" not in plain.text, "its script may ask for it"


def test_where_the_best_is_known_sooner_it_is_never_made(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    def made(*of: object) -> None:
        pytest.fail("it was made")

    monkeypatch.setattr(choose_sling, "choose_so_far", made)
    bench.clock = lambda: 0.0
    job = bench.ask(example(bench, "chiller"), Look(), tab=None)
    assert job.wait(lambda job: job.whole is not None, _WAIT_S)
    assert job.early is None


@pytest.mark.parametrize(("later_s", "told"), [(0.5, False), (0.7, True)])
def test_it_is_looked_for_at_the_first_look_after_its_time(bench: Bench, later_s: float, told: bool) -> None:
    times = chain((0.0, 0.0), repeat(later_s))  # a look takes the time twice
    bench.clock = lambda: next(times)
    job = bench.ask(example(bench, "chiller"), Look(), tab=None)
    assert job.wait(lambda job: job.whole is not None, _WAIT_S)
    assert (job.early is not None) is told


def so_far_of(bench: Bench, name: str) -> Chosen:
    """What is found so far of an example."""
    from slingwright.usecases.lift_text import lift_text

    content = lift_text(example(bench, name), as_json=True).encode()
    request, _ = bench._request(content, "lift.json", Look())
    found = choose_sling.choose_so_far(request, clock=bench.clock, limit_s=1.0)
    assert found is not None
    return found


def test_it_comes_from_another_process_and_is_not_waited_for(bench: Bench) -> None:
    chosen, stream, kept = so_far_of(bench, "chiller"), io.BytesIO(), list[Chosen]()
    there = _Told(key="", number=7, outlet=_Outlet(stream))
    there.tell(early=chosen)
    stream.seek(0)
    said = receive(stream)
    assert isinstance(said, Said)
    how = How(explain_s=0.0, found_first=kept.append, found=kept.append)
    request = ChooseRequest(content=b"", file="", folder=None, settings=bench.settings)
    here = _Errand(job=Job(key=""), request=request, how=how, _bare=chosen)
    here.hear(said.news)
    assert here.job.early is not None
    assert here.job.early.answer == chosen.answer
    assert here.job.early.lift is chosen.lift
    assert not here.known.is_set(), "its place is still needed"
    assert not kept


def test_what_broke_off_ends_with_it(bench: Bench) -> None:
    job = Job(key="", early=so_far_of(bench, "chiller"))
    job.fail(Died())
    assert job.died
    assert job.halted
    assert job.whole is job.early


def test_there_is_none_of_a_lift_that_stops_or_where_the_best_comes_first(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(AssertionError):
        so_far_of(bench, "pipe_40ft")
    monkeypatch.setattr("slingwright.choose.answer.lift_stops", lambda setting: "a stop of the lift itself")
    with pytest.raises(AssertionError):
        so_far_of(bench, "chiller")


def test_programs_and_papers_look_for_the_answer_alone(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    def looked_for(*of: object, **more: object) -> None:
        pytest.fail("it was looked for")

    monkeypatch.setattr(choose_sling, "choose_so_far", looked_for)
    monkeypatch.setattr(jobs, "SO_FAR_S", 0.0)
    assert bench.answer(example(bench, "chiller") | {"title": "paper"}, Look()).answer.offers


def test_a_page_whose_search_ran_out_of_time_is_searched_anew(bench: Bench) -> None:
    lift = example(bench, "chiller") | {"title": "anew"}
    with bench.turn(), bench.turn():
        job = bench.ask(lift, Look(), tab=None)
        job.halted = True
        assert bench.ask(lift, Look(), tab=None) is not job
    bench.stop_all()


@pytest.fixture
def late_once_first_is_known(monkeypatch: pytest.MonkeyPatch, bench: Bench) -> None:
    """The time of a search for a lift named "late" is over as soon as it has told of the best."""
    later, clock, tell = [0.0], bench.clock, Job.tell

    def told(job: Job, **news: object) -> None:
        first = news.get("first")
        if isinstance(first, Chosen) and first.lift.title == "late":  # what another test left may go on
            later[0] = 1e6
        tell(job, **news)

    monkeypatch.setattr(Job, "tell", told)
    bench.clock = lambda: clock() + later[0]


@pytest.mark.usefixtures("late_once_first_is_known")
def test_what_was_proved_best_stays_where_the_time_is_over_before_the_others(bench: Bench) -> None:
    job = bench.ask(example(bench, "chiller") | {"title": "late"}, Look(), tab=None)
    assert job.wait(lambda job: job.whole is not None, _WAIT_S)
    assert job.first is not None
    assert job.first.answer.search.proved
    assert job.whole is job.first
    assert job.halted, "it is told that the others are missing"
    assert not [one for one in bench._kept.values() if one is job.whole]


@pytest.mark.usefixtures("late_once_first_is_known")
def test_the_page_then_says_that_the_others_are_missing(client: TestClient, bench: Bench) -> None:
    page = client.get(f"/lift?l={pack_lift(example(bench, 'chiller') | {'title': 'late'})}").text
    assert "stopped when the best was proved: other offers" in page
    for other in ("NO ANSWER", "The time for the search is over"):
        assert other not in page
