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
from slingwright.choose.column import Source
from slingwright.choose.figures import hangless_facts
from slingwright.choose.groups import Group
from slingwright.choose.rated import SlingRated
from slingwright.choose.setting import Setting
from slingwright.sling import Hitch

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Places = NDArray[np.int64]

__all__ = ["Hangless", "Ruling", "chokes_on_eye"]

_Key = tuple[object, ...]
LONGEST_M = 1e6  # longer than any sling


@dataclass(frozen=True, slots=True)
class Ruling:
    """What the rules that need no hang say of a block: the first stop, or whether a caution grades."""

    stop: Finding | None
    graded: bool


def _stack(setting: Setting, c: Candidate) -> _Key:
    """What an edge and a bend see of a sling: the thickness of the stack and what protects it."""
    webbing = setting.shop.webbing(c.base.fibre, c.base.webbing_class, c.base.width_m)
    return (c.protection, webbing.thickness_m if webbing else 0.0, c.base.plies)


def _eyes(setting: Setting, c: Candidate) -> _Key:
    return (c.base.form, c.base.width_m, c.base.eye_m)


def _choked(setting: Setting, c: Candidate) -> _Key:
    """What the bite sees of a sling: eye and lap beside it."""
    row = setting.shop.eye_row(c.base.width_m, c.base.plies)
    return (c.base.form, c.base.eye_m, row and row.lap_m)


# in the order of the checks: what the rule looks at beside the lift and the way the slings lie
_RULES: tuple[tuple[Rule, Callable[[Setting, Candidate, SlingRated], _Key]], ...] = (
    (table.check, lambda s, c, r: (r.cell.adopted, c.base.plies)),
    (temperature.check, lambda s, c, r: (c.base.fibre,)),
    (chemicals.check, lambda s, c, r: (c.base.fibre, c.base.form)),
    (form_for_use.check, lambda s, c, r: (c.base.form,)),
    (choke.check, lambda s, c, r: (*_choked(s, c), r.choke_factor)),
    (loose_bundle.check, lambda s, c, r: ()),
    (long_load.check, lambda s, c, r: ()),
    (edge.check, lambda s, c, r: _stack(s, c)),
    (bend.check, lambda s, c, r: _stack(s, c)),
    (eye_fit.check, lambda s, c, r: _eyes(s, c)),
)


class Hangless:
    """The rulings of one search, each rule's kept by what it looks at."""

    def __init__(self, setting: Setting) -> None:
        self._setting = setting
        self._ruled: dict[_Key, Ruling] = {}
        self._ways: dict[int, tuple[object, _Key]] = {}
        self._ways_of: dict[int, tuple[Group, list[NDArray[np.int64]]]] = {}  # a group held keeps its id

    def of(self, probe: Candidate, rated: tuple[SlingRated, ...]) -> Ruling:
        """What they say of a candidate whatever its lengths; its own are not looked at."""
        way, graded = self._way(probe.arrangement), False
        main = next(i for i, h in enumerate(probe.arrangement.holdings) if h.role == "main")
        for number, (rule, looks_at) in enumerate(_RULES):
            key = (number, way, looks_at(self._setting, probe, rated[main]))
            ruling = self._ruled.get(key)
            if ruling is None:
                ruling = self._ruled[key] = self._ask(rule, probe, rated)
            if ruling.stop is not None:
                return ruling
            graded |= ruling.graded
        return Ruling(None, graded)

    def ways(self, group: Group) -> list[NDArray[np.int64]]:
        """The group's places, those together at which the rules see the same."""
        if id(group) not in self._ways_of:
            alike: dict[_Key, list[int]] = {}
            for place, arrangement in enumerate(group.arrangements):
                alike.setdefault(self._way(arrangement), []).append(place)
            self._ways_of[id(group)] = (group, [np.array(x) for x in alike.values()])
        return self._ways_of[id(group)][1]

    def _ask(self, rule: Rule, probe: Candidate, rated: tuple[SlingRated, ...]) -> Ruling:
        found = rule(hangless_facts(self._setting, probe, rated, LONGEST_M), self._setting.rulebook)
        stop = next((f for f in found if f.outcome is Outcome.STOP), None)
        return Ruling(stop, any(f.grades for f in found))

    def _way(self, a: Arrangement) -> _Key:
        """What the rules see of an arrangement: hitches, hooks, picks and what each sling lies on."""
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


def chokes_on_eye(setting: Setting, source: Source, row: Places, place: Places) -> NDArray[np.bool_]:
    """Rows at places (S,) of which some choke has no plain webbing left beside its bite."""
    out = np.zeros(len(row), dtype=np.bool_)
    arrangements = source.group.arrangements
    if arrangements[0].main[0].hitch is not Hitch.CHOKER:
        return out
    base = source.stock[0].spec if source.stock else source.strong.make.spec(setting.shop)
    eyes = setting.shop.eye_row(base.width_m, base.plies)
    if eyes is None:
        return out
    lengths_m = source.rows.lengths_m[row]
    for i in range(lengths_m.shape[1]):
        ways = [a.holdings[i].round if a.holdings[i].hitch is Hitch.CHOKER else None for a in arrangements]
        loop = np.array([np.nan if w is None else w.loop_m for w in ways])[place]
        clear = np.minimum(loop, lengths_m[:, i] - loop) - base.eye_m - eyes.lap_m
        out |= ~(clear > 0) & ~np.isnan(loop)
    return out
