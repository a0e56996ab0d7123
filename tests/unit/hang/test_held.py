"""Lanes held to conditions: what fails first, misses and grades, against the same figures read one by one."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from slingwright.hang.batch import Variations
from slingwright.hang.screen import (
    CASE,
    STRENGTH,
    TOLD,
    TURNED,
    Held,
    Holder,
    Limits,
    Screen,
    View,
    screen_many,
)
from tests.unit.hang.test_screen import HOOK, LIMIT, SIZE, _problem, _samples

COUNT = 60
NAMES = (
    "hangs",
    "load",
    "angle",
    "room",
    "tilt",
    "wet",
    "picked",
    "leans",
    "slips",
    "slack",
    "swapped",
    "beaten",
)
CODES = tuple(range(1, 13))
VIEW = View(
    limit_n=np.full(COUNT, 1.35e4),
    pick_n=1.6 * LIMIT,
    along=np.array([True, True, False, True]),
    upright=np.array([False, True, True, False]),
    size_m=np.array(SIZE),
)
LIMITS = Limits(
    margin=1e-9, sure=2e-9, last=1e-9, least_deg=57.0, room_m=4.4, level_deg=16.0, tight=3, upright=True,
    upright_deg=38.0, straight_deg=33.0, low_pull_deg=56.0, sloping_deg=55.0, apart_deg=57.0, thin=0.9,
    least_sine=0.01,
)  # fmt: skip


def _lanes(count: int, dry: float = 1.0) -> Held:
    return Held(
        why=np.zeros(count, np.int8), share=np.zeros(count), miss=np.zeros(count),
        flattest_deg=np.full(count, 90.0), crooked=np.zeros(count, np.bool_),
        longer_m=np.linspace(0.0, 0.2, count), limit_n=VIEW.limit_n[:count], dry=np.full(count, dry),
    )  # fmt: skip


def _over(found: Screen, limits: Limits, longer_m: Any, dry: float) -> dict[str, Any]:
    sine = np.sin(np.radians(found.flattest_deg))
    return {
        "hangs": np.where(found.status != 0, np.inf, 0.0),
        "load": found.share - 1.0,
        "angle": 1.0 - found.flattest_deg / limits.least_deg,
        "room": (found.height_m + longer_m / sine) / limits.room_m - 1.0,
        "tilt": found.tilt_deg / limits.level_deg - 1.0,
        "wet": found.share / dry - 1.0,
        "picked": found.pick_share - 1.0,
        "leans": found.lean_deg / limits.upright_deg - 1.0,
        "slips": 1.0 - found.along_deg / limits.sloping_deg,
    }


def _first(over: dict[str, Any], names: tuple[str, ...], many: int) -> Any:
    """The code of the first of these conditions that any of a lane's samples fails."""
    why = np.zeros(COUNT // many, np.int8)
    for name in names:
        fails = (over[name] > LIMITS.margin).reshape(-1, many).any(axis=1)
        why[fails & (why == 0)] = CODES[NAMES.index(name)]
    return why


@pytest.mark.parametrize("dry", [1.0, 0.85])
def test_a_told_hang_fails_by_its_first_condition_and_grades_by_any(dry: float) -> None:
    problem, samples, lanes = _problem(), _samples(COUNT), _lanes(COUNT, dry)
    found = screen_many(problem, samples, VIEW)
    holder = Holder(problem, VIEW, LIMITS, CODES)
    holder.hold(TOLD, np.arange(COUNT), holder.hang(samples), lanes, lose=False)
    over = _over(found, LIMITS, lanes.longer_m, dry)
    right = _first(over, NAMES[:9], 1)
    right[(right == 0) & (4 - found.slack < LIMITS.tight)] = CODES[9]
    assert (lanes.why == right).all()
    assert len(set(right.tolist())) > 3
    assert lanes.miss == pytest.approx(np.maximum(np.max(list(over.values()), axis=0), 0.0), rel=1e-12)
    assert (lanes.share == found.share).all()
    assert (lanes.flattest_deg == found.flattest_deg).all()
    crooked = (
        (found.slack > 0) | (found.along_deg < LIMITS.low_pull_deg) | (found.lean_deg > LIMITS.straight_deg)
        | (found.spread_deg > LIMITS.apart_deg)
    )  # fmt: skip
    assert (lanes.crooked == crooked).all()
    assert 0 < crooked.sum() < COUNT


@pytest.mark.parametrize("mode", [CASE, STRENGTH, TURNED])
def test_of_a_lanes_samples_any_may_stop_it(mode: int) -> None:
    """Three a lane; of strength alone no pose counts, of another order only the parts and the tilt."""
    problem, samples = _problem(), _samples(COUNT)
    many, lanes = COUNT // 3, _lanes(COUNT // 3)
    view = VIEW._replace(limit_n=np.repeat(lanes.limit_n, 3))
    found, at = screen_many(problem, samples, view), np.repeat(np.arange(many), 3)
    holder = Holder(problem, VIEW, LIMITS, CODES)
    holder.hold(mode, at, holder.hang(samples), lanes, lose=False)
    over = _over(found, LIMITS, lanes.longer_m[at], 1.0)
    over["swapped"] = over["load"]
    names = {
        CASE: NAMES[:9],
        STRENGTH: ("hangs", "load", "wet", "picked", "leans"),
        TURNED: ("hangs", "swapped"),
    }
    right = _first(over, names[mode], 3)
    assert (lanes.why == right).all()
    assert len(set(right.tolist())) > 1
    shares = np.zeros(many) if mode == TURNED else found.share.reshape(-1, 3).max(axis=1)
    assert (lanes.share == shares).all()
    tilted = (found.tilt_deg > LIMITS.level_deg).reshape(-1, 3).any(axis=1)
    assert (lanes.crooked == (tilted if mode == TURNED else np.zeros(many, np.bool_))).all()


def test_a_lane_that_is_sure_to_be_graded_is_beaten_only_where_that_loses() -> None:
    problem, samples = _problem(), _samples(COUNT)
    lax = LIMITS._replace(
        least_deg=1.0, room_m=99.0, level_deg=90.0, tight=0, upright=False, sloping_deg=0.0, low_pull_deg=0.0,
        apart_deg=180.0,
    )  # fmt: skip
    view = VIEW._replace(pick_n=np.full(4, np.inf))
    holder = Holder(problem, view, lax, CODES)
    kept, lost = _lanes(COUNT), _lanes(COUNT)
    for lanes, lose in ((kept, False), (lost, True)):
        holder.hold(TOLD, np.arange(COUNT), holder.hang(samples), lanes, lose=lose)
    graded = kept.crooked | (kept.share > lax.thin)
    assert ((lost.why == CODES[11]) == ((kept.why == 0) & graded)).all()
    assert (lost.why == CODES[11]).any()
    assert (lost.why == 0).any()


def test_what_failed_before_stays_as_it_was() -> None:
    problem, samples, lanes = _problem(), _samples(COUNT), _lanes(COUNT)
    lanes.why[:] = 99
    holder = Holder(problem, VIEW, LIMITS, CODES)
    holder.hold(TOLD, np.arange(COUNT), holder.hang(samples), lanes, lose=True)
    assert (lanes.why == 99).all()


def test_samples_that_move_the_hook_hang_from_it() -> None:
    """Points that vary: each sample's own, the hook with them."""
    problem = _problem()
    points = np.zeros((2, 8, 3))
    points[1, :, 2] = 0.4  # hook and picks alike: only the height of the load's own box differs
    samples = Variations(points_m=points)
    holder = Holder(problem, VIEW, LIMITS, CODES)
    _, out = holder.hang(samples)
    found = screen_many(problem, samples, VIEW._replace(limit_n=VIEW.limit_n[:2]))
    assert (out.tension_n.max(axis=1) / VIEW.limit_n[:2] == found.share).all()
    assert HOOK[2] + 0.4 > 0
