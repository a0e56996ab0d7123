"""What the desk answers with: the shop, a search at a time for each core, the answers it remembers."""

from __future__ import annotations

import hashlib
import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slingwright.desk.beside import NOTHING_BESIDE, beside_folder
from slingwright.usecases.lift_text import lift_text

if TYPE_CHECKING:
    from slingwright.usecases.choose_sling import Chosen
    from slingwright.usecases.settings import Settings

__all__ = ["MOST_SECONDS", "Bench", "Busy", "Example", "Look"]

_ANSWERS = 64  # remembered
_AT_ONCE = 2  # searches; more would only share the same cores
_MOST_WAITING = 16  # more would hold every thread of the server, and pages that need no search with them
MOST_SECONDS = 20.0  # one search: past it the answer says what is not proved
_EXPLAIN_S = 10.0


class Busy(RuntimeError):  # noqa: N818  (says how the desk is; nobody's error)
    """So many searches wait already that another would only hold up the pages that need none."""


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
    `here`: the page's own address without its language, for the links that change it.
    """

    units: str | None = None
    language: str = "en"
    language_said: bool = field(default=False, compare=False, repr=False)
    here: str = field(default="/", compare=False, repr=False)


@dataclass(slots=True)
class Bench:
    """The one thing that the desk's threads share; it keeps answers, never lifts or people."""

    settings: Settings
    clock: Callable[[], float] = time.monotonic
    _kept: OrderedDict[str, Chosen] = field(default_factory=OrderedDict)
    _lock: threading.Lock = field(default_factory=threading.Lock)
    _turns: threading.Semaphore = field(default_factory=lambda: threading.Semaphore(_AT_ONCE))
    _places: threading.Semaphore = field(
        default_factory=lambda: threading.Semaphore(_AT_ONCE + _MOST_WAITING)
    )

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
        warm()

    @contextmanager
    def turn(self) -> Iterator[None]:
        """Wait for a core to work on.

        Raises
        ------
        Busy
            Too many wait already.
        """
        if not self._places.acquire(blocking=False):
            raise Busy
        try:
            with self._turns:
                yield
        finally:
            self._places.release()

    def answer(self, tables: Mapping[str, Any], look: Look) -> Chosen:
        """The answer to a lift's tables; see `answer_file`."""
        # a half of a two-part letter is no text; the reader refuses what stands in its place
        content = lift_text(tables, as_json=True).encode(errors="surrogatepass")
        return self.answer_file(content, "lift.json", look)

    def answer_file(
        self, content: bytes, file: str, look: Look, *, beside: Mapping[str, bytes] = NOTHING_BESIDE
    ) -> Chosen:
        """The answer to a lift file, remembered or searched for; `beside` are files that it may name.

        Raises
        ------
        InputFault
            The lift is at fault, or asks for a file beside it, which a page has not.
        Busy
            Too many wait for an answer already.
        """
        from slingwright.usecases.choose_sling import ChooseRequest, choose_sling

        said = (content, file.encode(), repr(look).encode(), *_digests(beside))
        key = hashlib.sha256(b"\0".join(said)).hexdigest()
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        settings = replace(self.settings, units=look.units or self.settings.units, language=look.language)
        with self.turn(), beside_folder(beside) as folder:
            request = ChooseRequest(
                content=content, file=file, folder=folder if beside else None, settings=settings,
                limit_s=MOST_SECONDS,
            )  # fmt: skip
            chosen = choose_sling(request, clock=self.clock)
        with self._lock:
            self._kept[key] = chosen
            while len(self._kept) > _ANSWERS:
                self._kept.popitem(last=False)
        return chosen

    def explain(self, chosen: Chosen) -> Chosen:
        """The same answer with what would change it and what to ask next, as far as the time allows."""
        from slingwright.usecases.explain_answer import explain_answer

        if chosen.walked is None:
            return chosen
        with self.turn():
            explained = explain_answer(chosen, clock=self.clock, limit_s=_EXPLAIN_S)
        return replace(chosen, answer=replace(chosen.answer, explained=explained))

    def examples(self) -> tuple[Example, ...]:
        """The lifts beside the shop's file, to start from; those that need a further file are left out."""
        if self.settings.shop is None:
            return ()
        return tuple(_examples(self.settings.shop.parent))


def _digests(files: Mapping[str, bytes]) -> list[bytes]:
    return [name.encode() + hashlib.sha256(content).digest() for name, content in sorted(files.items())]


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
