"""Rows under a beam or several hooks: put off and gone on with, drawn, and proved by what is left in hand."""

from __future__ import annotations

import numpy as np
import pytest

from slingwright.choose.known import Question, asked_of
from slingwright.choose.nominal import WAITS
from slingwright.choose.search import Search
from slingwright.choose.setting import Setting, draw
from slingwright.choose.several import Several
from slingwright.choose.sieve import Asked
from slingwright.choose.space import Space
from slingwright.rulebook import load_rulebook
from tests.lifts import example_lift
from tests.property.test_choose_exact import setting_of
from tests.shops import harrow_quay, harrow_quay_prices


@pytest.mark.parametrize("kind", ["beam", "hooks", "box on a beam"])
def test_rows_that_wait_are_told_as_those_hung_at_once(kind: str) -> None:
    """Of two batches, asked for in another order, of makes of unlike stiffness: the same bits."""
    waited = 0
    for setting, group in ((s, g) for s in (setting_of(kind, n) for n in (0, 1)) for g in Space(s).groups):
        if len(group.arrangements[0].hooks_xy_m) == 1 and group.arrangements[0].beam is None:
            continue
        rows = np.flatnonzero(group.rows.fits[:, 0])
        place = np.zeros(len(rows), dtype=np.int64)
        parts = [asked_of(Question(group, group.rows, m, rows, place)) for m in group.makes]
        if not len(rows) or not parts:
            continue
        every = Asked(*(np.concatenate(x) for x in zip(*parts, strict=True)))
        sieve = Several(setting, group.arrangements[0], group.rows.lengths_m[rows[0]])
        at_once = sieve.sift(every)
        for half in (slice(0, len(every.dry) // 3), slice(len(every.dry) // 3, None)):
            told = sieve.sift(Asked(*(x[half] for x in every)), wait=True)
            waits = np.flatnonzero(told.why == WAITS)
            fell = told.why != WAITS
            assert (told.why[fell] == at_once.why[half][fell]).all()
            assert told.number is not None
            if not len(waits):
                continue
            waits = waits[::-1]
            late = sieve.resume(told.number[waits])
            for name in ("why", "share", "graded", "miss"):
                assert (getattr(late, name) == getattr(at_once, name)[half][waits]).all(), name
            waited += len(waits)
    assert waited > 10


def test_what_is_left_in_hand_is_proved_of_two_hooks_within_the_tries_of_a_walk_beside() -> None:
    lift = example_lift("pontoon_two_hooks")
    setting = Setting(
        lift=lift,
        rulebook=load_rulebook(lift.rulebook),
        shop=harrow_quay(),
        book=harrow_quay_prices(),
        draws=draw(1),
    )
    found = Search(setting).walk("reserve", tries=150)
    assert found.proved
    assert found.answer is not None
    assert found.solved < 10  # the others fall behind by their samples, unjudged
