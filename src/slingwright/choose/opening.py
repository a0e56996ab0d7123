"""What becomes of a source when it is opened: where a rule that needs no hang stops it, and where none does.

Thousands of sources of a lift differ in nothing that these rules look at: what they say is put together once
for all of a group that are alike, and a source that is stopped everywhere never becomes a column.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.check import Finding
from slingwright.choose.groups import Group
from slingwright.choose.hangless import Hangless, Ruling, Way
from slingwright.choose.source import Source

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Bools = NDArray[np.bool_]
    Places = NDArray[np.int64]

__all__ = ["Opened", "Openings", "Stopped"]


class Stopped(NamedTuple):
    """Places at which a rule stops a source, the stop, and the first of them where any of its rows fits."""

    places: Places
    stop: Finding
    first: int


class Opened(NamedTuple):
    """What becomes of a source, each with the places (P,) where that holds.

    `clear` and `graded`: where rows fit and no rule stops them, those that carry a caution that grades apart;
    None for nowhere. `graded_ways`: the places of the latter, those alike together.
    """

    stopped: tuple[Stopped, ...]
    graded_ways: tuple[Places, ...]
    clear: Bools | None
    graded: Bools | None


class _Way(NamedTuple):
    """Places of a group alike to the rules, where some of a source's rows fit: which, and the first such."""

    way: Way
    here: Bools
    first: int


class _Here(NamedTuple):
    """A group where some of its rows fit: at which ways, and what became of what the rules see alike."""

    group: Group
    ways: list[_Way]
    opened: dict[tuple[object, ...], Opened]


class Openings:
    """What becomes of the sources of one search."""

    def __init__(self, hangless: Hangless) -> None:
        self._hangless = hangless
        self._at: dict[tuple[int, int | None], _Here] = {}  # a group held keeps its id
        self._here: dict[tuple[int, bytes], _Here] = {}
        self._known: dict[tuple[int, ...], tuple[_Here, Sequence[Ruling], Opened]] = {}

    def of(self, source: Source) -> Opened:
        """What becomes of it."""
        at = id(source.group), source.shelf_row
        here = self._at.get(at)
        if here is None:
            here = self._at[at] = self._fits(source)
        key = self._hangless.looks(source), source.protection
        opened = here.opened.get(key)
        if opened is None:
            opened = here.opened[key] = self._ruled(source, here)
        return opened

    def _fits(self, source: Source) -> _Here:
        """Each row of the shelf fits other places, most all."""
        group, fits = source.group, source.rows_at > 0
        key = id(group), fits.tobytes()
        if key not in self._here:
            self._here[key] = _Here(group, self._fitting(group, fits), {})
        return self._here[key]

    def _ruled(self, source: Source, here: _Here) -> Opened:
        rulings = [self._hangless.of(source, w.way) for w in here.ways]
        key = (id(here), *map(id, rulings))
        if key not in self._known:
            self._known[key] = here, rulings, _opened(here.ways, rulings)  # what is held keeps its id
        return self._known[key][2]

    def _fitting(self, group: Group, fits: Bools) -> list[_Way]:
        out = []
        for way in self._hangless.ways(group):
            here = np.zeros(len(fits), dtype=np.bool_)
            here[way.places] = fits[way.places]
            if here.any():
                out.append(_Way(way, here, int(np.argmax(here))))
        return out


def _opened(ways: list[_Way], rulings: list[Ruling]) -> Opened:
    stopped: list[Stopped] = []
    alive: dict[bool, list[_Way]] = {False: [], True: []}  # graded or not
    for w, ruling in zip(ways, rulings, strict=True):
        if ruling.stop is not None:
            stopped.append(Stopped(w.way.places, ruling.stop, w.first))
        else:
            alive[ruling.graded].append(w)
    clear, graded = (np.any([w.here for w in alive[x]], axis=0) if alive[x] else None for x in (False, True))
    return Opened(tuple(stopped), tuple(w.way.places for w in alive[True]), clear, graded)
