"""What the slings touch against their fibre, and against steel or aluminium fittings.

Pass: the agent leaves the fibre unharmed. Caution (grades): with care. Stop: it attacks the fibre, or the
fittings of a sling that has some, or nobody listed the agent. Fittings' metal is not on file: the worse
of those listed counts.
"""

from __future__ import annotations

from slingwright.check.facts import Facts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.lift.model import Lift
from slingwright.rulebook import ChemicalVerdict, Rulebook, Verdict
from slingwright.sling import Fibre, Form

__all__ = ["RULE", "check", "check_lift", "touched"]

RULE = "chemicals"
_METALS = ("aluminium", "steel-grade-8")
_FITTED = (Form.TRIANGLE_CHOKER, Form.TRIANGLE_TRIANGLE)
_BY_VERDICT = {
    Verdict.OK: (Outcome.PASS, "unharmed", ""),
    Verdict.CAUTION: (Outcome.CAUTION, "with-care", "another-fibre"),
    Verdict.NO: (Outcome.STOP, "attacked", "another-fibre"),
    Verdict.UNKNOWN: (Outcome.STOP, "agent-unknown", "ask-agent"),
}


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding for each agent and fibre, and for each agent that attacks the fittings in use."""
    touches = facts.lift.site.touches
    fibres = dict.fromkeys(sling.spec.fibre for sling in facts.slings)
    found = [_finding(rulebook.chemical(agent, fibre)) for agent in touches for fibre in fibres]
    if any(sling.spec.form in _FITTED for sling in facts.slings):
        found += [f for agent in touches for f in _fittings(agent, rulebook)]
    return tuple(found)


def check_lift(lift: Lift, rulebook: Rulebook) -> tuple[Finding, ...]:
    """Stops for agents that no fibre's row lists: no candidate can be judged."""
    return tuple(
        _finding(rulebook.chemical(agent, next(iter(Fibre))))
        for agent in lift.site.touches
        if all(rulebook.chemical(agent, fibre).verdict is Verdict.UNKNOWN for fibre in Fibre)
    )


def touched(lift: Lift, rulebook: Rulebook) -> frozenset[str]:
    """Return what the slings touch, each by its listed name, whatever name the lift file uses for it."""
    return frozenset(rulebook.chemical(agent, Fibre.NYLON).agent for agent in lift.site.touches)


def _finding(told: ChemicalVerdict) -> Finding:
    outcome, detail, cure = _BY_VERDICT[told.verdict]
    return report(
        RULE,
        outcome,
        detail,
        told.citation,
        cure=cure,
        subject=told.agent if detail == "agent-unknown" else f"{told.agent}/{told.material}",
        grades=outcome is Outcome.CAUTION,
    )


def _fittings(agent: str, rulebook: Rulebook) -> tuple[Finding, ...]:
    """Each metal the agent attacks; the shop keeps no record of which metal its fittings are."""
    told = (rulebook.chemical(agent, metal) for metal in _METALS)
    return tuple(
        report(
            RULE,
            Outcome.STOP,
            "fitting-attacked",
            verdict.citation,
            cure="fittings-apart",
            subject=f"{verdict.agent}/{verdict.material}",
        )
        for verdict in told
        if verdict.verdict is Verdict.NO
    )
