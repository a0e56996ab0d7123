"""The pages and the API in process: the plain path without a script, faults at their fields, guards."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from slingwright.desk.app import create_app
from slingwright.desk.bench import Look
from slingwright.desk.form import FIELDS, fields_of, pick_rows, tables_from_form
from slingwright.desk.link import pack_lift
from slingwright.desk.pages.render import Shown, lift_part
from slingwright.usecases.choose_sling import ChooseRequest, choose_sling
from slingwright.usecases.offers_document import offers_document
from slingwright.usecases.settings import Settings, resolve_settings
from tools.page_states import STATES

SHOP = Path(__file__).parents[2] / "examples" / "harrow_quay" / "shop.toml"
TYPED = {
    "title": "Press <script>alert(1)</script>",
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


@pytest.fixture(scope="module")
def shop_settings() -> Settings:
    """Harrow Quay's own, from no folder's settings file."""
    return resolve_settings({"shop": str(SHOP)}, {}, SHOP.parent)


@pytest.fixture(scope="module")
def client(shop_settings: Settings) -> Iterator[TestClient]:
    app = create_app(shop_settings, today=lambda: date(2026, 1, 31))
    with TestClient(app, follow_redirects=False) as client:
        yield client


@pytest.fixture(scope="module")
def answered(client: TestClient) -> str:
    sent = client.post("/lift", data=TYPED)
    assert sent.status_code == 303
    return str(sent.headers["location"])


class Outline(HTMLParser):
    """Which tags a page has, and that none closes what is not open."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.ids: list[str] = []
        self.labels: set[str] = set()
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        self.tags.append(tag)
        if found.get("id"):
            self.ids.append(str(found["id"]))
        if tag == "label":
            self.labels.add(str(found.get("for")))


def test_the_empty_page_asks_and_offers_examples(client: TestClient) -> None:
    page = client.get("/").text
    outline = Outline(page)
    assert "Chiller onto the plant-room roof" in page
    assert {field.path for field in FIELDS} <= outline.labels & set(outline.ids)
    assert len(outline.ids) == len(set(outline.ids))
    assert page.count("<h1>") == 1


def test_a_form_becomes_a_link_and_the_link_an_answer(client: TestClient, answered: str) -> None:
    page = client.get(answered)
    assert page.status_code == 200
    assert "Offer 1: best" in page.text
    assert "<svg" in page.text
    assert "Planning only" in page.text or "PLANNING ONLY" in page.text
    assert "A qualified person must approve the lift" in page.text
    again = client.post("/lift", data=TYPED).headers["location"]
    assert again == answered, "the same lift, the same link"


def test_what_is_typed_never_runs(client: TestClient, answered: str) -> None:
    for page in (
        client.get(answered).text,
        client.get(answered.replace("/lift?", "/lift/drawing.svg?")).text,
    ):
        scripts = re.findall("<script[^>]*>", page)
        own = re.compile(r'<script (?:type="module"|defer) src="/static/[\w./]+\.js">')
        assert all(own.fullmatch(one) for one in scripts)
        assert "&lt;script&gt;" in page


def test_the_papers_are_a_click_away(client: TestClient, answered: str) -> None:
    page = client.get(answered).text
    papers = {link.replace("&amp;", "&") for link in re.findall(r'href="(/lift/[^"]+)"', page)}
    kinds = {"sheet.pdf": b"%PDF", "drawing.svg": b"<svg", "lift.toml": b"title = "}
    for name, begins in kinds.items():
        mine = [paper for paper in papers if f"/{name}?" in paper]
        assert mine, name
        got = client.get(mine[0])
        assert got.status_code == 200
        assert begins in got.content[:200]


def test_a_lift_that_cannot_be_is_a_stop_nobody_misses(client: TestClient) -> None:
    page = client.get(client.get("/example/scrubber_vessel").headers["location"]).text
    assert 'class="stop-sign" role="alert"' in page
    assert "held too low for its centre of gravity" in page
    assert "/lift/sheet.pdf?" in page


def test_a_fault_stands_at_its_field_and_what_was_typed_stays(client: TestClient) -> None:
    typed = TYPED | {"load.weight": "4 elephants", "load.pick_point.1.at.0": "far"}
    sent = client.post("/lift", data=typed)
    page = client.get(sent.headers["location"])
    assert page.status_code == 422
    for field, text in (("load.weight", "4 elephants"), ("load.pick_point.1.at.0", "far")):
        assert f'href="#{field}"' in page.text
        assert f'value="{text}"' in page.text
        assert f'id="{field}-fault"' in page.text


def test_an_unreadable_range_is_told_before_the_lift_is_made(client: TestClient) -> None:
    page = client.post("/lift", data=TYPED | {"load.weight": "{ low = 1"})
    assert page.status_code == 422
    assert "{ low = 1" in page.text
    assert 'href="#load.weight"' in page.text


def test_a_lift_file_can_be_sent_or_pasted(client: TestClient) -> None:
    content = (SHOP.parent / "chiller.toml").read_bytes()
    sent = client.post("/lift", files={"file": ("chiller.toml", content)})
    pasted = client.post("/lift", data={"text": content.decode()})
    assert sent.headers["location"] == pasted.headers["location"]
    assert sent.headers["location"] == client.get("/example/chiller").headers["location"]
    broken = client.post("/lift", files={"file": ("x.toml", b"\xff\xfe\x00")})
    assert broken.status_code == 422


def test_a_form_filled_from_a_lift_gives_that_lift_back(client: TestClient, shop_settings: Settings) -> None:
    for example in client.app.state.bench.examples():  # type: ignore[attr-defined]
        form = fields_of(example.tables)
        for i, row in enumerate(pick_rows(example.tables)):
            form |= {f"load.pick_point.{i}.{key}": value for key, value in row.items()}
        assert tables_from_form(example.tables, form) == example.tables, example.name


def test_hints_speak_of_the_units_that_the_page_shows(client: TestClient, answered: str) -> None:
    def hint(page: str, field: str) -> str:
        found = re.search(rf'<small id="{re.escape(field)}-hint">(.*?)</small>', page)
        assert found is not None
        return found[1].replace("\u00a0", " ")

    in_us, in_si = (client.get(f"{answered}&units={units}").text for units in ("us", "si"))
    for field in ("load.weight", "load.centre_of_gravity", "site.temperature"):
        assert re.search(r"\d (lb|ft|in|°F)\b", hint(in_us, field))
        assert not re.search(r"\d (lb|ft|in|°F)\b", hint(in_si, field)), field
    assert hint(in_si, "load.length") == hint(in_us, "load.length"), "that has no figure"
    sling = client.get("/sling", params=SLING | {"length": "9 ft", "units": "si"}).text
    assert "5350 kg" in hint(sling, "load.weight")


def test_units_are_a_click_away_and_stay_in_the_link(client: TestClient, answered: str) -> None:
    page = client.get(f"{answered}&units=si").text
    assert 'aria-current="true">Kilograms, metres' in page
    assert "\u00a0kg" in page


def test_nothing_gets_in_without_the_token(shop_settings: Settings) -> None:
    with TestClient(create_app(shop_settings, token="a-long-enough-token")) as client:
        assert client.get("/").status_code == 401
        assert client.get("/", headers={"Authorization": "Bearer wrong"}).status_code == 401
        right = {"Authorization": "Bearer a-long-enough-token"}
        assert client.get("/", headers=right).status_code == 200


def test_too_much_is_refused_before_it_is_read(client: TestClient) -> None:
    assert client.post("/lift", content=b"x" * 1_200_000).status_code == 413
    assert client.get("/static/../app.py").status_code == 404
    assert client.get("/static/%2e%2e/app.py").status_code == 404


def test_every_answer_carries_its_guards(client: TestClient) -> None:
    for path in ("/", "/nowhere", "/api/v1/openapi.json", "/static/desk.css"):
        headers = client.get(path).headers
        assert "default-src 'none'" in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert "set-cookie" not in headers


def test_the_api_gives_the_command_line_s_document(client: TestClient, shop_settings: Settings) -> None:
    tables = tables_from_form({}, TYPED)
    got = client.post("/api/v1/choose", json=tables).json()
    content = b"".join(client.get(f"/lift/lift.toml?l={pack_lift(tables)}").iter_bytes())
    request = ChooseRequest(content=content, file="lift.toml", folder=None, settings=shop_settings)
    own = offers_document(choose_sling(request, clock=lambda: 0.0))
    assert got["schema"] == own["schema"]
    for key in ("answer", "offers", "refused", "cautions"):
        assert got[key] == _as_json(own[key]), key


def _as_json(value: object) -> object:
    import json

    return json.loads(json.dumps(value))


def test_the_api_names_the_field_at_fault(client: TestClient) -> None:
    got = client.post("/api/v1/choose", json={"load": {"weight": "4 elephants"}})
    assert got.status_code == 422
    assert got.headers["content-type"] == "application/problem+json"
    assert "load.weight" in [fault["field"] for fault in got.json()["faults"]]


def test_the_api_hangs_what_it_is_given(client: TestClient) -> None:
    leg = {"length_m": 3.0, "rated_n": 2e4, "strain_at_rated": 0.03}
    problem = {
        "bodies": [{"name": "load", "weight_n": 1e4, "centre_of_gravity_m": [0, 0, -0.5]}],
        "paths": [
            {
                "name": str(i),
                "points": [{"on": "world", "at_m": [0, 0, 3]}, {"on": "load", "at_m": [x, 0, 0]}],
            }
            | leg
            for i, x in enumerate((-1.0, 1.0))
        ],
    }
    got = client.post("/api/v1/hang", json=problem)
    assert got.status_code == 200, got.text
    assert got.json()["status"] == "stable"


SLING = {
    "rulebook": "us",
    "form": "flat-eye",
    "fibre": "polyester",
    "webbing_class": "7",
    "plies": "2",
    "width": "2 in",
    "hitch": "basket",
}


def test_a_known_sling_is_rated_on_its_page_and_by_the_api(client: TestClient) -> None:
    """The page and the API say the figure that the command prints."""
    page = client.get("/sling", params=SLING)
    assert page.status_code == 200
    got = client.get("/api/v1/rate", params=SLING)
    assert got.status_code == 200
    assert got.json()["printed"] in page.text
    assert "PLANNING ONLY" in page.text.upper()


def test_a_sling_s_form_comes_first_till_there_is_an_answer_and_says_what_is_needed(
    client: TestClient,
) -> None:
    empty, wrong, answered = (
        client.get("/sling", params=said).text for said in ({}, SLING | {"width": "wide"}, SLING)
    )
    for page, first in ((empty, True), (wrong, True), (answered, False)):
        assert (page.index('<form method="get" action="/sling"') < page.index('<div class="shown">')) is first
    needed = re.findall(r'<label for="(\w+)">[^<]* <span class="needed">', empty)
    assert needed == ["rulebook", "form", "fibre", "webbing_class", "plies", "width"]
    blank = client.get("/sling", params=dict.fromkeys(needed, "")).text
    assert set(re.findall(r'<div id="(\w+)-fault">', blank)) == set(needed), "each of them, and no other"
    begun = re.findall(r'<p class="fault">(\w)', blank)
    assert begun
    assert all(one.isupper() for one in begun), "a fault at its field is a sentence of its own"


@pytest.mark.parametrize(
    ("asked", "units"),
    [("", "us"), ("?rulebook=en", "si"), ("?units=si", "si"), ("?rulebook=en&units=us", "us")],
)
def test_a_sling_s_form_says_in_which_units_its_answer_will_be(
    client: TestClient, asked: str, units: str
) -> None:
    page = client.get(f"/sling{asked}").text
    switch = page[page.index('<nav class="switch"') :].partition("</nav>")[0]
    named = {"us": "Pounds, feet", "si": "Kilograms, metres"}[units]
    assert re.findall(r'aria-current="true">([^<]*)', switch) == [named]


def test_a_sling_outside_its_table_is_refused_unmissably(client: TestClient) -> None:
    page = client.get("/sling", params=SLING | {"width": "2.5 in"})
    assert page.status_code == 200
    assert 'class="stop-sign" role="alert"' in page.text
    assert 'class="block chart"' not in page.text, "a table of refusals alone says nothing more"


def test_a_sling_s_faults_stand_at_their_fields(client: TestClient) -> None:
    page = client.get("/sling", params=SLING | {"width": "wide", "form": "", "webbing_class": "<b>"})
    assert page.status_code == 422
    assert 'href="#width"' in page.text
    assert 'href="#form"' in page.text
    assert "<b>&" not in page.text
    assert "&lt;b&gt;" in page.text
    missing = client.get("/api/v1/rate", params=SLING | {"width": "wide"})
    assert (missing.status_code, missing.json()["field"]) == (422, "width")


def _answer_of(client: TestClient, example: str) -> str:
    page = client.get(client.get(f"/example/{example}").headers["location"]).text.replace("\u00a0", " ")
    return page[page.index('<div id="answer"') : page.index('<div class="said"')]


def test_how_far_a_load_may_swing_stands_right_below_its_headline(client: TestClient) -> None:
    """The best of slings for a load whose centre nobody knows may hang 58 degrees out of level."""
    (state,) = (one for one in STATES if one.name == "lift-centre-unknown")
    page = client.get(state.path).text
    first = page.partition('<p class="headline">')[2].partition('<p class="papers first">')[0]
    assert re.search(
        r'<p class="wary"><b>CAUTION</b> <strong>tilt</strong> .*up to 5\d\.?\d?° in the worst', first
    )
    assert not re.search(r"<h[1-6][^>]*>\s*</h", page), "a lift without a name has no empty heading"
    assert 'class="wary"' not in client.get("/example/chiller", follow_redirects=True).text


def test_a_fault_stands_right_below_what_was_typed(client: TestClient) -> None:
    page = client.post("/lift", data={"load.weight": "4 elephants"}, follow_redirects=True).text
    assert re.search(r'<input id="load.weight"[^>]*><div id="load.weight-fault">', page)


def test_nothing_is_said_twice_of_the_offer_that_is_drawn(client: TestClient) -> None:
    answer = _answer_of(client, "chiller")
    shown = answer[: answer.index('<div id="rest"')]
    headline = re.search(r'<p class="headline">(.*?)</p>', shown)
    assert headline is not None
    assert shown.count(headline[1]) == 1
    assert "The rule counts" in shown
    assert "The rule alone gives" not in shown.partition("CAUTION")[0]


def test_what_differs_in_the_fibre_alone_is_refused_in_one_line(client: TestClient) -> None:
    answer = _answer_of(client, "scrubber_vessel")
    refused = answer[answer.index("Not offered, and why") :]
    assert refused.count("The load would turn over") == 1
    assert "two-leg bridle, nylon, polyester: The load would turn over" in refused


def test_a_label_stands_once_over_the_rows_it_is_for(client: TestClient) -> None:
    answer = _answer_of(client, "scrubber_vessel")
    assert answer.count("<b>assumed</b>") == 1
    assert answer.count('<li class="again">') > 1


def test_a_weight_that_the_lift_file_gives_the_parts_of_is_not_asked_for(client: TestClient) -> None:
    bench = client.app.state.bench  # type: ignore[attr-defined]
    parts = next(one.tables for one in bench.examples() if one.name == "pump_skid_parts")
    page = lift_part("form.html", bench, parts, Look(), Shown())
    assert page.count("computed from the lift file") == 1
    assert "computed from the lift file" not in client.get("/").text
