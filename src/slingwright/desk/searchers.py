"""The processes that search for the desk: which is asked, what they tell, and what happens when one dies."""

from __future__ import annotations

import logging
import os
import subprocess
import sys
import threading
from collections.abc import Mapping
from contextlib import nullcontext, suppress
from dataclasses import dataclass, field, replace
from itertools import count
from typing import TYPE_CHECKING, Any, BinaryIO, cast

from slingwright.desk.jobs import Died, How, Job
from slingwright.desk.searcher import READY, Begin, Said, receive, send
from slingwright.desk.turns import FIRST, Turns

if TYPE_CHECKING:
    from slingwright.usecases.choose_sling import ChooseRequest, Chosen
    from slingwright.usecases.settings import Settings

__all__ = ["Searchers"]

log = logging.getLogger(__name__)

_MOST_FAILED = 3  # processes that ended before they were ready: a further one would, too
_START_S = 60.0  # at most, for a process to be ready
_END_S = 3.0


class Searchers:
    """So many processes, one search that is waited for at a time in each.

    With none of them alive a job is not taken: it is to be searched in this process.
    """

    def __init__(self, settings: Settings, many: int) -> None:
        self.many = many
        self._settings = settings
        self._alive: list[_Process] = []
        self._changed = threading.Condition()
        self._failed = 0
        self._closed = False

    def start(self) -> None:
        """Begin to start the first; the others follow when it is ready."""
        if self.many:
            self._start_one()

    def wait(self) -> bool:
        """Wait until the first is ready; False where none can be had."""
        with self._changed:
            self._changed.wait_for(lambda: self._closed or self._failed or any(p.ready for p in self._alive))
            return any(p.ready for p in self._alive)

    def close(self) -> None:
        """End them all."""
        with self._changed:
            self._closed, alive = True, list(self._alive)
            self._changed.notify_all()
        for one in alive:
            one.end()

    def run(
        self,
        job: Job,
        request: ChooseRequest,
        turns: Turns,
        how: How,
    ) -> bool:
        """Have the job done as by `Job.run`; False where there is no process to do it."""
        from slingwright.usecases.choose_sling import unanswered

        if not self._alive:
            return False
        with job.ending():
            errand = _Errand(job=job, bare=unanswered(request), how=how)
            while True:
                begin = Begin(
                    number=READY, request=request, first=_answer(job.first), whole=_answer(job.whole),
                    explains=job.explains, explain_s=how.explain_s, without=how.without,
                    explained_at=how.explained_at,
                )  # fmt: skip
                self._once(errand, begin, turns)
                # somebody may have taken it on just as it ended
                if begin.explains or job.goes_no_further():
                    return True
                errand.ended.clear()

    def _once(self, errand: _Errand, begin: Begin, turns: Turns) -> None:
        pressing = begin.first is None and begin.whole is None
        with turns.turn(FIRST, given_up=errand.job.is_given_up) if pressing else nullcontext():
            process = self._least_busy(pressing)
            if process is None:
                raise Died
            process.begin(errand, begin)
            if pressing:
                errand.known.wait()
                with self._changed:
                    process.pressing -= 1
        errand.ended.wait()

    def _least_busy(self, pressing: bool) -> _Process | None:
        with self._changed:  # one that died is started anew
            self._changed.wait_for(lambda: not self._alive or any(p.ready for p in self._alive), _START_S)
            ready = [p for p in self._alive if p.ready]
            if not ready:
                return None
            chosen = min(ready, key=lambda p: (p.pressing, len(p.errands)))
            chosen.pressing += pressing
            return chosen

    def _start_one(self) -> None:
        process = _Process(self)
        with self._changed:
            self._alive.append(process)
        try:
            process.start(self._settings)
        except OSError as error:
            log.warning("no process to search in: %s", error)
            self.is_gone(process)
        if self._closed:
            process.end()

    def is_ready(self, process: _Process) -> None:
        """Told by a process; the next one is started."""
        with self._changed:
            process.ready, self._failed = True, 0
            more = len(self._alive) < self.many and not self._closed
            self._changed.notify_all()
        if more:
            self._start_one()

    def is_gone(self, process: _Process) -> None:
        """Its jobs end with a fault, and another takes its place, if it was of use at all."""
        with self._changed:
            self._alive.remove(process)
            self._failed += not process.ready
            again = not self._closed and self._failed < _MOST_FAILED
            closed = self._closed
            self._changed.notify_all()
        for errand in process.forsaken():
            errand.end(None if closed else Died())
        if not closed:
            log.warning("a process that searched has ended")
        if again:
            self._start_one()


@dataclass(slots=True, eq=False)
class _Errand:
    """A job that a process does, and what to do with what it tells."""

    job: Job
    bare: Chosen
    how: How
    known: threading.Event = field(default_factory=threading.Event)  # the best offer, or how it ended
    ended: threading.Event = field(default_factory=threading.Event)

    def hear(self, news: Mapping[str, Any]) -> None:
        """Note what is new."""
        job, told = self.job, dict(news)
        for name in ("first", "whole", "explained"):
            if told.get(name) is not None:
                told[name] = replace(self.bare, answer=told[name])
        first, whole = told.get("first"), told.get("whole")
        if first is not None and first.answer.search.proved and not job.stopped:
            self.how.found_first(first)
        if whole is not None and not (job.stopped or told["halted"]):
            self.how.found(whole)
        if told.get("stage") == "done":
            self.end(told["fault"])
            return
        job.tell(**told)
        if first is not None or whole is not None:
            self.known.set()

    def end(self, fault: Exception | None) -> None:
        """No more will be told."""
        if fault is not None:
            self.job.fail(fault)
        self.known.set()
        self.ended.set()


class _Process:
    """One process that searches."""

    def __init__(self, owner: Searchers) -> None:
        self.owner = owner
        self.ready = False
        self.pressing = 0  # jobs of which somebody waits for the first answer
        self.errands: dict[int, _Errand] = {}
        self._numbers = count(READY + 1)
        self._lock = threading.Lock()
        self._gone = False
        self._process: subprocess.Popen[bytes] | None = None

    def start(self, settings: Settings) -> None:
        """Start it, and listen.

        Raises
        ------
        OSError
            It cannot be started.
        """
        # -P: nothing that lies in the folder where the desk was started is taken for a part of it
        line = [sys.executable, "-P", "-c", "from slingwright.desk.searcher import main; main()"]
        # glibc else keeps a heap for each of many threads, and in each what its searches have freed
        environ = {"MALLOC_ARENA_MAX": "1"} | os.environ
        self._process = subprocess.Popen(line, stdin=subprocess.PIPE, stdout=subprocess.PIPE, env=environ)
        self._say(Said(number=READY, news={"settings": settings}))
        threading.Thread(target=self._listen, daemon=True).start()

    def begin(self, errand: _Errand, begin: Begin) -> None:
        """Have a job done; what is said of it meanwhile is passed on."""
        number = next(self._numbers)
        with self._lock:
            gone = self._gone
            self.errands[number] = errand
        if gone:
            errand.end(Died())
            return
        self._say(replace(begin, number=number))
        errand.job.pass_on_to(lambda verb: self._say(Said(number=number, verb=verb)))

    def end(self) -> None:
        """It ends when its input does, else it is made to."""
        if self._process is None:
            return
        with suppress(OSError):
            assert self._process.stdin is not None
            self._process.stdin.close()
        try:
            self._process.wait(_END_S)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()

    def forsaken(self) -> list[_Errand]:
        """The jobs that it leaves behind."""
        with self._lock:
            self._gone = True
            left, self.errands = list(self.errands.values()), {}
        return left

    def _say(self, message: Begin | Said) -> None:
        assert self._process is not None
        assert self._process.stdin is not None
        with self._lock, suppress(OSError, ValueError):  # it is gone, and who listens to it will see
            send(cast("BinaryIO", self._process.stdin), message)

    def _listen(self) -> None:
        assert self._process is not None
        assert self._process.stdout is not None
        try:
            while True:
                message = receive(cast("BinaryIO", self._process.stdout))
                assert isinstance(message, Said)
                if message.number == READY:
                    self.owner.is_ready(self)
                    continue
                errand = self.errands.get(message.number)
                if errand is not None:
                    if message.news.get("stage") == "done":
                        del self.errands[message.number]
                    errand.hear(message.news)
        except EOFError:
            pass
        except Exception:  # what it says is not understood: it is of no use
            log.exception("a process that searches is ended")
            self._process.kill()
        finally:
            self.owner.is_gone(self)
            with suppress(OSError), self._process:  # closes its pipes, and waits for it
                pass


def _answer(chosen: Chosen | None) -> Any:
    return None if chosen is None else chosen.answer
