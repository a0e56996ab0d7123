"""Where what a visitor does not wait for is searched: in processes apart from those for what one waits for.

An interpreter is held by what runs in it, so that whatever is waited for is best begun in a process that does
nothing else. There are twice as many processes as searches that are waited for at once: at most half of them
go on with other offers, or explain, and there is always another for what comes next.
"""

from __future__ import annotations

import heapq
import threading
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from itertools import count

from slingwright.desk.turns import AT_LEISURE, FIRST, LATER, GivenUp

__all__ = ["Place", "Places"]

_LOOK_UP_S = 0.2  # how often one that waits looks whether anybody still wants it
_RANKS = 3


@dataclass(slots=True, eq=False)
class Place:
    """A process to search in, and how many searches of each rank are in it."""

    ready: bool = False
    held: list[int] = field(default_factory=lambda: [0] * _RANKS)

    @property
    def is_behind(self) -> bool:
        """Whether something goes on here that nobody waits for."""
        return self.held[LATER] + self.held[AT_LEISURE] > 0


class Places:
    """Which search may go on where; who may not waits for a place to search anew in.

    Parameters
    ----------
    most : places at a time in which what nobody waits for goes on.
    places : all there are; they come and go under `changed`, which is to be notified of it.
    hold_up : told when something is waited for and nothing else shall go on, and when no longer.
    """

    def __init__(
        self, most: int, places: Iterable[Place], changed: threading.Condition,
        hold_up: Callable[[bool], None] = lambda held_up: None,
    ) -> None:  # fmt: skip
        self._most, self._places, self._changed = most, places, changed
        self._hold_up, self._held_up = hold_up, False
        self._waiting: list[tuple[int, int]] = []  # (rank, ticket), a heap
        self._tickets = count()

    def take_first(self) -> Place | None:
        """Hold the place with the least in it for what is waited for; None where none is ready."""
        with self._changed:
            ready = [p for p in self._places if p.ready]
            if not ready:
                return None
            chosen = min(ready, key=lambda p: (p.held[FIRST], sum(p.held)))
            chosen.held[FIRST] += 1
            self.look()
            return chosen

    def look(self) -> None:
        """See whether something is waited for; `changed` is held."""
        held_up = any(p.held[FIRST] for p in self._places)
        if held_up != self._held_up:
            self._held_up = held_up
            self._hold_up(held_up)

    def stays(self, place: Place, was: int, rank: int) -> bool:
        """Whether a search may go on where it is, with what is less pressing; then it is held so."""
        with self._changed:
            if was != rank:
                if not self._may_stay(place, was, rank):
                    return False
                place.held[was] -= 1
                place.held[rank] += 1
                self.look()
                self._changed.notify_all()
            return True

    def _may_stay(self, place: Place, was: int, rank: int) -> bool:
        others = sum(1 for p in self._places if p.is_behind and p is not place)
        if was == FIRST and others >= self._most:
            return False
        # at most one rests in a place while another goes before it
        return place.held[rank] == 0 and not (rank == AT_LEISURE and self._is_awaited(LATER))

    def take(self, rank: int, given_up: Callable[[], bool]) -> Place | None:
        """Wait for a place for what nobody waits for, and hold it; None where no process is left.

        Raises
        ------
        GivenUp
            Nobody wants it any more.
        """
        with self._changed:
            mine = (rank, next(self._tickets))
            heapq.heappush(self._waiting, mine)
            try:
                while True:
                    if given_up():
                        raise GivenUp
                    if not any(True for _ in self._places):
                        return None
                    chosen = self._free_for(rank) if self._waiting[0] == mine else None
                    if chosen is not None:
                        chosen.held[rank] += 1
                        return chosen
                    self._changed.wait(_LOOK_UP_S)
            finally:
                self._waiting.remove(mine)
                heapq.heapify(self._waiting)
                self._changed.notify_all()

    def _free_for(self, rank: int) -> Place | None:
        free = [p for p in self._places if p.ready and p.held[FIRST] == p.held[LATER] == 0]
        if rank == AT_LEISURE:
            free = [p for p in free if p.held[AT_LEISURE] == 0]
        if sum(1 for p in self._places if p.is_behind) >= self._most:
            free = [p for p in free if p.is_behind]
        return min(free, key=lambda p: p.held[AT_LEISURE], default=None)

    def _is_awaited(self, rank: int) -> bool:
        return any(waits == rank for waits, _ in self._waiting)

    def leave(self, place: Place, rank: int) -> None:
        """Hold it no longer."""
        with self._changed:
            place.held[rank] -= 1
            self.look()
            self._changed.notify_all()
