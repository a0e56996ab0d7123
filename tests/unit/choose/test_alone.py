"""The best alone, told before the whole is searched: the same that the whole search ends with."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

import pytest

from slingwright.choose import evaluate as evaluating
from slingwright.choose.answer import answer_lift
from slingwright.choose.evaluate import Verdict, evaluate
from slingwright.choose.search import Found, Search
from slingwright.choose.setting import Setting
from slingwright.shop import Protection
from tests.property.test_choose_exact import LIFTS, setting_of

Told = list[tuple[Search, Found]]


def _both(setting: Setting, clock: Callable[[], float] = lambda: 0.0) -> tuple[Told, Told]:
    """What is told alone, and what of the whole; in this order, if at all."""
    alone: Told = []
    walked: Told = []
    answer_lift(
        setting,
        clock=clock,
        limit_s=10.0,
        alone=lambda *told: alone.append(told) if not walked else pytest.fail("too late"),
        walked=lambda *told: walked.append(told),
    )
    return alone, walked


def _said(verdict: Verdict | None) -> object:
    assert verdict is not None
    return verdict.candidate, verdict.findings, verdict.shares, verdict.grade, verdict.complete


def test_it_is_the_best_of_the_whole() -> None:
    grades: Counter[object] = Counter()
    for kind, number in LIFTS:
        alone, ((_, main),) = _both(setting_of(kind, number))
        if main.answer is None:
            assert not alone
            grades[None] += 1
            continue
        ((_, found),) = alone
        assert _said(found.answer) == _said(main.answer)
        assert found.proved
        assert found.best is None or found.best_grade_1 is None  # not looked for
        grades[main.answer.grade, main.best_grade_1 is not None] += 1
    # of grade 0 with none before it, or with one of grade 1; only graded; none at all
    assert {(0, False), (0, True)} <= set(grades)


def test_where_all_that_passes_is_graded_it_is_the_first_of_these() -> None:
    seen = 0
    for kind, number in LIFTS:
        setting = setting_of(kind, number)
        walk = Search(setting).walk("price")
        if walk.answer is None or walk.answer.grade == 0:
            continue
        seen += 1
        ((_, found),) = _both(setting)[0]
        assert found.best is None
        assert _said(found.answer) == _said(walk.best_grade_1)
    assert seen


def test_nothing_is_told_alone_that_is_not_proved() -> None:
    times = iter(range(0, 100_000, 100))
    alone, walked = _both(setting_of("bridle-3", 0), clock=lambda: float(next(times)))
    assert not alone
    assert not walked[0][1].proved


def test_what_takes_too_long_alone_leaves_the_whole_time_to_find_what_passes() -> None:
    """Of a lift with something of grade 1 before the best, found later than in half of the time."""
    kind, number = next(
        (kind, number)
        for kind, number in LIFTS
        if (main := Search(setting_of(kind, number)).walk("price")).best is not None
        and main.best_grade_1 is not None
    )
    now, looks = [0.0], [0]

    def clock() -> float:  # the first search steps on the spot for six seconds of ten
        looks[0] += 1
        now[0] = 0.0 if looks[0] == 1 else 6.0
        return now[0]

    alone, ((_, main),) = _both(setting_of(kind, number), clock)
    assert not alone
    assert main.proved
    assert main.best is not None


@pytest.mark.parametrize("kind", ["box", "pipe"])
def test_what_falls_in_one_sling_is_not_sampled_and_falls_by_the_same(
    kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Samples of a load in one sling take a hundred times as long as all its other cases."""
    sampled: list[object] = []
    real = evaluating.sampled_case
    setting, fell = setting_of(kind, 0), 0

    def counted(*given: object) -> object:
        if given[0] is setting:  # another test's search may go on in a thread
            sampled.append(given)
        return real(*given)  # type: ignore[arg-type]  # passed on as they came

    monkeypatch.setattr(evaluating, "sampled_case", counted)
    search = Search(setting)
    for entry in search.space.entries:
        if len(entry.arrangement.holdings) > 1 or fell > 2:
            continue
        block = search.block(entry, Protection.NONE)
        if not hasattr(block, "candidate"):
            continue
        for row in range(0, search.rows_of(entry), 3):
            candidate = block.candidate(row)
            plain = evaluate(setting, candidate, entry.rated, entry.ends)
            sampled.clear()
            sieved = evaluate(setting, candidate, entry.rated, entry.ends, sieved=True)
            assert _said(sieved) == _said(plain)
            assert (sieved.stop is None) == bool(sampled)
            fell += sieved.stop is not None
    assert fell
