"""A bridle of unequal legs hung in the wrong order.

Pass: every order holds and stays level. Caution (grades): some order tilts past what the buyer wants.
Stop: some order overloads a part (a tie fails), or the orders were not solved. Equal legs: no finding.
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report, stays_below
from slingwright.check.sources import ONE_KIND, WANTED_LEVEL
from slingwright.citation import Cited
from slingwright.rulebook import Rulebook

__all__ = ["RULE", "check"]

RULE = "swap"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """The worst order's utilisation [1] and tilt [deg]."""
    overload, tilt = facts.swap_overload, facts.swap_tilt_deg
    if overload is None or tilt is None:
        if facts.lengths != "made":
            return ()
        return (report(RULE, Outcome.STOP, "swaps-not-solved", ONE_KIND, cure="same-length-legs"),)
    if not stays_below(overload, 1):
        return (
            report(
                RULE,
                Outcome.STOP,
                "overloads-when-swapped",
                ONE_KIND,
                figure=overload,
                limit=1.0,
                unit="1",
                cure="stronger-sling",
            ),
        )
    wanted = Cited(facts.lift.want.level_within_deg, WANTED_LEVEL)
    level = tilt <= wanted.value
    return (
        report(
            RULE,
            Outcome.PASS if level else Outcome.CAUTION,
            "any-order-holds" if level else "tilts-when-swapped",
            wanted,
            figure=tilt,
            unit="deg",
            cure="" if level else "mark-the-bridle",
            grades=not level,
        ),
    )
