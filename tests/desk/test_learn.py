"""The pages to learn from say what both rulebooks' data say, and every word leads to its page."""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Iterator
from importlib import resources
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from slingwright.desk.app import create_app
from slingwright.desk.form import FIELDS
from slingwright.desk.pages.learn import shipped_here
from slingwright.desk.pages.sling import FIELDS as SLING_FIELDS
from slingwright.draw.learning import learn_picture
from slingwright.rulebook import load_rulebook
from slingwright.units import Units
from slingwright.usecases.settings import resolve_settings
from slingwright.usecases.shipped import needed_distributions
from slingwright.words import BESIDE, read_catalogue, standing_cautions
from slingwright.words.learning import TOPICS, Table, Topic, learn_topic, topic_of_field, topic_of_rule

ROOT = Path(__file__).parents[2]
SHOP = ROOT / "examples" / "harrow_quay" / "shop.toml"
DATA = resources.files("slingwright.rulebook") / "data"


@pytest.fixture(scope="module")
def client() -> Iterator[TestClient]:
    with TestClient(create_app(resolve_settings({"shop": str(SHOP)}, {}, SHOP.parent))) as client:
        yield client


def topic_of(name: str, rules: str = "us", units: Units = Units.US) -> Topic:
    return learn_topic(name, load_rulebook(rules), units)


def table_of(topic: Topic) -> Table:
    (table,) = [part.table for part in topic.parts if part.table]
    return table


def read(name: str) -> dict[str, object]:
    return tomllib.loads((DATA / name).read_text("utf-8"))


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("rules", ["us", "en"])
@pytest.mark.parametrize("name", TOPICS)
def test_every_page_is_there_by_both_rules_in_both_units(
    client: TestClient, name: str, rules: str, units: str
) -> None:
    page = client.get(f"/learn/{name}?rules={rules}&units={units}").text
    assert len(re.findall("<h1", page)) == 1
    for caution in standing_cautions(on="page"):
        assert caution.replace("'", "&#39;") in page
    for picture in re.findall("<svg[^>]*>", page):
        assert 'role="img"' in picture
        assert re.search('aria-label="[^"]{10,}', picture)
    assert "{" not in re.sub("<[^>]*>", "", page), "a place was left unfilled"


def test_no_figure_is_typed_by_hand() -> None:
    for section, words in read_catalogue("en").sections.items():
        if section == "learn" or section.startswith("learn-"):
            for key, text in words.items():
                assert not re.search(r"\d", text), (section, key)


@pytest.mark.parametrize("rules", ["us", "en"])
def test_every_reason_to_retire_a_sling_stands_with_its_clause(rules: str) -> None:
    rows = read(f"{rules}/removal.toml")["row"]
    table = table_of(topic_of("removal", rules))
    assert isinstance(rows, list)
    assert len(table.rows) == len(rows) > 10
    for told, row in zip(table.rows, rows, strict=True):
        assert told[1] == row["what"]
        assert row["document"] in told[2].replace("\u00a0", " ")


def test_the_factor_of_a_choke_is_the_lower_of_both_printed_schemes_at_every_angle() -> None:
    schemes = read("us/hitch.toml")["choke"]["scheme"]  # type: ignore[index]
    told = {}
    for words, factor in table_of(topic_of("choke")).rows:
        low, high = (float(one) for one in re.findall(r"([\d.]+)°", words))
        told |= {tenth: float(factor) for tenth in range(int(low * 10) + 1, int(high * 10))}
    for tenth, factor in told.items():
        lowest = []
        for scheme in schemes:
            starts = [(band.get("from", band.get("above")), band["factor"]) for band in scheme["bands"]]
            lowest.append(next(f for start, f in starts if tenth / 10 > start))
        assert factor == min(lowest), tenth / 10
    assert len(told) > 1780


def test_where_the_table_has_less_at_the_angle_of_the_full_rating_the_page_says_so() -> None:
    """OSHA keeps the full rating from 120 deg on, the other scheme above 120 deg alone: the lower counts."""
    said = [text for part in topic_of("choke").parts for text, _ in part.says]
    assert "At exactly 120° the table has less; the lower figure counts." in said
    assert table_of(topic_of("choke")).rows[1] == ("105° to 120°", "0.82")
    european = [text for part in topic_of("choke", "en").parts for text, _ in part.says]
    assert not any("At exactly" in text for text in european), "these rules have no bands"


@pytest.mark.parametrize("name", ["lugs", "friction", "edges", "angles"])
def test_every_limit_told_in_a_language_nobody_reviewed_has_its_english_beside_it(name: str) -> None:
    topic = learn_topic(name, load_rulebook("us"), Units.US, language="es")
    parts = topic.parts[-1:] if name == "angles" else topic.parts
    limits = [text for part in parts for text, source in part.says if source]
    assert limits
    assert [text for text in limits if BESIDE not in text] == []


def test_what_a_flat_leg_costs_is_the_statics_of_two_legs() -> None:
    """Each of two equal legs pulls W / (2 sin a); the pair of a 6,200 lb sling holds 2 sin a times it."""
    rows = table_of(topic_of("angles")).rows
    assert [row[0] for row in rows] == ["75°", "60°", "45°", "30°"]
    for horizontal, vertical, share, rated in rows:
        angle = float(horizontal[:-1])
        assert float(vertical[:-1]) == 90 - angle
        assert float(share) == pytest.approx(1 / (2 * math.sin(math.radians(angle))), abs=0.005)
        pounds = float(re.sub(r"[^\d]", "", rated))
        assert pounds == math.floor(2 * 6200 * math.sin(math.radians(angle)) / 10 + 1e-9) * 10


def test_under_european_rules_a_band_has_one_figure() -> None:
    """EN 1492-1 by DOMAIN E2: two legs, M 1.4 to 45 deg from the vertical, 1.0 to 60; of a 2 t sling."""
    rows = table_of(topic_of("angles", "en", Units.SI)).rows
    assert [row[3].replace("\u00a0", " ") for row in rows] == ["2.8 t", "2.8 t", "2.8 t", "2 t"]
    pulls = [row[2] for row in rows]
    assert pulls == [row[2] for row in table_of(topic_of("angles")).rows], "a leg pulls alike by any rules"
    picture = learn_picture("fan", load_rulebook("en"))
    assert all(f"× {pull}" in picture for pull in pulls[1:])


def test_a_printed_cell_of_the_table_is_shown_as_printed() -> None:
    tables = [part.table for part in topic_of("webbing").parts if part.table]
    rows = {row[0]: [cell.replace("\u00a0", " ") for cell in row[1:]] for row in tables[0].rows}
    printed = read("us/class7-eye.toml")["row"]
    for row in printed:  # type: ignore[attr-defined]
        for at, width in enumerate(row["width"]):
            lower = min(row[key][at] for key in ("series_a", "series_b") if key in row)
            assert rows[f"{width}\u00a0in"][row["plies"] - 1] == f"{lower:,} lb"
    assert rows["5\u00a0in"][1] == "–"


def test_an_agent_that_is_not_allowed_is_never_said_to_be() -> None:
    verdicts = {
        (v["agent"], v["material"]): v["verdict"]
        for v in read("common/chemicals.toml")["verdict"]  # type: ignore[attr-defined]
    }
    words, names = (read_catalogue("en").sections[s] for s in ("learn-verdicts", "learn-agents"))
    (table,) = [p.table for p in topic_of("heat").parts if p.table and len(p.table.head) == 4]
    fibres = [fibre.lower() for fibre in table.head[1:]]
    by_name = {name: agent for agent, name in names.items()}
    assert len(table.rows) == len(names)
    for agent, *cells in table.rows:
        for fibre, cell in zip(fibres, cells, strict=True):
            assert cell == words[verdicts.get((by_name[agent], fibre), "unknown")]


def test_every_word_leads_to_a_page_that_is_there() -> None:
    for field in [*(field.path for field in FIELDS), *SLING_FIELDS]:
        assert topic_of_field(field) in ("", *TOPICS)
    named = tomllib.loads((resources.files("slingwright.words") / "data" / "learn_topics.toml").read_text())
    columns = {f"load.pick_point.{key}" for key in read_catalogue("en").sections["desk-picks"]}
    assert set(named["field"]) <= {*(field.path for field in FIELDS), *SLING_FIELDS, *columns}
    rules = {rule for rule, _ in read_catalogue("en").findings}
    assert set(named["rule"]) <= rules
    assert all(topic_of_rule(rule) in TOPICS for rule in named["rule"])


def test_fields_and_findings_lead_there(client: TestClient) -> None:
    for path in ("/", "/sling", "/example/scrubber_vessel", "/example/caustic_heat_exchanger"):
        links = set(re.findall(r'href="(/learn/[^"]*)"', client.get(path).text))
        assert links or path == "/example/scrubber_vessel"
        for link in links:
            assert client.get(link.replace("&amp;", "&")).status_code == 200
    severe = client.get("/example/caustic_heat_exchanger").text
    assert re.search(r'<li class="caution">.*Severe service.*href="/learn/care"', severe)


def test_what_a_buyer_is_asked_first_is_explained_where_it_is_asked(client: TestClient) -> None:
    """Weight, how it is known, grip, a lug, what the best is: each by a small drawing and a page."""
    page = client.get("/").text
    for field, drawing, topic in (
        ("load.weight", "weight", "weight"),
        ("load.known_by", "known-by", "weight"),
        ("load.surface", "friction", "friction"),
        ("want.by", "best", "best"),
    ):
        (said,) = re.findall(
            rf'<div class="field[^>]*data-field="{re.escape(field)}">.*?</details>', page, re.S
        )
        assert f'src="/explain/{drawing}.svg' in said
        assert f'href="/learn/{topic}"' in said
    assert 'src="/explain/lug.svg' in page
    assert 'href="/learn/lugs"' in page


def test_what_is_added_to_a_weight_is_what_the_reader_adds() -> None:
    """1 % weighed, 3 % from a plate, 5 % from a drawing or worked out, 20 % by an estimate: own."""
    rows = table_of(topic_of("weight")).rows
    assert [row[1].replace("\u00a0", " ") for row in rows] == ["1 %", "3 %", "5 %", "5 %", "20 %"]
    assert rows[0][0] == "weighed"


def test_a_topic_that_is_not_there_is_not_found(client: TestClient) -> None:
    assert client.get("/learn/levitation").status_code == 404


def test_the_links_keep_rules_and_units(client: TestClient) -> None:
    page = client.get("/learn/angles?rules=en&units=us").text
    assert 'href="/learn/choke?units=us&amp;rules=en"' in page
    assert 'href="/learn/angles?units=si&amp;rules=en"' in page
    assert page.count('aria-current="true"') == 3  # the language's, too


def test_about_lists_all_that_is_shipped_with_its_licence(client: TestClient) -> None:
    page = client.get("/about").text
    vendor = resources.files("slingwright.desk") / "static" / "vendor"
    assert {one["folder"] for one in shipped_here()} == {d.name for d in vendor.iterdir() if d.is_dir()}
    links = re.findall(r'<a [^>]*href="(/(?:static/vendor|fonts|about)/[^"]*)"', page)
    assert len(links) == len(shipped_here()) + 2
    for link in links:
        assert re.search("licen[cs]e|permission to use", client.get(link).text, re.IGNORECASE)
    needed = {one.name: one for one in needed_distributions()}
    asked = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["dependencies"]
    assert {re.split("[>=]", text)[0] for text in asked} <= set(needed)
    assert not {"pytest", "mypy", "slingwright"} & set(needed)
    for one in needed.values():
        assert one.licence, one.name
        assert one.version in page


def test_about_says_how_well_known_the_tables_are(client: TestClient) -> None:
    page = client.get("/about").text
    assert page.count("PLANNING ONLY") == 2
    for rules in ("us", "en"):
        assert load_rulebook(rules).sha256 in page


def test_the_english_beside_a_sentence_is_english_throughout(client: TestClient) -> None:
    page = client.get("/learn/care?lang=es").text
    beside = re.findall('<span class="beside" lang="en">(.+?)</span>', page)
    assert any("months apart" in one for one in beside)
    assert not any("meses" in one for one in beside)
    assert "como mucho cada 12" in page
