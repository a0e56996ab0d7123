"""The API: the command line's own documents, problems that name the field, guards that hold."""

from __future__ import annotations

import base64
import json
import threading
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from httpx2 import Response

from slingwright.desk.app import create_app
from slingwright.desk.bench import Bench, Busy
from slingwright.usecases.choose_sling import ChooseRequest, choose_sling
from slingwright.usecases.make_document import make_document
from slingwright.usecases.make_order import MakeRequest, make_order
from slingwright.usecases.offers_document import offers_document
from slingwright.usecases.quote import QuoteRequest, quote_slings
from slingwright.usecases.quote_document import quote_document
from slingwright.usecases.settings import Settings, resolve_settings

EXAMPLES = Path(__file__).parents[2] / "examples" / "harrow_quay"
DAY = date(2026, 1, 31)
TOKEN = "a token of sixteen or more"
JSON, TOML = "application/json", "application/toml"


@pytest.fixture(scope="module")
def shop_settings() -> Settings:
    return resolve_settings({"shop": str(EXAMPLES / "shop.toml")}, {}, EXAMPLES)


@pytest.fixture(scope="module")
def client(shop_settings: Settings) -> Iterator[TestClient]:
    with TestClient(create_app(shop_settings, today=lambda: DAY), raise_server_exceptions=False) as client:
        yield client


def send(client: TestClient, path: str, content: bytes, media: str = TOML) -> Response:
    return client.post(f"/api/v1{path}", content=content, headers={"content-type": media})


def timeless(document: dict[str, Any]) -> dict[str, Any]:
    """A document of offers without the one figure that a clock made."""
    return {**document, "search": {**document["search"], "seconds": None}}


# the quicker ones; all lifts go through the one function that this compares with
@pytest.mark.parametrize("name", ["hot_casting", "scrubber_vessel", "chiller", "crane_rail_beam"])
def test_a_lift_is_answered_as_on_the_command_line(
    client: TestClient, shop_settings: Settings, name: str
) -> None:
    content = (EXAMPLES / f"{name}.toml").read_bytes()
    asked = ChooseRequest(
        content=content, file=f"{name}.toml", folder=EXAMPLES, settings=shop_settings, limit_s=None
    )
    want = offers_document(choose_sling(asked, clock=lambda: 0.0))
    got = send(client, "/choose", content)
    assert got.status_code == 200
    assert timeless(got.json()) == timeless(json.loads(json.dumps(want)))
    again = send(client, "/choose", content)
    assert again.content == got.content


def test_orders_are_quoted_and_laid_out_as_on_the_command_line(
    client: TestClient, shop_settings: Settings
) -> None:
    content = (EXAMPLES / "order.toml").read_bytes()
    quoted = quote_slings(
        QuoteRequest(
            content=content, file="order.toml", folder=EXAMPLES, sling={}, offer=1, customer=None, on=DAY,
            settings=shop_settings,
        ),
        clock=lambda: 0.0,
    )  # fmt: skip
    assert send(client, "/quote", content).json() == quote_document(quoted)
    made = make_order(
        MakeRequest(content=content, file="order.toml", folder=EXAMPLES, settings=shop_settings)
    )
    assert send(client, "/make", content).json() == make_document(made)


@pytest.mark.parametrize("paper", ["quote", "data-sheet"])
def test_the_same_order_and_day_give_the_same_paper(client: TestClient, paper: str) -> None:
    content = (EXAMPLES / "order.toml").read_bytes()
    first, second = (send(client, f"/papers/{paper}?at=2026-02-01", content) for _ in range(2))
    assert first.headers["content-type"] == "application/pdf"
    assert first.content.startswith(b"%PDF")
    assert first.content == second.content
    assert first.content != send(client, f"/papers/{paper}?at=2026-02-02", content).content


def test_a_stop_has_a_sheet_and_no_drawing(client: TestClient) -> None:
    content = (EXAMPLES / "hot_casting.toml").read_bytes()
    assert send(client, "/papers/lift-sheet", content).content.startswith(b"%PDF")
    drawing = send(client, "/papers/drawing", content)
    assert drawing.status_code == 409
    assert drawing.json()["title"] == "The answer is no"


@pytest.mark.parametrize(
    ("path", "content", "media", "status", "field"),
    [
        ("/choose", b'{"title": "\\ud800"}', JSON, 422, "title"),
        ("/choose", b'{"\\udfff": 1}', JSON, 422, "?"),
        ("/quote?customer=%00", b"{}", JSON, 422, "customer"),
        ("/choose", b"[" * 500_000, JSON, 422, ""),
        ("/choose", b'{"title": "a", "title": "b"}', JSON, 422, "title"),
        ("/choose", b"\xff\xfe", TOML, 422, ""),
        ("/choose", b"a" * 1_100_001, TOML, 413, None),
        ("/choose", b"PK\x03\x04", "application/zip", 415, None),
        ("/hang", b'{"weight_n": NaN}', JSON, 422, ""),
        ("/quote?offer=0", b"{}", JSON, 422, "offer"),
        ("/quote?at=0", b"{}", JSON, 422, "at"),
        ("/quote?at=2026-02-30", b"{}", JSON, 422, "at"),
        ("/quote?at=soon", b"{}", JSON, 422, "at"),
        ("/papers/..%2Fshop", b"{}", JSON, 404, None),
        ("/papers/secret", b"{}", JSON, 422, "paper"),
        ("/nothing", b"{}", JSON, 404, None),
    ],
)
def test_what_cannot_be_read_is_a_problem_that_names_its_field(
    client: TestClient, path: str, content: bytes, media: str, status: int, field: str | None
) -> None:
    got = send(client, path, content, media)
    assert got.status_code == status
    assert got.headers["content-type"] == "application/problem+json"
    problem = got.json()
    assert problem["status"] == status
    assert problem.get("field") == field
    assert [one["field"] for one in problem.get("faults", [])][:1] == ([] if field is None else [field])
    assert "default-src 'none'" in got.headers["content-security-policy"]


@pytest.mark.parametrize("name", ["shop.toml", "../shop.toml", "/etc/hostname", "..\\shop.toml", "a\0b"])
def test_no_file_of_this_machine_is_read_for_an_order(client: TestClient, name: str) -> None:
    line = {"offer": {"file": name, "index": 1}, "quantity": 1}
    order = {"schema": "slingwright/order/1", "customer": "x", "rulebook": "us", "line": [line]}
    got = send(client, "/quote", json.dumps(order).encode(), JSON)
    assert got.status_code == 422
    assert [one["field"] for one in got.json()["faults"]] == ["line[0].offer.file"]
    assert str(EXAMPLES) not in got.text


def test_a_fault_can_repeat_what_is_no_text(client: TestClient) -> None:
    got = send(client, "/make", b'{"schema": "slingwright/order/1", "\\udfff": 1}', JSON)
    assert got.status_code == 422
    assert "\udfff" in [one["field"] for one in got.json()["faults"]]


def test_no_mesh_of_this_machine_is_read_for_a_lift(client: TestClient) -> None:
    got = send(client, "/choose", (EXAMPLES / "barrier_mesh.toml").read_bytes())
    assert got.status_code == 422
    assert got.json()["field"].startswith("load.mesh")


def test_a_script_in_a_title_stays_text_in_the_drawing(client: TestClient) -> None:
    lift = (EXAMPLES / "chiller.toml").read_text("utf-8")
    title = next(line for line in lift.splitlines() if line.startswith("title"))
    bad = lift.replace(title, 'title = "</svg><script>alert(1)</script>"')
    svg = send(client, "/papers/drawing", bad.encode()).text
    assert svg.startswith(("<svg", "<?xml"))
    assert "<script" not in svg


def test_the_token_is_asked_for_and_a_browser_can_give_it(shop_settings: Settings) -> None:
    client = TestClient(create_app(shop_settings, token=TOKEN))
    assert client.get("/api/v1/schema").status_code == 401
    assert "Basic" in client.get("/").headers["www-authenticate"]
    basic = base64.b64encode(f"anyone:{TOKEN}".encode()).decode()
    for given, status in (
        (f"Bearer {TOKEN}", 200), (f"Basic {basic}", 200), (f"Bearer {TOKEN}x", 401), ("Basic !!", 401),
        ("", 401), (TOKEN, 401),
    ):  # fmt: skip
        assert client.get("/api/v1/schema", headers={"authorization": given}).status_code == status, given


def test_a_name_that_only_leads_to_this_machine_is_turned_away(shop_settings: Settings) -> None:
    client = TestClient(create_app(shop_settings, hosts=["localhost", "[::1]"]))
    for host, status in (
        ("localhost", 200), ("localhost:8040", 200), ("[::1]:8040", 200), ("[::1]", 200),
        ("elsewhere.example", 421), ("localhost.elsewhere.example:8040", 421), ("", 421),
    ):  # fmt: skip
        assert client.get("/api/v1/schema", headers={"host": host}).status_code == status, host


def test_too_many_waiting_are_sent_away_at_once(shop_settings: Settings) -> None:
    app = create_app(shop_settings)
    bench: Bench = app.state.bench
    enter, leave = threading.Event(), threading.Event()

    def hold() -> None:
        with bench.turn():
            enter.set()
            leave.wait(30)

    threads = [threading.Thread(target=hold) for _ in range(18)]
    for one in threads:
        one.start()
    try:
        assert enter.wait(10)
        for _ in range(1000):
            try:
                with bench.turn():
                    pytest.fail("a place was free")
            except Busy:
                break
        got = send(TestClient(app), "/choose", (EXAMPLES / "chiller.toml").read_bytes())
        assert got.status_code == 503
        assert got.headers["retry-after"].isdigit()
        assert TestClient(app).get("/api/v1/schema").status_code == 200
    finally:
        leave.set()
        for one in threads:
            one.join()


def test_every_reference_in_the_description_leads_somewhere(client: TestClient) -> None:
    described = client.get("/api/v1/openapi.json").json()
    text = json.dumps(described)
    assert "Problem" in described["components"]["schemas"]
    for part in text.split('"#/components/schemas/')[1:]:
        assert part.partition('"')[0] in described["components"]["schemas"]
    for path, way in described["paths"].items():
        if "post" in way:
            content = way["post"]["requestBody"]["content"]
            assert content[JSON]["examples"] if JSON in content else content["text/csv"]["example"], path
