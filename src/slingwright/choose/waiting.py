"""Lanes that came through their told hangs and wait, as they lie, till their turn in the walk's order comes.

Most are dearer than the answer, and what is dearer need never be hung at the corners of its centre's box.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

import numpy as np

from slingwright.choose.lanes import Laid
from slingwright.hang.screen import Held

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Places = NDArray[np.int64]

__all__ = ["Lane", "Waiting"]

_Arrays = TypeVar("_Arrays", bound=tuple[Any, ...])


class Lane(NamedTuple):
    """S lanes (a row each in every array) on their way through the sieve, those that are told alone.

    `asked` as the sieve has it, `held` what is known by now; `up` (S, 2) as the told hang has it; `ends` the
    strain (S,) and how each lies at either end of the stretch range.
    """

    asked: tuple[Any, ...]
    held: Held
    up: Floats
    ends: tuple[tuple[Floats, Laid], ...]

    def take(self, at: Places) -> Lane:
        """Some of them."""
        (stiff, laid), (soft, other) = self.ends
        mine = laid.take(at)
        ends = (stiff[at], mine), (soft[at], mine if other is laid else other.take(at))
        return Lane(_rows(self.asked, at), _rows(self.held, at), self.up[at], ends)


class Waiting:
    """The lanes of one sieve that wait, each told by a number of its own."""

    def __init__(self) -> None:
        self._kept: list[tuple[Lane, bool]] = []
        self._first: list[int] = [0]  # the number of each part's first lane, and the next to be given

    def keep(self, lanes: Lane, *, graded_lose: bool) -> Places:
        """Keep them; their numbers (S,). `graded_lose` is what they were asked with, and will be."""
        first = self._first[-1]
        self._kept.append((lanes, graded_lose))
        self._first.append(first + len(lanes.up))
        return np.arange(first, self._first[-1])

    def take(self, number: Places) -> Iterator[tuple[Places, Lane, bool]]:
        """The lanes of these numbers, those asked alike together, each with where its number stands."""
        part = np.searchsorted(self._first, number, side="right") - 1
        for lose in (False, True):
            at, found = [], []
            for k in np.unique(part).tolist():
                lanes, asked_so = self._kept[k]
                if asked_so is lose:
                    at.append(np.flatnonzero(part == k))
                    found.append(lanes.take(number[at[-1]] - self._first[k]))
            if found:
                yield np.concatenate(at), _joined(found), lose


def _rows(arrays: _Arrays, at: Places) -> _Arrays:
    return type(arrays)(*(a[at] for a in arrays))


def _beside(every: Sequence[_Arrays]) -> _Arrays:
    return type(every[0])(*(np.concatenate(x) for x in zip(*every, strict=True)))


def _joined(parts: list[Lane]) -> Lane:
    if len(parts) == 1:
        return parts[0]
    same = all(p.ends[0][1] is p.ends[1][1] for p in parts)
    stiff, soft = (np.concatenate([p.ends[k][0] for p in parts]) for k in (0, 1))
    laid = Laid.joined([p.ends[0][1] for p in parts])
    other = laid if same else Laid.joined([p.ends[1][1] for p in parts])
    asked, held = _beside([p.asked for p in parts]), _beside([p.held for p in parts])
    return Lane(asked, held, np.concatenate([p.up for p in parts]), ((stiff, laid), (soft, other)))
