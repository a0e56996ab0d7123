"""Never unconservative: a hundred random lifts, each offer rebuilt in MuJoCo from its printed document alone.

Twenty thousand: `tools/judge_offers.py`. The engine is the outside check; the limits are looked up again in
the tables by `tests/rated_again.py`, which imports nothing of slingwright.
"""

from __future__ import annotations

import copy
import functools
from collections.abc import Callable
from typing import Any

import pytest

from tests.judge.offers import HIGH, judge_offers
from tools.judge_offers import judge_lift, printed_offers, report

Doc = dict[str, Any]
LIFTS = 100


@functools.cache
def judged() -> tuple[dict[str, Any], ...]:
    return tuple(judge_lift(number, seed=7) for number in range(LIFTS))


def test_no_part_is_over_its_limit_in_the_engine_and_the_load_hangs_as_printed() -> None:
    assert [row["complaints"] for row in judged() if row["complaints"]] == []
    assert report(list(judged())) == 0


def test_the_hundred_lifts_ask_something_of_the_judge() -> None:
    """Many offers of many families, some of them near their limits, and next to nothing undecided."""
    rows = judged()
    assert sum(row["offers"] for row in rows) >= 80
    assert len({family for row in rows for family in row["families"]}) >= 7
    assert sum((row["most_used"] or 0) > HIGH for row in rows) >= 10
    assert sum(row["undecided"] for row in rows) <= 0.01 * sum(row["cases"] for row in rows)


@functools.cache
def _bridle() -> Doc:
    return next(d for d in (printed_offers("bridle-4", n, 7) for n in range(20)) if d["offers"])


def _heavier(offer: Doc) -> None:
    """Every case a fifth heavier than the one that was solved, all printed figures left as they are."""
    for case in offer["cases"]:
        case["problem"]["bodies"][0]["weight_n"] *= 1.2


def _stiffer(offer: Doc) -> None:
    for case in offer["cases"]:
        case["problem"]["paths"][0]["strain_at_rated"] *= 0.5


def _leaning(offer: Doc) -> None:
    offer["tilt_deg"] = offer["worst_tilt_deg"] = 0.0
    for case in offer["cases"]:
        case["result"]["tilt_deg"] = 0.0


def _roomier(offer: Doc) -> None:
    """Twice the rating printed of every sling."""
    for sling in offer["slings"]:
        sling["part_limit_n"] *= 2
        sling["vertical_rated_n"] *= 2


def _thinner(offer: Doc) -> None:
    """Slings of one ply sold as what was solved with two: the engine's tensions against the table's row."""
    for sling in offer["slings"]:
        sling["spec"]["width_m"] = 0.0254
        sling["spec"]["plies"] = 1


@pytest.mark.parametrize("plant", [_heavier, _stiffer, _leaning, _roomier, _thinner])
def test_a_planted_error_is_found(plant: Callable[[Doc], None]) -> None:
    assert judge_offers(_bridle())[0].complaints == []
    document = copy.deepcopy(_bridle())
    plant(document["offers"][0])
    assert judge_offers(document)[0].complaints


def test_an_overload_is_found_by_the_engine_alone() -> None:
    """Its tensions over the limit, whatever the printed ones say."""
    document = copy.deepcopy(_bridle())
    for case in document["offers"][0]["cases"]:
        for body in case["problem"]["bodies"]:
            body["weight_n"] *= 3
    assert any("of a limit" in said for said in judge_offers(document)[0].complaints)
