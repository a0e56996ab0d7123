"""What the desk answers with: the shop, a search at a time for each core, the answers it remembers."""

from __future__ import annotations

import hashlib
import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slingwright.desk.beside import NOTHING_BESIDE, beside_folder
from slingwright.desk.calm import be_calm
from slingwright.desk.jobs import Died, How, Job
from slingwright.desk.tabs import Jobs
from slingwright.desk.turns import AT_LEISURE, LATER, Busy, Turns
from slingwright.usecases.lift_text import lift_text

if TYPE_CHECKING:
    from slingwright.desk.searchers import Searchers
    from slingwright.usecases.choose_sling import ChooseRequest, Chosen
    from slingwright.usecases.settings import Settings

__all__ = ["MOST_SECONDS", "Bench", "Busy", "Example", "Look"]

_ANSWERS = 400  # remembered, each some tens of kilobytes
_AT_ONCE = 2  # searches; more would only share the same cores
_MOST_WAITING = 16  # more would hold every thread of the server, and pages that need no search with them
_FILE = "lift.json"  # what a form or a link becomes
MOST_SECONDS = 20.0  # one search: past it the answer says what is not proved
_EXPLAIN_S = 20.0
_LATER_S = 3.0  # after the start: the first answer does not wait for it


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """A lift to start from: its file's name without the ending, its title and its tables."""

    name: str
    title: str
    tables: Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How an answer is shown: units ("us", "si" or the lift's own where None) and language.

    `language_said`: the link says the language, so further links do; else it is the browser's wish alone.
    `here`: the page's own address without its language, for the links that change it. `origin`: what stands
    before every address of the desk, for links that leave the page.
    `skip`: questions not to ask again, for the visitor does not know.
    """

    units: str | None = None
    language: str = "en"
    language_said: bool = field(default=False, compare=False, repr=False)
    here: str = field(default="/", compare=False, repr=False)
    origin: str = field(default="", compare=False, repr=False)
    skip: tuple[str, ...] = ()


@dataclass(slots=True)
class Bench:
    """The one thing that the desk's threads share; it keeps answers, never lifts or people."""

    settings: Settings
    clock: Callable[[], float] = time.monotonic
    search_s: float = field(default_factory=lambda: MOST_SECONDS)  # at most, on the offers
    explain_s: float = _EXPLAIN_S  # at most, on what would change an answer
    searchers: Searchers | None = None  # the processes to search in; None = in this one
    _firsts: OrderedDict[str, Chosen] = field(default_factory=OrderedDict)  # the best offer alone
    _kept: OrderedDict[str, Chosen] = field(default_factory=OrderedDict)
    _told: OrderedDict[str, Chosen] = field(default_factory=OrderedDict)  # the same, explained
    _lock: threading.Lock = field(default_factory=threading.Lock)
    _turns: Turns = field(default_factory=lambda: Turns(at_once=_AT_ONCE, most_waiting=_MOST_WAITING))
    _jobs: Jobs = field(default_factory=Jobs)
    _starts: tuple[Example, ...] | None = None  # None = not read yet
    _hands_to: tuple[tuple[str, str] | None] | None = None  # None = not looked up yet

    def __post_init__(self) -> None:
        """As many searches that are waited for as there are processes for them."""
        if self.searchers is not None and self.searchers.many > _AT_ONCE:
            self._turns = Turns(at_once=self.searchers.many, most_waiting=_MOST_WAITING)

    def warm(self) -> None:
        """Load or compile the statics, and read the shop, before anyone waits for them.

        Raises
        ------
        InputFault
            The shop's files are at fault.
        """
        from slingwright.hang.warm import warm
        from slingwright.usecases.shop_files import open_shop

        open_shop(self.settings)
        if self.searchers is None or not self.searchers.wait():
            warm()
            return
        from slingwright.desk.pages.render import load_templates

        threading.Thread(target=load_templates, daemon=True).start()  # while the first search runs elsewhere

        def calmly() -> None:  # here the statics are asked for by programs alone
            be_calm()
            warm()

        later = threading.Timer(_LATER_S, calmly)
        later.daemon = True
        later.start()

    @contextmanager
    def turn(self) -> Iterator[None]:
        """Wait for a core to work on.

        Raises
        ------
        Busy
            Too many wait already.
        """
        with self._turns.turn():
            yield

    def full(self) -> AbstractContextManager[None]:
        """Send every new search away meanwhile."""
        return self._turns.full()

    def answer(self, tables: Mapping[str, Any], look: Look, *, explained: bool = False) -> Chosen:
        """The answer to a lift's tables; see `answer_file`."""
        return self.answer_file(_content(tables), _FILE, look, explained=explained)

    def known(self, tables: Mapping[str, Any], look: Look) -> Chosen | None:
        """The answer to a lift's tables where it is remembered."""
        return self._known(self._kept, self._request(_content(tables), _FILE, look)[1], look)

    def answer_file(
        self, content: bytes, file: str, look: Look, *, beside: Mapping[str, bytes] = NOTHING_BESIDE,
        explained: bool = False,
    ) -> Chosen:  # fmt: skip
        """The answer to a lift file, remembered or searched for.

        Parameters
        ----------
        beside : files that the lift may name.
        explained : with what would change it and what to ask next, as far as the time allows.

        Raises
        ------
        InputFault
            The lift is at fault, or asks for a file beside it, which a page has not.
        Busy
            Too many wait for an answer already.
        Died
            The search ended before its time.
        """
        known_as = _digests(beside)
        request, key = self._request(content, file, look, known_as)
        told = self._known(self._told, key, look) if explained and not look.skip else None
        known = told or self._known(self._kept, key, look)
        if known is not None and (told is not None or not explained):
            return known
        job = Job(key=key, whole=known, explains=explained)
        with beside_folder(beside) as folder:
            request = replace(request, folder=folder if beside else None)
            self._run(job, request, key, look, for_page=False)
        job.wait(lambda job: job.whole is not None, 0.0)
        if job.died or job.shown is None:
            raise Died
        return job.shown

    def ask(
        self,
        tables: Mapping[str, Any],
        look: Look,
        *,
        tab: str | None,
        turn: int | None = 0,
        again: bool = False,
    ) -> Job:
        """The answer to a lift's tables on its way, for one open page; a newer question drops an older one.

        Parameters
        ----------
        tab, turn : which page asks, and a number that rises with each of its questions, None for a part of
            what it asked; without a tab all pages opened by the same link wait for one answer, which is not
            explained.
        again : what was stopped is searched to its end.

        Raises
        ------
        InputFault
            The lift is at fault.
        Busy
            Too many ask.
        Outdated
            The page has asked something newer.
        """
        from slingwright.usecases.choose_sling import read_request

        request, key = self._request(_content(tables), _FILE, look)
        read_request(request)
        known = self._known(self._kept, key, look)
        asked = _asked(key, look) + (" again" if again else "")

        def begin() -> Job:
            first = known or self._known(self._firsts, key, look)
            job = Job(key=asked, first=first, whole=known, explains=tab is not None)
            explained = self._known(self._told, key, look)
            if known is not None and explained is not None and not look.skip:
                job.explained, job.asked, job.stage = explained, True, "done"
                return job
            threading.Thread(target=self._run, args=(job, request, key, look), daemon=True).start()
            return job

        return self._jobs.open(asked, begin) if tab is None else self._jobs.ask(tab, turn, asked, begin)

    def job_of(self, tab: str) -> Job | None:
        """The job of an open page."""
        return self._jobs.of(tab)

    def stop_all(self) -> None:
        """Let every search end with what it has."""
        self._jobs.stop_all()

    def job_for(self, tables: Mapping[str, Any], look: Look) -> Job | None:
        """The job of the pages without a script that show this lift."""
        return self._jobs.opened(_asked(self._request(_content(tables), _FILE, look)[1], look))

    def _run(self, job: Job, request: ChooseRequest, key: str, look: Look, *, for_page: bool = True) -> None:
        def keep(whole: Chosen) -> None:  # before it is explained: its papers are asked for meanwhile
            self._keep(self._kept, key, replace(whole, walked=None))

        how = How(
            explain_s=self.explain_s, without=frozenset(look.skip), first_awaited=for_page,
            explained_at=AT_LEISURE if for_page else LATER, found=keep,
            found_first=lambda first: self._keep(self._firsts, key, first),
        )  # fmt: skip
        if self.searchers is None or not self.searchers.run(job, request, self._turns, how):
            job.run(request, self._turns, self.clock, how)
        if job.stopped or job.halted:
            return  # the same link gives the whole answer, never half of one
        if job.explained is not None and not look.skip:
            self._keep(self._told, key, job.explained)

    def _request(
        self, content: bytes, file: str, look: Look, beside: Sequence[bytes] = ()
    ) -> tuple[ChooseRequest, str]:
        from slingwright.usecases.choose_sling import ChooseRequest

        settings = replace(self.settings, units=look.units or self.settings.units, language=look.language)
        request = ChooseRequest(
            content=content, file=file, folder=None, settings=settings, limit_s=self.search_s
        )
        said = (content, file.encode(), *beside)  # an answer is the same in all units and languages
        return request, hashlib.sha256(b"\0".join(said)).hexdigest()

    def _known(self, shelf: OrderedDict[str, Chosen], key: str, look: Look) -> Chosen | None:
        from slingwright.units import Units

        with self._lock:
            chosen = shelf.get(key)
            if chosen is None:
                return None
            shelf.move_to_end(key)
        units = Units(look.units or self.settings.units or chosen.lift.units)
        return replace(chosen, units=units, language=look.language)

    def _keep(self, shelf: OrderedDict[str, Chosen], key: str, chosen: Chosen) -> None:
        with self._lock:
            shelf[key] = chosen
            shelf.move_to_end(key)
            while len(shelf) > _ANSWERS:
                shelf.popitem(last=False)

    def hands_to(self) -> tuple[str, str] | None:
        """Who takes a lift over from the page: the shop's name and its e-mail address, where it gives one."""
        from slingwright.usecases.shop_files import open_shop

        if self._hands_to is None:
            shop = open_shop(self.settings).shop
            contact = None if shop.papers is None else shop.papers.contact
            self._hands_to = ((shop.name, contact) if contact else None,)
        return self._hands_to[0]

    def examples(self) -> tuple[Example, ...]:
        """The lifts beside the shop's file, to start from; those that need a further file are left out."""
        if self._starts is None:
            shop = self.settings.shop
            self._starts = () if shop is None else tuple(_examples(shop.parent))
        return self._starts


def _asked(key: str, look: Look) -> str:
    return f"{key} {look.units} {look.language} {' '.join(sorted(look.skip))}"


def _digests(files: Mapping[str, bytes]) -> list[bytes]:
    return [name.encode() + hashlib.sha256(content).digest() for name, content in sorted(files.items())]


def _content(tables: Mapping[str, Any]) -> bytes:
    # a half of a two-part letter is no text; the reader refuses what stands in its place
    return lift_text(tables, as_json=True).encode(errors="surrogatepass")


def _examples(folder: Path) -> list[Example]:
    import tomllib

    found = []
    for file in sorted(folder.glob("*.toml")):
        try:
            tables = tomllib.loads(file.read_text("utf-8"))
        except (OSError, ValueError):
            continue
        load = tables.get("load")
        if isinstance(load, dict) and "mesh" not in load and "hook" in tables:
            found.append(Example(name=file.stem, title=str(tables.get("title", file.stem)), tables=tables))
    return found
