"""`choose --explain`: the document's own part, its words, and that it needs no clock to be the same."""

from __future__ import annotations

import functools
import itertools
import tempfile
from pathlib import Path
from typing import Any

import pytest

from slingwright.choose.explained import Explained
from slingwright.units import Units
from slingwright.usecases.choose_sling import ChooseRequest, Chosen, choose_sling
from slingwright.usecases.explain_answer import explain_parts
from slingwright.usecases.lift_text import lift_text
from slingwright.usecases.settings import resolve_settings
from slingwright.words.explaining import explain_blocks
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
        assert (change["text"] or "A")[:1] in "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789", (
            "a sentence begins as one"
        )


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


@functools.cache
def searched() -> Chosen:
    doc = document(weight="8,000 lb")
    doc["load"] |= {"centre_of_gravity": "unknown", "weight": {"low": "6000 lb", "high": "12000 lb"}}
    for known in ("surface_temperature", "centre_tolerance"):
        doc["load"].pop(known, None)
    file = coarse_shop("1 ft")
    settings = resolve_settings({"shop": str(file)}, {}, file.parent)
    content = lift_text(doc, as_json=True).encode()
    request = ChooseRequest(content=content, file="lift.json", folder=None, settings=settings)
    return choose_sling(request, clock=lambda: 0.0)


@functools.cache
def explained_within(limit: float) -> tuple[Explained, Explained, int]:
    """As it stood with the question, as it ended, and how often the time was looked at until the question."""
    looks = itertools.count()
    parts = explain_parts(searched(), clock=lambda: float(next(looks)), limit_s=limit)
    asked = next(so_far for part, so_far in parts if part == "question")
    needed = next(looks)
    ends = [so_far for _, so_far in parts] if limit < 1e6 else []
    return asked, [asked, *ends][-1], needed


@pytest.mark.parametrize("share", [0.0, 0.5])
def test_a_question_cut_short_by_the_time_says_what_was_not_weighed(share: float) -> None:
    """And asks the best of what was: never nothing in silence. The time here is how often it is looked at."""
    whole, _, needed = explained_within(1e9)
    assert set(whole.weighed) > {"weight", "centre"}
    assert not whole.unweighed
    cut, last, _ = explained_within(needed * share)
    assert sorted((*cut.weighed, *cut.unweighed)) == sorted(whole.weighed)
    assert cut.unweighed
    assert bool(cut.weighed) is (share > 0)
    (block,) = [b for b in explain_blocks(cut, Units.US, "USD") if b.kind == "question"]
    assert "The time ran out" in block.rows[-1].text
    assert "the weight" in block.rows[-1].text or "weight" in cut.weighed
    if cut.question is not None:
        assert cut.question.code in cut.weighed
    assert not last.proved, "what was not weighed is no proof"
