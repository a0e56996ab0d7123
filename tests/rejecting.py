"""What a search tells as rejected, held to every candidate of a small shop in the order of the measure."""

from __future__ import annotations

from collections import Counter

import numpy as np

from slingwright.arrangement.geometry import level_hook_heights
from slingwright.choose.fallen import rejected, rejected_each
from slingwright.choose.search import Found, Search
from slingwright.choose.setting import Setting
from slingwright.sling import Hitch
from tests.brute_force import Judged

CLOSE = 1e-9


def assert_rejected(search: Search, found: Found, every: list[Judged], by: str) -> None:
    """Exactly what comes before the answer is told, each once, and none of it passes as the answer does.

    By reserve at least that: what a row uses of its limit is known only from its hang.
    """
    told = {one.candidate.text: one for one in rejected_each(search, found)}
    counts = rejected(search, found)
    assert counts == Counter(one.rule for one in told.values())  # no candidate loses twice
    judged = {j.verdict.candidate.text: j for j in every}
    before = set(judged)
    if found.answer is not None:
        best = judged[found.answer.candidate.text].key(by)[1:]
        before = {text for text, j in judged.items() if j.key(by)[1:] < best}
        assert found.answer.candidate.text not in told
    if by != "reserve":
        assert set(told) <= before
    assert all(_no_row(search.setting, judged[text]) for text in before - set(told))
    for text, one in told.items():
        verdict = judged[text].verdict
        assert verdict.stop is not None or (one.rule.startswith("grade-1") and verdict.grade > 0), one.rule


def _no_row(setting: Setting, judged: Judged) -> bool:
    """Left out of the space by what no stiffness cures: a bare share of the weight, or no room."""
    candidate = judged.verdict.candidate
    a = candidate.arrangement
    main = next(i for i, h in enumerate(a.holdings) if h.role == "main")
    parts = 2 if a.holdings[main].hitch is Hitch.BASKET else 1
    floor = setting.rulebook.leg_floor(a.legs, setting.weight_n / parts, 90.0, symmetric=a.lengths != "made")
    level_m = level_hook_heights(a, np.array([candidate.lengths_m]))[0].max()
    room_m = min(h.headroom_m for h in setting.lift.hooks)
    return bool(
        floor.value >= judged.verdict.rated[main].part_limit_n * (1.0 - CLOSE)
        or level_m > room_m * (1.0 - CLOSE)
    )
