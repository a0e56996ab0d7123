"""A search in a thread of its own, told as it goes: who asked can look, stop it, or ask something newer."""

from __future__ import annotations

import math
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from slingwright.desk.turns import AT_LEISURE, FIRST, LATER, GivenUp, Held, Turns

if TYPE_CHECKING:
    from slingwright.usecases.choose_sling import ChooseRequest, Chosen

__all__ = ["SO_FAR_S", "Died", "Elsewhere", "How", "Job"]

SO_FAR_S = 0.6  # searched, before what passes is looked for, to be shown while the best is
_SO_FAR_AT_MOST_S = 0.6  # on that, where nothing does
_STOPPED_S = 1e9  # past every limit


class Died(RuntimeError):  # noqa: N818  (said to the visitor as it is)
    """The process that searched has ended before its time."""


class Elsewhere(GivenUp):
    """Another process goes on with it."""


class _Halted(Exception):  # noqa: N818  (nobody's error)
    """The search was stopped, and has no more to say."""


@dataclass(frozen=True, slots=True, kw_only=True)
class How:
    """How a job is done.

    `explain_s`: at most, on what would change the answer; `without`: questions not to ask. How pressing that
    is `explained_at` says. `first_awaited`: somebody waits for the best before the whole. `found_first` and
    `found` are given the best and the whole, if none stopped it.
    """

    explain_s: float
    without: frozenset[str] = frozenset()
    explained_at: int = AT_LEISURE
    first_awaited: bool = True
    found_first: Callable[[Chosen], None] = lambda first: None
    found: Callable[[Chosen], None] = lambda whole: None


@dataclass(slots=True, eq=False)
class Job:
    """One lift's answer on its way. What is known stands in it; `told` wakes who waits for more."""

    key: str
    stage: str = "waiting"  # waiting | searching | comparing | explaining | done
    solved: int = 0
    early: Chosen | None = None  # one that passes, known long before the best; never kept as an answer
    first: Chosen | None = None  # the best offer alone
    whole: Chosen | None = None
    explained: Chosen | None = None  # the whole, and as much of what explains it as is known
    asked: bool = False  # the next question is known, or that there is none
    stopped: bool = False
    halted: bool = False  # it was stopped before all of the answer was known
    died: bool = False  # so it was, but by nobody: the process that searched has ended
    fault: Exception | None = None
    views: dict[tuple[object, ...], tuple[Chosen, object]] = field(default_factory=dict)  # made ready once
    watchers: set[Callable[[], None]] = field(default_factory=set)  # called when something may be known
    explains: bool = True  # else it ends with the whole, unless somebody takes it on before
    _dropped: bool = False
    _cut: bool = False
    _other: Callable[[str], None] | None = None  # told what is said of it, where it is done elsewhere
    _paused_s: float = 0.0
    _changed: threading.Condition = field(default_factory=threading.Condition)

    def _news(self) -> None:
        """Wake who waits; the condition is held."""
        self._changed.notify_all()
        for wake in tuple(self.watchers):
            wake()

    @property
    def done(self) -> bool:
        """Whether nothing more will come."""
        return self.stage == "done"

    @property
    def shown(self) -> Chosen | None:
        """The most that can be shown."""
        return self.explained or self.whole or self.first

    @property
    def _had(self) -> Chosen | None:
        """What it ends with where it does not come to its end: the best, or what was found so far."""
        return self.first or self.early

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
            self._news()
        self._passed_on("stop")

    def cut(self) -> None:
        """End it as it stands; its thread ends at its next look, and nothing it says then counts."""
        with self._changed:
            if self.done:
                return
            if self.whole is None:
                self.halted, self.whole = True, self._had
            self._cut = self._dropped = True
            self.stage = "done"
            self._news()
        self._passed_on("drop")

    @property
    def unwanted(self) -> bool:
        """Whether something newer took its place: what it says is no answer to anybody."""
        return self._dropped and not self._cut

    def take_on(self) -> bool:
        """Have it explain its answer, too; False where it has ended already."""
        with self._changed:
            self.explains = self.explains or not self.done
        if self.explains:
            self._passed_on("take_on")
        return self.explains

    def drop(self) -> None:
        """Nobody waits for it any more."""
        with self._changed:
            self._dropped = True
            self._news()
        self._passed_on("drop")

    def pass_on_to(self, other: Callable[[str], None]) -> None:
        """Tell who does it from now on what is said of it: stop, drop, take_on; and what was said already."""
        self._other = other
        for said, verb in ((self.explains, "take_on"), (self.stopped, "stop"), (self._dropped, "drop")):
            if said:
                other(verb)

    def _passed_on(self, verb: str) -> None:
        if self._other is not None:
            self._other(verb)

    # -- told by the thread that does it ---------------------------------------------------------------

    def run(
        self,
        request: ChooseRequest,
        turns: Turns,
        clock: Callable[[], float],
        how: How,
    ) -> None:
        """Do the work; what ends it is kept for who waits."""
        searched = None
        with self.ending():
            if self.whole is None:
                known = self.first is not None
                with turns.turn(LATER if known else FIRST, given_up=self.is_given_up) as held:
                    self.tell(stage="comparing" if known else "searching")
                    searched = self._search(request, turns, held, clock, how)
            if self.explained is None and not (self.stopped or self.halted) and self._goes_on():
                self.go_on_with(how.explained_at)
                self.tell(stage="waiting")
                with turns.turn(how.explained_at, given_up=self.is_given_up):
                    self.tell(stage="explaining")
                    self._explain(request, turns, clock, how, searched)

    @contextmanager
    def ending(self) -> Iterator[None]:
        """When what stands within ends, so does the job, and what ended it is kept for who waits."""
        try:
            yield
        except GivenUp:
            pass
        except Exception as fault:  # noqa: BLE001  (raised again where somebody waits for it)
            self.fail(fault)
        finally:
            self._halt()
            self.tell(stage="done")

    def _halt(self) -> None:
        """What was stopped before the others were looked for ends with the best."""
        if self.stopped and self.whole is None and self._had is not None:
            self.halted, self.whole = True, self._had

    def fail(self, fault: Exception) -> None:
        """Note what ended it; what it had stands where only who searched it has died."""
        if not isinstance(fault, Died):
            self.fault = fault
        elif self.whole is None:
            self.died = self.halted = True
            self.whole = self._had

    def count(self, solved: int) -> None:
        """Note how many candidates were solved."""
        self.solved = solved

    def goes_no_further(self) -> bool:
        """End it, unless it is still to be explained."""
        with self._changed:
            broken = self.fault is not None or self.died or self.stopped or self._dropped
            if broken or self.explained is not None or not self.explains:
                self._halt()
                self.stage = "done"
                self._news()
            return self.done

    def go_on_with(self, rank: int) -> None:
        """Go on with what is so pressing; told again where it shall be gone on with.

        Raises
        ------
        Elsewhere
            Not here.
        """

    def _goes_on(self) -> bool:
        with self._changed:
            if not self.explains:
                self.stage = "done"
                self._news()
            return self.explains

    def _search(
        self,
        request: ChooseRequest,
        turns: Turns,
        held: Held,
        clock: Callable[[], float],
        how: How,
    ) -> Chosen | None:
        """The whole with all that was searched, which the job itself does not hold on to."""
        from slingwright.usecases.choose_sling import choose_sling

        due: float | None = None  # to look for what is found so far

        def first(chosen: Chosen) -> None:
            known = self.first is not None
            if not known:
                self.tell(stage="comparing", first=chosen)
            if chosen.answer.search.proved and not self.stopped:
                how.found_first(chosen)
            turns.lower(held, LATER)
            if not known:
                self.go_on_with(LATER)
            now()  # it may be long until the search asks for the time again

        def now() -> float:
            nonlocal due
            time = self._time(turns, clock, held.rank)
            if not self.stopped:
                if due is None:
                    due = time + SO_FAR_S
                elif sooner and self.first is None and time >= due:
                    due = math.inf
                    self._look_for_early(request, now)
                return time
            if self.halted:  # the walk for the best has ended, with what it had
                raise _Halted
            self.halted = True
            return time + _STOPPED_S

        sooner = how.first_awaited and self.first is None
        try:
            whole = choose_sling(request, clock=now, progress=self.count, first=first, sooner=sooner)
        except _Halted:
            self.tell(whole=self._had)
            return None
        better = self._better_had(whole)
        if better is not None:  # the time ran out before the whole came so far again
            self.tell(halted=True, whole=better)
            return None
        if not (self.stopped or self.halted):
            how.found(whole)
        light = replace(whole, walked=None)
        self.tell(whole=_without_time(light) if self.halted else light)
        return whole

    def _better_had(self, whole: Chosen) -> Chosen | None:
        """What was told before, where a whole that is not proved has nothing as good or does not prove it."""
        had, found = self._had, whole.answer
        if found.search.proved or had is None:
            return None
        had_first = had.answer.offers[0]
        if had.answer.search.proved or not found.offers or had_first.order < found.offers[0].order:
            return had
        return None

    def _look_for_early(self, request: ChooseRequest, clock: Callable[[], float]) -> None:
        """Look for what passes, and tell of it; the best is not looked for meanwhile."""
        from slingwright.usecases.choose_sling import choose_so_far

        early = choose_so_far(request, clock=clock, limit_s=_SO_FAR_AT_MOST_S)
        if early is not None and not self.stopped:
            self.tell(early=early)

    def _explain(
        self,
        request: ChooseRequest,
        turns: Turns,
        clock: Callable[[], float],
        how: How,
        searched: Chosen | None,
    ) -> None:
        from slingwright.usecases.choose_sling import choose_sling
        from slingwright.usecases.explain_answer import explain_parts

        def now() -> float:
            return self._time(turns, clock, how.explained_at) + (_STOPPED_S if self.stopped else 0.0)

        whole = self.whole
        assert whole is not None
        if not whole.answer.search.space:
            return  # the lift itself stops
        # a search that was explained once goes on from where that ended, and would be explained otherwise
        again = searched or choose_sling(request, clock=now)
        if self.stopped or again.answer.search.proved != whole.answer.search.proved:
            return  # another answer than the one that is to be explained
        walked = replace(whole, walked=again.walked)
        parts = explain_parts(walked, clock=now, limit_s=how.explain_s, without=how.without)
        for part, explained in parts:
            told = replace(whole, answer=replace(whole.answer, explained=explained))
            self.tell(explained=told, asked=part not in ("supplies", "weighing"))

    def _time(self, turns: Turns, clock: Callable[[], float], rank: int) -> float:
        """The time worked; asked for often, so it is where the work gives way or is given up."""
        if self._dropped:
            raise GivenUp
        began = clock()
        turns.give_way(rank, self.is_given_up)
        now = clock()
        self._paused_s += now - began
        return now - self._paused_s

    def is_given_up(self) -> bool:
        """Whether it need not begin."""
        return self._dropped or (self.stopped and self.stage == "waiting")

    def tell(self, **news: object) -> None:
        """Note what is new, and wake who waits."""
        with self._changed:
            if self._cut:
                return
            for name, value in news.items():
                setattr(self, name, value)
            self._news()


def _without_time(chosen: Chosen) -> Chosen:
    """Stopped as it ended: its time is past every limit, and no time at all."""
    search = replace(chosen.answer.search, seconds=None)
    return replace(chosen, answer=replace(chosen.answer, search=search))
