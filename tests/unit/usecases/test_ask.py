"""The interview from the first question to the saved file; the lift it leaves reads and asks nothing more."""

from __future__ import annotations

import io
import json
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from slingwright.errors import InputFault
from slingwright.lift import read_lift
from slingwright.usecases.ask import Interview, is_not_known
from slingwright.usecases.lift_text import lift_text
from slingwright.usecases.settings import resolve_settings
from tests.choosing import coarse_shop, run_command
from tests.lifts import EXAMPLES, NAMES, lift_document
from tests.unit.choose.test_change import document


def unsure() -> dict[str, Any]:
    """Weight guessed within a factor of two, surface not stated, hook not measured."""
    doc = document(weight={"low": "6000 lb", "high": "12000 lb"}, centre_tolerance="1 in")
    del doc["load"]["surface_temperature"]
    doc["hook"].pop("thickness")
    doc["site"] = {"temperature": ["40 °F", "90 °F"]}
    return doc


def interview(doc: dict[str, Any]) -> Interview:
    settings = resolve_settings({"shop": str(coarse_shop("1 ft"))}, {}, Path())
    return Interview.begin(
        lift_text(doc, as_json=True).encode(), "lift.json", folder=Path(), settings=settings
    )


ANSWERS = {
    "weight": "3.9 tonne",
    "surface-temperature": "25 °C",
    "hook-thickness": "38 mm",
    "centre": "50 in, 2 ft 1 in, 381 mm",
}


def test_questions_come_one_at_a_time_until_none_matters() -> None:
    talk = interview(unsure())
    asked = []
    while (question := talk.next_question()) is not None:
        asked.append(question.code)
        talk.take(question.code, ANSWERS[question.code])
    assert len(asked) == len(set(asked)) >= 2
    lift = read_lift(tomllib.loads(lift_text(talk.tables, as_json=False)))
    assert talk.finished() == lift_text(talk.tables, as_json=True).encode()
    if "weight" in asked:
        assert lift.load.weight.nominal_n == pytest.approx(3900 * 9.80665)
        assert lift.load.weight.known_by == "scale"
    if "surface-temperature" in asked:
        assert lift.load.surface_temperature_k == pytest.approx(298.15)


def test_a_weight_nobody_knows_is_asked_first_of_all() -> None:
    doc = document(weight="unknown")
    talk = interview(doc)
    question = talk.next_question()
    assert question is not None
    assert question.code == "weight"
    talk.take("weight", "don't know")
    assert talk.next_question() is None
    assert talk.tables["load"]["weight"] == "unknown"


def test_an_answer_is_known_by_a_scale_and_takes_the_old_tolerance_with_it() -> None:
    talk = interview(document(weight_tolerance="20 %", centre_tolerance="20 %"))
    talk.take("weight", "3.9 tonne")
    talk.take("centre", "50 in, 25 in, 15 in")
    lift = read_lift(talk.tables)
    # 1 % of the weight and of each extent: assumptions.toml, own judgement
    assert lift.load.weight.high_n == pytest.approx(1.01 * 3900 * 9.80665)
    assert lift.load.centre.high_m[0] - lift.load.centre.nominal_m[0] == pytest.approx(0.01 * 100 * 0.0254)


def test_an_answer_that_does_not_read_changes_nothing() -> None:
    talk = interview(unsure())
    before = lift_text(talk.tables, as_json=True)
    for code, text in (
        ("weight", "heavy"),
        ("weight", "12"),
        ("centre", "1 in, 2 in"),
        ("centre", "9 m, 1 m, 1 m"),
    ):
        with pytest.raises(InputFault):
            talk.take(code, text)
    assert lift_text(talk.tables, as_json=True) == before
    assert not talk.answered


@pytest.mark.parametrize(
    "text", ["don't know", "Dont know", "I don’t know", "unknown", "?", "", "  ", "no idea"]
)
def test_not_knowing_has_many_words(text: str) -> None:
    assert is_not_known(text)


@pytest.mark.parametrize("text", ["12 lb", "free", "any angle", "0"])
def test_an_answer_is_no_not_knowing(text: str) -> None:
    assert not is_not_known(text)


@pytest.mark.parametrize("name", NAMES)
def test_a_lift_written_again_reads_the_same(name: str) -> None:
    doc = lift_document(name)
    assert tomllib.loads(lift_text(doc, as_json=False)) == doc
    assert json.loads(lift_text(doc, as_json=True)) == doc


def test_text_with_every_odd_sign_survives() -> None:
    doc = {
        "title": 'a "b" \\ \x7f\n é',
        "odd key": [[1, 2.5], True],
        "t": {"x": [{"y": {"z": "1"}}, {"y": {}}]},
    }
    assert tomllib.loads(lift_text(doc, as_json=False)) == doc


@pytest.fixture
def typed(monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    """Lines as if typed."""

    def put(*lines: str) -> None:
        monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))

    return put


def test_the_command_asks_again_after_a_slip_and_saves(typed: Any, tmp_path: Path) -> None:
    typed("very hot", "80 °F", *["don't know"] * 6)
    file = tmp_path / "beam.toml"
    file.write_text((EXAMPLES / "crane_rail_beam.toml").read_text(encoding="utf-8"), encoding="utf-8")
    done = run_command(["ask", str(file), "--shop", str(coarse_shop("1 ft"))])
    text = done.out.decode()
    assert done.code == 0, done.err
    saved = tomllib.loads((tmp_path / "beam.finished.toml").read_text(encoding="utf-8"))
    assert saved["load"]["surface_temperature"] == "80 °F"
    assert text.count("How hot") == 1
    assert text.count("> ") >= 2
    assert "No further answer would change the choice." in text
    assert read_lift(saved).load.surface_temperature_k == pytest.approx(299.817, abs=0.01)


def test_the_lift_cannot_come_from_where_the_answers_do() -> None:
    assert run_command(["ask", "-"]).code == 2
