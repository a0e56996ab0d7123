"""What the bounds rule out unhung, the hang rules out, too: every lane of random bridles, hung both ways."""

from __future__ import annotations

import random
from collections import Counter
from typing import Any

import numpy as np
import pytest

from slingwright.choose.nominal import REASONS
from slingwright.choose.setting import Setting, draw
from slingwright.choose.sieve import BEATEN, Asked, Sieve
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
    lift = read_document(doc)
    return Setting(
        lift=lift,
        rulebook=load_rulebook(lift.rulebook),
        shop=harrow_quay(),
        book=harrow_quay_prices(),
        draws=DRAWS,
    )


def _asked(setting: Setting) -> list[tuple[Any, Asked]]:
    """Every third row of every group, of every seventh make in turn."""
    out = []
    for group in Space(setting).groups:
        rows = np.flatnonzero(group.rows.fits[:, 0])[::3]
        if not len(rows) or not group.makes:
            continue
        makes = [group.makes[k % len(group.makes)] for k in range(0, 7 * len(rows), 7)]
        out.append(
            (
                group,
                Asked(
                    lengths_m=group.rows.lengths_m[rows],
                    place=np.zeros(len(rows), dtype=np.int64),
                    level_m=group.rows.level_m[rows, 0],
                    rated_n=np.array([m.rated[0].cell.rated_n for m in makes]),
                    stiff=np.array([m.ends.stiff for m in makes]),
                    soft=np.array([m.ends.soft for m in makes]),
                    dry=np.ones(len(rows)),
                    limit_n=np.array([m.rated[0].part_limit_n for m in makes]),
                ),
            )
        )
    return out


@pytest.mark.parametrize("kind", ["bridle-2", "bridle-3", "bridle-4"])
def test_what_is_ruled_out_unhung_falls_when_it_is_hung(kind: str) -> None:
    ruled: Counter[str] = Counter()
    beaten = 0
    for number in range(8):
        setting = _setting(kind, number)
        for group, asked in _asked(setting):
            sieve = Sieve(setting, group.arrangements, float(asked.level_m[0]))
            bounds = sieve._bounds
            assert bounds is not None
            stretch = asked.stiff * asked.limit_n / asked.rated_n
            every = bounds.over(asked.lengths_m, stretch, asked.limit_n, sieve.longer_m(asked.lengths_m))
            sieve._bounds = None
            hung = sieve.sift(asked)
            for rule, over in every:
                ruled[rule] += int((over > 0).sum())
                assert (hung.why[over > 0] > 0).all(), (number, rule)
            sieve._bounds = bounds
            quick = sieve.sift(asked, graded_lose=True)
            early = (quick.why == BEATEN) & (hung.why == 0)
            beaten += int(early.sum())
            assert hung.graded[early].all()
            assert ((quick.why > 0) == (hung.why > 0))[quick.why != BEATEN].all()
    assert {"least-angle", "rated-load", "tilt"} <= {rule for rule, count in ruled.items() if count}
    assert set(ruled) <= set(REASONS)
    assert beaten
