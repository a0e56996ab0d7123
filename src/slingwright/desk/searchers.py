"""The processes that search for the desk: which is asked, what they tell, and what happens when one dies."""

from __future__ import annotations

import logging
import os
import subprocess
import sys
import threading
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from itertools import count
from queue import SimpleQueue
from typing import TYPE_CHECKING, Any, BinaryIO, cast

from slingwright.desk.jobs import Died, How, Job
from slingwright.desk.places import Place, Places
from slingwright.desk.searcher import READY, Begin, Said, receive, send
from slingwright.desk.turns import FIRST, LATER, Turns

if TYPE_CHECKING:
    from slingwright.usecases.choose_sling import ChooseRequest, Chosen
    from slingwright.usecases.settings import Settings

__all__ = ["Searchers"]

log = logging.getLogger(__name__)

_MOST_FAILED = 3  # processes that ended before they were ready: a further one would, too
_START_S = 60.0  # at most, for a process to be ready
_END_S = 3.0
# glibc else keeps a heap for each of many threads, and in each what its searches have freed; and it gives
# back every array of some size as soon as that is freed, to have its pages cleared anew for the next one
_MEMORY = {
    "MALLOC_ARENA_MAX": "1",
    "MALLOC_MMAP_THRESHOLD_": str(1 << 26),
    "MALLOC_TRIM_THRESHOLD_": str(1 << 27),
}


class Searchers:
    """Processes for so many searches at once that are waited for, and as many again for what follows.

    With none of them alive a job is not taken: it is to be searched in this process.
    """

    def __init__(self, settings: Settings, many: int) -> None:
        self.many = many
        self._settings = settings
        self._alive: list[_Process] = []
        self._changed = threading.Condition()
        self._places = Places(many, self._alive, self._changed, self._hold_up)
        self._failed = 0
        self._closed = False

    @property
    def alive(self) -> tuple[_Process, ...]:
        """Those that search, or are being started."""
        return tuple(self._alive)

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
        if not self._alive:
            return False
        with job.ending():
            errand = _Errand(job=job, request=request, how=how)
            while True:
                begin = Begin(
                    number=READY, request=request, first=_answer(job.first), whole=_answer(job.whole),
                    explains=job.explains, explain_s=how.explain_s, without=how.without,
                    explained_at=how.explained_at, first_awaited=how.first_awaited,
                )  # fmt: skip
                self._once(errand, begin, turns)
                if errand.left:
                    job.tell(stage="waiting")
                    continue
                # somebody may have taken it on just as it ended
                if begin.explains or job.goes_no_further():
                    break
        return True  # whatever ended it: it is not begun again here

    def _once(self, errand: _Errand, begin: Begin, turns: Turns) -> None:
        given_up = errand.job.is_given_up
        errand.begin_anew()
        if begin.first is None and begin.whole is None:
            with turns.turn(FIRST, given_up=given_up):
                self._begin(errand, begin, FIRST, self._first())
                errand.get_ready()  # while it is searched
                errand.known.wait()
        else:
            rank = LATER if begin.whole is None else begin.explained_at
            self._begin(errand, begin, rank, self._places.take(rank, given_up))
        errand.ended.wait()

    def _begin(self, errand: _Errand, begin: Begin, rank: int, place: Place | None) -> None:
        if place is None:
            raise Died
        assert isinstance(place, _Process)
        errand.rank = rank
        place.begin(errand, begin)

    def _first(self) -> Place | None:
        with self._changed:  # one that died is started anew
            self._changed.wait_for(lambda: not self._alive or any(p.ready for p in self._alive), _START_S)
            return self._places.take_first()

    def _start_one(self) -> None:
        process = _Process(self)
        with self._changed:
            if self._closed:
                return
            self._alive.append(process)
        try:
            process.start(self._settings)
        except OSError as error:
            log.warning("no process to search in: %s", error)
            self.is_gone(process)
        if self._closed:
            process.end()

    def may_stay(self, process: _Process, errand: _Errand, rank: int) -> bool:
        """Whether a job goes on where it is; else somewhere else."""
        stays = self._places.stays(process, errand.rank, rank)
        errand.left = not stays
        if stays:
            errand.rank = rank
        return stays

    def _hold_up(self, held_up: bool) -> None:
        for one in self._alive:
            one.hold_up(held_up)

    def has_ended(self, process: _Process, errand: _Errand) -> None:
        """Told by a process of a job."""
        self._places.leave(process, errand.rank)

    def is_ready(self, process: _Process) -> None:
        """Told by a process; the next one is started."""
        with self._changed:
            process.ready, self._failed = True, 0
            alive = len(self._alive)
            self._changed.notify_all()
        if alive < 2 * self.many:
            self._start_one()

    def is_gone(self, process: _Process) -> None:
        """Its jobs end with a fault, and another takes its place, if it was of use at all."""
        with self._changed:
            self._alive.remove(process)
            self._places.look()
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
    request: ChooseRequest
    how: How
    rank: int = FIRST
    left: bool = False  # it ended only where it was
    known: threading.Event = field(default_factory=threading.Event)  # the best offer, or how it ended
    ended: threading.Event = field(default_factory=threading.Event)
    _bare: Chosen | None = None  # all that its answers carry but the answers themselves

    def get_ready(self) -> Chosen:
        """What its answers are filled in to."""
        from slingwright.usecases.choose_sling import unanswered

        if self._bare is None:
            self._bare = unanswered(self.request)
        return self._bare

    def begin_anew(self) -> None:
        """It begins in a process."""
        self.left = False
        self.ended.clear()

    def hear(self, news: Mapping[str, Any]) -> None:
        """Note what is new."""
        job, told = self.job, dict(news)
        for name in ("early", "first", "whole", "explained"):
            if told.get(name) is not None:
                told[name] = replace(self.get_ready(), answer=told[name])
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


class _Process(Place):
    """One process that searches."""

    def __init__(self, owner: Searchers) -> None:
        super().__init__()
        self.owner = owner
        self.errands: dict[int, _Errand] = {}
        self._numbers = count(READY + 1)
        self._lock = threading.Lock()
        self._gone = False
        self._to_say: SimpleQueue[Begin | Said | None] = SimpleQueue()  # None = no more
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
        environ = _MEMORY | os.environ
        self._process = subprocess.Popen(line, stdin=subprocess.PIPE, stdout=subprocess.PIPE, env=environ)
        first = not any(other.ready for other in self.owner.alive)
        self._say(Said(number=READY, news={"settings": settings, "first": first}))
        threading.Thread(target=self._listen, daemon=True).start()
        threading.Thread(target=self._speak, daemon=True).start()

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

    def hold_up(self, held_up: bool) -> None:
        """Let it go on with what is waited for alone, or with all again."""
        if self.ready:  # what it hears before is its settings
            self._say(Said(number=READY, verb="hold" if held_up else "go"))

    def end(self) -> None:
        """It ends when its input does, else it is made to."""
        if self._process is None:
            return
        self._to_say.put(None)
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
        self._to_say.put(message)

    def _speak(self) -> None:
        """Write what is to be said; nobody else waits where a busy process is slow to read."""
        assert self._process is not None
        assert self._process.stdin is not None
        with suppress(OSError, ValueError):  # it is gone, and who listens to it will see
            while (message := self._to_say.get()) is not None:
                send(cast("BinaryIO", self._process.stdin), message)
        with suppress(OSError):
            self._process.stdin.close()

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
                    self._hear(errand, message)
        except EOFError:
            pass
        except Exception:  # what it says is not understood: it is of no use
            log.exception("a process that searches is ended")
            self._process.kill()
        finally:
            self.owner.is_gone(self)
            self._to_say.put(None)
            with suppress(OSError), self._process:  # closes its pipes, and waits for it
                pass

    def _hear(self, errand: _Errand, message: Said) -> None:
        if message.asks is not None:
            stays = self.owner.may_stay(self, errand, message.asks)
            self._say(Said(number=message.number, verb="stay" if stays else "leave"))
            return
        if message.news.get("stage") == "done":
            del self.errands[message.number]
            self.owner.has_ended(self, errand)
        errand.hear(message.news)


def _answer(chosen: Chosen | None) -> Any:
    return None if chosen is None else chosen.answer
