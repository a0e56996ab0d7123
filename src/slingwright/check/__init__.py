"""Findings: one rule a file, each pass, caution or stop with figure, limit, clause and cure."""

from slingwright.check.all import HANGLESS, LIFT_RULES, RULES, check_lift, first_stop, run_checks
from slingwright.check.codes import CODES, CURES
from slingwright.check.facts import BeamFacts, Facts, HookFacts, LugFacts, SlingFacts
from slingwright.check.finding import Finding, Outcome
from slingwright.check.grade import grade
from slingwright.check.wrong_tool import suit_family

__all__ = [
    "CODES",
    "CURES",
    "HANGLESS",
    "LIFT_RULES",
    "RULES",
    "BeamFacts",
    "Facts",
    "Finding",
    "HookFacts",
    "LugFacts",
    "Outcome",
    "SlingFacts",
    "check_lift",
    "first_stop",
    "grade",
    "run_checks",
    "suit_family",
]
