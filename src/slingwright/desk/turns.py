"""Who works next: so many at once, the most pressing first; who works at leisure gives way."""

from __future__ import annotations

import heapq
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import count

__all__ = ["AT_LEISURE", "FIRST", "LATER", "Busy", "GivenUp", "Held", "Turns"]

FIRST, LATER, AT_LEISURE = 0, 1, 2  # the answer that is waited for; the other offers; what explains them
_LOOK_UP_S = 0.2  # how often one that waits looks whether anybody still wants it


class Busy(RuntimeError):  # noqa: N818  (says how the desk is; nobody's error)
    """So many searches wait already that another would only hold up the pages that need none."""


class GivenUp(Exception):  # noqa: N818  (nobody's error)
    """Nobody wants this any more."""


@dataclass(slots=True)
class Held:
    """A turn that is held, and for how pressing a work."""

    rank: int


class Turns:
    """At most `at_once` work; at most `most_waiting` of the first rank wait, a further one is sent away.

    The first rank does not wait for the others to look up, which takes them up to a second: it begins beside
    them, and they give way when they do. So of the first rank at most `at_once` work, too.
    """

    def __init__(self, *, at_once: int, most_waiting: int) -> None:
        self._free = at_once  # below 0 while the first rank works beside the others
        self._pressing_free = at_once
        self._most_waiting = most_waiting
        self._waiting: list[tuple[int, int]] = []  # (rank, ticket), a heap
        self._tickets = count()
        self._held_up = False
        self._changed = threading.Condition()

    @contextmanager
    def turn(self, rank: int = FIRST, given_up: Callable[[], bool] = lambda: False) -> Iterator[Held]:
        """Wait for a turn, and hold it.

        Raises
        ------
        Busy
            Too many wait already.
        GivenUp
            Nobody wants it any more.
        """
        self._take(rank, given_up, may_refuse=True)
        held = Held(rank)
        try:
            yield held
        finally:
            self._leave(held.rank)

    def lower(self, held: Held, rank: int) -> None:
        """Go on with what is less pressing."""
        with self._changed:
            if held.rank == FIRST != rank:
                self._pressing_free += 1
            held.rank = rank
            self._changed.notify_all()

    @contextmanager
    def full(self) -> Iterator[None]:
        """Send every new one away, as where all places are taken."""
        with self._changed:
            taken, self._free = self._free, 0
            first, self._pressing_free = self._pressing_free, 0
            most, self._most_waiting = self._most_waiting, 0
        try:
            yield
        finally:
            with self._changed:
                self._free += taken
                self._pressing_free += first
                self._most_waiting = most
                self._changed.notify_all()

    def hold_up(self, held_up: bool) -> None:
        """Let only the first rank go on, or all again; the others stop at their next look."""
        with self._changed:
            self._held_up = held_up
            self._changed.notify_all()

    def give_way(self, rank: int, given_up: Callable[[], bool] = lambda: False) -> None:
        """Let those through that are more pressing than `rank`; the turn is held before and after.

        On `GivenUp` too: whoever holds a turn leaves it once.
        """
        if rank > FIRST and self._held_up:
            self._wait_held_up(given_up)
        waiting = self._waiting  # read without the lock: at worst it gives way a moment later
        if not (rank > FIRST and self._free < 0) and (not waiting or waiting[0][0] >= rank):
            return
        self._leave(rank)
        try:
            self._take(rank, given_up, may_refuse=False)
        except GivenUp:
            with self._changed:
                self._free -= 1  # to be left by `turn`
            raise

    def _wait_held_up(self, given_up: Callable[[], bool]) -> None:
        with self._changed:
            while self._held_up:
                self._changed.wait(_LOOK_UP_S)
                if given_up():
                    raise GivenUp

    def _take(self, rank: int, given_up: Callable[[], bool], *, may_refuse: bool) -> None:
        with self._changed:
            pressing = sum(1 for waits, _ in self._waiting if waits == FIRST)
            if may_refuse and rank == FIRST and self._pressing_free <= 0 and pressing >= self._most_waiting:
                raise Busy
            mine = (rank, next(self._tickets))
            heapq.heappush(self._waiting, mine)
            try:
                while self._none_for(rank) or self._waiting[0] != mine:
                    self._changed.wait(_LOOK_UP_S)
                    if given_up():
                        raise GivenUp
                self._free -= 1
                self._pressing_free -= rank == FIRST
            finally:
                self._waiting.remove(mine)
                heapq.heapify(self._waiting)
                self._changed.notify_all()

    def _none_for(self, rank: int) -> bool:
        return (self._pressing_free if rank == FIRST else self._free) <= 0

    def _leave(self, rank: int) -> None:
        with self._changed:
            self._free += 1
            self._pressing_free += rank == FIRST
            self._changed.notify_all()
