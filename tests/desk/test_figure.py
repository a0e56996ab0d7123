"""The figure of an answer: each pose from its own solved case, its legs' figures, links without a script."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from fastapi.testclient import TestClient

from slingwright.choose.offer import Case, Offer
from slingwright.desk.app import create_app
from slingwright.draw import draw_offer
from slingwright.papers.leg_figures import leg_anchors, leg_figures, rule_text
from slingwright.units import Units
from slingwright.usecases.settings import resolve_settings
from tests.golden import scenes

SHOP = Path(__file__).parents[2] / "examples" / "harrow_quay" / "shop.toml"
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def client() -> Iterator[TestClient]:
    settings = resolve_settings({"shop": str(SHOP)}, {}, SHOP.parent)
    app = create_app(settings, today=lambda: date(2026, 1, 31))
    with TestClient(app, follow_redirects=False) as client:
        yield client


@pytest.fixture(scope="module")
def link(client: TestClient) -> str:
    return str(client.get("/example/chiller").headers["location"])


@pytest.fixture(scope="module")
def offer(client: TestClient, link: str) -> Offer:
    """The very offer that the page shows: remembered by the bench."""
    from slingwright.desk.bench import Look
    from slingwright.desk.link import unpack_lift

    tables = unpack_lift(link.split("l=", 1)[1])
    return client.app.state.bench.answer(tables, Look()).answer.offers[0]  # type: ignore[attr-defined,no-any-return]


def drawn_tensions(svg: ET.Element) -> dict[str, float]:
    (view,) = (g for g in svg.iter(f"{SVG}g") if g.get("data-view") == "elevation")
    legs = (e for e in view.iter(f"{SVG}line") if "leg" in e.get("class", "").split())
    return {leg.attrib["data-path"]: float(leg.attrib["data-tension-n"]) for leg in legs}


@pytest.mark.parametrize(("pose", "case"), [("told", "stiff"), ("worst", "worst")])
def test_a_pose_is_its_own_case_in_page_svg_and_scene(
    client: TestClient, link: str, offer: Offer, pose: str, case: str
) -> None:
    solved = offer.case(case)
    assert solved is not None
    own = {p.name: p.tension_n for p in solved.result.paths}
    told = offer.case("stiff")
    assert told is not None
    assert case == "stiff" or max(own.values()) > max(p.tension_n for p in told.result.paths) + 10.0

    page = client.get(f"{link}&pose={pose}").text
    inline = re.search(r'<div class="drawing">(<svg.*?</svg>)', page, re.S)
    assert inline is not None
    paper = client.get(f"{link.replace('/lift?', '/lift/drawing.svg?')}&pose={pose}").text
    for svg in (ET.fromstring(inline[1]), ET.fromstring(paper)):
        assert svg.attrib["data-case"] == case
        assert drawn_tensions(svg) == pytest.approx(own, abs=1e-3)
        assert ("From the front: worst case" in "".join(svg.itertext())) == (pose == "worst")
    scene = client.get(f"{link.replace('/lift?', '/lift/scene.json?')}&pose={pose}").json()
    assert scene["case"] == case
    assert scene["tilt_deg"] == pytest.approx(solved.result.tilt_deg)
    assert {leg["path"]: leg["tension_n"] for leg in scene["legs"]} == pytest.approx(own)
    assert f'data-pose="{pose}"' in page
    view = re.search(r'data-scene-url="([^"]+)"', page)
    assert view is not None
    assert view[1].endswith("&amp;pose=worst") == (pose == "worst")


def test_the_other_pose_is_a_link_and_the_sentence_says_which(client: TestClient, link: str) -> None:
    told, worst = client.get(link).text, client.get(f"{link}&pose=worst").text
    assert re.search(r'<a [^>]*href="[^"]+&amp;pose=worst"[^>]*>Worst case within what you told us', told)
    assert 'aria-current="true">Worst case within what you told us' in worst
    assert "Drawn hanging: stiffest webbing" in told
    assert "Drawn hanging: worst case" in worst
    assert 'data-pose="told"' in client.get(f"{link}&pose=<b>").text, "as if it had not been said"


def test_every_leg_of_the_drawing_leads_to_its_row_and_its_figures(client: TestClient, link: str) -> None:
    page = client.get(link).text
    linked = set(re.findall(r'<a href="#(leg[^"]+)"', page))
    assert (
        linked
        == set(re.findall(r'<tr id="(leg[^"]+)"', page))
        == set(re.findall(r'data-figures="([^"]+)"', page))
    )
    assert len(linked) == 4
    # reached by key once each, in the view from the front alone
    links = re.findall(r'<a href="#leg[^>]*>', page)
    assert sorted(
        re.findall(r'aria-label="([ABCD]) ', one)[0] for one in links if "tabindex" not in one
    ) == list("ABCD")
    assert all('aria-hidden="true"' in one for one in links if "tabindex" in one)
    assert " style=" not in page, "the page's policy lets no style stand in an element"


def test_a_leg_s_figures_are_its_own(offer: Offer) -> None:
    head, legs = leg_figures(offer, Units.US, case="worst")
    assert "Pull in the worst case, hardest on D (drawn)" in head
    case = offer.case("worst")
    assert case is not None
    for leg, hang in zip(legs, case.result.paths, strict=True):
        assert len(leg.cells) == len(head)
        facts = dict(leg.facts)
        pounds = float(re.sub(r"[^\d.]", "", facts["Pull in the worst case, hardest on D (drawn)"]))
        assert pounds * 4.4482216152605 == pytest.approx(hang.tension_n, abs=2.3)
        assert (
            facts["Angle from vertical, as drawn"]
            == f"{hang.angle_from_vertical_deg:.1f}".removesuffix(".0") + "°"
        )
        largest = max(
            p.tension_n
            for c in offer.cases
            for p in c.result.paths
            if p.name == leg.name and not c.name.startswith("swap")
        )
        truth = re.search(r"pulls up to ([\d,]+) lb", facts["The rule against the truth"])
        assert truth is not None
        assert 0 <= float(truth[1].replace(",", "")) * 4.4482216152605 - largest <= 4.5  # rounded up


def test_the_rule_stands_against_the_hardest_pulled_leg(offer: Offer) -> None:
    hardest = max(p.tension_n for p in offer.case("worst").result.paths)  # type: ignore[union-attr]
    said = re.search(r"The hardest pulled leg, D, pulls up to ([\d,]+) lb", rule_text(offer, Units.US))
    assert said is not None
    assert float(said[1].replace(",", "")) * 4.4482216152605 == pytest.approx(hardest, abs=4.5)


def test_a_name_that_is_markup_stays_a_name() -> None:
    """A pick point's name becomes a leg's: no link and no element is made of it."""
    scene = scenes.chiller()
    evil = '"><script>alert(1)</script>'
    cases = tuple(renamed(case, evil) for case in scene.offer.cases)
    offer = replace(scene.offer, cases=cases)
    anchors = leg_anchors(offer)
    assert anchors[evil] == "leg.0"
    assert {anchors[name] for name in "BCD"} == {"leg-B", "leg-C", "leg-D"}
    svg = ET.fromstring(draw_offer(scene.lift, offer, units=Units.US, anchors=anchors))
    assert not list(svg.iter(f"{SVG}script"))
    labels = [a.attrib["aria-label"] for a in svg.iter(f"{SVG}a") if "aria-label" in a.attrib]
    assert labels[0].startswith(evil)


def renamed(case: Case, name: str) -> Case:
    """The case with its first leg called something else."""
    paths = (replace(case.problem.paths[0], name=name), *case.problem.paths[1:])
    hangs = (replace(case.result.paths[0], name=name), *case.result.paths[1:])
    return replace(case, problem=replace(case.problem, paths=paths), result=replace(case.result, paths=hangs))


def test_a_word_is_explained_beside_its_field_without_a_script(client: TestClient) -> None:
    for address in ("/", "/sling"):
        page = client.get(address).text
        pictures = set(re.findall(r'<img src="(/explain/[^"]+)"[^>]+alt="[^"]{20,}"', page))
        assert len(pictures) >= 5
        for one in pictures:
            got = client.get(one.replace("&amp;", "&"))
            assert got.headers["content-type"].startswith("image/svg+xml")
            ET.fromstring(got.text)
    assert client.get("/explain/nothing.svg").status_code == 404
