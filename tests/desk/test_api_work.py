"""The API of the shop's work: the command line's bytes, its gates, and papers on their day."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.desk.doors import DAY, EXAMPLES, JSON, SHOP, TOML, desk_client, send, send_parts
from tests.system.command import Command, hold_to

ORDER, RECORD = EXAMPLES / "order.toml", EXAMPLES / "making_record.toml"
CUT = {
    "params": {
        "kerf": 20, "head_trim": 50, "remnant_min": 3000, "discount": 750, "mount_cost": 500,
        "full_length": 50000, "keep_orders_together": False,
    },
    "stock": [
        {"length": 27270, "count": 1, "kind": "remnant"}, {"length": 50000, "count": 1, "kind": "full"},
    ],
    "items": [{"length": 13550, "quantity": 2}, {"length": 4730, "quantity": 4}],
}  # fmt: skip
SHEET = (
    b"number,customer,rulebook,form,fibre,class,plies,width,length,quantity\n"
    b"EX-7,Saltmarsh Boatyard (fictional),us,twisted-eye,polyester,7,2,2 in,9 ft,4\n"
)


@pytest.fixture(scope="module")
def client() -> Iterator[TestClient]:
    with desk_client() as client:
        yield client


@pytest.fixture
def command(tmp_path: Path, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Command:
    monkeypatch.chdir(tmp_path)
    return Command(capfd, monkeypatch)


@pytest.mark.parametrize(
    ("path", "schema", "file", "said"),
    [
        ("/make", "make", "order.toml", ["make"]),
        ("/make?units=si", "make", "order.toml", ["make", "--units", "si"]),
        ("/tag", "tag", "order.toml", ["tag", "--at", str(DAY)]),
        ("/tag?specimen=true&serial=HQ-1042-1-2", "tag", "order.toml",
         ["tag", "--specimen", "--serial", "HQ-1042-1-2", "--at", str(DAY)]),
        ("/certificate?specimen=true", "certificate", "order.toml",
         ["certificate", "--specimen", "--at", str(DAY)]),
        ("/quote?customer=Saltmarsh", "quote", "order.toml",
         ["quote", "--customer", "Saltmarsh", "--at", str(DAY)]),
        ("/route", "route", "routing_day.toml", ["route"]),
        ("/upgrade", "upgrade", "chiller.toml", ["upgrade"]),
        ("/hang", "hang", None, ["hang"]),
    ],
)  # fmt: skip
def test_a_document_is_the_command_lines_own_bytes(
    client: TestClient, command: Command, tmp_path: Path, path: str, schema: str, file: str | None,
    said: list[str],
) -> None:  # fmt: skip
    place = EXAMPLES / file if file else tmp_path / "problem.json"
    if file is None:
        described = client.get("/api/v1/openapi.json").json()
        content = described["paths"]["/api/v1/hang"]["post"]["requestBody"]["content"][JSON]
        place.write_text(json.dumps(content["examples"]["small"]["value"]))
    shop = () if said == ["upgrade"] else ("--shop", SHOP)
    told = command(said[0], place, *said[1:], *shop, "--json")
    got = send(client, path, place.read_bytes(), JSON if file is None else TOML)
    assert (got.status_code, told.err) == (200, "")
    assert got.content == told.out.encode()
    hold_to(schema, got.json())


def test_a_rating_is_the_command_lines_own_bytes(client: TestClient, command: Command) -> None:
    sling = [
        "--form",
        "twisted-eye",
        "--fibre",
        "polyester",
        "--class",
        "7",
        "--plies",
        "2",
        "--width",
        "2 in",
    ]
    told = command("rate", *sling, "--rulebook", "us", "--table", "--json")
    query = "form=twisted-eye&fibre=polyester&webbing_class=7&plies=2&width=2 in&rulebook=us&table=true"
    assert client.get(f"/api/v1/rate?{query}").content == told.out.encode()


def test_a_cut_plan_is_the_command_lines_but_for_its_seconds(client: TestClient, command: Command) -> None:
    content = json.dumps(CUT).encode()
    want = command.answers("cut-plan", "cut", "-", stdin=content)
    got = send(client, "/cut", content, JSON)
    plan = got.json()
    assert {**plan, "seconds": 0} == {**want, "seconds": 0}
    rows = send(client, "/export/cut-list/csv", got.content, JSON)
    assert rows.headers["content-type"].startswith("text/csv")
    assert len(rows.text.splitlines()) == 1 + sum(len(roll["pieces"]) for roll in plan["plan"])
    assert send(client, "/papers/cut-list", content, JSON).content.startswith(b"%PDF")


def test_all_webbings_of_a_cut_job_share_the_time_of_one_request(monkeypatch: pytest.MonkeyPatch) -> None:
    from slingwright.make.cutting import solve
    from slingwright.usecases.cut_webbing import cut_webbing

    now, given = [0.0], []
    solve_cut = solve.solve_cut

    def slow(problem: Any, *, time_limit_s: float, clock: Any) -> Any:
        given.append(time_limit_s)
        now[0] += 4.0
        return solve_cut(problem, time_limit_s=time_limit_s, clock=lambda: 0.0)

    monkeypatch.setattr(solve, "solve_cut", slow)
    content = json.dumps([{**CUT, "name": str(n)} for n in range(4)]).encode()
    answer = cut_webbing(content, "", limit_s=5, whole_s=10, clock=lambda: now[0])
    assert given == [5, 5, 2, 0]
    assert len(answer.plans) == 4


def test_a_spreadsheet_becomes_a_file_and_a_price_list_a_spreadsheet(client: TestClient) -> None:
    got = send(client, "/load/order", SHEET, "text/csv")
    hold_to("load", got.json())
    assert send(client, "/make", got.json()["text"].encode()).status_code == 200
    for ending, start in (("csv", b"\xef\xbb\xbfcode,"), ("xlsx", b"PK")):
        listed = client.get(f"/api/v1/export/price-list/{ending}?rulebook=us&lengths=6 ft")
        assert listed.content.startswith(start)
        assert listed.content == client.get(listed.request.url).content
    missing = client.get("/api/v1/export/price-list/csv?rulebook=us&lengths=soon")
    assert missing.json()["field"] == "lengths"


def test_no_list_of_the_shops_own_is_given_out(client: TestClient) -> None:
    for name in ("stock/csv", "rolls/xlsx", "price_book/csv", "..%2Fshop.toml"):
        assert client.get(f"/api/v1/export/{name}?rulebook=us&lengths=6 ft").status_code in (404, 422)


@pytest.mark.parametrize(
    ("paper", "more"), [("tags", ""), ("traveler", ""), ("certificate", "serial=HQ-1042-1-1&")]
)
def test_a_shut_gate_lets_nothing_out_but_a_specimen(client: TestClient, paper: str, more: str) -> None:
    parts = {"file": ("order.toml", ORDER.read_bytes()), "record": ("record.toml", RECORD.read_bytes())}
    serial = more.replace("HQ-1042-1-1", "HQ-1042-2-1")  # the floor wrote down the second line's slings
    refused = send_parts(client, f"/papers/{paper}?{serial}", **parts)
    assert refused.status_code == 409
    assert refused.headers["content-type"] == "application/problem+json"
    ask = f"/papers/{paper}?{more}specimen=true"
    first, second = (send(client, ask, ORDER.read_bytes()) for _ in range(2))
    assert first.content.startswith(b"%PDF")
    assert first.content == second.content


def test_an_approval_drawing_comes_before_the_gates(client: TestClient) -> None:
    got = send(client, "/papers/approval", ORDER.read_bytes())
    assert got.headers["content-type"] == "application/pdf"
    assert got.content != send(client, "/papers/approval?specimen=true", ORDER.read_bytes()).content


def test_a_certificate_needs_its_record_and_one_sling(client: TestClient) -> None:
    assert send(client, "/certificate", ORDER.read_bytes()).json()["field"] == "record"
    several = send(client, "/papers/certificate?specimen=true", ORDER.read_bytes())
    assert (several.status_code, several.json()["field"]) == (422, "serial")


def test_an_order_of_more_slings_than_anyone_prints_is_refused_at_once(client: TestClient) -> None:
    order = ORDER.read_text("utf-8").replace("quantity = 2", "quantity = 9000")
    for path in ("/tag", "/papers/tags", "/papers/traveler?specimen=true", "/certificate?specimen=true"):
        got = send(client, path, order.encode())
        assert (got.status_code, got.json()["field"]) == (422, "line"), path
    assert send(client, "/make", order.encode()).status_code == 200


def test_an_order_may_name_an_offers_document_that_comes_with_it(client: TestClient) -> None:
    lift = (EXAMPLES / "crane_rail_beam.toml").read_bytes()
    offers = send(client, "/choose", lift).content
    order = {
        "schema": "slingwright/order/1", "customer": "x", "rulebook": "us",
        "line": [{"offer": {"file": "offers.json", "index": 1}, "quantity": 1}],
    }  # fmt: skip
    parts = {"file": ("order.json", json.dumps(order).encode()), "beside": ("offers.json", offers)}
    got = send_parts(client, "/quote", **parts)
    assert got.status_code == 200, got.text
    alone = send_parts(client, "/quote", file=parts["file"])
    assert alone.json()["field"] == "line[0].offer.file"
