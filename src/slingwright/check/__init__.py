"""Findings: one rule a file, each pass, caution or stop with figure, limit, clause and cure."""

from slingwright.check.finding import Finding, Outcome

__all__ = ["Finding", "Outcome"]
