"""Offers as printed, judged from outside: every case settled again in MuJoCo, every limit looked up again.

The document that `slingwright choose --json` prints is all that the judges see. The engine: tensions to
0.1 % of the weight, tilt to 0.05° (`tests/judge/engine.py`). The limits: `tests/rated_again.py`.
"""

from __future__ import annotations

import copy
import functools
import json
from collections.abc import Callable
from typing import Any

import pytest

from slingwright.hang.document import hang_to_document, problem_from_document
from slingwright.hang.solve import solve
from tests.choosing import printed
from tests.judge.engine import compare
from tests.rated_again import disagreements

Doc = dict[str, Any]

# lift, whether the coarse shop does, and the family whose offer is judged
LIFTS = {
    "chiller": (False, "bridle-4"),
    "crane_rail_beam": (False, "bridle-2"),
    "compressor_en": (False, "bridle-4"),
    "precast_stair": (True, "basket-2"),
    "pipe_40ft": (True, "choker-2"),
    "duct_section": (True, "beam-vertical"),
    "pontoon_two_hooks": (True, "hooks-vertical"),
}


def answer_of(name: str) -> Doc:
    """The printed document of a lift."""
    return printed(name, coarse=LIFTS[name][0]).document


def offer_of(name: str, document: Doc) -> Doc:
    """The first offer of the family that this lift stands for."""
    family = LIFTS[name][1]
    return next(o for o in document["offers"] if o["arrangement"]["family"] == family)


def cases_of(offer: Doc) -> list[Doc]:
    """Its cases, each whole problem once (`worst` may be `stiff` again)."""
    seen: dict[str, Doc] = {}
    for case in offer["cases"]:
        seen.setdefault(json.dumps(case["problem"], sort_keys=True), case)
    return list(seen.values())


@functools.cache
def engine_says(problem: str, result: str) -> tuple[str, ...]:
    """What the engine does not agree with; each printed case is settled once a session."""
    return tuple(compare(json.loads(problem), json.loads(result)).disagreements)


@pytest.mark.parametrize("name", LIFTS)
def test_the_engine_hangs_every_case_as_printed(name: str) -> None:
    document = answer_of(name)
    cases = cases_of(offer_of(name, document))
    assert {"stiff", "soft"} <= {case["name"] for case in cases}
    for case in cases:
        assert engine_says(json.dumps(case["problem"]), json.dumps(case["result"])) == (), case["name"]


@pytest.mark.parametrize("name", LIFTS)
def test_every_limit_is_the_tables_own(name: str) -> None:
    assert disagreements(answer_of(name)) == []


@pytest.mark.parametrize("name", LIFTS)
def test_hang_gives_every_printed_result_again_bit_for_bit(name: str) -> None:
    count = 0
    for offer in answer_of(name)["offers"]:
        for case in cases_of(offer):
            again = hang_to_document(solve(problem_from_document(case["problem"])))
            assert json.dumps(again) == json.dumps(case["result"]), case["name"]
            count += 1
    assert count >= 4


@pytest.mark.parametrize("name", LIFTS)
def test_a_figure_stands_in_the_case_that_it_is_said_to_come_from(name: str) -> None:
    """Design tension and hitch load can be rebuilt: the case that governs is printed under that name."""
    for offer in answer_of(name)["offers"]:
        cases = {case["name"]: case for case in offer["cases"]}
        assert len(cases) == len(offer["cases"])
        assert {"stiff", "soft", "worst"} <= set(cases)
        if any(sling["hitch"] == "basket" for sling in offer["slings"]):
            assert cases["locked"]["problem"] == cases["stiff"]["problem"]
        for sling in offer["slings"]:
            by = sling["governed_by"]
            if by["case"] == "rule":
                continue
            at = {path["name"]: path["tension_n"] for path in cases[by["case"]]["result"]["paths"]}
            if by["check"] == "part":
                assert at[by["path"]] == sling["design_tension_n"]


def test_made_lengths_print_a_swap_for_every_other_order() -> None:
    offers = answer_of("crane_rail_beam")["offers"]
    made = [o for o in offers if o["arrangement"]["lengths"] == "made"]
    assert made
    for offer in made:
        assert [c["name"] for c in offer["cases"] if c["name"].startswith("swap")] == [
            "swap BA",
            "swap BA soft",
        ]


# -- planted errors: each must be caught ------------------------------------------------------------------


def _twice_a_baskets_part(sling: Doc) -> None:
    sling["part_limit_n"] *= 2


def _twice_a_hitch(sling: Doc) -> None:
    sling["hitch_rated_n"] *= 2
    sling["utilisation"] = sling["design_tension_n"] / sling["part_limit_n"]


def _four_fifths(sling: Doc) -> None:
    sling["vertical_rated_n"] *= 0.8


@pytest.mark.parametrize("plant", [_twice_a_baskets_part, _twice_a_hitch, _four_fifths])
@pytest.mark.parametrize("name", ["chiller", "precast_stair", "pipe_40ft", "compressor_en"])
def test_a_planted_limit_is_caught(name: str, plant: Callable[[Doc], None]) -> None:
    document = copy.deepcopy(answer_of(name))
    plant(offer_of(name, document)["slings"][0])
    assert disagreements(document)


@pytest.mark.parametrize("factor", [0.8, 2.0])
@pytest.mark.parametrize("name", ["chiller", "precast_stair", "pipe_40ft", "duct_section"])
def test_a_planted_stiffness_is_caught_by_both_judges(name: str, factor: float) -> None:
    document = copy.deepcopy(answer_of(name))
    case = offer_of(name, document)["cases"][0]
    for path in case["problem"]["paths"]:
        path["rated_n"] *= factor
    assert any("stiffness" in said for said in disagreements(document))
    assert engine_says(json.dumps(case["problem"]), json.dumps(case["result"]))


def test_an_overloaded_basket_is_caught() -> None:
    """Twice the load in a basket whose parts then pull more than V, yet less than its basket rating."""
    document = copy.deepcopy(answer_of("precast_stair"))
    for case in document["offers"][0]["cases"]:
        for path in case["result"]["paths"]:
            path["tension_n"] *= 2.5
    assert any("a part pulls" in said for said in disagreements(document))


def test_a_stop_among_the_findings_is_caught() -> None:
    document = copy.deepcopy(answer_of("chiller"))
    document["offers"][0]["findings"][0]["outcome"] = "stop"
    assert any("with a stop" in said for said in disagreements(document))
