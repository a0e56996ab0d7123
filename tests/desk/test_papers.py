"""Every paper a click away: of an offer, of a sling that is known; and a lift handed to the shop's staff."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from urllib.parse import parse_qs, unquote, urlsplit

import pypdfium2
import pytest
from fastapi.testclient import TestClient

from slingwright.desk.app import create_app
from slingwright.desk.bench import Bench, Look
from slingwright.desk.link import pack_lift, unpack_lift
from slingwright.usecases.offers_document import offers_document
from slingwright.usecases.settings import resolve_settings

SHOP = Path(__file__).parents[2] / "examples" / "harrow_quay" / "shop.toml"
PDFS = ("sheet.pdf", "quote.pdf", "data-sheet.pdf", "drawing.pdf")
SLING = "form=twisted-eye&fibre=polyester&webbing_class=7&plies=2&width=2+in&rulebook=us"


@pytest.fixture(scope="module")
def client() -> Iterator[TestClient]:
    app = create_app(resolve_settings({"shop": str(SHOP)}, {}, SHOP.parent), today=lambda: date(2026, 1, 31))
    with TestClient(app, follow_redirects=False) as client:
        yield client


@pytest.fixture(scope="module")
def lift(client: TestClient) -> str:
    return str(client.get("/example/chiller").headers["location"])


def text_of(pdf: bytes) -> str:
    document = pypdfium2.PdfDocument(pdf)
    return " ".join("\n".join(page.get_textpage().get_text_range() for page in document).split())


def test_every_paper_of_every_offer_opens_and_is_of_that_offer(client: TestClient, lift: str) -> None:
    page = client.get(lift).text
    bench: Bench = client.app.state.bench  # type: ignore[attr-defined]
    offers = bench.answer(unpack_lift(lift.partition("l=")[2]), Look()).answer.offers
    links = {html.unescape(one) for one in re.findall(r'href="(/lift/[^"]+)"', page)}
    for number, offer in enumerate(offers, start=1):
        mine = [one for one in links if one.endswith(f"offer={number}") or f"offer={number}&item" in one]
        names = {urlsplit(one).path.rpartition("/")[2] for one in mine}
        assert names >= {*PDFS, "quote.json", "drawing.svg"}
        for one in mine:
            got = client.get(one)
            assert got.status_code == 200, one
            assert got.content[:4] in (b"%PDF", b"<svg", b'{"sc'), one
        quote = client.get(next(one for one in mine if "quote.json" in one)).json()
        assert quote["schema"] == "slingwright/quote/1"
        assert sum(item["quantity"] for item in quote["items"]) == len(offer.slings)
        assert quote["price"]["price_minor"] == offer.price_minor, "what is quoted is what is offered"


def test_a_quote_names_its_lift(client: TestClient, lift: str) -> None:
    text = text_of(client.get(lift.replace("/lift?", "/lift/quote.pdf?")).content)
    assert "For the lift Chiller onto the plant-room roof" in text
    assert client.get(lift.replace("/lift?", "/lift/quote.json?")).json()["lifts"] == [
        "Chiller onto the plant-room roof"
    ]
    assert "Para el izado Chiller" in text_of(
        client.get(lift.replace("/lift?", "/lift/quote.pdf?lang=es&")).content
    )


def test_a_quote_is_for_whom_the_page_is_told(client: TestClient, lift: str) -> None:
    page = client.get(lift + "&lang=es").text
    form = re.search(r'<form method="get" action="/lift/quote.pdf">.*?</form>', page, re.S)
    assert form is not None
    hidden = re.findall(r'<input type="hidden" name="([^"]*)" value="([^"]*)">', form[0])
    said = {name: html.unescape(value) for name, value in hidden}
    assert (said["lang"], said["offer"]) == ("es", "1")
    assert 'formaction="/lift/quote.json"' in form[0]
    assert re.search(r'<label for="customer-1">Para quién</label>\s*<input id="customer-1"', form[0])
    named = said | {"customer": "  Saltmarsh  Boatyard <b> "}
    assert "Para Saltmarsh Boatyard <b>" in text_of(client.get("/lift/quote.pdf", params=named).content)
    quote = client.get("/lift/quote.json", params=named).json()
    nobody = client.get("/lift/quote.json", params=said | {"customer": " "}).json()
    assert (quote["customer"], nobody["customer"]) == ("Saltmarsh Boatyard <b>", None)
    assert quote["number"] != nobody["number"]
    assert nobody == client.get("/lift/quote.json", params=said).json()
    assert quote["price"] == nobody["price"]


@pytest.mark.parametrize("name", ["x" * 201, "bell%07"])
def test_a_name_that_no_paper_could_bear_is_refused_and_the_lift_kept(
    client: TestClient, lift: str, name: str
) -> None:
    got = client.get(lift.replace("/lift?", "/lift/quote.pdf?") + f"&customer={name}")
    assert got.status_code == 422
    assert "Chiller onto the plant-room roof" in got.text
    got = client.get(f"/sling/quote.pdf?{SLING}&length=9+ft&customer={name}")
    assert got.status_code == 422
    assert '<div id="customer-fault">' in got.text


def test_the_quote_of_a_sling_is_for_whom_its_form_says(client: TestClient) -> None:
    page = client.get(f"/sling?{SLING}&length=9+ft&customer=Saltmarsh+Boatyard").text
    assert 'name="customer" value="Saltmarsh Boatyard"' in page
    assert re.search(r'<b>For</b>\s*<div class="says">Saltmarsh Boatyard<', page)
    links = [html.unescape(one) for one in re.findall(r'href="(/sling/quote[^"]+)"', page)]
    assert "For Saltmarsh Boatyard" in text_of(client.get(links[0]).content)
    assert client.get(links[1]).json()["customer"] == "Saltmarsh Boatyard"


def test_a_paper_s_file_says_which_lift_and_offer_it_is_of(client: TestClient, lift: str) -> None:
    def name(paper: str, more: str = "") -> str:
        got = client.get(lift.replace("/lift?", f"/lift/{paper}?") + more)
        return str(got.headers["content-disposition"]).removeprefix('attachment; filename="')[:-1]

    assert name("sheet.pdf") == "chiller-onto-the-plant-room-roof-sheet.pdf"
    assert name("drawing.svg", "&offer=3&pose=worst") == (
        "chiller-onto-the-plant-room-roof-offer-3-worst-drawing.svg"
    )
    assert name("lift.toml", "&offer=3") == "chiller-onto-the-plant-room-roof-lift.toml"
    number = client.get(lift.replace("/lift?", "/lift/quote.json?")).json()["number"]
    assert (name("quote.pdf"), name("data-sheet.pdf")) == (
        f"quote-{number}.pdf",
        f"data-sheet-{number}-1.pdf",
    )
    odd = {"title": 'Größe "../x"\r\nY: z' + "m" * 90, "load": unpack_lift(lift.partition("l=")[2])["load"]}
    got = client.get(f"/lift/lift.toml?l={pack_lift(odd)}").headers["content-disposition"]
    assert re.fullmatch(r'attachment; filename="groe-x-y-z-?m{10,60}-lift.toml"', got)
    bare = client.get(f"/lift/lift.toml?l={pack_lift({'load': odd['load']})}").headers["content-disposition"]
    assert bare == 'attachment; filename="lift.toml"'


def test_a_larger_number_of_slings_says_what_is_taken_off(client: TestClient) -> None:
    """Ten of 51.33 USD are 513.30; the price book's break for ten takes off the rest."""
    page = html.unescape(client.get(f"/sling?{SLING}&length=9+ft&quantity=10").text)
    each, amount = (
        int(found.replace(".", "").replace(",", ""))
        for found in re.search(r"<b>Each</b>.*?([\d,.]+)\sUSD; amount ([\d,.]+)\sUSD", page).groups()
    )
    off = re.search(r"<small>Discount by number: −?-?([\d.]+)\sUSD", page)
    assert off is not None
    assert 10 * each - amount == int(off[1].replace(".", "")) > 0


def test_a_drawing_on_paper_carries_the_cautions(client: TestClient, lift: str) -> None:
    pdf = client.get(lift.replace("/lift?", "/lift/drawing.pdf?")).content
    assert pdf == client.get(lift.replace("/lift?", "/lift/drawing.pdf?")).content
    text = text_of(pdf)
    assert "Chiller onto the plant-room roof" in text
    assert "PLANNING ONLY" in text
    assert "A qualified person must approve the lift" in text
    worst = client.get(lift.replace("/lift?", "/lift/drawing.pdf?") + "&pose=worst").content
    assert worst != pdf


def test_the_same_offer_has_the_same_number_however_long_it_took(client: TestClient, lift: str) -> None:
    bench: Bench = client.app.state.bench  # type: ignore[attr-defined]
    first = client.get(lift.replace("/lift?", "/lift/quote.json?")).json()
    for key, chosen in bench._kept.items():
        from dataclasses import replace

        search = replace(chosen.answer.search, seconds=123.0)
        bench._kept[key] = replace(chosen, answer=replace(chosen.answer, search=search))
    assert offers_document(next(iter(bench._kept.values())))["search"]["seconds"] == 123.0
    assert client.get(lift.replace("/lift?", "/lift/quote.json?")).json() == first


def test_what_has_no_paper_says_so(client: TestClient, lift: str) -> None:
    assert client.get(lift.replace("/lift?", "/lift/nothing.pdf?")).status_code == 404
    assert client.get(lift.replace("/lift?", "/lift/data-sheet.pdf?") + "&item=9").status_code == 422
    stop = client.get("/example/hot_casting").headers["location"]
    for paper in ("quote.pdf", "drawing.pdf", "data-sheet.pdf"):
        assert client.get(stop.replace("/lift?", f"/lift/{paper}?")).status_code == 404
    assert client.get(f"/sling/nothing.pdf?{SLING}").status_code == 404
    assert client.get(f"/sling/quote.pdf?{SLING}&length=wide").status_code == 422


def test_a_lift_is_handed_over_with_the_link_that_shows_all(client: TestClient, lift: str) -> None:
    page = client.get(lift).text
    mail = re.search(r'href="(mailto:[^"]+)"', page)
    assert mail is not None
    to = urlsplit(html.unescape(mail[1]))
    assert to.path == "lifts@harrow-quay.example"
    said = parse_qs(to.query)
    assert "Chiller" in said["subject"][0]
    link = re.search(r"http://testserver(/lift\?l=\S+)", said["body"][0])
    assert link is not None
    assert unpack_lift(unquote(link[1]).partition("l=")[2]) == unpack_lift(lift.partition("l=")[2])
    assert "mailto:" not in client.get("/").text, "there is nothing to hand over yet"


def test_the_offer_that_is_drawn_is_the_one_handed_over(client: TestClient, lift: str) -> None:
    page = client.get(f"{lift}&offer=2").text
    mail = re.search(r'href="(mailto:[^"]+)"', page)
    headline = re.search(r'<p class="headline"><b>Offer 2: [^<]*</b> ([^<]+)</p>', page)
    assert mail is not None
    assert headline is not None
    (body,) = parse_qs(urlsplit(html.unescape(mail[1])).query)["body"]
    assert "&offer=2" in body
    assert headline[1].replace("\u00a0", " ") in body


def test_a_title_cannot_add_to_the_mail(client: TestClient) -> None:
    chiller = unpack_lift(client.get("/example/chiller").headers["location"].partition("l=")[2])
    sent = client.post("/lift", data={"base": pack_lift({**chiller, "title": "x&bcc=a@b?cc=d#e"})})
    page = client.get(sent.headers["location"]).text
    mail = re.search(r'href="(mailto:[^"]+)"', page)
    assert mail is not None
    assert set(parse_qs(urlsplit(html.unescape(mail[1])).query)) == {"subject", "body"}


def test_a_sling_is_rated_drawn_and_priced(client: TestClient) -> None:
    bare = client.get(f"/sling?{SLING}").text
    assert "it is drawn and priced" in bare
    page = client.get(f"/sling?{SLING}&length=9+ft&quantity=4").text
    assert "<svg" in page
    assert re.search(r"\d+\.\d\d\u00a0USD", page)
    for paper in ("quote.pdf", "data-sheet.pdf"):
        link = re.search(f'href="(/sling/{paper}[^"]+)"', page)
        assert link is not None
        assert client.get(html.unescape(link[1])).content.startswith(b"%PDF")
    data = re.search(r'href="(/sling/quote.json[^"]+)"', page)
    assert data is not None
    assert client.get(html.unescape(data[1])).json()["items"][0]["quantity"] == 4


def test_a_sling_that_is_not_built_says_what_is(client: TestClient) -> None:
    page = client.get(f"/sling?{SLING}&length=2+in").text
    assert "/sling/quote.pdf" not in page
    wrong = client.get(f"/sling?{SLING}&length=9+elephants")
    assert wrong.status_code == 422
    assert 'id="length-fault"' in wrong.text
