"""Findings as a paper prints them: stops and cautions in full, passes gathered so that the worst is told."""

from __future__ import annotations

from collections.abc import Iterable

from slingwright.check import Finding, Outcome
from slingwright.units import Units
from slingwright.words import cure_text, finding_text, outcome_word, read_catalogue

__all__ = ["finding_rows", "pass_lines"]


def finding_rows(findings: Iterable[Finding], units: Units, *, language: str = "en") -> list[list[str]]:
    """One row a finding: its outcome, its sentence, its clause, what would cure it."""
    return [
        [
            outcome_word(f.outcome, language=language),
            finding_text(f, units, language=language),
            str(f.citation),
            cure_text(f, language=language),
        ]
        for f in findings
    ]


def pass_lines(findings: Iterable[Finding], units: Units, *, language: str = "en") -> list[list[str]]:
    """What is in order, one line a rule and sentence: of several slings the one nearest its limit speaks."""
    words = read_catalogue(language)
    groups: dict[tuple[str, str], list[Finding]] = {}
    for f in findings:
        if f.outcome is Outcome.PASS:
            groups.setdefault((f.rule, f.detail), []).append(f)
    lines = []
    for (rule, detail), group in groups.items():
        least = words.sentence(rule, detail).sense == "at least"
        worst = max(group, key=lambda f: _nearness(f, at_least=least))
        text = finding_text(worst, units, language=language)
        if len(group) > 1 and worst.figure is not None:
            text = words.fill("sheet", "worst-of", text=text, count=str(len(group)))
        lines.append([text, str(worst.citation)])
    return lines


def _nearness(finding: Finding, *, at_least: bool) -> float:
    """How near a finding is to its limit; one without figures counts as far."""
    if not finding.figure or not finding.limit:
        return 0.0
    return finding.limit / finding.figure if at_least else finding.figure / finding.limit
