"""What comes through the sieve round a pipe is hung as it is judged, before it is judged."""

from __future__ import annotations

import numpy as np

from slingwright.choose.evaluate import evaluate
from slingwright.choose.known import Question, asked_of, put_off
from slingwright.choose.lanes import Lanes
from slingwright.choose.search import Search
from slingwright.choose.sieve import Sieve
from slingwright.choose.source import Source
from slingwright.shop import Protection
from tests.unit.choose.test_waiting import setting_of

SOME = 24


def test_figures_and_verdicts_are_those_of_judging() -> None:
    """A few rows of each group, far from its middle, too: the worst share of told hangs, corners, floor."""
    search = Search(setting_of("cylinder"))
    through = fell = 0
    for group in search.space.groups:
        curved = all(h.round is not None and h.round.curved for h in group.arrangements[0].holdings)
        if not (put_off(group) and curved and group.makes):
            continue
        row, place = (x[:: max(len(x) // SOME, 1)] for x in np.nonzero(group.rows.fits))
        strong = group.makes[0]
        asked = asked_of(Question(group, group.rows, strong, row, place))
        sieve = Sieve(search.setting, group.arrangements, float(asked.level_m[0]))
        found = sieve.exactly(asked, graded_lose=False)
        if found is None:
            continue
        column = search.column(
            Source(group=group, strong=strong, protection=Protection.NONE),
            np.ones(len(group.places), dtype=np.bool_), "price", graded=False,
        )  # fmt: skip
        for k in range(len(row)):
            candidate = column.candidate(int(row[k]), int(place[k]))
            verdict = evaluate(search.setting, candidate, strong.rated, strong.ends, sieved=True)
            if found.why[k]:
                assert verdict.stop is not None
                fell += 1
                continue
            limit = strong.rated[0].part_limit_n
            hung = [c for c in verdict.cases if c.name != "worst" and not c.name.startswith("renders")]
            floor = max(s.rule_floor_n for s in verdict.facts.slings)
            right = max(floor, *(r.tension_n for c in hung for r in c.readings)) / limit
            assert abs(found.share[k] / right - 1.0) < 1e-8
            through += 1
    assert through > 10
    assert fell > 10


def test_of_what_lies_near_a_limit_round_a_pipe_little_is_judged_in_vain() -> None:
    """Twelve rows were judged: the sieve is off by half a percent there, and the next step is nearer."""
    found = Search(setting_of("cylinder", "10,000 lb")).walk("price")
    assert found.answer is not None
    assert found.solved <= 4


def test_equal_slings_round_a_circle_lie_as_each_alone() -> None:
    """Worked out once for all sides: the same bits as side by side, and as the level hook's own tangents."""
    search, seen = Search(setting_of("cylinder")), 0
    for group in search.space.groups:
        row, place = np.nonzero(group.rows.fits)
        if not (group.makes and put_off(group) and len(row)):
            continue
        asked = asked_of(Question(group, group.rows, group.makes[0], row, place))
        lanes = Lanes(search.setting, group.arrangements, float(asked.level_m[0]))
        if not lanes.curved:
            continue
        level = lanes.lay(asked.lengths_m, asked.place)
        together = lanes.lay(asked.lengths_m, asked.place, asked.level_m)
        unequal = np.concatenate(
            [asked.lengths_m, asked.lengths_m[-1:] + np.arange(asked.lengths_m.shape[1])]
        )
        apart = lanes.lay(
            unequal, np.append(asked.place, place[-1]), np.append(asked.level_m, asked.level_m[-1])
        ).take(np.arange(len(row)))
        for one, other, another in (
            (together.length_m, apart.length_m, level.length_m),
            (together.elastic_m, apart.elastic_m, level.elastic_m),
            (together.ends_m, apart.ends_m, level.ends_m),
        ):
            assert one is not None
            assert (one == other).all()
            assert np.abs(one - another).max() < 1e-12
        seen += unequal.shape[1] > 1
    assert seen
