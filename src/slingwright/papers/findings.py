"""Findings as a paper prints them: stops and cautions in full, passes one line each."""

from __future__ import annotations

from collections.abc import Iterable

from slingwright.check import Finding, Outcome
from slingwright.units import Units
from slingwright.words import cure_text, finding_texts, outcome_word

__all__ = ["finding_rows", "pass_lines"]


def finding_rows(findings: Iterable[Finding], units: Units, *, language: str = "en") -> list[list[str]]:
    """One row a finding, equal ones together: its outcome, sentence, clause, what would cure it."""
    return [
        [outcome_word(f.outcome, language=language), text, str(f.citation), cure_text(f, language=language)]
        for f, text in finding_texts(findings, units, language=language)
    ]


def pass_lines(findings: Iterable[Finding], units: Units, *, language: str = "en") -> list[list[str]]:
    """What is in order: sentence and clause."""
    passed = (f for f in findings if f.outcome is Outcome.PASS)
    return [[text, str(f.citation)] for f, text in finding_texts(passed, units, language=language)]
