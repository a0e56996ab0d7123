"""Where a web sling is the wrong tool, and which family of sling suits; that family is never rated here.

Of the lift: too hot or too cold for every fibre, or agents that leave no fibre usable. Of a search that
found nothing: what the nearest candidates were refused for. Pass: some fibre suits the place. Caution
cannot be: web suits or it does not.
"""

from __future__ import annotations

from collections.abc import Iterable

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import WRONG_TOOL
from slingwright.check.temperature import coldest_k, hottest_k
from slingwright.lift.model import Lift
from slingwright.rulebook import Rulebook, Verdict
from slingwright.sling import Fibre

__all__ = ["RULE", "check", "check_lift", "suit_family"]

RULE = "wrong-tool"
# what the nearest candidates were refused for -> (detail, family that suits); the first that matches all
_BY_REFUSAL = (
    ({"temperature"}, "too-hot-for-web", "use-chain"),
    ({"edge", "bend"}, "no-edge-protection-enough", "use-chain"),
    ({"rated-load", "wet"}, "nothing-strong-enough", "use-round"),
    ({"headroom", "least-angle", "reach"}, "nothing-fits-the-room", "another-arrangement"),
)


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """See `check_lift`: the same for every candidate."""
    return check_lift(facts.lift, rulebook)


def check_lift(lift: Lift, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding: whether any fibre bears the place's heat, cold and agents."""
    hottest, coldest = hottest_k(lift), coldest_k(lift)
    warm = [f for f in Fibre if hottest is None or hottest <= rulebook.max_temperature_k(f).value]
    if not warm:
        limit = max((rulebook.max_temperature_k(f) for f in Fibre), key=lambda cited: cited.value)
        return (
            report(RULE, Outcome.STOP, "too-hot-for-web", limit, figure=hottest, unit="K", cure="use-chain"),
        )
    least = rulebook.limit("min_temperature_k")
    if coldest is not None and not coldest >= least.value:
        return (
            report(
                RULE, Outcome.STOP, "too-cold-for-web", least, figure=coldest, unit="K", cure="use-wire-rope"
            ),
        )
    sound = [f for f in Fibre if _bears_agents(f, lift, rulebook)]
    if not sound:
        return (_ask("no-fibre-for-agents", lift),)
    if not set(sound) & set(warm):
        return (_ask("no-fibre-for-both", lift),)
    return (report(RULE, Outcome.PASS, "web-suits", WRONG_TOOL),)


def _ask(detail: str, lift: Lift) -> Finding:
    """No family is named against agents: its maker must be asked."""
    agents = ", ".join(lift.site.touches)
    return report(RULE, Outcome.STOP, detail, WRONG_TOOL, cure="ask-agent", subject=agents)


def suit_family(refusals: Iterable[Finding]) -> Finding | None:
    """Which family suits when a search found nothing, from what its nearest candidates were stopped for.

    None when they were stopped for different kinds of reasons: then no family is named.
    """
    rules = {finding.rule for finding in refusals if finding.outcome is Outcome.STOP}
    for kinds, detail, family in _BY_REFUSAL:
        if rules and rules <= kinds:
            return report(RULE, Outcome.STOP, detail, WRONG_TOOL, cure=family)
    return None


def _bears_agents(fibre: Fibre, lift: Lift, rulebook: Rulebook) -> bool:
    """Whether no agent is known to attack the fibre; one not listed is `chemicals`' stop."""
    return all(rulebook.chemical(agent, fibre).verdict is not Verdict.NO for agent in lift.site.touches)
