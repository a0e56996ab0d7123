"""Temperature of what the sling touches, and of the place, against each fibre's range.

Pass: within. Caution of the lift: below freezing (ice abrades, wet nylon stiffens); surface not stated,
so that the place's temperature stands for it; nothing stated. Stop: above the fibre's limit or below it.
The limit itself may be reached ("at most").
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.citation import Cited
from slingwright.lift.model import Lift
from slingwright.rulebook import Rulebook
from slingwright.sling import Fibre

__all__ = ["RULE", "check", "coldest_k", "hottest_k"]

RULE = "temperature"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding a fibre used [K], and what is not known of the lift."""
    hottest, coldest = hottest_k(facts.lift), coldest_k(facts.lift)
    found: list[Finding] = []
    for fibre in dict.fromkeys(sling.spec.fibre for sling in facts.slings):
        found.extend(_fibre(fibre, hottest, coldest, rulebook))
    return (*found, *_of_the_lift(facts, coldest, rulebook))


def hottest_k(lift: Lift) -> float | None:
    """The hottest thing stated: surface touched or place; None when neither is."""
    known = [t for t in (lift.load.surface_temperature_k, lift.site.temperature_high_k) if t is not None]
    return max(known, default=None)


def coldest_k(lift: Lift) -> float | None:
    """The coldest thing stated: surface touched or place; None when neither is."""
    known = [t for t in (lift.load.surface_temperature_k, lift.site.temperature_low_k) if t is not None]
    return min(known, default=None)


def _fibre(
    fibre: Fibre, hottest: float | None, coldest: float | None, rulebook: Rulebook
) -> tuple[Finding, ...]:
    most, least = rulebook.max_temperature_k(fibre), rulebook.limit("min_temperature_k")
    if hottest is not None and not hottest <= most.value:
        return (
            report(
                RULE,
                Outcome.STOP,
                "too-hot",
                most,
                figure=hottest,
                unit="K",
                cure="use-chain",
                subject=str(fibre),
            ),
        )
    if coldest is not None and not coldest >= least.value:
        return (
            report(
                RULE,
                Outcome.STOP,
                "too-cold",
                least,
                figure=coldest,
                unit="K",
                cure="use-wire-rope",
                subject=str(fibre),
            ),
        )
    if hottest is None:
        return ()
    return (report(RULE, Outcome.PASS, "within", most, figure=hottest, unit="K", subject=str(fibre)),)


def _of_the_lift(facts: Facts, coldest: float | None, rulebook: Rulebook) -> tuple[Finding, ...]:
    """What is not known of the heat, against the least heat-proof fibre in use; and frost."""
    lift, found = facts.lift, []
    limits = (rulebook.max_temperature_k(sling.spec.fibre) for sling in facts.slings)
    most = min(limits, key=lambda cited: cited.value)
    if hottest_k(lift) is None:
        found.append(_told("unknown", most, None, "measure-temperature"))
    elif lift.load.surface_temperature_k is None:
        found.append(_told("surface-assumed", most, hottest_k(lift), "measure-temperature"))
    freezing = rulebook.limit("freezing_k")
    if coldest is not None and coldest < freezing.value:
        found.append(_told("below-freezing", freezing, coldest, "keep-dry"))
    return tuple(found)


def _told(detail: str, limit: Cited[float], figure: float | None, cure: str) -> Finding:
    return report(RULE, Outcome.CAUTION, detail, limit, figure=figure, unit="K", cure=cure, of_the_lift=True)
