"""`slingwright hang`: the contract's examples through the command, faults by field, offers given back."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from tests.shops import EXAMPLE
from tests.system.command import Command, hold_to

DATA = Path(__file__).parents[1] / "data" / "hang"
CONTRACT = json.loads((DATA / "contract.json").read_text())
CASES = {case["id"]: case for case in json.loads((DATA / "cases.json").read_text())["cases"]}
BRIDLE = next(one for one in CONTRACT if one["name"] == "bridle")["problem"]


@pytest.mark.parametrize("example", CONTRACT, ids=lambda one: one["name"])
def test_the_contracts_examples(command: Command, example: dict[str, Any]) -> None:
    """Tensions and tilt of a physics engine and an energy minimiser (tests/data/SOURCES.md, hang)."""
    hold_to("hang-problem", example["problem"])
    found = command.answers("hang", "hang", "-", stdin=json.dumps(example["problem"]))
    assert [p["tension_n"] for p in found["paths"]] == pytest.approx(example["tension_n"], abs=1)
    assert found["tilt_deg"] == pytest.approx(example["tilt_deg"], abs=0.01)
    assert found["made_by"]["seed"] is None
    assert any("qualified person" in text for text in found["cautions"])


@pytest.mark.parametrize("status", ["stable", "capsizes", "unreachable"])
def test_the_short_form_and_the_exit_status_of_a_stop(command: Command, tmp_path: Path, status: str) -> None:
    case = next(one for one in CASES.values() if one["expected"]["status"] == status)
    (tmp_path / "lift.json").write_text(json.dumps(case["problem"]))
    hold_to("hang-problem", case["problem"])
    code = int(status != "stable")
    found = command.answers("hang", "hang", tmp_path / "lift.json", code=code)
    assert found["status"] == status
    told = command("hang", tmp_path / "lift.json")
    assert told.code == code
    assert ("STOP" in told.out) == bool(code)
    assert "Local codes" in told.out


def test_toml_and_json_of_the_same_problem_give_the_same_hang(command: Command) -> None:
    toml = """
        weight_n = 50000.0
        centre_of_gravity_m = [0.0, 0.0, -1.0]
        hook_m = [0.0, 0.0, 0.0]
        [[paths]]
        upper_m = [0.0, 0.0, 0.0]
        pick_m = [0.0, 0.0, 0.0]
        length_m = 3.0
        rated_n = 80000.0
        strain_at_rated = 0.03
    """
    one = command.answers("hang", "hang", "-", stdin=toml)
    other = command.answers("hang", "hang", "-", stdin=json.dumps(CASES["C01"]["problem"]))
    assert one["made_by"].pop("input_sha256") != other["made_by"].pop("input_sha256")
    assert one == other


def test_the_same_input_gives_the_same_bytes(command: Command) -> None:
    first, second = (command("hang", "-", "--json", stdin=json.dumps(BRIDLE)) for _ in range(2))
    assert first == second


def test_words_for_people_in_both_units(command: Command) -> None:
    told = command("hang", "-", "--units", "us", stdin=json.dumps(BRIDLE))
    # 15 844.01 N over 4.448 221 615 N to the pound = 3 561.9, rounded up
    assert "A  3,562 lb at 62.2° from horizontal" in told.out
    assert "A  15.9 kN" in command("hang", "-", stdin=json.dumps(BRIDLE)).out


def test_a_spread_adds_its_figures_and_nothing_else_changes(command: Command, tmp_path: Path) -> None:
    (tmp_path / "spread.toml").write_text(
        "samples = 500\nseed = 3\n[sd]\nlength_rel = 0.005\n[limit]\nweight_rel = 0.05\n"
    )
    alone = command.answers("hang", "hang", "-", stdin=json.dumps(BRIDLE))
    both = command.answers(
        "hang", "hang", "-", "--spread", tmp_path / "spread.toml", stdin=json.dumps(BRIDLE)
    )
    spread = both.pop("spread")
    assert both["made_by"].pop("seed") == 3
    alone["made_by"].pop("seed")
    assert set(both.pop("cautions")) > set(alone.pop("cautions"))
    assert both == alone
    assert spread["samples"] == 500
    # one hook, weight up by its limit: no leg gains more than that share, lengths as they are
    heaviest = max(p["tension_n"] for p in alone["paths"]) * 1.05
    assert spread["max_tension_n"]["worst_corner"] == pytest.approx(heaviest, rel=0.01)
    told = command("hang", "-", "--spread", tmp_path / "spread.toml", stdin=json.dumps(BRIDLE))
    assert "500 samples, seed 3" in told.out
    assert "worst corner" in told.out


def test_a_spread_that_capsizes_somewhere_is_a_stop(command: Command, tmp_path: Path) -> None:
    """The bridle's centre may rise 2.96 m: 3 m has it over in a corner, though in none of two samples."""
    (tmp_path / "spread.json").write_text('{"samples": 2, "limit": {"cg_m": [0, 0, 3.0]}}')
    told = command("hang", "-", "--spread", tmp_path / "spread.json", "--json", stdin=json.dumps(BRIDLE))
    assert told.document["status"] == "stable"
    assert told.document["spread"]["corner_capsizes"]
    assert told.document["spread"]["chance_capsizes"] == 0
    assert told.code == 1
    assert "STOP" in command("hang", "-", "--spread", tmp_path / "spread.json", stdin=json.dumps(BRIDLE)).out


def changed(**more: Any) -> str:
    return json.dumps({**copy.deepcopy(BRIDLE), **more})


def path_changed(**more: Any) -> str:
    problem = copy.deepcopy(BRIDLE)
    problem["paths"][1].update(more)
    return json.dumps(problem)


MALFORMED = {
    "empty": ("", "bodies"),
    "not UTF-8": (b"\xff\xfe{", ""),
    "broken JSON": ('{"bodies": [', ""),
    "broken TOML": ("bodies = [", ""),
    "a list": ("[1, 2]", ""),
    "deep": ("[" * 5000, ""),
    "twice": ('{"bodies": [], "bodies": []}', "bodies"),
    "NaN": ('{"bodies": NaN}', ""),
    "unknown key": (changed(path=[]), "path"),
    "no paths": (changed(paths=[]), "paths"),
    "a text for a number": (path_changed(length_m="9 ft"), "paths[1].length_m"),
    "millimetres": (path_changed(length_m=2750.0), "paths[1].length_m"),
    "no such body": (
        path_changed(points=[{"on": "world", "at_m": [0, 0, 5]}, {"on": "lod", "at_m": [0, 0, 1]}]),
        "paths[1].points[1].on",
    ),
    "half a point": (
        path_changed(points=[{"on": "world", "at_m": [0, 0]}, {"on": "load", "at_m": [0, 0, 1]}]),
        "paths[1].points[0].at_m",
    ),
    "weightless": (changed(bodies=[{"weight_n": 0, "centre_of_gravity_m": [0, 0, 0]}]), "bodies[0].weight_n"),
}


@pytest.mark.parametrize("name", MALFORMED)
def test_a_malformed_problem_is_exit_2_with_its_field(command: Command, name: str) -> None:
    content, field = MALFORMED[name]
    document = command.answers("fault", "hang", "-", stdin=content, code=2)
    assert document["field"] == field
    told = command("hang", "-", stdin=content)
    assert (told.code, told.out) == (2, "")
    assert field in told.err
    assert "Traceback" not in told.err


def test_faults_of_problem_and_spread_are_told_at_once(command: Command, tmp_path: Path) -> None:
    (tmp_path / "spread.toml").write_text("samples = 0\n[sd]\nlenght_rel = 0.1\n")
    line = ("hang", "-", "--spread", tmp_path / "spread.toml")
    document = command.answers("fault", *line, stdin=path_changed(rated_n=-1), code=2)
    fields = {fault["field"] for fault in document["faults"]}
    assert {"paths[1].rated_n", "spread.samples", "spread.sd.lenght_rel"} <= fields


def test_stdin_serves_one_of_the_two(command: Command) -> None:
    document = command.answers("fault", "hang", "-", "--spread", "-", stdin=json.dumps(BRIDLE), code=2)
    assert document["field"] == "--spread"


def test_an_offers_case_is_given_back_bit_for_bit(command: Command) -> None:
    """choose --json | jq .offers[i].cases[k].problem | slingwright hang - gives that case's result."""
    offers = command.answers("offers", "choose", EXAMPLE / "chiller.toml")["offers"]
    cases = [case for offer in offers for case in offer["cases"]]
    assert len(cases) > 3
    for case in cases:
        found = command("hang", "-", "--json", stdin=json.dumps(case["problem"], indent=2)).document
        given_back = {key: found[key] for key in case["result"]}
        assert json.dumps(given_back) == json.dumps(case["result"])
        assert found.keys() - case["result"].keys() == {"schema", "made_by", "cautions"}
