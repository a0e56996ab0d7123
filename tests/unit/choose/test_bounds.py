"""What the bounds rule out unhung, the hang rules out, too: every lane of random bridles, hung both ways."""

from __future__ import annotations

import random
from collections import Counter
from typing import Any

import numpy as np
import pytest

from slingwright.choose.groups import Group, Strong
from slingwright.choose.nominal import BEATEN, REASONS
from slingwright.choose.setting import Setting, draw
from slingwright.choose.sieve import Asked, Sieve
from slingwright.choose.space import Space
from slingwright.rulebook import load_rulebook
from tests.lifts import read_document
from tests.property.test_choose_exact import lift_of
from tests.shops import harrow_quay, harrow_quay_prices

DRAWS = draw(1, samples=128)


def _setting(kind: str, number: int) -> Setting:
    doc: dict[str, Any] = lift_of(kind, number)
    rng = random.Random(f"bounds {kind} {number}")
    doc["want"]["level_within"] = f"{rng.choice((0.5, 2, 5, 20)):.1f} deg"
    if rng.random() < 0.5:  # picks of one height, where statics alone shares two or three legs
        for pick in doc["load"]["pick_point"]:
            pick["at"][2] = doc["load"]["height"]
    if number % 4 == 3:
        doc["load"]["pick_point"][number % 2]["rated_at"] = "vertical only"
        doc["load"]["pick_point"][0]["rated_at"] = "vertical only"
    lift = read_document(doc)
    return Setting(
        lift=lift,
        rulebook=load_rulebook(lift.rulebook),
        shop=harrow_quay(),
        book=harrow_quay_prices(),
        draws=DRAWS,
    )


def _asked(group: Group, rows: Any, strong: Strong) -> Asked:
    """Some rows of a group, of one make."""
    count = len(rows)
    return Asked(
        lengths_m=group.rows.lengths_m[rows],
        place=np.zeros(count, dtype=np.int64),
        level_m=group.rows.level_m[rows, 0],
        rated_n=np.full(count, strong.rated[0].cell.rated_n),
        stiff=np.full(count, strong.ends.stiff),
        soft=np.full(count, strong.ends.soft),
        dry=np.ones(count),
        limit_n=np.full(count, strong.rated[0].part_limit_n),
    )


@pytest.mark.parametrize("kind", ["bridle-2", "bridle-3", "bridle-4"])
def test_what_is_ruled_out_unhung_falls_when_it_is_hung(kind: str) -> None:
    ruled: Counter[str] = Counter()
    beaten = sure = 0
    for number in range(8):
        setting = _setting(kind, number)
        for group in Space(setting).groups:
            rows = np.flatnonzero(group.rows.fits[:, 0])[::3]
            if not len(rows):
                continue
            sieve = Sieve(setting, group.arrangements, float(group.rows.level_m[rows[0], 0]))
            unhung = sieve.unhung(group.rows.lengths_m[rows])
            assert unhung is not None
            for strong in group.makes[number % 5 :: 9]:
                limit = strong.rated[0].part_limit_n
                stretch = strong.ends.stiff * limit / strong.rated[0].cell.rated_n
                why, miss = unhung.fell(stretch, limit)
                hung = sieve.sift(_asked(group, rows, strong))
                ruled.update(REASONS[k] for k in why[why > 0])
                assert (hung.why[why > 0] > 0).all(), number
                assert ((miss > 0) == (why > 0)).all()
                left = np.flatnonzero(why == 0)
                crooked = left[unhung.crooked(stretch, limit, left)]
                sure += int((hung.why[crooked] == 0).sum())
                assert hung.graded[crooked][hung.why[crooked] == 0].all()
                quick = sieve.sift(_asked(group, rows, strong), graded_lose=True)
                early = (quick.why == BEATEN) & (hung.why == 0)
                beaten += int(early.sum())
                assert hung.graded[early].all()
                assert ((quick.why > 0) == (hung.why > 0))[quick.why != BEATEN].all()
    assert {"least-angle", "rated-load", "tilt", "pick-rating"} <= set(ruled)
    assert set(ruled) <= set(REASONS)
    assert beaten
    assert sure or kind == "bridle-3"


def test_a_row_falls_under_the_first_bound_that_it_breaks() -> None:
    """What is worked out once for a stretch says of every limit what the bounds say asked afresh."""
    seen: set[str] = set()
    for number in range(3):
        setting = _setting("bridle-2", number)
        for group in Space(setting).groups:
            lengths, level = group.rows.lengths_m, group.rows.level_m
            if group.arrangements[0].lengths != "made" or not len(lengths):
                continue
            sieve = Sieve(setting, group.arrangements, float(np.nanmin(level)))
            unhung = sieve.unhung(lengths)
            assert unhung is not None
            assert sieve._bounds is not None
            for strong in group.makes[::5]:
                limit = strong.rated[0].part_limit_n
                stretch = strong.ends.stiff * limit / strong.rated[0].cell.rated_n
                why, miss = unhung.fell(stretch, limit)
                longer, each = sieve.longer_m(lengths), np.full(len(lengths), stretch)
                bare = sieve._bounds.weighed(sieve._bounds.shaped(lengths, each, longer))
                every = bare.over(np.full(len(lengths), limit))
                for k in range(0, len(lengths), 5):
                    broken = [(reason, over[k]) for reason, over in every if over[k] > 0]
                    assert REASONS[why[k]] == (broken[0][0] if broken else "")
                    assert miss[k] == max((0.0, *(over for _, over in broken)))
                    seen |= {reason for reason, _ in broken}
    assert {"least-angle", "rated-load", "headroom", "tilt"} <= seen
