"""A load held at two points: by hand, against random hangs, and against the sieve of whole lifts."""

from __future__ import annotations

import math
import random
from collections import Counter
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from slingwright.choose.apart import Apart
from slingwright.choose.known import Question, asked_of
from slingwright.choose.nominal import REASONS
from slingwright.choose.setting import Setting, draw
from slingwright.choose.several import Several
from slingwright.choose.space import Space
from slingwright.choose.two_points import least_pulls, least_tilt_deg
from slingwright.hang.problem import Body, Path, Point, Problem
from slingwright.hang.result import Status
from slingwright.hang.solve import solve
from slingwright.lift.model import Centre
from slingwright.rulebook import load_rulebook
from tests.lifts import read_document
from tests.property.test_choose_exact import lift_of
from tests.shops import harrow_quay, harrow_quay_prices

PICKS = np.array([(0.0, 0.0, 1.0), (2.0, 0.0, 1.0)])


def test_a_centre_beside_the_line_of_two_picks_tilts_the_load_until_it_hangs_below() -> None:
    assert least_tilt_deg(PICKS, [(1.0, 0.1, 0.0)]) == pytest.approx(math.degrees(math.atan(0.1)))
    assert least_tilt_deg(PICKS, [(0.3, 0.1, 0.0), (1.0, 0.2, 0.5)]) == pytest.approx(
        math.degrees(math.atan(0.4))
    )
    assert least_tilt_deg(PICKS, [(0.3, 0.0, 0.2)]) == 0.0
    assert least_tilt_deg(PICKS, [(0.3, 0.0, 1.0)]) == 0.0  # on the line: nothing is told


def test_each_of_two_picks_holds_the_weight_at_its_lever() -> None:
    assert least_pulls(PICKS, [(0.5, 0.0, 1.0)], 0.0) == pytest.approx([0.75, 0.25])
    assert least_pulls(PICKS, [(0.5, 0.0, 1.0), (1.5, 0.0, 1.0)], 0.0) == pytest.approx([0.75, 0.75])
    tilted = least_pulls(PICKS, [(0.5, 0.0, 0.0)], 5.0)
    lean = math.radians(5.0)
    assert tilted == pytest.approx(
        [(1.5 * math.cos(lean) - math.sin(lean)) / 2, (0.5 * math.cos(lean) - math.sin(lean)) / 2]
    )


@pytest.mark.parametrize("hooks", [1, 2])
def test_no_hang_from_two_points_stays_below_its_bounds(hooks: int) -> None:
    rng = random.Random(f"two points {hooks}")
    stable, close = 0, 0
    for _ in range(60):
        ends = [(rng.uniform(-1.2, -0.4), rng.uniform(-0.2, 0.2), rng.uniform(0.8, 1.2))]
        ends.append((rng.uniform(0.4, 1.2), rng.uniform(-0.2, 0.2), rng.uniform(0.8, 1.2)))
        centre = (rng.uniform(-0.3, 0.3), rng.uniform(-0.2, 0.2), 0.0)
        tops = [(0.0, 0.0, 4.0)] * 2 if hooks == 1 else [(x, y, z + 2.0) for x, y, z in ends]
        paths = tuple(
            Path(
                name=str(i),
                points=(Point("world", top), Point("load", end)),
                length_m=math.dist(top, end) * rng.uniform(0.97, 1.0),
                rated_n=2e4,
                strain_at_rated=rng.uniform(0.02, 0.12),
            )
            for i, (top, end) in enumerate(zip(tops, ends, strict=True))
        )
        body = Body(name="load", weight_n=rng.uniform(5e3, 3e4), centre_of_gravity_m=centre)
        hang = solve(Problem(bodies=(body,), paths=paths))
        if hang.status is not Status.STABLE:
            continue
        stable += 1
        least = least_tilt_deg(np.array(ends), [centre])
        assert hang.tilt_deg >= least * (1.0 - 1e-7)
        close += hang.tilt_deg < 1.05 * least
        pulls = least_pulls(np.array(ends), [centre], hang.tilt_deg) * body.weight_n
        assert all(p.tension_n >= x * (1.0 - 1e-7) for p, x in zip(hang.paths, pulls, strict=True))
    assert stable >= 40
    assert close >= 3  # the bound is no idle one


def _setting(kind: str, number: int) -> Setting:
    """A lift whose centre stands aside by little, some, or too much, on lugs strong or weak."""
    doc: dict[str, Any] = lift_of(kind, number)
    rng = random.Random(f"two points {kind} {number}")
    doc["want"]["level_within"] = f"{rng.choice((0.5, 4.0, 8.0)):.1f} deg"
    for pick in doc["load"]["pick_point"]:
        pick["rated"] = "1,500 lb" if number % 5 == 4 else "20,000 lb"
    if number % 2:  # most of it on one leg
        long = float(doc["load"]["length"].split()[0])
        doc["load"]["centre_of_gravity"][0] = f"{0.25 * long} in"
        doc["load"]["weight"] = f"{rng.uniform(4000, 12000):.0f} lb"
    lift = read_document(doc)
    return Setting(
        lift=lift,
        rulebook=load_rulebook(lift.rulebook),
        shop=harrow_quay(),
        book=harrow_quay_prices(),
        draws=draw(1, samples=128),
    )


@pytest.mark.parametrize("kind", ["hooks", "beam"])
def test_what_falls_unhung_under_a_beam_or_two_hooks_falls_when_it_is_hung(kind: str) -> None:
    ruled: Counter[str] = Counter()
    graded = 0
    for number in range(11):
        setting = _setting(kind, number)
        for group in Space(setting).groups:
            first = group.arrangements[0]
            if first.beam is None and len(first.hooks_xy_m) == 1:
                continue
            rows = np.flatnonzero(group.rows.fits[:, 0])
            rows = rows[:: max(len(rows) // 2, 1)]
            apart = Apart(setting, first)
            for strong in {(m.rated[0].cell.rated_n, m.ends): m for m in group.makes}.values():
                why, miss, sure = apart.fell(strong.rated, strong.dry)
                ruled[REASONS[why]] += 1
                assert (miss > 0) == (why > 0)
                if not why and not sure:
                    continue
                some = np.zeros(len(rows), dtype=np.int64)
                asked = asked_of(Question(group, group.rows, strong, rows, some))
                hung = Several(setting, first, group.rows.lengths_m[rows[0]]).sift(asked)
                assert (hung.why > 0).all() or not why, (number, REASONS[why])
                graded += not why
                assert hung.graded[hung.why == 0].all() or not sure
    assert {"tilt", "rated-load", "pick-rating", ""} <= set(ruled)
    assert graded


def test_of_a_centre_that_nobody_knows_the_box_is_no_pose() -> None:
    setting = _setting("hooks", 0)
    first = next(g.arrangements[0] for g in Space(setting).groups if len(g.arrangements[0].hooks_xy_m) > 1)
    box = setting.lift.load.centre
    aside = (box.nominal_m[0], box.nominal_m[1] + 1.0, box.nominal_m[2])

    def falls(*, known: bool) -> str:
        centre = Centre(
            nominal_m=box.nominal_m, low_m=box.nominal_m, high_m=aside, known=known, known_by=box.known_by
        )
        lift = replace(setting.lift, load=replace(setting.lift.load, centre=centre))
        wide = replace(lift, want=replace(lift.want, level_within_deg=20.0))
        strong = next(m for m in Space(setting).groups[0].makes[::-1])
        return REASONS[Apart(replace(setting, lift=wide), first).fell(strong.rated, 1.0)[0]]

    assert falls(known=True) == "tilt"
    assert falls(known=False) == ""
