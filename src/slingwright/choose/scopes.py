"""What a rule looks at besides the lift: candidates alike in it share its stop, or its grading caution."""

from __future__ import annotations

from collections.abc import Callable, Set

from slingwright.choose.candidate import Candidate
from slingwright.sling import Form

__all__ = ["alike", "scope_of"]

# What a rule's stop depends on besides the lift: all candidates alike in it fall together.
_SCOPES: dict[str, Callable[[Candidate], tuple[object, ...]]] = {
    "temperature": lambda c: (c.base.fibre,),
    "chemicals": lambda c: (c.base.fibre, c.base.form),  # the form: fittings may be attacked, too
    "long-load": lambda c: (c.arrangement.family,),
    "loose-bundle": lambda c: (c.arrangement.family,),
    "form-for-use": lambda c: (c.arrangement.family, c.base.form),
    # the width, too: webbing of one class may be kept in two thicknesses
    "edge": lambda c: (
        c.arrangement.family,
        c.protection,
        c.base.fibre,
        c.base.webbing_class,
        c.base.plies,
        c.base.width_m,
    ),
    "eye-fit": lambda c: (c.arrangement.family, c.base.form, c.base.width_m, c.base.plies, c.base.eye_m),
}


def scope_of(rule: str, candidate: Candidate) -> tuple[object, ...] | None:
    """What the rule looks at in this candidate, with the rule; None where that cannot be shared.

    An endless sling's eye is its length: one too short for the hook says nothing of a longer one.
    """
    scope = _SCOPES.get(rule)
    if scope is None or (rule == "eye-fit" and candidate.base.form is Form.ENDLESS):
        return None
    return (rule, *scope(candidate))


def alike(candidate: Candidate, among: Set[tuple[object, ...]]) -> str | None:
    """The first rule whose scope of this candidate is among those seen, or None."""
    for rule in _SCOPES:
        if scope_of(rule, candidate) in among:
            return rule
    return None
