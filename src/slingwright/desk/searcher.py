"""A process that searches for the desk: told what by its input, it tells by its output what it finds.

A search holds its interpreter, so that two in one process take the time of both, and of the pages beside
them. Between the processes go answers alone, some tens of kilobytes; what was searched stays here.
"""

from __future__ import annotations

import gc
import logging
import os
import pickle
import signal
import struct
import sys
import threading
import time
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, BinaryIO

from slingwright.desk.calm import be_calm
from slingwright.desk.jobs import Elsewhere, How, Job
from slingwright.desk.turns import AT_LEISURE, Turns
from slingwright.desk.warming import search_once

if TYPE_CHECKING:
    from slingwright.choose.offer import Answer
    from slingwright.usecases.choose_sling import ChooseRequest

__all__ = ["READY", "SELDOM", "Begin", "Said", "main", "receive", "send"]

log = logging.getLogger(__name__)

READY = 0  # no job's number: before all jobs, the settings one way and "ready" the other
# how often garbage is looked for among what is new, among that and older, and among all: looking among all
# takes up to a tenth of a second in which nothing is answered, and most of what is kept is kept for good
SELDOM = (20_000, 20, 100)
_EVERY_S = 0.25  # how often it is told how many candidates were solved
_HEAD = struct.Struct(">Q")
_MOST_WAITING = 1000  # who waits is counted before it comes here


@dataclass(frozen=True, slots=True, kw_only=True)
class Begin:
    """A job to do; `first` and `whole` are what is known of its answer."""

    number: int
    request: ChooseRequest
    first: Answer | None
    whole: Answer | None
    explains: bool
    explain_s: float
    without: frozenset[str]
    explained_at: int = AT_LEISURE
    first_awaited: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """Of a job: to a searcher one of stop, drop, take_on, stay, leave; from it what is new in `Job`.

    Of no job, to a searcher: hold, so that nothing goes on that nobody waits for, and go.

    `asks`: it waits to be told whether to stay, and go on with what is so pressing.
    """

    number: int
    verb: str = ""
    news: Mapping[str, Any] = field(default_factory=dict)
    asks: int | None = None


def send(outlet: BinaryIO, message: Begin | Said) -> None:
    """Write a message; whoever writes sees to it that nobody else does meanwhile."""
    body = pickle.dumps(message, pickle.HIGHEST_PROTOCOL)
    outlet.write(_HEAD.pack(len(body)) + body)
    outlet.flush()


def receive(inlet: BinaryIO) -> Begin | Said:
    """Read a message; both ends are processes of this program.

    Raises
    ------
    EOFError
        The other end is gone.
    """
    head = inlet.read(_HEAD.size)
    if len(head) < _HEAD.size:
        raise EOFError
    (size,) = _HEAD.unpack(head)
    body = inlet.read(size)
    if len(body) < size:
        raise EOFError
    message = pickle.loads(body)
    assert isinstance(message, Begin | Said)
    return message


@dataclass(slots=True)
class _Outlet:
    """The way back, for one thread at a time."""

    stream: BinaryIO
    lock: threading.Lock = field(default_factory=threading.Lock)

    def say(self, number: int, **news: object) -> None:
        """Write what is new of a job."""
        self.send(Said(number=number, news=news))

    def send(self, said: Said) -> None:
        """Write it; where nobody reads any more there is nothing to search for."""
        with self.lock:
            try:
                send(self.stream, said)
            except OSError:
                os._exit(1)


@dataclass(slots=True, eq=False, kw_only=True)
class _Told(Job):
    """A job that passes on what becomes known."""

    number: int
    outlet: _Outlet
    told_at: float = 0.0
    stays: bool | None = None  # None = not told yet

    def tell(self, **news: object) -> None:
        """Note it, and pass it on."""
        Job.tell(self, **news)
        if news.get("stage") in ("comparing", "explaining"):
            be_calm()
        said = {name: _light(one) for name, one in news.items()}
        if "whole" in said:
            said["halted"] = self.halted
        if news.get("stage") == "done":
            said["fault"] = _sendable(self.fault)
        self.outlet.say(self.number, **said)

    def count(self, solved: int) -> None:
        """Note how many candidates were solved, and pass it on now and then."""
        Job.count(self, solved)
        now = time.monotonic()
        if now - self.told_at > _EVERY_S:
            self.told_at = now
            self.outlet.say(self.number, solved=solved)

    def go_on_with(self, rank: int) -> None:
        """Ask whether to, here."""
        with self._changed:
            self.stays = None
        self.outlet.send(Said(number=self.number, asks=rank))
        with self._changed:
            self._changed.wait_for(lambda: self.stays is not None)
        if not self.stays:
            raise Elsewhere

    def stay(self) -> None:
        """Go on here."""
        self._told_to(stays=True)

    def leave(self) -> None:
        """End here; another process goes on."""
        self._told_to(stays=False)

    def _told_to(self, *, stays: bool) -> None:
        with self._changed:
            self.stays = stays
            self._changed.notify_all()


def _light(one: object) -> object:
    """An answer without lift, shop and search: who asked has the former, and needs not the last."""
    from slingwright.usecases.choose_sling import Chosen

    return one.answer if isinstance(one, Chosen) else one


def _sendable(fault: Exception | None) -> Exception | None:
    try:
        pickle.loads(pickle.dumps(fault))
    except Exception:  # noqa: BLE001  (whatever it holds)
        return RuntimeError(repr(fault))
    return fault


class _Searcher:
    """The jobs of this process."""

    def __init__(self, outlet: _Outlet) -> None:
        self._outlet = outlet
        self._turns = Turns(at_once=1, most_waiting=_MOST_WAITING)
        self._jobs: dict[int, _Told] = {}

    def take(self, message: Begin | Said) -> None:
        """Begin a job, or pass on what was said of one; of one that has ended nothing is to be said."""
        if isinstance(message, Said) and message.number == READY:
            self._turns.hold_up(message.verb == "hold")
            return
        if isinstance(message, Said):
            job = self._jobs.get(message.number)
            if job is not None:
                getattr(job, message.verb)()
            return
        self._jobs[message.number] = job = _Told(
            key="", number=message.number, outlet=self._outlet, explains=message.explains
        )
        threading.Thread(target=self._run, args=(job, message), daemon=True).start()

    def _run(self, job: _Told, begin: Begin) -> None:
        from slingwright.usecases.choose_sling import unanswered

        try:
            if begin.first is not None or begin.whole is not None:
                bare = unanswered(begin.request)
                job.first = None if begin.first is None else replace(bare, answer=begin.first)
                job.whole = None if begin.whole is None else replace(bare, answer=begin.whole)
            how = How(
                explain_s=begin.explain_s, without=begin.without, explained_at=begin.explained_at,
                first_awaited=begin.first_awaited,
            )  # fmt: skip
            job.run(begin.request, self._turns, time.monotonic, how)
        except Exception as fault:  # noqa: BLE001  (raised again where somebody waits for it)
            self._outlet.say(job.number, stage="done", fault=_sendable(fault))
        finally:
            del self._jobs[job.number]
            if not self._jobs:  # what was searched holds itself; while somebody waits it is not looked for
                gc.collect()


def _start(settings: Any, *, first: bool) -> None:
    """Get ready: the first process of a desk at once, any other beside who is answered meanwhile.

    What comes in the way of getting ready ends the process; one search less before anyone asks does not.
    """

    def calmly() -> None:
        be_calm()
        _get_ready(settings)
        try:
            search_once(settings)
        except Exception:
            log.exception("the search before anyone asks has failed")

    if first:
        _get_ready(settings)
        return
    with ThreadPoolExecutor(1) as beside:  # a thread that is calm cannot be hurried again
        beside.submit(calmly).result()


def _get_ready(settings: Any) -> None:
    """Load all that the first search needs."""
    import slingwright.choose.answer
    import slingwright.usecases.choose_sling
    import slingwright.usecases.first_answer  # noqa: F401
    from slingwright.hang.warm import warm
    from slingwright.usecases.shop_files import open_shop

    warm()
    open_shop(settings)
    gc.freeze()
    gc.set_threshold(*SELDOM)


def main() -> None:
    """Search until the other process is gone."""
    signal.signal(
        signal.SIGINT, signal.SIG_IGN
    )  # Ctrl-C is for the other process, which then closes our input
    stream = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())  # whatever prints does not print between the messages
    outlet = _Outlet(stream)
    searcher = _Searcher(outlet)
    try:
        first = receive(sys.stdin.buffer)
        assert isinstance(first, Said)
        _start(first.news["settings"], first=first.news["first"])
        outlet.say(READY)
        while True:
            searcher.take(receive(sys.stdin.buffer))
    except EOFError:
        os._exit(0)  # its searches are nobody's any more
