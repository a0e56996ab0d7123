"""From a sling that somebody knows to the lift: whether it does, how it hangs, or what stops it."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from dataclasses import replace

import pytest
from fastapi.testclient import TestClient

from slingwright.desk.link import unpack_lift
from slingwright.desk.pages.view import sheets_of
from slingwright.usecases.choose_sling import ChooseRequest, choose_sling
from tests.desk.doors import EXAMPLES, desk_client, harrow_quay

FLAT = "rulebook=us&form=flat-eye&fibre=polyester&webbing_class=7&plies=2&width=3+in&length=20+ft"


@pytest.fixture(scope="module")
def client() -> Iterator[TestClient]:
    with desk_client() as client:
        yield client


def told_to_lift(client: TestClient, sling: str, **load: str) -> str:
    """From a sling's page, with a load said there, to the lift's page."""
    page = client.get(f"/sling?{sling}").text
    base = re.search(r'name="base" value="([^"]+)"', page)
    assert base is not None
    box = {"load.shape": "box", "load.length": "6 ft", "load.width": "4 ft", "load.height": "4 ft"}
    said = {f"load.{key}": text for key, text in load.items()} | {"hook.headroom": "24 ft"}
    sent = client.post("/lift", data=box | said | {"base": html.unescape(base[1])}, follow_redirects=False)
    assert sent.status_code == 303
    assert unpack_lift(sent.headers["location"].partition("l=")[2])["title"].startswith("With ")
    return client.get(sent.headers["location"]).text


def test_the_named_sling_alone_is_hung_and_said_to_do(client: TestClient) -> None:
    page = told_to_lift(client, FLAT, weight="4000 lb", centre_of_gravity="3 ft; 2 ft; 2 ft")
    assert "The sling you named does for this lift, so hung:" in page
    slings = set(re.findall(r"sling, polyester, class 7, (\d ply, \S+ in) wide, (\S+ ft)", page))
    assert slings == {("2 ply, 3 in", "20 ft")}
    back = re.search(r'href="(/sling\?[^"]+)"', page)
    assert back is not None
    assert "20 ft" in client.get(html.unescape(back[1])).text
    free = re.search(r'href="(/lift\?l=[^"]+)"[^>]*>Look for any sling', page)
    assert free is not None
    assert "The sling you named" not in client.get(html.unescape(free[1])).text


def test_the_named_sling_that_does_not_do_is_a_stop_that_says_why(client: TestClient) -> None:
    page = told_to_lift(client, FLAT, weight="90000 lb")
    assert "STOP: not like this" in page
    assert "The sling you named does not do for this lift:" in page
    assert re.search(r"carries [\d,]+\u00a0lb in the worst case, more than its rated", page)


def test_what_was_named_stays_while_a_fault_is_put_right(client: TestClient) -> None:
    page = client.get(f"/sling?{FLAT}").text
    base = re.search(r'name="base" value="([^"]+)"', page)
    assert base is not None
    said = {"load.weight": "4 elephants", "base": html.unescape(base[1])}
    wrong = client.post("/lift", data=said)
    assert wrong.status_code == 422
    assert "Only slings of this one kind are looked for:" in wrong.text
    kept = re.search(r'name="base" value="([^"]+)"', wrong.text)
    assert kept is not None
    assert unpack_lift(kept[1])["want"] == unpack_lift(base[1])["want"]


def test_a_verdict_in_spanish_has_the_english_beside_it(client: TestClient) -> None:
    page = client.get(f"/sling?{FLAT}&lang=es").text
    base = re.search(r'name="base" value="([^"]+)"', page)
    assert base is not None
    box = {"load.shape": "box", "load.length": "6 ft", "load.width": "4 ft", "load.height": "4 ft"}
    said = {"load.weight": "90000 lb", "hook.headroom": "24 ft", "lang": "es"}
    found = client.post("/lift", data=box | said | {"base": html.unescape(base[1])}).text
    english = '<span class="beside" lang="en">The sling you named does not do for this lift:</span>'
    assert f"no sirve para este izado: {english}" in found


def test_a_sling_that_the_shop_does_not_lay_out_has_no_data_sheet() -> None:
    content = (EXAMPLES / "chiller.toml").read_bytes()
    request = ChooseRequest(content=content, file="chiller.toml", folder=EXAMPLES, settings=harrow_quay())
    chosen = choose_sling(request, clock=lambda: 0.0)
    offer, shop = chosen.answer.offers[0], chosen.setting.shop
    assert sheets_of(offer, shop) == (1,)
    short = tuple(replace(s, spec=replace(s.spec, length_m=0.1)) for s in offer.slings)
    assert sheets_of(replace(offer, slings=short), shop) == ()
