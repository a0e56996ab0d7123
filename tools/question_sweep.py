"""The first question of fifty lifts against a sweep of everything each of them leaves open.

    python tools/question_sweep.py            fifty lifts, a minute or two

Every lift has two or three unknowns. Each unknown's range is searched at many places of its own, not where
the product cut it; the question with the largest mean move of the price must be the one asked first (or as
good as the largest, within what the places can tell). Exit 1 on any other, on fewer than four different first
questions, and on fewer than five lifts of which none is asked.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

from slingwright.choose.again import Again
from slingwright.choose.explained import Question
from slingwright.choose.question import matters, next_question, weigh_questions
from slingwright.choose.search import Search
from slingwright.choose.setting import Setting, draw
from slingwright.lift.model import Lift
from slingwright.rulebook import load_rulebook
from tests.choosing import small_shop
from tests.lifts import read_document
from tests.unit.choose.test_change import document

PLACES = 12
AS_GOOD = 0.85  # of the largest swept mean: twelve places cannot tell closer
DRAWS = draw(1, samples=64)
EYES = small_shop(widths=("2 in", "3 in"), forms=("twisted-eye", "flat-eye"), fibres=("polyester", "nylon"))
ALL = small_shop(widths=("2 in", "3 in"), forms=("twisted-eye", "endless"), fibres=("polyester",))
UNKNOWNS = ("weight", "centre", "surface-temperature", "hook-thickness", "pin", "pick-rating-angle")


def lift_of(number: int) -> Lift:
    """A box on four lugs with two or three things left open; one lift in six has only little left open."""
    rng = random.Random(f"question {number}")
    weight = rng.uniform(4_000, 15_000)
    small = number % 6 == 0
    unknown = {"weight", "centre"} if small else set(rng.sample(UNKNOWNS, rng.choice((2, 3))))
    wide = (0.985 if small else rng.uniform(0.4, 0.8)) if "weight" in unknown else 0.99
    load: dict[str, Any] = {
        "centre_tolerance": "1 %",
        "weight": {"low": f"{wide * weight} lb", "high": f"{weight} lb"},
    }
    if "centre" in unknown:
        load["centre_tolerance"] = "1.2 in" if small else [f"{rng.uniform(4, 14)} in", "3 in", "1 in"]
    doc = document(**load)
    doc["hook"]["headroom"] = f"{rng.uniform(105, 160)} in"
    doc["site"] = {"temperature": ["40 °F", "90 °F"]}
    if "surface-temperature" in unknown:
        del doc["load"]["surface_temperature"]
    if "hook-thickness" in unknown:
        del doc["hook"]["thickness"]
    for pick in doc["load"]["pick_point"]:
        if "pin" in unknown:
            del pick["pin"]
        if "pick-rating-angle" in unknown:
            del pick["rated_at"]
    return read_document(doc)


def setting_of(lift: Lift, number: int) -> Setting:
    shop = EYES if number % 2 else ALL
    return Setting(lift=lift, rulebook=load_rulebook("us"), shop=shop.shop, book=shop.book, draws=DRAWS)


def price(setting: Setting, lift: Lift) -> int:
    """The best price of a fresh search; 0 where nothing fits."""
    found = Search(replace(setting, lift=lift)).walk("price").answer
    return 0 if found is None else found.candidate.price_minor


def answered(lift: Lift, code: str, at: float) -> Lift:
    """The lift with one unknown found to be this figure."""
    load = lift.load
    if code == "weight":
        known = replace(load.weight, nominal_n=at, low_n=at * 0.99, high_n=at * 1.01)
        return replace(lift, load=replace(load, weight=known))
    if code == "surface-temperature":
        return replace(lift, load=replace(load, surface_temperature_k=at))
    if code == "hook-thickness":
        return replace(lift, hooks=tuple(replace(h, thickness_m=at) for h in lift.hooks))
    return replace(
        lift, load=replace(load, pick_points=tuple(replace(p, pin_m=at) for p in load.pick_points))
    )


def swept(setting: Setting, question: Question, now: int) -> float:
    """The mean move of the price over the question's range."""
    if question.pieces[0].choice:  # a choice has no places between its answers
        return question.worth_minor
    low, high = question.pieces[0].low or 0.0, question.pieces[-1].high or 0.0
    places = [low + (high - low) * (i + 0.5) / PLACES for i in range(PLACES)]
    return sum(abs(price(setting, answered(setting.lift, question.code, x)) - now) for x in places) / PLACES


def main() -> int:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--lifts", type=int, default=50)
    args = parser.parse_args()
    first: Counter[str] = Counter()
    wrong = 0
    for number in range(args.lifts):
        setting = setting_of(lift_of(number), number)
        again = Again(setting)
        questions, asked = list(weigh_questions(again)), next_question(again)
        now = price(setting, setting.lift)
        worths = {q.code: swept(setting, q, now) for q in questions}
        largest = max(worths.values(), default=0.0)
        first[asked.code if asked else "none"] += 1
        if asked is None:
            right = largest <= 0.01 * now and not any(matters(q, again.now) for q in questions)
        else:
            right = worths[asked.code] >= AS_GOOD * largest
        wrong += not right
        told = ", ".join(f"{code} {worth:.0f}" for code, worth in worths.items())
        print(
            f"{number}: {asked.code if asked else 'none'} of {told}{'' if right else '  WRONG'}", flush=True
        )
    print(f"{args.lifts} lifts, {wrong} wrong; asked first: {dict(first)}")
    return int(wrong > 0 or len(set(first) - {"none"}) < 4 or first["none"] < 5)


if __name__ == "__main__":
    sys.exit(main())
