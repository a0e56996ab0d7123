"""Where a page cannot stand, people get one that says what to do, and programs a problem document."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from slingwright.desk.app import create_app
from slingwright.desk.guard import MOST_BODY
from slingwright.usecases.settings import resolve_settings

SHOP = Path(__file__).parents[2] / "examples" / "harrow_quay" / "shop.toml"
PEOPLE = {"Accept": "text/html,application/xhtml+xml,*/*;q=0.8"}


@pytest.fixture
def client() -> Iterator[TestClient]:
    settings = resolve_settings({"shop": str(SHOP)}, {}, SHOP.parent)
    with TestClient(create_app(settings)) as client:
        yield client


def test_a_page_that_is_not_there_is_a_page_for_people(client: TestClient) -> None:
    answer = client.get("/nowhere", headers=PEOPLE)
    assert answer.status_code == 404
    assert "There is no such page here" in answer.text
    assert 'href="/"' in answer.text
    assert "script-src 'self'" in answer.headers["content-security-policy"]


@pytest.mark.parametrize("path", ["/nowhere", "/api/v1/nowhere"])
def test_and_a_problem_document_for_programs(client: TestClient, path: str) -> None:
    headers = PEOPLE if path.startswith("/api") else {}
    answer = client.get(path, headers=headers)
    assert answer.status_code == 404
    assert answer.headers["content-type"] == "application/problem+json"


def test_too_much_is_told_with_what_is_allowed(client: TestClient) -> None:
    answer = client.post("/lift", data={"text": "#" * MOST_BODY}, headers=PEOPLE)
    assert answer.status_code == 413
    assert "1\u00a0MB" in answer.text


def test_a_busy_desk_offers_the_same_address_again(client: TestClient) -> None:
    link = str(client.get("/example/chiller", follow_redirects=False).headers["location"])
    bench = client.app.state.bench  # type: ignore[attr-defined]
    with bench.full():
        answer = client.get(link, headers=PEOPLE)
    assert answer.status_code == 503
    assert answer.headers["retry-after"]
    assert f'href="{link.replace("&", "&amp;")}"' in answer.text


@pytest.mark.parametrize("headers", [PEOPLE, {}])
def test_a_fault_of_ours_tells_nothing_of_the_inside(
    headers: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        msg = "secret inside"
        raise ZeroDivisionError(msg)

    settings = resolve_settings({"shop": str(SHOP)}, {}, SHOP.parent)
    app = create_app(settings)
    monkeypatch.setattr(type(app.state.bench), "examples", fails)
    with TestClient(app, raise_server_exceptions=False) as client:
        answer = client.get("/", headers=headers)
    assert answer.status_code == 500
    assert "secret" not in answer.text
    assert "ZeroDivision" not in answer.text
    assert "script-src 'self'" in answer.headers["content-security-policy"]
    if headers:
        assert "no figure of it counts" in answer.text
    else:
        assert answer.headers["content-type"] == "application/problem+json"
        assert answer.json()["status"] == 500
