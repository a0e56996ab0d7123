"""A search in a thread of its own, told as it goes: who asked can look, stop it, or ask something newer."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from slingwright.desk.turns import AT_LEISURE, FIRST, LATER, Busy, GivenUp, Held, Turns
from slingwright.errors import InputFault

if TYPE_CHECKING:
    from slingwright.usecases.choose_sling import ChooseRequest, Chosen

__all__ = ["Job", "Jobs", "Outdated"]

MOST_TABS = 64  # that are remembered, each with its one job
_KEPT_S = 900.0  # a tab that asks nothing for so long is forgotten
_PAGE = "page "  # no tab is called so
_STOPPED_S = 1e9  # past every limit


class Outdated(Exception):  # noqa: N818  (nobody's error)
    """The same tab has asked something newer already."""


class _Halted(Exception):  # noqa: N818  (nobody's error)
    """The search was stopped, and has no more to say."""


@dataclass(slots=True, eq=False)
class Job:
    """One lift's answer on its way. What is known stands in it; `told` wakes who waits for more."""

    key: str
    stage: str = "waiting"  # waiting | searching | comparing | explaining | done
    solved: int = 0
    first: Chosen | None = None  # the best offer alone
    whole: Chosen | None = None
    explained: Chosen | None = None  # the whole, and as much of what explains it as is known
    asked: bool = False  # the next question is known, or that there is none
    stopped: bool = False
    halted: bool = False  # it was stopped before all of the answer was known
    fault: Exception | None = None
    views: dict[tuple[object, ...], tuple[Chosen, object]] = field(default_factory=dict)  # made ready once
    explains: bool = True  # else it ends with the whole, unless somebody takes it on before
    _dropped: bool = False
    _cut: bool = False
    _paused_s: float = 0.0
    _changed: threading.Condition = field(default_factory=threading.Condition)

    @property
    def done(self) -> bool:
        """Whether nothing more will come."""
        return self.stage == "done"

    @property
    def shown(self) -> Chosen | None:
        """The most that can be shown."""
        return self.explained or self.whole or self.first

    def wait(self, enough: Callable[[Job], bool], seconds: float) -> bool:
        """Wait until there is enough, or nothing more will come, or the time is over.

        Raises
        ------
        InputFault, Busy
            What ended it.
        """
        with self._changed:
            self._changed.wait_for(lambda: enough(self) or self.done, seconds)
        if self.fault is not None:
            raise self.fault
        return enough(self)

    def stop(self) -> None:
        """Let it end with what it has."""
        with self._changed:
            self.stopped = True
            self._changed.notify_all()

    def cut(self) -> None:
        """End it as it stands; its thread ends at its next look, and nothing it says then counts."""
        with self._changed:
            if self.done:
                return
            if self.whole is None:
                self.halted, self.whole = True, self.first
            self._cut = self._dropped = True
            self.stage = "done"
            self._changed.notify_all()

    @property
    def unwanted(self) -> bool:
        """Whether something newer took its place: what it says is no answer to anybody."""
        return self._dropped and not self._cut

    def take_on(self) -> bool:
        """Have it explain its answer, too; False where it has ended already."""
        with self._changed:
            self.explains = self.explains or not self.done
            return self.explains

    def drop(self) -> None:
        """Nobody waits for it any more."""
        with self._changed:
            self._dropped = True
            self._changed.notify_all()

    # -- told by the thread that does it ---------------------------------------------------------------

    def run(
        self,
        request: ChooseRequest,
        turns: Turns,
        clock: Callable[[], float],
        *,
        explain_s: float,
        without: frozenset[str],
        explained_at: int = AT_LEISURE,
        found_first: Callable[[Chosen], None] = lambda first: None,
        found: Callable[[Chosen], None] = lambda whole: None,
    ) -> None:
        """Do the work; what ends it is kept for who waits.

        Parameters
        ----------
        explained_at : how pressing it is to explain the answer.
        found_first, found : given the best and the whole, if they are proved and none stopped them.
        """
        searched = None
        try:
            if self.whole is None:
                known = self.first is not None
                with turns.turn(LATER if known else FIRST, given_up=self._unwanted) as held:
                    self._tell(stage="comparing" if known else "searching")
                    searched = self._search(request, turns, held, clock, found_first, found)
            if self.explained is None and not self.stopped and self._goes_on():
                self._tell(stage="waiting")
                with turns.turn(explained_at, given_up=self._unwanted):
                    self._tell(stage="explaining")
                    self._explain(request, turns, clock, explained_at, explain_s, without, searched)
        except GivenUp:
            pass
        except (InputFault, Busy) as fault:
            self.fault = fault
        except Exception as error:  # noqa: BLE001  (raised again where somebody waits for it)
            self.fault = error
        finally:
            self._tell(stage="done")

    def _goes_on(self) -> bool:
        with self._changed:
            if not self.explains:
                self.stage = "done"
                self._changed.notify_all()
            return self.explains

    def _search(
        self,
        request: ChooseRequest,
        turns: Turns,
        held: Held,
        clock: Callable[[], float],
        found_first: Callable[[Chosen], None],
        found: Callable[[Chosen], None],
    ) -> Chosen | None:
        """The whole with all that was searched, which the job itself does not hold on to."""
        from slingwright.usecases.choose_sling import choose_sling

        def first(chosen: Chosen) -> None:
            if self.first is None:
                self._tell(stage="comparing", first=chosen)
            if chosen.answer.search.proved and not self.stopped:
                found_first(chosen)
            turns.lower(held, LATER)
            now()  # it may be long until the search asks for the time again

        def progress(solved: int) -> None:
            self.solved = solved

        def now() -> float:
            time = self._time(turns, clock, held.rank)
            if not self.stopped:
                return time
            if self.halted:  # the walk for the best has ended, with what it had
                raise _Halted
            self.halted = True
            return time + _STOPPED_S

        try:
            whole = choose_sling(request, clock=now, progress=progress, first=first)
        except _Halted:
            self._tell(whole=self.first)
            return None
        if not (self.stopped or self.halted):
            found(whole)
        light = replace(whole, walked=None)
        self._tell(whole=_without_time(light) if self.halted else light)
        return whole

    def _explain(
        self,
        request: ChooseRequest,
        turns: Turns,
        clock: Callable[[], float],
        rank: int,
        limit_s: float,
        without: frozenset[str],
        searched: Chosen | None,
    ) -> None:
        from slingwright.usecases.choose_sling import choose_sling
        from slingwright.usecases.explain_answer import explain_parts

        def now() -> float:
            return self._time(turns, clock, rank) + (_STOPPED_S if self.stopped else 0.0)

        whole = self.whole
        assert whole is not None
        if not whole.answer.search.space:
            return  # the lift itself stops
        # a search that was explained once goes on from where that ended, and would be explained otherwise
        again = searched or choose_sling(request, clock=now)
        if self.stopped or again.answer.search.proved != whole.answer.search.proved:
            return  # another answer than the one that is to be explained
        walked = replace(whole, walked=again.walked)
        for part, explained in explain_parts(walked, clock=now, limit_s=limit_s, without=without):
            told = replace(whole, answer=replace(whole.answer, explained=explained))
            self._tell(explained=told, asked=part != "supplies")

    def _time(self, turns: Turns, clock: Callable[[], float], rank: int) -> float:
        """The time worked; asked for often, so it is where the work gives way or is given up."""
        if self._dropped:
            raise GivenUp
        began = clock()
        turns.give_way(rank, self._unwanted)
        now = clock()
        self._paused_s += now - began
        return now - self._paused_s

    def _unwanted(self) -> bool:
        return self._dropped or (self.stopped and self.stage == "waiting")

    def _tell(self, **news: object) -> None:
        with self._changed:
            if self._cut:
                return
            for name, value in news.items():
                setattr(self, name, value)
            self._changed.notify_all()


def _without_time(chosen: Chosen) -> Chosen:
    """Stopped as it ended: its time is past every limit, and no time at all."""
    search = replace(chosen.answer.search, seconds=None)
    return replace(chosen, answer=replace(chosen.answer, search=search))


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
            if known is not None and not known.job.stopped and known.job.fault is None:
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
        raise Busy
