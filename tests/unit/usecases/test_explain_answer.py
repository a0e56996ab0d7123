"""`choose --explain`: the document's own part, its words, and that it needs no clock to be the same."""

from __future__ import annotations

import functools
import tempfile
from pathlib import Path
from typing import Any

from slingwright.usecases.lift_text import lift_text
from tests.choosing import Printed, coarse_shop, run_command
from tests.unit.choose.test_change import document

FOLDER = tempfile.TemporaryDirectory(prefix="slingwright-explain-")


@functools.cache
def printed(*options: str, headroom: str = "12 ft", weight: str = "12,000 lb") -> Printed:
    doc = document(weight=weight)
    doc["hook"]["headroom"] = headroom
    file = Path(FOLDER.name) / "lift.toml"
    file.write_text(lift_text(doc, as_json=False), encoding="utf-8")
    return run_command(["choose", str(file), "--shop", str(coarse_shop("1 ft")), *options])


def explained(**lift: str) -> dict[str, Any]:
    found: dict[str, Any] = printed("--json", "--explain", **lift).document["explained"]
    return found


def test_the_document_is_explained_only_when_asked() -> None:
    document = printed("--json").document
    assert document["explained"] is None
    asked = printed("--json", "--explain").document
    assert asked["explained"]["proved"] is True
    assert asked["offers"] == document["offers"]
    codes = [c["code"] for c in asked["explained"]["changes"]]
    assert codes == ["headroom", "weight-known", "centre-known", "spreader-beam"]
    for change in asked["explained"]["changes"]:
        assert (change["text"] is not None) is change["helps"]


def test_question_and_code_agree() -> None:
    document = printed("--json", "--explain").document
    question = document["explained"]["question"]
    assert document["next_question"] == (question["code"] if question else None)


def test_curve_begins_with_the_cheapest_and_stock_is_told_in_one_line() -> None:
    document = printed("--json", "--explain").document
    prices = [p["price_minor"] for p in document["explained"]["curve"]]
    assert prices == sorted(prices)
    assert document["explained"]["stock_against_made"].count("\n") == 0


def test_people_read_the_explanation_below_the_offers() -> None:
    text = printed().out.decode()
    quiet = printed("--no-explain").out.decode()
    assert text.startswith(quiet.rstrip("\n"))
    assert "What would change the answer" in text
    assert "What would change the answer" not in quiet


def test_a_lift_that_cannot_be_is_told_what_would_make_it_possible() -> None:
    done = printed("--json", "--explain", headroom="6 ft")
    assert done.code == 1
    room = next(c for c in done.document["explained"]["changes"] if c["code"] == "headroom")
    assert room["helps"]
    assert "possible then" in room["text"]
    assert room["then"]["fits"]
    assert room["saved_minor"] is None
    assert explained(headroom="6 ft")["curve"] == []


def test_a_weight_nobody_knows_is_the_question() -> None:
    done = printed("--json", weight="unknown")
    assert (done.code, done.document["answer"], done.document["next_question"]) == (1, "stop", "weight")
