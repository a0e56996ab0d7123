"""No sentence of a page escapes the catalogue: every page in every state, in a language made up for this.

The states are those of the one list that screenshots and axe walk, so that a new page is looked at here, too.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from slingwright.desk.app import create_app
from slingwright.desk.form import tables_from_form
from slingwright.desk.link import pack_lift
from slingwright.usecases.settings import resolve_settings
from tests.desk.test_live import TYPED, followed, headers
from tests.escapes import citations_in, escaped, names_in, page_texts, svg_texts
from tests.pseudo import PSEUDO, pseudo_language, rulebook_sections
from tools.page_states import STATES, Served

SHOP = Path(__file__).parents[2] / "examples" / "harrow_quay"
PATHS = sorted({(state.path, state.busy) for state in STATES})
TITLES = [str(tomllib.loads(file.read_text("utf-8")).get("title", "")) for file in SHOP.glob("*.toml")]
FAULTY = {
    "load.weight": "4 elephants",
    "load.centre_of_gravity": "somewhere; 2 ft; 2 ft",
    "hook.headroom": "yonder",
}
QUOTED = (
    "elephants",
    "somewhere",
    "yonder",
    "wide",
    "steep",
    "nothing",
)  # what a fault repeats of what was typed
# Names of the product, of licences and of standards; and the input's own grammar, the same in every language.
NAMES = (
    "Slingwright",
    *("II", "III", "IV", "VI"),  # types of sling
    "Source Sans Pro",
    "three.js",
    "unknown",
    "the lift file",
    *("Gearbox", "CE"),  # a lift's own title; a piece of a quote's number
    "Bundle of 3 in steel conduit to",  # a title as a drawing breaks it, with a unit and a material in it
)  # of a citation: whose figure it is


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """A desk whose own language is the made-up one; searches are cut short, for words alone are looked at."""
    from slingwright.desk import bench

    patch = pytest.MonkeyPatch()
    patch.setattr(bench, "MOST_SECONDS", 3.0)
    folder = tmp_path_factory.mktemp("words")
    settings = resolve_settings({"shop": str(SHOP / "shop.toml")}, {}, SHOP)
    with pseudo_language(folder, also=rulebook_sections()) as language:
        app = create_app(replace(settings, language=language), today=lambda: date(2026, 1, 31))
        with TestClient(app, headers={"Accept": "text/html"}) as client:
            yield client
    patch.undo()


@pytest.fixture(scope="module")
def allowed() -> set[str]:
    """What people wrote into the example files, and every citation of rulebooks and checks."""
    from slingwright.check import sources
    from slingwright.lift.assumptions import assumptions
    from slingwright.usecases.rulebooks import open_rulebook

    settings = resolve_settings({"shop": str(SHOP / "shop.toml")}, {}, SHOP)
    found = {*NAMES, *QUOTED}
    for file in SHOP.glob("*.toml"):
        found |= names_in(tomllib.loads(file.read_text("utf-8")))
    for regime in ("us", "en"):
        found |= citations_in(open_rulebook(settings, regime=regime))
    return found | citations_in(vars(sources)) | citations_in(assumptions())


@pytest.mark.parametrize(
    ("path", "busy"), PATHS, ids=[f"{path} {'busy' * busy}".strip() for path, busy in PATHS]
)
def test_no_sentence_of_a_page_escapes(client: TestClient, allowed: set[str], path: str, busy: bool) -> None:
    with ExitStack() as held:
        if busy:
            held.enter_context(Served(address="", app=client.app, shop="").busy())
        page = client.get(path)
    assert page.headers["content-type"].startswith("text/html")
    assert f'lang="{PSEUDO}"' in page.text
    assert escaped(page_texts(page.text), allowed, titles=TITLES) == {}


@pytest.mark.parametrize(
    "sent",
    [
        {"data": FAULTY},
        {"data": {"text": "no = ["}},
        {"data": {"load.weight": "{ low = 1"}},
        {"files": {"file": ("x.toml", b"\xff\xfe\x00")}},
        {"data": {"load.pick_point.0.name": "A", "load.pick_point.0.at.0": "1 ft"}},
    ],
    ids=["fields", "text", "range", "file", "pick"],
)
def test_no_sentence_of_a_fault_escapes(client: TestClient, allowed: set[str], sent: dict[str, Any]) -> None:
    """What the core says of an input is in the page's language or marked as English; so is all round it."""
    page = client.post("/lift", **sent)
    assert page.status_code == 422
    assert escaped(page_texts(page.text), {*allowed, *names_in(sent.get("data", {}))}) == {}


def test_no_sentence_of_a_part_escapes(client: TestClient, allowed: set[str]) -> None:
    """What follows while somebody types, piece by piece: the first answer, the rest, progress, a sketch."""
    told = client.post("/lift/live", data=TYPED, headers=headers("aaaaaaaa", 1))
    texts, query = [], f"l={pack_lift(tables_from_form({}, TYPED))}"
    for part in ("first", "rest", "question", "changes"):
        if part != "first":
            told = client.get(f"/lift/part/{part}?{query}", headers=headers("aaaaaaaa", 1))
        assert told.status_code == 200
        texts += page_texts(told.text) + page_texts(followed(client, told, "aaaaaaaa", 1).text)
    for address, data in (
        ("/lift/sketch", TYPED),
        ("/lift/live", FAULTY),
        (f"/lift/stop?part=first&{query}", {}),
        ("/lift/live", {"load.weight": "4000 lb"}),
    ):
        told = client.post(address, data=data, headers=headers("bbbbbbbb", 1, pressed=True))
        assert told.status_code in (200, 422), address
        texts += page_texts(told.text)
    assert escaped(texts, {*allowed, *names_in(TYPED)}, titles=["Press script alert"]) == {}


def test_no_sentence_of_a_small_drawing_escapes(client: TestClient, allowed: set[str]) -> None:
    from slingwright.draw import EXPLAINED

    for name in EXPLAINED:
        assert escaped(svg_texts(client.get(f"/explain/{name}.svg").text), {*allowed, "R"}) == {}, name


def test_an_escape_would_be_seen() -> None:
    """The net holds: a sentence in plain letters is caught, wherever it stands."""
    html = '<html lang="qps"><p title="Lift here">σ</p><p>ρ 12 ft</p><b lang="en">So</b>Now.</html>'
    assert set(escaped(page_texts(html), ())) == {"Lift here", "Now"}
    assert escaped(["See ASME B30.9, 9-5.9.4"], ["ASME B30.9, 9-5.9.4"]) == {"See": "See ASME B30.9, 9-5.9.4"}
