"""One candidate through every check, cheapest cases first; the first stop ends it.

A figure found with more cases is never smaller, so a stop at an early stage is a stop for good, and a
caution that grades stays.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import count
from typing import NamedTuple

from slingwright.arrangement import Arrangement
from slingwright.check import Finding, Outcome
from slingwright.check.all import run_checks
from slingwright.check.facts import Facts
from slingwright.check.swap import RULE as SWAP
from slingwright.choose.candidate import Candidate
from slingwright.choose.cases import (
    Ends,
    Laid,
    SolvedCase,
    corner_cases,
    nominal_cases,
    sampled_case,
    swap_cases,
)
from slingwright.choose.figures import Share, build_facts
from slingwright.choose.heights import stands_too_high
from slingwright.choose.rated import SlingRated
from slingwright.choose.setting import Setting

__all__ = ["Hangs", "Verdict", "evaluate", "stop_of"]

_HANGS_KEPT = 64  # those alike come close behind each other


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What the checks say of a candidate. `stop` None = it may be offered; then `cases` are complete."""

    candidate: Candidate
    rated: tuple[SlingRated, ...]
    facts: Facts
    shares: tuple[Share, ...]
    findings: tuple[Finding, ...]
    cases: tuple[SolvedCase, ...]
    swaps: tuple[SolvedCase, ...]
    stop: Finding | None
    complete: bool

    @property
    def grade(self) -> int:
        """0, or 1 where a caution grades."""
        return int(any(f.grades for f in self.findings))


def stop_of(findings: Sequence[Finding]) -> Finding | None:
    """The first stop, or None."""
    return next((f for f in findings if f.outcome is Outcome.STOP), None)


def evaluate(
    setting: Setting,
    candidate: Candidate,
    rated: tuple[SlingRated, ...],
    ends: Ends,
    *,
    beaten_at_grade: int | None = None,
    sieved: bool = False,
    hangs: Hangs | None = None,
) -> Verdict:
    """Judge a candidate.

    Parameters
    ----------
    setting, candidate, rated, ends
        The lift, the candidate, its limits, both ends of its stretch range.
    beaten_at_grade : int, optional
        A dearer candidate of this grade or worse cannot win any more: stop as soon as it is known.
    sieved : bool
        It is likely to pass: all cases are solved before it is judged once, unless it stands too high, which
        a sieve with a margin lets through most. Changes no figure.
    hangs : Hangs, optional
        Where cases are kept for others that hang alike.
    """
    solved: list[_Solved] = []
    for stage in (hangs or Hangs()).stages(setting, candidate, rated, ends):
        solved.append(stage)
        if sieved and not _is_judged(setting, candidate, stage):
            continue
        verdict = _judge(setting, candidate, rated, stage)
        if _ends_here(verdict, beaten_at_grade):
            earlier = solved[:-1] if sieved else []  # not judged then: where it would have ended
            each = (_judge(setting, candidate, rated, stage) for stage in earlier)
            return next((v for v in each if _ends_here(v, beaten_at_grade)), verdict)
    return replace(verdict, complete=True)


def _is_judged(setting: Setting, candidate: Candidate, stage: _Solved) -> bool:
    """Whether what is likely to pass is judged at a stage: where more takes much longer than judging does.

    A load in one sling is sampled a hundred times slower: its samples swing too far for the quick kernel.
    """
    if stage.last or stands_too_high(setting, candidate, stage.cases):
        return True
    return stage.but_samples and len(candidate.arrangement.holdings) == 1


def _ends_here(verdict: Verdict, beaten_at_grade: int | None) -> bool:
    beaten = beaten_at_grade is not None and verdict.grade >= beaten_at_grade
    return verdict.stop is not None or beaten


class _Solved(NamedTuple):
    """What is solved so far; `swaps` None: not their turn yet; `but_samples`: all but these; `last`: all."""

    cases: tuple[SolvedCase, ...]
    swaps: tuple[SolvedCase, ...] | None
    but_samples: bool = False
    last: bool = False


class Hangs:
    """The cases of one lift's last candidates, for others that hang alike: of other form, protection, supply.

    A hang is told by arrangement, lengths, rated load, stretch, limits, and how far a length may be off.
    """

    def __init__(self) -> None:
        self._kept: dict[tuple[object, ...], tuple[Arrangement, list[_Solved], Iterator[_Solved]]] = {}

    def stages(
        self, setting: Setting, candidate: Candidate, rated: tuple[SlingRated, ...], ends: Ends
    ) -> Iterator[_Solved]:
        """The cases, more at each stage; each solved once."""
        limits = tuple(r.part_limit_n for r in rated)
        at = candidate.arrangement  # held, so that its id stays its own
        key = (id(at), candidate.lengths_m, rated[0].cell.rated_n, ends, limits, candidate.matched)
        if key not in self._kept:
            if len(self._kept) >= _HANGS_KEPT:
                del self._kept[next(iter(self._kept))]
            self._kept[key] = (at, [], _stages(setting, candidate, rated, ends))
        _, done, more = self._kept[key]
        for k in count():
            if k == len(done):
                try:
                    done.append(next(more))
                except StopIteration:
                    return
                except BaseException:  # of a hang that cannot be told nothing is kept
                    self._kept.pop(key, None)
                    raise
            yield done[k]


def _stages(
    setting: Setting, candidate: Candidate, rated: tuple[SlingRated, ...], ends: Ends
) -> Iterator[_Solved]:
    """The cases, more at each stage."""
    rated_n = rated[0].cell.rated_n
    laid: dict[str, Laid] = {}
    cases: tuple[SolvedCase, ...] = ()
    for case, as_laid in nominal_cases(setting, candidate, rated_n, ends):
        cases += (case,)
        if case.pose:
            laid[case.name] = as_laid
    yield _Solved(cases, None)
    swaps = tuple(swap_cases(setting, candidate, rated_n, ends))
    if candidate.unequal:
        yield _Solved(cases, swaps)
    cases += tuple(corner_cases(setting, laid))
    yield _Solved(cases, swaps, but_samples=True)
    limits = [r.part_limit_n for r in rated]
    cases += (sampled_case(setting, candidate, _worst(cases, limits), limits),)
    yield _Solved(cases, swaps, last=True)


def _worst(cases: Sequence[SolvedCase], limits_n: Sequence[float]) -> SolvedCase:
    """The case whose own hang is worst: there the samples are drawn (DESIGN)."""
    posed = [c for c in cases if not c.name.startswith("renders")]
    return max(posed, key=lambda c: max(r.tension_n / limits_n[r.sling] for r in c.readings))


def _judge(setting: Setting, candidate: Candidate, rated: tuple[SlingRated, ...], solved: _Solved) -> Verdict:
    facts, shares = build_facts(setting, candidate, rated, solved.cases, solved.swaps or ())
    findings = run_checks(facts, setting.rulebook)
    if candidate.unequal and solved.swaps is None:  # not their turn yet
        findings = tuple(f for f in findings if f.rule != SWAP)
    return Verdict(
        candidate=candidate,
        rated=rated,
        facts=facts,
        shares=shares,
        findings=findings,
        cases=solved.cases,
        swaps=solved.swaps or (),
        stop=stop_of(findings),
        complete=False,
    )
