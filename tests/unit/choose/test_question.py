"""The next question against an exhaustive sweep: ranges searched at many places, one by one."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import Any

import pytest

from slingwright.choose.again import Again
from slingwright.choose.explained import Question
from slingwright.choose.question import _Range, _rank, _unknowns, matters, next_question, weigh_questions
from slingwright.choose.search import Search
from slingwright.choose.setting import Setting, draw
from slingwright.lift.model import Lift
from slingwright.rulebook import load_rulebook
from tests.choosing import small_shop
from tests.lifts import read_document
from tests.unit.choose.test_change import document

DRAWS = draw(1, samples=64)
SHOP = small_shop(widths=("2 in", "3 in"), forms=("twisted-eye", "endless"), fibres=("polyester",))
SWEEP = 24

# weight as known, tolerance of the centre, surface stated, hook stated: two or three unknowns each
LIFTS: list[tuple[str, dict[str, Any]]] = [
    ("heavy guess", {"weight": {"low": "5000 lb", "high": "12000 lb"}, "centre_tolerance": "1 in"}),
    ("wide centre", {"weight_tolerance": "1 %", "centre_tolerance": ["14 in", "6 in", "1 in"]}),
    ("no surface", {"weight_tolerance": "1 %", "centre_tolerance": "1 %", "surface_temperature": None}),
    ("all known", {"weight_tolerance": "1 %", "centre_tolerance": "1 %"}),
    (
        "two unknowns",
        {
            "weight": {"low": "5000 lb", "high": "12000 lb"},
            "centre_tolerance": "1 %",
            "surface_temperature": None,
        },
    ),
    ("light guess", {"weight": {"low": "900 lb", "high": "1000 lb"}, "centre_tolerance": "1 in"}),
]


def setting_of(lift: Lift) -> Setting:
    return Setting(lift=lift, rulebook=load_rulebook("us"), shop=SHOP.shop, book=SHOP.book, draws=DRAWS)


def lift_of(load: dict[str, Any]) -> Lift:
    doc = document(**{key: value for key, value in load.items() if value is not None})
    for key, value in load.items():
        if value is None:
            del doc["load"][key]
    doc["site"] = {"temperature": ["40 °F", "90 °F"]}
    return read_document(doc)


def price(lift: Lift) -> int | None:
    found = Search(setting_of(lift)).walk("price").answer
    return None if found is None else found.candidate.price_minor


def swept_weight(lift: Lift, low: float, high: float) -> float:
    """The mean move of the price [minor] when a scale (1 %) finds the weight, at evenly spaced weights."""
    now = price(lift) or 0
    weight = lift.load.weight
    moves = []
    for i in range(SWEEP):
        at = low + (high - low) * (i + 0.5) / SWEEP
        known = replace(weight, nominal_n=at, low_n=at * 0.99, high_n=at * 1.01)
        moves.append(abs((price(replace(lift, load=replace(lift.load, weight=known))) or 0) - now))
    return sum(moves) / len(moves)


def swept_surface(lift: Lift, low: float, high: float) -> float:
    now = price(lift) or 0
    moves = []
    for i in range(SWEEP):
        at = low + (high - low) * (i + 0.5) / SWEEP
        moves.append(
            abs((price(replace(lift, load=replace(lift.load, surface_temperature_k=at))) or 0) - now)
        )
    return sum(moves) / len(moves)


def asked(name: str) -> tuple[Lift, list[Question], Question | None]:
    lift = lift_of(dict(LIFTS)[name])
    again = Again(setting_of(lift))
    return lift, list(weigh_questions(again)), next_question(again)


@pytest.mark.parametrize(
    ("name", "first"),
    [
        ("heavy guess", "weight"),
        ("wide centre", "centre"),
        ("no surface", "surface-temperature"),
        ("all known", None),
        ("two unknowns", "surface-temperature"),
        ("light guess", None),
    ],
)
def test_the_first_question_is_the_one_whose_sweep_moves_the_price_most(name: str, first: str | None) -> None:
    lift, questions, question = asked(name)
    assert (question.code if question else None) == first
    for q in questions:
        if q.code not in ("weight", "surface-temperature"):
            continue
        low, high = q.pieces[0].low, q.pieces[-1].high
        assert low is not None
        assert high is not None
        swept = (swept_weight if q.code == "weight" else swept_surface)(lift, low, high)
        # the pieces' borders are found to an eighth of the half range, the sweep to a twenty-fourth
        assert q.worth_minor == pytest.approx(swept, rel=0.12, abs=0.006 * (price(lift) or 0))
        if first is not None and q.code != first:
            assert swept <= question.worth_minor  # type: ignore[union-attr]


def test_pieces_cover_the_range_once_and_neighbours_differ() -> None:
    _, questions, _ = asked("heavy guess")
    weight = next(q for q in questions if q.code == "weight")
    assert len(weight.pieces) > 1
    assert sum(p.share for p in weight.pieces) == pytest.approx(1.0)
    for left, right in itertools.pairwise(weight.pieces):
        assert left.high == right.low
        assert left.then.price_minor != right.then.price_minor or left.then.family != right.then.family


@pytest.mark.parametrize("name", ["no surface", "heavy guess"])
def test_a_border_stands_where_the_better_answer_was_found_last(name: str) -> None:
    """Nowhere in a stretch the answer is worse than is said of it: limit 180 °F, "fits" said up to 183."""
    lift, questions, _ = asked(name)
    again, seen = Again(setting_of(lift)), 0
    ranges = {one.code: one for one in _unknowns(again) if isinstance(one, _Range)}
    for q in questions:
        for left, right in itertools.pairwise(q.pieces if q.code in ranges else ()):
            assert left.high is not None
            at = again.answer(ranges[q.code].lift(left.high))
            better = min(left.then, right.then, key=_rank)
            assert _rank(at) == _rank(better)
            seen += 1
    assert seen


def test_what_the_user_does_not_know_is_not_asked_again() -> None:
    lift = lift_of({"weight": {"low": "5000 lb", "high": "12000 lb"}, "surface_temperature": None})
    again = Again(setting_of(lift))
    first = next_question(again)
    assert first is not None
    second = next_question(again, without=frozenset({first.code}))
    assert second is not None
    assert second.code != first.code
    assert next_question(again, without=frozenset(q.code for q in weigh_questions(again))) is None


def test_a_move_nobody_would_mind_does_not_matter() -> None:
    _, questions, _ = asked("light guess")
    again = Again(setting_of(lift_of(dict(LIFTS)["light guess"])))
    assert questions
    assert not any(matters(q, again.now) for q in questions)
    whole = replace(questions[0], worth_minor=float(again.now.price_minor or 0))
    assert matters(whole, again.now)
