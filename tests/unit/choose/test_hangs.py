"""Cases kept for candidates that hang alike: the same verdicts, each hang solved once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from slingwright.choose import evaluate as module
from slingwright.choose.candidate import Candidate
from slingwright.choose.evaluate import Hangs, evaluate
from slingwright.choose.search import Search
from slingwright.choose.setting import Setting
from slingwright.choose.space import Entry
from slingwright.shop import Protection
from tests.property.test_choose_exact import setting_of


def _one(kind: str) -> tuple[Setting, Entry, Candidate]:
    setting = setting_of(kind, 1)
    search = Search(setting)
    entry = search.space.entries[0]
    block = search.block(entry, Protection.NONE)
    assert hasattr(block, "candidate")
    return setting, entry, block.candidate(0)


def test_a_hang_is_solved_once_for_all_that_hang_alike(monkeypatch: pytest.MonkeyPatch) -> None:
    setting, entry, candidate = _one("box")
    solved = []
    stages = module._stages
    monkeypatch.setattr(module, "_stages", lambda *a: solved.append(a) or stages(*a))
    hangs, others = Hangs(), [replace(candidate, protection=p) for p in Protection]
    for one in others:
        kept = evaluate(setting, one, entry.rated, entry.ends, hangs=hangs)
        alone = evaluate(setting, one, entry.rated, entry.ends)
        assert kept.findings == alone.findings
        assert kept.shares == alone.shares
        assert (kept.complete, len(kept.cases)) == (alone.complete, len(alone.cases))
    assert len(solved) == 1 + len(others)


def test_what_hangs_otherwise_is_solved_anew() -> None:
    """A length, a limit or how far a length may be off: each makes another hang."""
    setting, entry, candidate = _one("bridle-2")
    hangs = Hangs()
    list(hangs.stages(setting, candidate, entry.rated, entry.ends))
    longer = replace(candidate, lengths_m=tuple(x + 0.1 for x in candidate.lengths_m))
    weaker = tuple(replace(r, part_limit_n=r.part_limit_n / 2) for r in entry.rated)
    for one, rated in ((longer, entry.rated), (candidate, weaker)):
        kept = list(hangs.stages(setting, one, rated, entry.ends))
        alone = list(Hangs().stages(setting, one, rated, entry.ends))
        assert [s.cases for s in kept] == [s.cases for s in alone]
    assert len(hangs._kept) == 3


def test_a_hang_that_fails_is_not_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    setting, entry, candidate = _one("bridle-2")
    hangs, stages = Hangs(), module._stages

    def broken(*args: object) -> object:
        raise RuntimeError
        yield

    monkeypatch.setattr(module, "_stages", broken)
    with pytest.raises(RuntimeError):
        evaluate(setting, candidate, entry.rated, entry.ends, hangs=hangs)
    monkeypatch.setattr(module, "_stages", stages)
    assert evaluate(setting, candidate, entry.rated, entry.ends, hangs=hangs).cases
