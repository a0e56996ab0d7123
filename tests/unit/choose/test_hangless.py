"""What is ruled out for every length, or falls in the sieve, is stopped by the checks themselves."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from slingwright.check.all import HANGLESS, run_checks
from slingwright.check.finding import Outcome
from slingwright.choose.blocks import protections_for
from slingwright.choose.evaluate import evaluate
from slingwright.choose.hangless import chokes_on_eye
from slingwright.choose.search import Search
from slingwright.shop import Refusal
from tests.property.test_choose_exact import setting_of


@pytest.mark.parametrize("kind", ["box", "pipe", "bridle-4", "box on a beam"])
def test_a_ruling_is_the_verdict_of_every_length(kind: str) -> None:
    """Shortest and longest row of each block, judged by all checks with their hangs."""
    search = Search(setting_of(kind, 0))
    seen: Counter[str] = Counter()
    for entry in search.space.entries[::7]:
        for guard in protections_for(search.setting, entry.arrangement):
            block = search.block(entry, guard)
            if isinstance(block, Refusal) or not len(block.lengths_m):
                continue
            ruling = search.ruling(entry, guard)
            on_eye = chokes_on_eye(search.setting, block.arrangement, block.base, block.lengths_m)
            for row in {0, len(block.lengths_m) - 1}:
                verdict = evaluate(search.setting, block.candidate(row), entry.rated, entry.ends)
                found = run_checks(verdict.facts, search.setting.rulebook, HANGLESS)
                stops = [f for f in found if f.outcome is Outcome.STOP]
                if ruling.stop is not None:
                    assert ruling.stop.rule in {f.rule for f in stops}
                    seen["stopped"] += 1
                elif on_eye[row]:
                    assert any(f.detail == "on-eye" for f in stops)
                    seen["on eye"] += 1
                else:  # only what hangs on the length may be left
                    assert {f.rule for f in stops} <= {"eye-fit", "mixed", "buildable"}
                    assert ruling.graded == any(f.grades for f in found)
                    seen["left"] += 1
    assert seen["left"]
    assert seen["stopped"] or kind not in ("box", "box on a beam")


def test_no_row_that_the_checks_let_pass_falls_in_the_sieve() -> None:
    """Every seventh row of every seventh entry; what the sieve drops, the checks stop."""
    fell: Counter[str] = Counter()
    for kind in ("bridle-4", "bridle-3", "box", "pipe", "beam", "hooks"):
        search = Search(setting_of(kind, 1))
        for entry in search.space.entries[::7]:
            block = search.block(entry, search.setting.shop.protections[0])
            if len(entry.stock) == 1 or isinstance(block, Refusal) or not len(block.lengths_m):
                continue
            nominal = search.space.nominal(entry)
            rows = np.arange(len(block.lengths_m))[::7]
            nominal.ask(block.row_of[rows])
            for row in rows[nominal.why[block.row_of[rows]] > 0]:
                verdict = evaluate(search.setting, block.candidate(int(row)), entry.rated, entry.ends)
                assert verdict.stop is not None
                fell[verdict.stop.rule] += 1
    assert len(fell) >= 4
