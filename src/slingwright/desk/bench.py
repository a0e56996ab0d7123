"""What the desk answers with: the shop, a search at a time for each core, the answers it remembers."""

from __future__ import annotations

import hashlib
import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slingwright.usecases.lift_text import lift_text

if TYPE_CHECKING:
    from slingwright.usecases.choose_sling import Chosen
    from slingwright.usecases.settings import Settings

__all__ = ["Bench", "Example", "Look"]

_ANSWERS = 64  # remembered
_AT_ONCE = 2  # searches; more would only share the same cores
_MOST_S = 20.0  # one search: past it the answer says what is not proved
_EXPLAIN_S = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """A lift to start from: its file's name without the ending, its title and its tables."""

    name: str
    title: str
    tables: Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How an answer is shown: units ("us", "si" or the lift's own where None) and language."""

    units: str | None = None
    language: str = "en"


@dataclass(slots=True)
class Bench:
    """The one thing that the desk's threads share; it keeps answers, never lifts or people."""

    settings: Settings
    clock: Callable[[], float] = time.monotonic
    _kept: OrderedDict[str, Chosen] = field(default_factory=OrderedDict)
    _lock: threading.Lock = field(default_factory=threading.Lock)
    _turn: threading.Semaphore = field(default_factory=lambda: threading.Semaphore(_AT_ONCE))

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

    def answer(self, tables: Mapping[str, Any], look: Look) -> Chosen:
        """The answer to a lift, remembered or searched for.

        Raises
        ------
        InputFault
            The lift is at fault, or asks for a file beside it, which a page has not.
        """
        from slingwright.usecases.choose_sling import ChooseRequest, choose_sling

        content = lift_text(tables, as_json=True).encode()
        key = hashlib.sha256(content + repr(look).encode()).hexdigest()
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        settings = replace(self.settings, units=look.units or self.settings.units, language=look.language)
        request = ChooseRequest(
            content=content, file="lift.json", folder=None, settings=settings, limit_s=_MOST_S
        )
        with self._turn:
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
        with self._turn:
            explained = explain_answer(chosen, clock=self.clock, limit_s=_EXPLAIN_S)
        return replace(chosen, answer=replace(chosen.answer, explained=explained))

    def examples(self) -> tuple[Example, ...]:
        """The lifts beside the shop's file, to start from; those that need a further file are left out."""
        if self.settings.shop is None:
            return ()
        return tuple(_examples(self.settings.shop.parent))


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
