"""Legs that carry nothing as the load hangs.

Pass: every leg is tight. Caution (grades): a leg of a plain bridle is slack and three still hold. Stop:
fewer than three hold, or a side of a basket, a choker, a beam's leg or a leg to a second hook is slack.
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import STATICS
from slingwright.rulebook import Rulebook
from slingwright.sling import Hitch

__all__ = ["RULE", "check"]

RULE = "slack-leg"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding: how many legs are slack in a nominal case."""
    slack = len(facts.slack)
    held = facts.legs - slack
    least = rulebook.limit("tight_legs")
    plain_bridle = (
        facts.beam is None and len(facts.hooks) == 1 and all(s.hitch is Hitch.VERTICAL for s in facts.slings)
    )
    outcome, detail, cure = Outcome.PASS, "all-tight", ""
    if slack:
        outcome, detail, cure = Outcome.STOP, "too-many-slack", "same-length-legs"
        if plain_bridle and held >= least.value:
            outcome, detail = Outcome.CAUTION, "one-slack"
    return (
        report(
            RULE,
            outcome,
            detail,
            least.citation if slack else STATICS,
            figure=float(slack),
            limit=0.0,
            unit="1",
            cure=cure,
            subject=", ".join(facts.slack),
            grades=outcome is Outcome.CAUTION,
        ),
    )
