"""Which open page asks what: each has one job, and a newer question of the same page drops the older job."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field

from slingwright.desk.jobs import Job
from slingwright.desk.turns import Busy

__all__ = ["MOST_TABS", "Jobs", "Outdated"]

MOST_TABS = 64  # that are remembered, each with its one job
_KEPT_S = 900.0  # a tab that asks nothing for so long is forgotten
_GONE_S = 15.0  # a page that is open asks for what is missing every second: this one is not
_PAGE = "page "  # no tab is called so


class Outdated(Exception):  # noqa: N818  (nobody's error)
    """The same tab has asked something newer already."""


@dataclass(slots=True)
class _Tab:
    turn: int
    job: Job
    seen: float


def _is_outdated(known: _Tab, turn: int | None, key: str) -> bool:
    if turn is not None:
        return turn < known.turn
    return known.job.key != key and known.job.fault is None


@dataclass(slots=True)
class Jobs:
    """Each open page has one job; a newer question of the same page drops the older one's."""

    clock: Callable[[], float] = time.monotonic
    _tabs: OrderedDict[str, _Tab] = field(default_factory=OrderedDict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def ask(self, tab: str, turn: int | None, key: str, begin: Callable[[], Job]) -> Job:
        """The tab's job for this key: the one that runs, or the one that `begin` begins.

        `turn` is the number of the tab's question; None asks for a part of what was asked before, which takes
        the place of no question: it may be asked for after the newer question was sent, and come before it.

        Raises
        ------
        Outdated
            The tab has asked something newer.
        Busy
            Too many tabs' jobs are at work.
        """
        with self._lock:
            self._forget()
            known = self._tabs.get(tab)
            if known is not None and _is_outdated(known, turn, key):
                raise Outdated
            if known is not None and known.job.key == key and known.job.fault is None:
                known.turn, known.seen = known.turn if turn is None else turn, self.clock()
                self._tabs.move_to_end(tab)
                return known.job
            if known is not None:
                known.job.drop()
                del self._tabs[tab]
            if len(self._tabs) >= MOST_TABS:
                self._make_room()
            job = self._taken_on(key) or begin()
            if turn is None:
                turn = 0 if known is None else known.turn
            self._tabs[tab] = _Tab(turn=turn, job=job, seen=self.clock())
            return job

    def open(self, key: str, begin: Callable[[], Job]) -> Job:
        """The job of all pages that were opened by the same link and have no script, or none yet.

        Raises
        ------
        Busy
            Too many tabs' jobs are at work.
        """
        with self._lock:
            self._forget()
            known = self._tabs.get(_PAGE + key)
            if known is not None and not (known.job.stopped or known.job.halted) and known.job.fault is None:
                known.seen = self.clock()
                self._tabs.move_to_end(_PAGE + key)
                return known.job
            self._tabs.pop(_PAGE + key, None)
            if len(self._tabs) >= MOST_TABS:
                self._make_room()
            job = begin()
            self._tabs[_PAGE + key] = _Tab(turn=0, job=job, seen=self.clock())
            return job

    def opened(self, key: str) -> Job | None:
        """The job that `open` began; None where there is none, or no longer."""
        return self.of(_PAGE + key)

    def _taken_on(self, key: str) -> Job | None:
        """The job of a page whose script now asks for the rest."""
        page = self._tabs.get(_PAGE + key)
        if page is None or page.job.stopped or page.job.fault is not None or not page.job.take_on():
            return None
        del self._tabs[_PAGE + key]
        return page.job

    def of(self, tab: str) -> Job | None:
        """The tab's job; None where there is none, or no longer."""
        with self._lock:
            known = self._tabs.get(tab)
            return None if known is None else known.job

    def stop_all(self) -> None:
        """Let every job end with what it has."""
        with self._lock:
            for one in self._tabs.values():
                one.job.stop()

    def _forget(self) -> None:
        while self._tabs:
            tab, oldest = next(iter(self._tabs.items()))
            if self.clock() - oldest.seen < _KEPT_S:
                return
            oldest.job.drop()
            del self._tabs[tab]

    def _make_room(self) -> None:
        for tab, one in self._tabs.items():
            if one.job.done:
                del self._tabs[tab]
                return
        tab, oldest = next(iter(self._tabs.items()))
        if self.clock() - oldest.seen < _GONE_S:
            raise Busy
        oldest.job.drop()
        del self._tabs[tab]
