"""The language of pages and documents: said by the link, else wished by the browser; figures never change."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any, get_args

import pytest
from fastapi.testclient import TestClient

from slingwright.desk.api.answers import Language
from slingwright.desk.app import create_app
from slingwright.usecases.settings import LANGUAGES, resolve_settings
from slingwright.words import languages

EXAMPLES = Path(__file__).parents[2] / "examples" / "harrow_quay"
SPANISH = {"Accept-Language": "es-MX,es;q=0.9,en;q=0.5"}
SLING = {"form": "twisted-eye", "fibre": "polyester", "width": "2 in", "plies": "2", "hitch": "basket"}


@pytest.fixture(scope="module")
def client() -> Iterator[TestClient]:
    settings = resolve_settings({"shop": str(EXAMPLES / "shop.toml")}, {}, EXAMPLES)
    app = create_app(settings, today=lambda: date(2026, 1, 31))
    with TestClient(app, follow_redirects=False) as client:
        yield client


def language_of(page: str) -> str:
    found = re.search(r'<html lang="(\w+)">', page)
    assert found
    return found[1]


def test_every_list_of_languages_is_the_same() -> None:
    assert languages() == LANGUAGES == get_args(get_args(get_args(Language)[0])[0])


def test_the_link_says_the_language_and_the_browser_only_wishes(client: TestClient) -> None:
    assert language_of(client.get("/").text) == "en"
    assert language_of(client.get("/", headers=SPANISH).text) == "es"
    assert language_of(client.get("/?lang=en", headers=SPANISH).text) == "en"
    assert language_of(client.get("/?lang=es").text) == "es"
    assert language_of(client.get("/?lang=xx").text) == "en"
    for wish in ("es;q=0, en", "de, fr;q=0.4", "q=;;, ;q=x", "es;q=0.1, en;q=0.9", ""):
        assert language_of(client.get("/", headers={"Accept-Language": wish}).text) == "en", wish


def test_every_link_keeps_the_language_and_the_units(client: TestClient) -> None:
    for start in ("/?lang=es&units=si", "/sling?lang=es&units=si"):
        page = client.get(start).text
        links = [
            link for link in re.findall(r'<a[^>]* href="(/[^"]*)"', page) if not link.startswith("/?lang=en")
        ]
        kept = [link for link in links if "lang=es" in link and "units=si" in link]
        assert kept == [link for link in links if "lang=en" not in link and "units=us" not in link]
    sent = client.get("/example/pipe_40ft?lang=es&units=si").headers["location"]
    assert "lang=es" in sent
    assert "units=si" in sent
    typed = client.post("/lift", data={"text": (EXAMPLES / "chiller.toml").read_text("utf-8"), "lang": "es"})
    assert "lang=es" in typed.headers["location"]


def test_a_wish_is_not_written_into_links(client: TestClient) -> None:
    page = client.get("/", headers=SPANISH).text
    assert 'href="/sling"' in page
    assert "lang=es" not in client.get("/example/chiller", headers=SPANISH).headers["location"]


def test_each_page_leads_to_itself_in_the_other_language(client: TestClient) -> None:
    page = client.get("/sling?form=endless&lang=es").text
    assert '<a href="/sling?form=endless&amp;lang=en" hreflang="en" lang="en">English</a>' in page
    assert 'aria-current="true">Español</a>' in page
    faulty = client.post("/lift", data={"text": "no = [", "lang": "es"}).text
    assert 'href="/?lang=en"' in faulty


def test_a_document_has_the_same_keys_codes_and_figures_in_every_language(client: TestClient) -> None:
    """Only what is said in sentences differs."""
    asked = ("/api/v1/rate", {**SLING, "webbing_class": "7", "rulebook": "us", "table": "true"})
    english, spanish = (
        client.get(asked[0], params={**asked[1], "language": one}).json() for one in LANGUAGES
    )
    assert english["answer"] == "rated"
    assert _without_sentences(english) == _without_sentences(spanish)
    lift = (EXAMPLES / "chiller.toml").read_bytes()
    kind = {"Content-Type": "application/toml"}
    both = [
        client.post("/api/v1/choose", content=lift, headers=kind, params={"language": one}).json()
        for one in LANGUAGES
    ]
    for one in both:
        one["search"].pop("seconds")
    assert _without_sentences(both[0]) == _without_sentences(both[1])
    assert client.get(asked[0], params={**SLING, "language": "xx"}).status_code == 422


_SENTENCES = frozenset({"text", "cure_text", "headline"})


def _without_sentences(value: Any) -> Any:
    """The document without what is said in words."""
    if isinstance(value, dict):
        return {
            key: len(one) if key == "cautions" and _said(one) else _without_sentences(one)
            for key, one in value.items()
            if key not in _SENTENCES
        }
    return [_without_sentences(one) for one in value] if isinstance(value, list) else value


def _said(cautions: list[str]) -> bool:
    return any(" " in one for one in cautions)


def test_another_language_or_unit_needs_no_second_search(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    link = client.get("/example/chiller").headers["location"]
    english = client.get(link).text
    monkeypatch.setattr(
        "slingwright.usecases.choose_sling.choose_sling", lambda *_, **__: pytest.fail("searched")
    )
    spanish = client.get(f"{link}&lang=es&units=si").text
    assert "Propuesta 1" in spanish
    assert "11,800\u00a0lb" in english
    assert "5\u00a0352\u00a0kg" in spanish
    assert client.get(link).text == english


def test_a_rated_sling_is_shown_in_either_unit_by_a_click(client: TestClient) -> None:
    page = client.get(
        "/sling", params={**SLING, "webbing_class": "7", "rulebook": "us", "lang": "es", "units": "us"}
    ).text
    links = [
        link.replace("&amp;", "&") for link in re.findall(r'<a href="(/sling\?[^"]*units=si[^"]*)"', page)
    ]
    assert len(links) == 1
    assert "lang=es" in links[0]
    assert "units=us" not in links[0]
    assert "51\u00a0mm de ancho" in client.get(links[0]).text


def test_an_answer_that_is_no_says_so_in_the_language_asked_for(client: TestClient) -> None:
    content = (EXAMPLES / "scrubber_vessel.toml").read_bytes()
    sent = {"content": content, "headers": {"content-type": "application/toml"}}
    for path, title in (("", "The answer is no"), ("?language=es", "La respuesta es no")):
        answer = client.post(f"/api/v1/papers/drawing{path}", **sent)
        assert answer.status_code == 409
        assert answer.json()["title"] == title
    assert "no hay nada que dibujar" in answer.json()["detail"]


@pytest.mark.parametrize(
    ("path", "content", "problem"),
    [
        ("/api/v1/choose?language=es", b"no = [", "no es TOML: "),
        (
            "/api/v1/choose?language=es",
            b"[load]\nweight = '4 elephants'\n",
            "«elephants» no es una unidad conocida",
        ),
        ("/api/v1/choose", b"[load]\nweight = '4 yaks'\n", '"yaks" is not a unit known here'),
        ("/api/v1/choose?language=es", b"nothing = 1\n", "no es una clave del archivo"),
    ],
)
def test_a_problem_document_speaks_the_language_asked_for(
    client: TestClient, path: str, content: bytes, problem: str
) -> None:
    answer = client.post(path, content=content, headers={"content-type": "application/toml"})
    assert answer.status_code == 422
    told = answer.json()
    assert problem in " ".join(fault["problem"] for fault in told["faults"])
    spanish = "language=es" in path
    assert answer.headers["content-language"] == ("es" if spanish else "en")
    assert told["title"] == ("Lo que se envía tiene faltas" if spanish else "The input is at fault")
    assert all(
        "load" in fault["field"] or fault["field"] in ("", "hook", "nothing") for fault in told["faults"]
    )
