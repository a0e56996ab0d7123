"""Stops and grading cautions that a whole block carries, whatever its lengths: no hang is asked.

Each rule is asked once for all that are alike in what it looks at, of slings longer than any: what stops
those stops every length, for room at the choke and in an endless sling's eye only shrink with it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

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
    tilt,
    wet,
)
from slingwright.check.all import Rule
from slingwright.check.facts import Facts
from slingwright.check.finding import Outcome
from slingwright.choose.candidate import Candidate
from slingwright.choose.figures import hangless_facts
from slingwright.choose.groups import Group
from slingwright.choose.kept import Kept, Looks
from slingwright.choose.rated import SlingRated
from slingwright.choose.setting import Setting
from slingwright.choose.source import Source
from slingwright.sling import Hitch

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Places = NDArray[np.int64]

__all__ = ["Hangless", "Ruling", "Way", "chokes_on_eye"]

_Key = tuple[object, ...]
LONGEST_M = 1e6  # longer than any sling


@dataclass(frozen=True, slots=True)
class Ruling:
    """What the rules that need no hang say of a block: the first stop, or whether a caution grades."""

    stop: Finding | None
    graded: bool


class Way(NamedTuple):
    """Places of a group at which the rules see the same, and the number of what they see.

    `lies`: whether any sling lies on the load there.
    """

    number: int
    places: Places
    lies: bool


def _stack(setting: Setting, c: Candidate) -> _Key:
    """What an edge and a bend see of a sling beside what protects it: the thickness of the stack."""
    webbing = setting.shop.webbing(c.base.fibre, c.base.webbing_class, c.base.width_m)
    return (webbing.thickness_m if webbing else 0.0, c.base.plies)


def _eyes(setting: Setting, c: Candidate) -> _Key:
    return eye_fit.looks_at(c.base, setting.rulebook)


def _choked(setting: Setting, c: Candidate, rated: SlingRated) -> _Key:
    """What the bite sees of a sling: eye and lap beside it, and what it leaves of the rating."""
    if c.main_hitch is not Hitch.CHOKER:
        return ()
    row = setting.shop.eye_row(c.base.width_m, c.base.plies)
    return (c.base.form, c.base.eye_m, row and row.lap_m, rated.choke_factor)


def _ids(a: Arrangement) -> _Key:
    """Each sling by its name, its way and its part: what a finding names, and what is told of its rating."""
    return tuple((h.id, h.hitch, h.role) for h in a.holdings)


def _chokes(a: Arrangement) -> _Key:
    """What goes round at each bite, and whether the load is round there."""
    chokers = (h for h in a.holdings if h.hitch is Hitch.CHOKER)
    return tuple(
        (h.id, h.round and h.round.loop_m, h.round is not None and h.round.radius_m is not None)
        for h in chokers
    )


def _grips(a: Arrangement) -> _Key:
    """How often each goes round, and how many there are."""
    return a.legs, tuple((h.id, h.hitch, h.wraps, h.role) for h in a.holdings)


def _edges(a: Arrangement) -> _Key:
    """Which sling lies on edges, which hangs on a pin."""
    return tuple((h.id, h.round is not None and h.round.edges > 0, h.pick is not None) for h in a.holdings)


def _bends(a: Arrangement) -> _Key:
    return tuple((h.id, h.round and h.round.radius_m) for h in a.holdings)


def _bars(a: Arrangement) -> _Key:
    """What each sling sits on above and below; of slings this long what stands free opens far enough."""
    return tuple((h.id, h.hook, h.pick) for h in a.holdings)


def _swings(a: Arrangement) -> _Key:
    """Where one sling alone goes round the load: how far it swings at least is told without a hang."""
    way = a.holdings[0].round
    if len(a.holdings) > 1 or way is None:
        return ()
    return way.x_m, way.turns_m, way.centre_yz_m, way.radius_m


def _way(a: Arrangement) -> _Key:
    """All that the rules see of an arrangement: hitches, hooks, picks and what each sling lies on."""
    ways = tuple(
        (h.id, h.hitch, h.wraps, h.role, h.hook, h.pick)
        + ((h.round.edges, h.round.radius_m, h.round.loop_m) if h.round is not None else ())
        for h in a.holdings
    )
    return a.family, ways, _swings(a)


class _Look(NamedTuple):
    """A rule, what it looks at of a sling and of the way the slings lie, and whether at what protects them.

    That which looks at what protects looks neither at that nor at the sling where it lies on nothing.
    """

    rule: Rule
    sling: Callable[[Setting, Candidate, SlingRated], _Key]
    way: Callable[[Arrangement], _Key]
    guarded: bool


# in the order of the checks: what they look at beside the lift
_RULES = (
    _Look(table.check, lambda s, c, r: (r.cell.adopted, c.base.plies), _ids, guarded=False),
    _Look(temperature.check, lambda s, c, r: (c.base.fibre,), lambda a: (), guarded=False),
    _Look(chemicals.check, lambda s, c, r: (c.base.fibre, c.base.form), lambda a: (), guarded=False),
    _Look(form_for_use.check, lambda s, c, r: (c.base.form,), _ids, guarded=False),
    _Look(choke.check, _choked, _chokes, guarded=False),
    _Look(loose_bundle.check, lambda s, c, r: (), _grips, guarded=False),
    _Look(long_load.check, lambda s, c, r: (), lambda a: (a.legs,), guarded=False),
    _Look(edge.check, lambda s, c, r: _stack(s, c), _edges, guarded=True),
    _Look(bend.check, lambda s, c, r: _stack(s, c), _bends, guarded=True),
    _Look(eye_fit.check, lambda s, c, r: _eyes(s, c), _bars, guarded=False),
    # reads tensions, but says something of every wet nylon sling: a caution that grades, or a stop
    _Look(wet.check, lambda s, c, r: (c.base.fibre,), _ids, guarded=False),
    # reads a figure of the hang, of which is known here what it is not below
    _Look(tilt.check, lambda s, c, r: (), _swings, guarded=False),
)


def _runs() -> tuple[tuple[bool, range], ...]:
    """Rules that stand beside each other and look all or none at what protects: (do they, which)."""
    guarded = [look.guarded for look in _RULES]
    cuts = [0, *(k for k in range(1, len(guarded)) if guarded[k] != guarded[k - 1]), len(guarded)]
    return tuple((guarded[a], range(a, b)) for a, b in pairwise(cuts))


_RUNS = _runs()
_CLEAR, _GRADED = Ruling(None, graded=False), Ruling(None, graded=True)


class Hangless:
    """The rulings of one search, each rule's kept by what it looks at."""

    def __init__(self, setting: Setting, kept: Kept) -> None:
        self._setting, self._kept = setting, kept
        self._ruled: list[dict[_Key, Ruling]] = [{} for _ in _RULES]
        self._runs: dict[_Key, Ruling] = {}
        self._ways: dict[_Key, int] = {}  # numbered: a number is quicker to look up than what it stands for
        self._ways_of: dict[int, tuple[Group, list[Way]]] = {}  # a group held keeps its id
        self._parts: dict[int, tuple[_Key, ...]] = {}  # what each rule looks at of each way
        self._alike: dict[int, tuple[int, ...]] = {}  # a number for what each run looks at of each way
        self._numbers: dict[_Key, int] = {}

    def of(self, source: Source, way: Way) -> Ruling:
        """What they say of a source at the places of one way, whatever its lengths."""
        graded, guard, facts = False, source.protection, list[Facts]()
        looks, alike = self._looks_of(source), self._alike[way.number]
        for run, (guarded, rules) in enumerate(_RUNS):
            key: _Key
            seen: tuple[_Key, ...]
            if guarded and not way.lies:
                key, seen = (run, alike[run]), ((),) * len(rules)
            else:
                key = (run, alike[run], looks.numbers[run], guard if guarded else None)
                seen = looks.seen[run]
            ruling = self._runs.get(key)
            if ruling is None:
                ruling = self._runs[key] = self._run(source, way, rules, seen, facts)
            if ruling.stop is not None:
                return ruling
            graded |= ruling.graded
        return _GRADED if graded else _CLEAR

    def _run(
        self, source: Source, way: Way, rules: range, seen: tuple[_Key, ...], facts: list[Facts]
    ) -> Ruling:
        """What some rules say, one after another; `facts` are made once for all."""
        graded, parts = False, self._parts[way.number]
        for k, look in zip(rules, seen, strict=True):
            key = (parts[k], look, source.protection if _RULES[k].guarded else None)
            ruling = self._ruled[k].get(key)
            if ruling is None:
                if not facts:
                    facts.append(self._facts(source, int(way.places[0])))
                ruling = self._ruled[k][key] = self._ask(_RULES[k].rule, facts[0])
            if ruling.stop is not None:
                return ruling
            graded |= ruling.graded
        return _GRADED if graded else _CLEAR

    def ways(self, group: Group) -> list[Way]:
        """The group's places, those together at which the rules see the same."""
        if id(group) not in self._ways_of:
            alike: dict[int, list[int]] = {}
            for place, arrangement in enumerate(group.arrangements):
                number = self._ways.setdefault(_way(arrangement), len(self._ways))
                if number not in self._parts:
                    self._note_way(number, arrangement)
                alike.setdefault(number, []).append(place)
            lie = [any(h.round is not None for h in a.holdings) for a in group.arrangements]
            self._ways_of[id(group)] = (group, [Way(n, np.array(x), lie[x[0]]) for n, x in alike.items()])
        return self._ways_of[id(group)][1]

    def _note_way(self, number: int, arrangement: Arrangement) -> None:
        """Rules see of a way less than all: what those of a run see alike is looked up by one number."""
        parts = self._parts[number] = tuple(look.way(arrangement) for look in _RULES)
        runs = (parts[rules.start : rules.stop] for _, rules in _RUNS)
        self._alike[number] = tuple(self._numbers.setdefault(run, len(self._numbers)) for run in runs)

    def looks(self, source: Source) -> tuple[int, ...]:
        """The numbers of what they look at of a sling, but for what protects it."""
        return self._looks_of(source).numbers

    def _looks_of(self, source: Source) -> Looks:
        """It depends on the shop alone, so that it is kept from search to search."""
        rated = source.strong.rated

        def look() -> tuple[tuple[_Key, ...], ...]:
            probe = self.probe(source, 0)
            main = next(i for i, h in enumerate(probe.arrangement.holdings) if h.role == "main")
            seen = [look.sling(self._setting, probe, rated[main]) for look in _RULES]
            return tuple(tuple(seen[k] for k in rules) for _, rules in _RUNS)

        return self._kept.looks(rated, source.stock[0].id if source.stock else None, look)

    def probe(self, source: Source, place: int) -> Candidate:
        """A candidate of the source without length or price: enough for the rules that need neither."""
        return Candidate(
            arrangement=source.group.arrangements[place],
            base=source.stock[0].spec if source.stock else self._kept.spec(source.strong.make),
            lengths_m=(),
            protection=source.protection,
            stock=source.stock,
            price_minor=0,
            mass_kg=0.0,
            days=0,
            lofts=(),
            least_length_m=None,
        )

    def _facts(self, source: Source, place: int) -> Facts:
        return hangless_facts(self._setting, self.probe(source, place), source.strong.rated, LONGEST_M)

    def _ask(self, rule: Rule, facts: Facts) -> Ruling:
        found = rule(facts, self._setting.rulebook)
        stop = next((f for f in found if f.outcome is Outcome.STOP), None)
        return Ruling(stop, any(f.grades for f in found))


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
