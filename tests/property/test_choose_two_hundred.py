"""Two hundred random lifts: the walk finds what trying every candidate in order finds, and the hang decides.

Six kinds, each near another edge of what holds: tension, spread within tolerances, tilt, angle, friction,
capsizing. What weight, legs, sine and table alone would name is counted beside it, with what the hang has
against it; the same comparison must fail with the chart in the place of the search.
"""

from __future__ import annotations

import functools
import random
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest

from slingwright.choose.candidate import Candidate
from slingwright.choose.evaluate import Verdict
from slingwright.choose.search import Search
from slingwright.choose.setting import Setting, draw
from slingwright.rulebook import load_rulebook
from tests.brute_force import InOrder, best_in_order
from tests.choosing import SmallShop, small_shop
from tests.lifts import read_document

DRAWS = draw(5, samples=128)
PICKS = small_shop(widths=("1 in", "2 in"), forms=("twisted-eye",), fibres=("polyester",), shelf=1)
ROUND = small_shop(
    widths=("2 in",), fibres=("polyester",), plies=(1,), lengths=("7 ft", "16 ft"), length_step="3 ft",
    placement_step="3 ft",
)  # fmt: skip
KINDS = {"tension": 50, "spread": 20, "tilt": 32, "angle": 44, "friction": 22, "capsizing": 32}
LIFTS = [(kind, number) for kind, count in KINDS.items() for number in range(count)]
CAUSES = {"rated-load": "tension", "least-angle": "angle", "slip": "friction", "stability": "capsizing"}

LUGS = {2: ((0.1, 0.5), (0.9, 0.5)), 4: ((0.1, 0.1), (0.9, 0.1), (0.9, 0.9), (0.1, 0.9))}

Doc = dict[str, Any]


def _frame(rng: random.Random, **over: Any) -> Doc:
    """A box on lugs, four near its corners or two; what the kind turns is passed in."""
    long, wide, high = rng.uniform(60, 110), rng.uniform(40, 70), rng.uniform(30, 60)
    off_x, off_y = over.get("off", (0.02, 0.02))
    lugs = over.get("lugs", 1.0)
    picks = [
        {"name": "ABCD"[i], "pin": "1 in", "rated": "40,000 lb", "rated_at": "any angle",
         "at": [f"{x * long:.1f} in", f"{y * wide:.1f} in", f"{lugs * high:.1f} in"]}
        for i, (x, y) in enumerate(LUGS[over.get("legs", 4)])
    ]  # fmt: skip
    centre = (long * (0.5 + off_x), wide * (0.5 + off_y), high * over.get("up", 0.4))
    return {
        "load": {
            "weight": f"{over['weight']:.0f} lb", "known_by": "scale", "shape": "frame",
            "length": f"{long:.1f} in", "width": f"{wide:.1f} in", "height": f"{high:.1f} in",
            "centre_of_gravity": [f"{x:.1f} in" for x in centre], "centre_tolerance": "0.5 in",
            "pick_point": picks,
        },
        "hook": {"headroom": f"{high + rng.uniform(110, 170):.0f} in",
                 "thickness": "1 1/2 in", "width": "6 in"},
        "want": {"level_within": "8 deg", "least_angle": "45 deg", **over.get("want", {})},
    }  # fmt: skip


def _either(rng: random.Random, low: float, high: float) -> float:
    return rng.choice((-1, 1)) * rng.uniform(low, high)


def _tension(rng: random.Random) -> Doc:
    off = (_either(rng, 0.06, 0.16), 0.0)
    return _frame(rng, weight=rng.uniform(1_500, 5_000), off=off, legs=2, want={"level_within": "20 deg"})


def _spread(rng: random.Random) -> Doc:
    loose = {"length_tolerance": f"{rng.uniform(1.5, 3.5):.2f} in", "level_within": "15 deg"}
    return _frame(rng, weight=rng.uniform(2_000, 8_000), off=(0.005, 0.005), want=loose)


def _tilt(rng: random.Random) -> Doc:
    off = (_either(rng, 0.03, 0.12), 0.01)
    level = {"level_within": f"{rng.uniform(1.5, 4):.1f} deg"}
    return _frame(rng, weight=rng.uniform(1_500, 5_000), off=off, want=level)


def _angle(rng: random.Random) -> Doc:
    """Over the middle as told, but the centre may be a hand's breadth off: then one leg leans flatter."""
    want = {"least_angle": f"{rng.uniform(45, 62):.1f} deg", "level_within": "25 deg"}
    doc = _frame(rng, weight=rng.uniform(700, 1_500), off=(0.0, 0.0), legs=2, want=want)
    doc["load"]["centre_tolerance"] = [f"{rng.uniform(8, 14):.1f} in", "0.5 in", "0.5 in"]
    return doc


def _friction(rng: random.Random) -> Doc:
    """A pipe too long for one sling: a pair leans towards the hook, and slides unless the surface holds."""
    across = rng.uniform(14, 30)
    return {
        "load": {
            "weight": f"{rng.uniform(1_500, 4_000):.0f} lb", "known_by": "scale",
            "shape": "cylinder", "length": "13 ft", "diameter": f"{across:.1f} in",
            "centre_of_gravity": ["78 in", f"{across / 2:.1f} in", f"{across / 2:.1f} in"],
            "centre_tolerance": ["1 in", "1/4 in", "1/2 in"], "edge_radius": "3/4 in",
            "surface": rng.choice((0.05, 0.1, 0.15, 0.25)), "bears": [["6 in", "150 in"]],
            "choke_angle": "free",
        },
        "hook": {"headroom": f"{rng.uniform(120, 190):.0f} in", "thickness": "1 1/2 in", "width": "6 in"},
        "want": {"level_within": "12 deg", "least_angle": "45 deg"},
    }  # fmt: skip


def _capsizing(rng: random.Random) -> Doc:
    """Lugs near the floor under a high centre; on two of them it only just stays, or goes."""
    legs = rng.choice((2, 2, 4))
    up = rng.uniform(0.45, 0.6) if legs == 2 else rng.uniform(0.7, 0.95)
    lugs = up - rng.uniform(-0.05, 0.12) if legs == 2 else 0.02
    return _frame(
        rng, weight=rng.uniform(1_000, 2_500), up=up, lugs=lugs, off=(0.0, 0.0), legs=legs,
        want={"level_within": "15 deg"},
    )  # fmt: skip


MAKERS: dict[str, Callable[[random.Random], Doc]] = {
    "tension": _tension, "spread": _spread, "tilt": _tilt, "angle": _angle, "friction": _friction,
    "capsizing": _capsizing,
}  # fmt: skip


def setting_of(kind: str, number: int) -> Setting:
    shop: SmallShop = ROUND if kind == "friction" else PICKS
    lift = read_document(MAKERS[kind](random.Random(f"two hundred {kind} {number}")))
    return Setting(lift=lift, rulebook=load_rulebook("us"), shop=shop.shop, book=shop.book, draws=DRAWS)


@functools.cache
def tried(kind: str, number: int) -> InOrder:
    """What trying in order finds; once a session."""
    return best_in_order(setting_of(kind, number))


def _walked(kind: str, number: int) -> Candidate | None:
    found = Search(setting_of(kind, number)).walk("price")
    assert found.proved
    return found.answer.candidate if found.answer is not None else None


def _charted(kind: str, number: int) -> Candidate | None:
    chart = tried(kind, number).chart
    return chart.candidate if chart is not None else None


def differing(answer: Callable[[str, int], Candidate | None]) -> list[tuple[str, int]]:
    """The lifts on which an answer is not what trying every candidate finds."""
    out = []
    for kind, number in LIFTS:
        right = tried(kind, number).best
        if answer(kind, number) != (right.candidate if right is not None else None):
            out.append((kind, number))
    return out


def cause(chart: Verdict) -> str:
    """What the hang has against the chart's answer: its stop, or the caution that grades it."""
    against = chart.stop or next((f for f in chart.findings if f.grades), None)
    if against is None:
        return "dearer"
    named = CAUSES.get(against.rule, against.rule)
    if named != "tension":
        return named
    drawn = any(case.name == "worst" for case in chart.cases)  # the told hang and the corners let it pass
    by_draw = chart.stop is not None or any(share.case == "worst" for share in chart.shares)
    return "spread" if drawn and by_draw else "tension"


def test_the_walk_finds_what_trying_in_order_finds() -> None:
    assert len(LIFTS) == 200
    assert differing(_walked) == []


def test_the_same_comparison_fails_with_the_chart_in_the_place_of_the_search() -> None:
    assert len(differing(_charted)) >= 100


def test_each_way_a_hang_decides_is_among_them() -> None:
    told: Counter[str] = Counter()
    for kind, number in LIFTS:
        found = tried(kind, number)
        told["none"] += found.best is None
        if not found.same:
            told["decided"] += 1
            told[cause(found.chart) if found.chart is not None else "chart-has-none"] += 1
    assert told["decided"] >= 100, told
    assert told["none"] >= 20, told
    for what in ("tension", "spread", "tilt", "angle", "friction", "capsizing"):
        assert told[what] >= 15, told


@pytest.mark.parametrize("kind", KINDS)
def test_a_lift_is_the_same_on_every_machine(kind: str) -> None:
    assert MAKERS[kind](random.Random("x")) == MAKERS[kind](random.Random("x"))
