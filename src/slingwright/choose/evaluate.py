"""One candidate through every check, cheapest cases first; the first stop ends it.

A figure found with more cases is never smaller, so a stop at an early stage is a stop for good, and a
caution that grades stays.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

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
from slingwright.choose.rated import SlingRated
from slingwright.choose.setting import Setting

__all__ = ["Verdict", "evaluate", "stop_of"]


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
) -> Verdict:
    """Judge a candidate.

    Parameters
    ----------
    setting, candidate, rated, ends
        The lift, the candidate, its limits, both ends of its stretch range.
    beaten_at_grade : int, optional
        A dearer candidate of this grade or worse cannot win any more: stop as soon as it is known.
    """
    cases: list[SolvedCase] = []
    swaps: list[SolvedCase] | None = None
    verdict: Verdict | None = None
    for more, more_swaps in _stages(setting, candidate, rated, ends, cases):
        cases.extend(more)
        swaps = more_swaps if more_swaps is not None else swaps
        verdict = _judge(setting, candidate, rated, cases, swaps)
        if verdict.stop is not None:
            return verdict
        if beaten_at_grade is not None and verdict.grade >= beaten_at_grade:
            return verdict
    assert verdict is not None
    return Verdict(
        candidate=candidate,
        rated=rated,
        facts=verdict.facts,
        shares=verdict.shares,
        findings=verdict.findings,
        cases=tuple(cases),
        swaps=tuple(swaps or ()),
        stop=None,
        complete=True,
    )


def _stages(
    setting: Setting,
    candidate: Candidate,
    rated: tuple[SlingRated, ...],
    ends: Ends,
    so_far: list[SolvedCase],
) -> Iterator[tuple[list[SolvedCase], list[SolvedCase] | None]]:
    rated_n = rated[0].cell.rated_n
    laid: dict[str, Laid] = {}
    told: list[SolvedCase] = []
    for case, as_laid in nominal_cases(setting, candidate, rated_n, ends):
        told.append(case)
        if case.pose:
            laid[case.name] = as_laid
    yield told, None
    yield [], list(swap_cases(setting, candidate, rated_n, ends))
    yield list(corner_cases(setting, laid)), None
    limits = [r.part_limit_n for r in rated]
    yield [sampled_case(setting, candidate, _worst(so_far, limits), limits)], None


def _worst(cases: Sequence[SolvedCase], limits_n: Sequence[float]) -> SolvedCase:
    """The case whose own hang is worst: there the samples are drawn (DESIGN)."""
    posed = [c for c in cases if not c.name.startswith("renders")]
    return max(posed, key=lambda c: max(r.tension_n / limits_n[r.sling] for r in c.readings))


def _judge(
    setting: Setting,
    candidate: Candidate,
    rated: tuple[SlingRated, ...],
    cases: Sequence[SolvedCase],
    swaps: Sequence[SolvedCase] | None,
) -> Verdict:
    facts, shares = build_facts(setting, candidate, rated, cases, swaps or ())
    findings = run_checks(facts, setting.rulebook)
    if candidate.unequal and swaps is None:  # not their turn yet
        findings = tuple(f for f in findings if f.rule != SWAP)
    return Verdict(
        candidate=candidate,
        rated=rated,
        facts=facts,
        shares=shares,
        findings=findings,
        cases=tuple(cases),
        swaps=tuple(swaps or ()),
        stop=stop_of(findings),
        complete=False,
    )
