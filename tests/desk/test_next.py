"""The next question in one tap, what would change the answer, offers side by side: links that read."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from fastapi.testclient import TestClient

from slingwright.choose.explained import Change, Explained, Piece, Question, Standing
from slingwright.desk.app import create_app
from slingwright.desk.bench import Bench, Look
from slingwright.desk.jobs import Job
from slingwright.desk.link import pack_lift, unpack_lift
from slingwright.desk.pages.live import _weighing
from slingwright.desk.pages.render import Shown, Waits, lift_part, render
from slingwright.desk.pages.view import view_of
from slingwright.lift import read_lift
from slingwright.units import Units
from slingwright.usecases.altered_tables import answer_taps, changed_tables
from slingwright.usecases.first_answer import NO_ANSWER
from slingwright.usecases.settings import resolve_settings
from slingwright.words.explaining import piece_text

SHOP = Path(__file__).parents[2] / "examples" / "harrow_quay" / "shop.toml"
LOAD = {
    "weight": {"low": "4000 lb", "high": "9000 lb"},
    "known_by": "estimate",
    "shape": "box",
    "length": "6 ft",
    "width": "4 ft",
    "height": "4 ft",
    "centre_of_gravity": "unknown",
    "pick_point": [
        {"name": n, "at": [x, y, "3 ft"], "pin": "1 in", "rated": "9000 lb"}
        for n, x, y in (
            ("A", "1 ft", "1 ft"),
            ("B", "5 ft", "1 ft"),
            ("C", "5 ft", "3 ft"),
            ("D", "1 ft", "3 ft"),
        )
    ],
}
LIFT: Mapping[str, Any] = {"title": "Press", "load": LOAD, "hook": {"headroom": "18 ft", "thickness": "2 in"}}
POUND_N = 4.4482216152605


@pytest.fixture(scope="module")
def client() -> Iterator[TestClient]:
    app = create_app(resolve_settings({"shop": str(SHOP)}, {}, SHOP.parent), today=lambda: date(2026, 1, 31))
    with TestClient(app, follow_redirects=False) as client:
        yield client


def question(code: str, unit: str, *pieces: tuple[str, float | None, float | None]) -> Question:
    made = [Piece(choice=c, low=low, high=high, share=0.5, then=Standing()) for c, low, high in pieces]
    return Question(code=code, unit=unit, worth_minor=1.0, changes=1.0, pieces=tuple(made))


def taps(asked: Question, lift: Mapping[str, Any] = LIFT, units: Units = Units.US) -> list[Any]:
    return list(answer_taps(asked, lift, read_lift(dict(lift)), units))


@pytest.mark.parametrize("units", [Units.US, Units.SI])
def test_a_range_ends_where_what_is_tapped_does(units: Units) -> None:
    """198 °F is 92.2 °C: a range "to 92 °C" stood over "at most 93 °C"."""
    asked = question("surface-temperature", "K", ("", 310.9278, 352.0), ("", 352.0, 365.3722))
    last = taps(asked, units=units)[-1]
    told = piece_text(asked, asked.pieces[-1], units, "USD")
    assert f"to {last.figure}:" in told, (told, last.figure)


@pytest.mark.parametrize("units", [Units.US, Units.SI])
def test_a_weight_is_put_as_the_bound_that_is_said_and_known_no_better(units: Units) -> None:
    asked = question(
        "weight", "N", ("", 4000 * POUND_N, 6000.5 * POUND_N), ("", 6000.5 * POUND_N, 8900 * POUND_N)
    )
    first, last = taps(asked, units=units)
    read = read_lift(first.tables).load.weight
    assert read.high_n is not None
    assert 5990 * POUND_N < read.high_n <= 6000.5 * POUND_N, "never more than what is said"
    assert first.figure == first.tables["load"]["weight"]["high"]
    assert read.known_by == "estimate"
    assert last is None, "no more than the lift says already"


def test_a_place_is_put_as_the_half_of_where_it_may_be() -> None:
    names = ("middle", "left", "right", "front", "back")
    found = dict(zip(names, taps(question("centre", "", *((n, None, None) for n in names))), strict=True))
    before = read_lift(dict(LIFT)).load.centre
    middle = [(a + b) / 2 for a, b in zip(before.low_m, before.high_m, strict=True)]
    for name, axis, side in (("left", 0, 1), ("right", 0, 0), ("front", 1, 1), ("back", 1, 0)):
        box = read_lift(found[name].tables).load.centre
        ends = (box.low_m[axis], box.high_m[axis])
        assert ends[side] == pytest.approx(middle[axis], abs=1e-4)
        assert ends[1 - side] == pytest.approx((before.low_m, before.high_m)[1 - side][axis], abs=1e-4)
        assert box.low_m[1 - axis] == pytest.approx(before.low_m[1 - axis], abs=1e-4)
    box = read_lift(found["middle"].tables).load.centre
    assert box.high_m[0] - box.low_m[0] == pytest.approx((before.high_m[0] - before.low_m[0]) / 2, abs=1e-3)


def test_a_bound_stays_on_the_safe_side_of_where_the_answer_changes() -> None:
    asked = question("surface-temperature", "K", ("", 300.0, 356.0), ("", 356.0, 365.0))
    cool, hot = (read_lift(tap.tables).load.surface_temperature_k for tap in taps(asked))
    assert cool is not None
    assert hot is not None
    assert 350 < cool < 356 - 65 / 32 + 0.6, "the border is known to a thirty-second of the range"
    assert hot >= 365
    edges = question("edge-radius", "m", ("", 0.001, 0.01), ("", 0.01, 0.02))
    sharp, round_ = taps(edges)
    assert sharp is None
    radius = read_lift(round_.tables).load.edge.radius_m
    assert radius is not None
    assert radius >= 0.01 + 0.019 / 32


def test_choices_are_put_in_the_file_s_own_words_and_the_rest_has_no_tap() -> None:
    asked = question("pick-rating-angle", "", ("any-angle", None, None), ("vertical-only", None, None))
    one, other = taps(asked)
    assert {p["rated_at"] for p in one.tables["load"]["pick_point"]} == {"any angle"}
    assert all(p.vertical_only for p in read_lift(other.tables).load.pick_points)
    free, pulled = taps(question("choke-angle", "", ("free", None, None), ("pulled-sideways", None, None)))
    assert free.tables["load"]["choke_angle"] == "free"
    assert pulled is None
    assert taps(question("pin", "m", ("", 0.01, 0.02))) == [None]
    assert "rated_at" not in LOAD["pick_point"][0], "the lift itself stays as it was"  # type: ignore[index]


def changed(
    code: str, figure: float | None, unit: str, lift: Mapping[str, Any] = LIFT
) -> dict[str, Any] | None:
    one = Change(code=code, figure=figure, unit=unit, then=Standing(), saved_minor=None, helps=True)
    return changed_tables(one, lift, read_lift(dict(lift)), Units.US)


def test_a_change_is_made_to_the_lift_where_it_is_one_of_the_lift() -> None:
    def lift(code: str, figure: float | None, unit: str) -> Any:
        tables = changed(code, figure, unit)
        assert tables is not None, code
        return read_lift(tables)

    assert lift("headroom", 6.0, "m").hooks[0].headroom_m == pytest.approx(6.0, abs=0.007)
    assert lift("headroom", 6.0, "m").hooks[0].headroom_m >= 6.0
    assert lift("level-within", 4.5, "deg").want.level_within_deg == 4.5
    assert lift("least-angle", 35.0, "deg").want.least_angle_deg == 35.0
    assert lift("lighter", 3000 * POUND_N, "N").load.weight.high_n == pytest.approx(3000 * POUND_N, rel=1e-3)
    assert lift("edge-rounded", 0.03, "m").load.edge.radius_m >= 0.03
    assert {p.at_m[2] for p in lift("higher-picks", 4 * 0.3048, "m").load.pick_points} == {4 * 0.3048}
    assert not lift("made-to-order", None, "").want.stock_only
    # what only a scale, a hire yard or a welder could give
    for code in ("weight-known", "centre-known", "spreader-beam", "another-pick"):
        assert changed(code, 1.0, "m") is None


def test_a_change_that_would_make_no_lift_is_not_offered() -> None:
    assert changed("headroom", 500.0, "m") is None
    several = {
        **LIFT,
        "hook": [
            {"headroom": "18 ft", "at": ["1 ft", "2 ft"]},
            {"headroom": "18 ft", "at": ["5 ft", "2 ft"]},
        ],
    }
    assert changed("headroom", 6.0, "m", several) is None


def test_the_question_is_answered_in_one_tap_typed_or_left_without_a_script(client: TestClient) -> None:
    lift = client.get("/example/compressor_en").headers["location"]
    page = client.get(f"{lift}&explain=1").text
    assert "How hot is the surface" in page
    tap = re.search(r'<a class="tap" href="([^"]+)"[^>]*>Say: at most (\d+ °C)', page)
    assert tap is not None
    after = unpack_lift(re.search("l=([^&]+)", tap[1])[1])  # type: ignore[index]
    assert after["load"]["surface_temperature"] == tap[2]
    answered = client.get(tap[1].replace("&amp;", "&") + "&explain=1").text
    assert "How hot is the surface" not in answered, "it is known now"
    piece = re.search("l=([^&]+)", lift)[1]  # type: ignore[index]
    ask = f"/lift/tell?l={piece}&question=surface-temperature"
    told = client.get(f"{ask}&text=60+°C")
    assert unpack_lift(told.headers["location"].partition("l=")[2])["load"]["surface_temperature"] == "60 °C"
    left = client.get(f"{ask}&text=no+idea").headers["location"]
    assert left.endswith("&skip=surface-temperature")
    assert "How hot is the surface" not in client.get(f"{left}&explain=1").text
    for wrong in (
        f"/lift/tell?l={piece}&question=nothing&text=1",
        f"/lift/tell?l={piece}&question=centre&text=there",
    ):
        assert client.get(wrong).status_code == 422


def test_an_answer_that_does_not_read_is_told_at_its_field(client: TestClient) -> None:
    lift = pack_lift(LIFT)
    told = client.get(f"/lift/tell?l={lift}&question=weight&text=4+elephants")
    assert "elephants" in client.get(told.headers["location"]).text


def test_offers_stand_side_by_side_with_what_differs(client: TestClient) -> None:
    page = client.get(client.get("/example/chiller").headers["location"]).text
    table = re.search(r'<section class="block compare">.*?</section>', page, re.DOTALL)
    assert table is not None
    heads = re.findall(r'<th scope="col"[^>]*>(Offer \d+)', table[0])
    assert heads == [f"Offer {i}" for i in range(1, len(heads) + 1)]
    assert len(heads) > 1
    for row in re.findall(r"<tr><th scope=\"row\">.*?</tr>", table[0], re.DOTALL):
        cells = re.findall(r"<td>(.*?)(?:<small>|</td>)", row)
        assert len(cells) == len(heads)
        assert len(set(cells)) > 1, "what is the same for all is told once"
    assert "The same for all" in table[0]
    assert re.search(r"<small>[\d.,]+\u00a0USD more</small>", table[0])
    assert page.count('<details class="offer">') == len(heads) - 1


def test_a_question_that_time_did_not_allow_is_not_left_out_in_silence(client: TestClient) -> None:
    lift = client.get("/example/precast_stair").headers["location"]
    bench: Bench = client.app.state.bench  # type: ignore[attr-defined]
    allowed, bench.explain_s = bench.explain_s, 0.0
    try:
        page = client.get(f"{lift}&explain=1").text
        assert "The time ran out before it was known which answer matters. Open: " in page
        assert "the temperature of the surface touched" in page
        page = client.get(f"{lift}&explain=1&lang=es").text
        assert "El tiempo se acabó antes de saber qué respuesta importa" in page
    finally:
        bench.explain_s = allowed


def test_what_was_not_asked_because_the_search_ended_says_so(client: TestClient) -> None:
    lift = client.get("/example/precast_stair").headers["location"]
    bench: Bench = client.app.state.bench  # type: ignore[attr-defined]
    chosen = bench.answer(unpack_lift(lift.partition("l=")[2]), Look())
    bare = replace(chosen, answer=replace(chosen.answer, explained=None))
    view = view_of(bare, {}, Look(), drawn=False)
    page = lift_part("rest.html", bench, {}, Look(), Shown(view=view, asked=True, explained=True))
    assert "What to ask next was not found out" in page


def test_while_open_points_are_weighed_it_says_how_many_are() -> None:
    job = Job(key="")
    answer = NO_ANSWER
    told = replace(answer, explained=Explained(weighed=("centre",), unweighed=("weight", "pin")))
    job.tell(stage="explaining", explained=SimpleNamespace(answer=told))
    waits = _weighing(Waits(part="question", stage="explaining"), job)
    assert (waits.stage, waits.weighed, waits.open_points) == ("weighing", "1", "3")
    assert _weighing(Waits(part="changes", stage="explaining"), job).stage == "explaining"
    page = render("progress.html", Look(), waits=waits, part_query="", query="")
    assert "Finding what to ask next: 1 of 3 open points weighed." in page
