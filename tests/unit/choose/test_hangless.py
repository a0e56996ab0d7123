"""What is ruled out for every length, or falls in the sieve, is stopped by the checks themselves."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from slingwright.check.all import HANGLESS, run_checks
from slingwright.check.finding import Outcome
from slingwright.choose.column import Column, Pairs
from slingwright.choose.evaluate import evaluate
from slingwright.choose.hangless import Hangless, chokes_on_eye
from slingwright.choose.known import Question
from slingwright.choose.makes import protections_for
from slingwright.choose.nominal import REASONS
from slingwright.choose.search import Search
from slingwright.choose.source import Source, sources
from tests.property.test_choose_exact import setting_of, upright_setting_of


def _sources(search: Search) -> list[Source]:
    space, shop = search.space, search.setting.shop
    found = (
        sources(search.setting, space.kept, g, "price", protections_for(shop, g.arrangements[0]))
        for g in space.groups
    )
    return [source for each in found for _, source in each]


def _pairs(search: Search, source: Source, place: int) -> tuple[Column, Pairs]:
    """A source's rows at one place."""
    alive = np.arange(len(source.group.places)) == place
    column = search.column(source, alive, "price", graded=False)
    return column, column.all_pairs()


@pytest.mark.parametrize("kind", ["box", "pipe", "bridle-4", "box on a beam"])
def test_a_ruling_is_the_verdict_of_every_length(kind: str) -> None:
    """Shortest and longest row of each block, judged by all checks with their hangs."""
    search = Search(setting_of(kind, 1 if kind == "box" else 0))
    hangless = Hangless(search.setting, search.space.kept)
    seen: Counter[str] = Counter()
    for source in _sources(search)[::7]:
        for way in hangless.ways(source.group):
            column, pairs = _pairs(search, source, int(way.places[-1]))
            if not len(pairs.row):
                continue
            ruling = hangless.of(source, way)  # at its first place; looked at where it lies last
            on_eye = chokes_on_eye(search.setting, source, pairs.row, pairs.place)
            for at in {0, len(pairs.row) - 1}:
                candidate = column.candidate(int(pairs.row[at]), int(pairs.place[at]))
                verdict = evaluate(search.setting, candidate, source.strong.rated, source.strong.ends)
                found = run_checks(verdict.facts, search.setting.rulebook, HANGLESS)
                stops = [f for f in found if f.outcome is Outcome.STOP]
                if ruling.stop is not None and ruling.stop.rule == "tilt":  # no less; or it fell before
                    assert verdict.stop is not None
                    seen["tilted"] += 1
                elif ruling.stop is not None:
                    assert ruling.stop.rule in {f.rule for f in stops}
                    seen["stopped"] += 1
                elif on_eye[at]:
                    assert any(f.detail == "on-eye" for f in stops)
                    seen["on eye"] += 1
                else:  # only what hangs on the length may be left
                    assert {f.rule for f in stops} <= {"eye-fit", "mixed", "buildable"}
                    assert ruling.graded == any(f.grades for f in found)
                    seen["left"] += 1
    assert seen["left"]
    assert seen["stopped"] or kind not in ("box", "box on a beam")


@pytest.mark.parametrize("kind", ["box", "pipe", "box on a beam", "bridle-4"])
def test_what_becomes_of_a_source_is_what_the_rules_say_at_each_place(kind: str) -> None:
    """Put together once for all that are alike: held to the rules asked of each source for itself."""
    search = Search(setting_of(kind, 0))
    seen: Counter[str] = Counter()
    for source in _sources(search):
        opened = search.opened(source)
        alone = Hangless(search.setting, search.space.kept)
        for way in alone.ways(source.group):
            ruling = alone.of(source, way)
            here = source.rows_at[way.places] > 0
            stops = [s for s in opened.stopped if np.array_equal(s.places, way.places)]
            assert [s.stop for s in stops] == ([ruling.stop] if ruling.stop and here.any() else [])
            assert all(s.first == way.places[np.argmax(here)] for s in stops)
            for which, graded in ((opened.clear, False), (opened.graded, True)):
                mine = which[way.places] if which is not None else np.zeros(len(here), dtype=np.bool_)
                assert (mine == (here & (ruling.stop is None and ruling.graded == graded))).all()
            seen["stopped" if ruling.stop else "graded" if ruling.graded else "clear"] += 1
    assert seen["clear"] or seen["graded"]
    assert seen["stopped"] or kind in ("pipe", "bridle-4")


def test_no_row_that_the_checks_let_pass_falls_in_the_sieve() -> None:
    """Every seventh row of every seventh entry; what the sieve drops, the checks stop."""
    fell: Counter[str] = Counter()
    graded = 0
    for kind in ("bridle-4", "bridle-3", "box", "pipe", "beam", "hooks"):
        search = Search(setting_of(kind, 1))
        for source in _sources(search)[::7]:
            column, pairs = _pairs(search, source, len(source.group.places) - 1)
            pairs = pairs.take(slice(None, None, 7))
            search.ask([Question(source.group, source.rows, source.strong, pairs.row, pairs.place)])
            known = search.known(source)
            why, sure = known.why[pairs.row, pairs.place], known.graded[pairs.row, pairs.place]
            for at in np.flatnonzero((why > 0) | sure):
                candidate = column.candidate(int(pairs.row[at]), int(pairs.place[at]))
                verdict = evaluate(search.setting, candidate, source.strong.rated, source.strong.ends)
                if why[at]:
                    assert verdict.stop is not None, (REASONS[why[at]], candidate.text)
                    fell[verdict.stop.rule] += 1
                else:
                    assert verdict.stop is not None or verdict.grade == 1, candidate.text
                    graded += verdict.stop is None
    assert len(fell) >= 4
    assert graded


@pytest.mark.parametrize("kinds", [("bridle-4", "bridle-3", "bridle-2", "box", "pipe"), ("beam", "hooks")])
def test_the_spread_of_a_row_is_never_told_worse_than_its_verdict_has_it(kinds: tuple[str, ...]) -> None:
    """Rows that come through the sieve: the percentile over their lengths, before they are judged."""
    told = near = 0
    for kind in kinds:
        search = Search(setting_of(kind, 1))
        for source in _sources(search)[::2]:
            column, pairs = _pairs(search, source, len(source.group.places) // 2)
            search.ask([Question(source.group, source.rows, source.strong, pairs.row, pairs.place)])
            few = pairs.take(np.flatnonzero(search.known(source).why[pairs.row, pairs.place] == 0)[:6])
            some = search.spread(source, few.row, few.place).share.tolist()  # together, as the walk asks
            every = search.spread(source, few.row, few.place, whole=True).share.tolist()
            for row, place, share, whole in zip(
                few.row.tolist(), few.place.tolist(), some, every, strict=True
            ):
                candidate = column.candidate(row, place)
                rated = source.strong.rated
                verdict = evaluate(search.setting, candidate, rated, source.strong.ends, sieved=True)
                if share > 0 and any(c.name == "worst" for c in verdict.cases):
                    right = max(
                        s.design_n / r.part_limit_n for s, r in zip(verdict.shares, rated, strict=True)
                    )
                    assert share <= whole * (1 + 1e-12), candidate.text
                    assert whole <= right * (1 + 1e-9), candidate.text
                    told += 1
                    near += share > right * 0.98 and any(s.case == "worst" for s in verdict.shares)
    assert told > 20
    assert near > told / 2


def test_the_lean_of_a_row_is_never_told_worse_than_its_verdict_has_it() -> None:
    """Of legs at lugs for a straight pull, in the one sample that stands at the percentile."""
    told = least = 0
    for number in range(2):
        search = Search(upright_setting_of(number))
        for source in _sources(search):
            column, pairs = _pairs(search, source, 0)
            search.ask([Question(source.group, source.rows, source.strong, pairs.row, pairs.place)])
            few = pairs.take(np.flatnonzero(search.known(source).why[pairs.row, pairs.place] == 0)[::40])
            assert not search.spread(source, few.row, few.place).lean_deg.any()  # some samples tell none
            leans = search.spread(source, few.row, few.place, whole=True).lean_deg.tolist()
            for row, place, lean in zip(few.row.tolist(), few.place.tolist(), leans, strict=True):
                rated = source.strong.rated
                verdict = evaluate(
                    search.setting, column.candidate(row, place), rated, source.strong.ends, sieved=True
                )
                worst = [c for c in verdict.cases if c.name == "worst"]
                if worst and lean:
                    right = max(r.lean_from_own_vertical_deg for r in worst[0].readings if not r.slack)
                    assert lean <= right * (1 + 1e-9)
                    least += lean > right * (1 - 1e-6)
                    told += 1
    assert told > 10
    assert least > told / 2, (told, least)


@pytest.mark.parametrize("kind", ["bridle-2", "bridle-4", "box", "beam", "hooks"])
def test_many_spreads_at_once_are_each_its_own(kind: str) -> None:
    """The same bits alone and together, and kept."""
    search, other = Search(setting_of(kind, 1)), Search(setting_of(kind, 1))
    together = 0
    for source, again in zip(_sources(search), _sources(other), strict=True):
        shares = []
        for one, mine in ((search, source), (other, again)):
            _, pairs = _pairs(one, mine, len(mine.group.places) // 2)
            one.ask([Question(mine.group, mine.rows, mine.strong, pairs.row, pairs.place)])
            few = pairs.take(np.flatnonzero(one.known(mine).why[pairs.row, pairs.place] == 0)[:4])
            if one is search:
                shares.append(one.spread(mine, few.row, few.place).share.tolist())
            else:
                each = zip(few.row[:, None], few.place[:, None], strict=True)
                shares.append([float(one.spread(mine, row, place).share[0]) for row, place in each])
        assert shares[0] == shares[1]
        together += sum(x > 0 for x in shares[0]) > 1
    assert together
