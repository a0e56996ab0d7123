"""Candidates leave the walk in the order of their key, and one stop takes only its like with it."""

from __future__ import annotations

from typing import Any

import pytest

from slingwright.choose.blocks import protections_for
from slingwright.choose.search import Search
from slingwright.choose.setting import Setting, draw
from slingwright.choose.walk import Walk
from slingwright.rulebook import load_rulebook
from slingwright.shop import Refusal
from tests.brute_force import best, judge_all
from tests.choosing import SmallShop, small_shop
from tests.lifts import read_document
from tests.property.test_choose_exact import setting_of

DRAWS = draw(1, samples=128)


def _setting(small: SmallShop, doc: dict[str, Any]) -> Setting:
    lift = read_document(doc)
    return Setting(
        lift=lift, rulebook=load_rulebook(lift.rulebook), shop=small.shop, book=small.book, draws=DRAWS
    )


@pytest.mark.parametrize("by", ["price", "weight", "delivery"])
@pytest.mark.parametrize(("kind", "number"), [("bridle-4", 0), ("beam", 1), ("box on a beam", 0), ("box", 1)])
def test_every_verdict_comes_in_key_order(kind: str, number: int, by: str) -> None:
    """Measure, mass, text: on a beam many pairs of lengths cost and weigh the same; the text decides."""
    measured = {"price": "price_minor", "delivery": "days"}
    keys = []
    for verdict in Walk(Search(setting_of(kind, number)), by, lambda entry: True).verdicts():
        candidate = verdict.candidate
        mass = round(candidate.mass_kg * 1_000_000)
        keys.append((mass if by == "weight" else getattr(candidate, measured[by]), mass, candidate.text))
    assert len(keys) > 4
    assert keys == sorted(keys)


@pytest.mark.parametrize("kind", ["bridle-4", "beam", "box on a beam", "box", "pipe"])
def test_no_row_of_a_block_is_below_the_bound_at_which_the_block_waits(kind: str) -> None:
    search = Search(setting_of(kind, 0))
    tight = 0
    for entry in search.space.entries:
        for guard in protections_for(search.setting, entry.arrangement):
            block = search.block(entry, guard)
            if isinstance(block, Refusal) or not len(block.lengths_m):
                continue
            least = {
                "price": block.price_minor.min(),
                "delivery": block.days.min(),
                "weight": round(block.mass_kg.min() * 1_000_000),
            }
            for by, measure in least.items():
                bound = search.bound(entry, guard, by)
                assert bound is not None
                assert bound <= measure, (by, block.candidate(0).text)
                tight += bound > measure * 0.5
    assert tight


def test_a_choker_too_short_for_its_eye_takes_no_other_choker_with_it() -> None:
    """Round 8 in the eye and lap of 6 in webbing (26 in) outgrow the loop, those of 2 in (17 in) do not."""
    small = small_shop(
        widths=("2 in", "6 in"), forms=("twisted-eye",), plies=(1,), fibres=("polyester",),
        lengths=("6 ft", "12 ft"), length_step="1 ft", placement_step="2 ft",
    )  # fmt: skip
    setting = _setting(
        small,
        {
            "load": {
                "weight": "1500 lb", "known_by": "scale", "shape": "cylinder", "length": "9 ft",
                "diameter": "8 in", "centre_of_gravity": ["54 in", "4 in", "4 in"],
                "centre_tolerance": ["1 in", "1/4 in", "1/4 in"], "edge_radius": "4 in",
                "surface": 0.3, "choke_angle": "free",
            },
            "hook": {"headroom": "12 ft", "thickness": "1 1/2 in", "width": "6 in"},
            "want": {"level_within": "6 deg", "least_angle": "45 deg", "by": "reserve"},
        },
    )  # fmt: skip

    def plain(family: str) -> bool:
        return family in ("choker-1", "choker-2")

    walk = Walk(Search(setting), "reserve", lambda entry: plain(entry.arrangement.family))
    for verdict in walk.verdicts():
        if verdict is not None and verdict.stop is None:  # None: its turn comes by its exact measure
            break
    assert walk.found.rejected["choke"]  # the wide ones, left out before any hang
    assert verdict is not None
    assert verdict.candidate.base.width_m == 0.0508
    every = [j for j in judge_all(setting) if plain(j.verdict.candidate.arrangement.family)]
    right = best(every, "reserve")
    assert right is not None
    found = Search(setting).walk("reserve", only=lambda entry: plain(entry.arrangement.family))
    assert found.answer is not None
    assert found.answer.candidate == right.verdict.candidate


def test_en_mode_factors_leave_out_no_unequal_bridle_that_its_own_floor_would_let_pass() -> None:
    """Printed for a symmetric bridle, M stops legs of unequal lengths by no bare share of the weight."""
    small = small_shop(
        widths=("60 mm",), forms=("twisted-eye",), fibres=("polyester",), plies=(1,), lengths=("2 m", "5 m"),
        quick_up_to="3 m", length_step="100 mm", height_step="200 mm",
    )  # fmt: skip
    pick = {"pin": "25 mm", "rated": "5 tonne", "rated_at": "any angle"}
    setting = _setting(
        small,
        {
            "rulebook": "en",
            "load": {
                "weight": "2300 kg", "known_by": "scale", "shape": "frame", "length": "1.2 m", "width": "1 m",
                "height": "1.6 m", "centre_of_gravity": ["0.6 m", "0.5 m", "0.5 m"],
                "centre_tolerance": ["5 mm", "5 mm", "5 mm"],
                "pick_point": [
                    {"name": "1", "at": ["0 m", "0.1 m", "1.2 m"], **pick},
                    {"name": "2", "at": ["1.2 m", "0.1 m", "1.6 m"], **pick},
                    {"name": "3", "at": ["0.6 m", "0.9 m", "1.6 m"], **pick},
                ],
            },
            "hook": {"headroom": "6.2 m", "thickness": "20 mm", "width": "120 mm"},
            "want": {"level_within": "8 deg", "least_angle": "45 deg"},
        },
    )  # fmt: skip
    space = Search(setting).space
    lengths = {entry.arrangement.lengths for entry in space.entries if not entry.stock}
    # 1 t a leg: below W / 2.1 = 1.10 t (equal legs: M), above W / 3 = 0.77 t (unequal: statics)
    assert lengths == {"made"}
