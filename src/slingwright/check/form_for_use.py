"""Whether the sling's form suits how it is used: form by use before price.

Pass: it suits. Caution (grades): a flat eye choked, where a twisted one lies better on the hook. Caution:
an endless sling, whose splice must be placed off hook and load. A stop cannot be here: a form that cannot
choke at all is stopped by `choke`.
"""

from __future__ import annotations

from slingwright.check.facts import Facts, SlingFacts
from slingwright.check.finding import Finding, Outcome, report
from slingwright.check.sources import FORM_BY_USE
from slingwright.rulebook import Rulebook
from slingwright.sling import Form, Hitch

__all__ = ["RULE", "check"]

RULE = "form-for-use"


def check(facts: Facts, rulebook: Rulebook) -> tuple[Finding, ...]:
    """One finding a sling."""
    return tuple(_form(sling) for sling in facts.slings)


def _form(sling: SlingFacts) -> Finding:
    outcome, detail, cure = Outcome.PASS, "suits", ""
    if sling.hitch is Hitch.CHOKER and sling.spec.form is Form.FLAT_EYE:
        outcome, detail, cure = Outcome.CAUTION, "flat-eye-choked", "another-form"
    elif sling.spec.form is Form.ENDLESS:
        outcome, detail, cure = Outcome.CAUTION, "splice-off-hook-and-load", "place-splice-clear"
    return report(
        RULE,
        outcome,
        detail,
        FORM_BY_USE,
        cure=cure,
        subject=sling.id,
        grades=detail == "flat-eye-choked",
    )
