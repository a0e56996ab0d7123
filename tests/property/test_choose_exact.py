"""The search against brute force: every candidate of a small shop judged, four measures, many lifts.

Every candidate in full, so few lifts; two hundred by price, and what decides them, are in
`test_choose_two_hundred.py`.
"""

from __future__ import annotations

import functools
import random
from typing import Any

import pytest

from slingwright.choose.search import Search
from slingwright.choose.setting import Setting, draw
from slingwright.rulebook import load_rulebook
from tests.brute_force import MEASURES, Judged, best, judge_all
from tests.choosing import SmallShop, small_shop
from tests.lifts import read_document
from tests.rejecting import assert_rejected

DRAWS = draw(1, samples=128)  # a smaller fixed set than the product's: the walk must be exact for any

SHOPS: dict[str, SmallShop] = {
    "picks": small_shop(widths=("2 in", "3 in"), forms=("twisted-eye",), bridle_step="1 ft", shelf=2),
    # two webbings of one strength that share their stiff end and nothing else
    "soft": small_shop(widths=("2 in",), forms=("twisted-eye",), nylon_stretch=("3 %", "14 %"), shelf=3),
    "en": small_shop(
        widths=("60 mm", "90 mm"),
        forms=("twisted-eye",),
        fibres=("polyester",),
        lengths=("2 m", "5 m"),
        quick_up_to="3 m",
        length_step="250 mm",
        height_step="250 mm",
    ),
    "beam": small_shop(
        widths=("2 in",),
        fibres=("polyester",),
        plies=(1,),
        length_step="6 in",
        lengths=("6 ft", "12 ft"),
        quick_up_to="9 ft",
    ),
    "round": small_shop(
        widths=("2 in", "4 in"),
        plies=(1,),
        lengths=("7 ft", "16 ft"),
        length_step="3 ft",
        placement_step="2 ft",
    ),
}
KINDS = {
    "bridle-2": ("picks", 5),
    "bridle-3": ("soft", 6),
    "bridle-4": ("picks", 5),
    "en bridle-4": ("en", 5),
    "hooks": ("picks", 2),
    "beam": ("beam", 2),
    "box on a beam": ("beam", 2),
    "box": ("round", 2),
    "pipe": ("round", 2),
}
LIFTS = [(kind, number) for kind, (_, count) in KINDS.items() for number in range(count)]


def _inches(value: float) -> str:
    return f"{value:.1f} in"


def _picked(rng: random.Random, legs: int, *, uneven: float) -> dict[str, Any]:
    """A box with lugs near its corners, its centre off the middle; weights near what the shop carries."""
    long, wide, high = rng.uniform(60, 110), rng.uniform(36, 60), rng.uniform(30, 60)
    places = {
        2: ((0.1, 0.5), (0.9, 0.5)),
        3: ((0.1, 0.1), (0.1, 0.9), (0.9, 0.5)),
        4: ((0.1, 0.1), (0.9, 0.1), (0.9, 0.9), (0.1, 0.9)),
    }[legs]
    picks = [
        {
            "name": "ABCD"[i],
            "at": [_inches(x * long), _inches(y * wide), _inches(high + rng.choice((0.0, 0.0, uneven)))],
            "pin": "1 in",
            "rated": "20,000 lb",
            "rated_at": "any angle",
        }
        for i, (x, y) in enumerate(places)
    ]
    off = 0.02 if legs == 2 else 0.06
    centre = [
        long * (0.5 + rng.uniform(-0.06, 0.06)),
        wide * (0.5 + rng.uniform(-off, off)),
        high * rng.uniform(0.3, 0.5),
    ]
    return {
        "load": {
            "weight": f"{rng.uniform(1800, 4300) * min(legs, 3):.0f} lb", "shape": "frame",
            "known_by": "scale",
            "length": _inches(long), "width": _inches(wide), "height": _inches(high),
            "centre_of_gravity": [_inches(x) for x in centre],
            "centre_tolerance": [_inches(rng.uniform(0.2, 2)), _inches(rng.uniform(0.1, 0.5)), "1 in"],
            "pick_point": picks,
        },
        "hook": {"headroom": _inches(high + rng.uniform(90, 170)), "thickness": "1 1/2 in", "width": "6 in"},
        "want": {
            "level_within": f"{rng.uniform(2, 8):.2f} deg",
            "least_angle": f"{rng.choice((45, 50, 55))} deg",
        },
    }  # fmt: skip


def _metric(rng: random.Random) -> dict[str, Any]:
    doc = _picked(rng, 4, uneven=6.0)
    doc["rulebook"] = "en"
    doc["load"]["weight"] = f"{rng.uniform(1500, 5200):.0f} kg"
    return doc


def _hooks(rng: random.Random) -> dict[str, Any]:
    doc = _picked(rng, 2, uneven=10.0)
    room = doc.pop("hook")
    doc["hook"] = [room | {"at": pick["at"][:2]} for pick in doc["load"]["pick_point"]]
    return doc


SPREADER = {
    "name": "spreader",
    "weight": "300 lb",
    "rated": "20,000 lb",
    "least_top_angle": "45 deg",
    "depth": "6 in",
}


def _beam(rng: random.Random) -> dict[str, Any]:
    doc = _picked(rng, 2, uneven=0.0)
    doc["hook"]["headroom"] = _inches(rng.uniform(200, 300))
    doc["load"]["weight"] = f"{rng.uniform(2000, 5000):.0f} lb"
    doc["beam"] = [SPREADER | {"span": _inches(rng.uniform(60, 100))}]
    return doc


def _box_on_a_beam(rng: random.Random) -> dict[str, Any]:
    doc = _round(rng, "box")
    doc["hook"]["headroom"] = _inches(rng.uniform(200, 300))
    doc["beam"] = [SPREADER | {"span": _inches(rng.uniform(60, 100))}]
    return doc


def _round(rng: random.Random, shape: str) -> dict[str, Any]:
    across = rng.uniform(14, 30)
    sizes = {"diameter": _inches(across)} if shape == "cylinder" else {
        "width": _inches(across), "height": _inches(rng.uniform(14, 30))}  # fmt: skip
    high = across / 2 if shape == "cylinder" else 7.0
    return {
        "load": {
            "weight": f"{rng.uniform(2500, 9000):.0f} lb", "known_by": "scale", "shape": shape,
            "length": "11 ft", **sizes,
            "centre_of_gravity": [_inches(66 + rng.uniform(-1, 1)), _inches(across / 2), _inches(high)],
            "centre_tolerance": ["1 in", "1/4 in", "1/2 in"], "edge_radius": rng.choice(("1/4 in", "3/4 in")),
            "surface": rng.choice((0.25, 0.4)), "bears": [["6 in", "126 in"]],
            "choke_angle": rng.choice(("free", "unknown")),
        },
        "hook": {"headroom": _inches(rng.uniform(120, 190)), "thickness": "1 1/2 in", "width": "6 in"},
        "want": {"level_within": f"{rng.uniform(2, 6):.2f} deg", "least_angle": "45 deg"},
    }  # fmt: skip


def lift_of(kind: str, number: int, *, seed: int | None = None) -> dict[str, Any]:
    """The lift file of one random lift, the same on every machine."""
    rng = random.Random(f"{kind} {number}" if seed is None else f"{kind} {number} {seed}")
    if kind == "en bridle-4":
        return _metric(rng)
    if kind.startswith("bridle"):
        return _picked(rng, int(kind[-1]), uneven=rng.choice((0.0, 8.0)))
    if kind == "hooks":
        return _hooks(rng)
    if "beam" in kind:
        return _beam(rng) if kind == "beam" else _box_on_a_beam(rng)
    return _round(rng, "box" if kind == "box" else "cylinder")


def setting_of(kind: str, number: int) -> Setting:
    small, lift = SHOPS[KINDS[kind][0]], read_document(lift_of(kind, number))
    return Setting(
        lift=lift, rulebook=load_rulebook(lift.rulebook), shop=small.shop, book=small.book, draws=DRAWS
    )


@functools.cache
def judged(kind: str, number: int) -> tuple[Setting, list[Judged]]:
    """The lift and all of its candidates; solved once a session."""
    setting = setting_of(kind, number)
    return setting, judge_all(setting)


@pytest.mark.parametrize(("kind", "number"), LIFTS)
def test_the_walk_finds_what_brute_force_finds(kind: str, number: int) -> None:
    setting, every = judged(kind, number)
    for by in MEASURES:
        search = Search(setting)
        found = search.walk(by)
        answer = found.answer
        right = best(every, by)
        assert found.proved
        assert_rejected(search, found, every, by)
        assert (answer is None) == (right is None), by
        if answer is None or right is None:
            continue
        assert answer.candidate == right.verdict.candidate, by
        assert answer.grade == right.verdict.grade
        assert answer.shares == right.verdict.shares  # the same bits, alone or among others
        assert answer.findings == right.verdict.findings


def test_one_search_walked_by_every_measure_answers_as_fresh_ones() -> None:
    """What walks share (verdicts, dead rules, rows) must not change an answer."""
    for kind, number in LIFTS[::3]:
        setting, every = judged(kind, number)
        shared = Search(setting)
        for by in reversed(MEASURES):
            answer, right = shared.walk(by).answer, best(every, by)
            assert (answer and answer.candidate) == (right and right.verdict.candidate), (kind, number, by)


UPRIGHT = small_shop(
    widths=("2 in",), forms=("twisted-eye",), plies=(1,), bridle_step="2 in", lengths=("8 ft", "30 ft"),
    quick_up_to="20 ft",
)  # fmt: skip


def upright_setting_of(number: int) -> Setting:
    """A load on two lugs for a straight pull."""
    doc = _picked(random.Random(f"upright {number}"), 2, uneven=0.0)
    doc["hook"]["headroom"] = "38 ft"
    doc["load"]["weight"] = "1500 lb"
    doc["want"]["level_within"] = "8 deg"
    for pick in doc["load"]["pick_point"]:
        pick["rated_at"] = "vertical only"
    lift = read_document(doc)
    return Setting(lift=lift, rulebook=load_rulebook("us"), shop=UPRIGHT.shop, book=UPRIGHT.book, draws=DRAWS)


@pytest.mark.parametrize("number", range(4))
def test_lugs_for_a_straight_pull_lose_by_their_own_lean_and_by_no_other(number: int) -> None:
    """A leg leans from a tilted load's lug by more or less than from the world's vertical."""
    setting = upright_setting_of(number)
    every = judge_all(setting)
    leans = {v.verdict.stop.detail for v in every if v.verdict.stop is not None}
    assert "leans-too-far" in leans
    for by in ("price", "weight"):
        search = Search(setting)
        answer, right = search.walk(by).answer, best(every, by)
        assert right is not None
        assert answer is not None
        assert (answer.candidate, answer.grade) == (right.verdict.candidate, right.verdict.grade)
        assert search.solved < 12  # those that lean too far, or far enough to be graded, fall unjudged
