"""Stops and grading cautions that a whole block carries, whatever its lengths: no hang is asked.

Each rule is asked once for all that are alike in what it looks at, of slings longer than any: what stops
those stops every length, for room at the choke and in an endless sling's eye only shrink with it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.check import (
    Finding,
    bend,
    chemicals,
    choke,
    edge,
    eye_fit,
    form_for_use,
    long_load,
    loose_bundle,
    table,
    temperature,
)
from slingwright.check.all import Rule
from slingwright.check.finding import Outcome
from slingwright.choose.candidate import Candidate
from slingwright.choose.figures import hangless_facts
from slingwright.choose.rated import SlingRated
from slingwright.choose.setting import Setting
from slingwright.sling import Hitch, SlingSpec

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Hangless", "Ruling", "chokes_on_eye"]

_Key = tuple[object, ...]
LONGEST_M = 1e6  # longer than any sling


@dataclass(frozen=True, slots=True)
class Ruling:
    """What the rules that need no hang say of a block: the first stop, or whether a caution grades."""

    stop: Finding | None
    graded: bool


def _stack(c: Candidate) -> _Key:
    """What an edge and a bend see of a sling; the width, too: one class may be kept in two thicknesses."""
    return (c.protection, c.base.fibre, c.base.webbing_class, c.base.plies, c.base.width_m)


def _eyes(c: Candidate) -> _Key:
    return (c.base.form, c.base.fibre, c.base.width_m, c.base.plies, c.base.eye_m)


# in the order of the checks: what the rule looks at beside the lift and the way the slings lie
_RULES: tuple[tuple[Rule, Callable[[Candidate, SlingRated], _Key]], ...] = (
    (table.check, lambda c, r: (r.cell.adopted, c.base.plies)),
    (temperature.check, lambda c, r: (c.base.fibre,)),
    (chemicals.check, lambda c, r: (c.base.fibre, c.base.form)),
    (form_for_use.check, lambda c, r: (c.base.form,)),
    (choke.check, lambda c, r: (*_eyes(c), r.choke_factor)),
    (loose_bundle.check, lambda c, r: ()),
    (long_load.check, lambda c, r: ()),
    (edge.check, lambda c, r: _stack(c)),
    (bend.check, lambda c, r: _stack(c)),
    (eye_fit.check, lambda c, r: _eyes(c)),
)


class Hangless:
    """The rulings of one search, each rule's kept by what it looks at."""

    def __init__(self, setting: Setting) -> None:
        self._setting = setting
        self._ruled: dict[_Key, Ruling] = {}
        self._ways: dict[int, tuple[object, _Key]] = {}

    def of(self, probe: Candidate, rated: tuple[SlingRated, ...]) -> Ruling:
        """What they say of a candidate whatever its lengths; its own are not looked at."""
        way, graded = self._way(probe), False
        main = next(i for i, h in enumerate(probe.arrangement.holdings) if h.role == "main")
        for number, (rule, looks_at) in enumerate(_RULES):
            key = (number, way, looks_at(probe, rated[main]))
            ruling = self._ruled.get(key)
            if ruling is None:
                ruling = self._ruled[key] = self._ask(rule, probe, rated)
            if ruling.stop is not None:
                return ruling
            graded |= ruling.graded
        return Ruling(None, graded)

    def _ask(self, rule: Rule, probe: Candidate, rated: tuple[SlingRated, ...]) -> Ruling:
        found = rule(hangless_facts(self._setting, probe, rated, LONGEST_M), self._setting.rulebook)
        stop = next((f for f in found if f.outcome is Outcome.STOP), None)
        return Ruling(stop, any(f.grades for f in found))

    def _way(self, probe: Candidate) -> _Key:
        """What the rules see of an arrangement: hitches, hooks, picks and what each sling lies on."""
        a = probe.arrangement
        known = self._ways.get(id(a))
        if known is None:
            ways = tuple(
                (h.id, h.hitch, h.wraps, h.role, h.hook, h.pick)
                + ((h.round.edges, h.round.radius_m, h.round.loop_m) if h.round is not None else ())
                for h in a.holdings
            )
            known = self._ways[id(a)] = (
                a,
                (a.family, ways),
            )  # the arrangement is held, so its id stays its own
        return known[1]


def chokes_on_eye(
    setting: Setting, arrangement: Arrangement, base: SlingSpec, lengths_m: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Rows of lengths (S, slings) of which some choke has no plain webbing left beside its bite."""
    out = np.zeros(len(lengths_m), dtype=np.bool_)
    row = setting.shop.eye_row(base.width_m, base.plies)
    if row is None:
        return out
    for i, holding in enumerate(arrangement.holdings):
        if holding.hitch is Hitch.CHOKER and holding.round is not None:
            loop = holding.round.loop_m
            clear = np.minimum(loop, lengths_m[:, i] - loop) - base.eye_m - row.lap_m
            out |= ~(clear > 0)
    return out
