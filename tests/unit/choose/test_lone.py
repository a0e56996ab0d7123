"""How far a load swings in one sling: by hand, against real hangs of every length, and in the walk."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from slingwright.check.finding import Outcome
from slingwright.choose.cases import centre_corners, corner_cases, nominal_cases
from slingwright.choose.evaluate import evaluate
from slingwright.choose.lone import least_swing_deg
from slingwright.choose.search import Search
from slingwright.choose.setting import Setting
from slingwright.choose.source import Source
from slingwright.choose.two_points import posed_centres
from slingwright.hang.result import Status
from tests.property.test_choose_exact import setting_of


def _off(setting: Setting, aside_m: float) -> Setting:
    """The load's centre of gravity so much farther along the load than its picture has it."""
    load = setting.lift.load
    (x, y, z), low, high = load.centre.nominal_m, load.centre.low_m, load.centre.high_m
    centre = replace(
        load.centre,
        nominal_m=(x + aside_m, y, z),
        low_m=(low[0] + aside_m, *low[1:]),
        high_m=(high[0] + aside_m, *high[1:]),
    )
    lift = replace(setting.lift, load=replace(load, centre=centre))
    return replace(setting, lift=lift)


def _alone(search: Search) -> list[Source]:
    every = [s for g in search.space.groups for _, s in search.sources(g, "price")]
    return [s for s in every if len(s.group.arrangements[0].holdings) == 1]


@pytest.mark.parametrize("kind", ["box", "pipe"])
@pytest.mark.parametrize("aside_m", [0.0, 0.02, -0.06])
def test_no_hang_in_one_sling_swings_less_than_its_bound(kind: str, aside_m: float) -> None:
    """Every case whose pose counts of long and short slings; their centre moved once they were laid."""
    told, search = setting_of(kind, 0), Search(setting_of(kind, 0))
    setting = _off(told, aside_m)
    families, near = set(), 0
    for source in _alone(search)[::5]:
        arrangement = source.group.arrangements[0]
        least = least_swing_deg(setting, arrangement)
        column = search.column(source, np.array([True]), "price", graded=False)
        rows = column.all_pairs().row
        for row in {*rows[:: max(len(rows) // 3, 1)].tolist()}:
            candidate = column.candidate(row, 0)
            strong = source.strong
            told_cases = nominal_cases(setting, candidate, strong.rated[0].cell.rated_n, strong.ends)
            laid = {case.name: as_laid for case, as_laid in told_cases if case.pose}
            cases = corner_cases(setting, laid)
            assert len(cases) == 2 * len(centre_corners(setting.lift.load.centre))
            tilts = [c.hang.tilt_deg for c in cases if c.hang.status is not Status.UNREACHABLE]
            if not tilts:
                continue
            assert max(tilts) >= least
            families.add(arrangement.family)
            near += max(tilts) < 1.5 * least
    assert len(families) > 1
    assert near or kind == "pipe"  # its ends lie lower than the top that the bound allows them


@pytest.mark.parametrize("kind", ["box", "pipe"])
def test_what_swings_too_far_in_one_sling_is_stopped_for_that_and_never_hung(kind: str) -> None:
    setting = _off(setting_of(kind, 0), 0.0)
    lift = setting.lift
    setting = replace(setting, lift=replace(lift, want=replace(lift.want, level_within_deg=0.5)))
    search, stopped = Search(setting), 0
    for source in _alone(search):
        opened = search.opened(source)
        assert opened.clear is None
        assert opened.graded is None
        stopped += any(s.stop.rule == "tilt" for s in opened.stopped)
    assert stopped
    for source in _alone(search)[::9]:  # the checks say so of the shortest and the longest
        column = search.column(source, np.array([True]), "price", graded=False)
        rows = column.all_pairs().row
        for row in rows[[0, -1]].tolist() if len(rows) else ():
            verdict = evaluate(setting, column.candidate(row, 0), source.strong.rated, source.strong.ends)
            assert any(f.outcome is Outcome.STOP for f in verdict.findings)


def test_a_centre_beside_the_sling_swings_below_it() -> None:
    """By hand: where the ends lie level, the angle of how far it is off and how far below."""
    search = Search(setting_of("box", 0))
    setting, arrangement = search.setting, _alone(search)[0].group.arrangements[0]
    way = arrangement.holdings[0].round
    assert way is not None
    right = max(
        math.degrees(math.atan(abs(way.x_m - x) / abs(way.turns_m[0][2] - z)))
        for x, _, z in posed_centres(setting.lift.load.centre)
    )
    assert least_swing_deg(setting, arrangement) == pytest.approx(right, rel=1e-5)
    two = next(g.arrangements[0] for g in search.space.groups if len(g.arrangements[0].holdings) > 1)
    assert least_swing_deg(setting, two) == 0.0
