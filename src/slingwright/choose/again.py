"""Searching again on an altered lift: the same shop, rules and random numbers, another question.

Each altered lift is searched once and remembered, so that what would change the answer and what to ask
next share their searches.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

from slingwright.check.all import check_lift
from slingwright.choose.evaluate import Verdict, stop_of
from slingwright.choose.explained import Standing
from slingwright.choose.present import measure_of
from slingwright.choose.search import Found, Search
from slingwright.choose.setting import Setting
from slingwright.lift.model import Lift

__all__ = ["Again", "OutOfTime", "Passing", "standing_of"]

TRIES = 300  # candidates solved for one altered lift; beyond them the answer claims nothing


class OutOfTime(Exception):  # noqa: N818  (names what has run out)
    """The time given to explanations is over; what was not searched is left unsaid."""


class Passing(NamedTuple):
    """A candidate that passes, not always the best; None where none was found. `sure`: then there is none."""

    verdict: Verdict | None
    sure: bool


def standing_of(verdict: Verdict | None, by: str, *, proved: bool = True) -> Standing:
    """How the best of a search stands; nothing fits where there is none."""
    if verdict is None:
        return Standing(proved=proved)
    candidate = verdict.candidate
    return Standing(
        grade=verdict.grade,
        measure=measure_of(verdict, by),
        price_minor=candidate.price_minor,
        family=candidate.arrangement.family,
        specs=candidate.specs,
        key=candidate.text,
        proved=proved,
    )


class Again:
    """Answers altered lifts; `now` is the standing of the lift itself."""

    def __init__(
        self, setting: Setting, *, out_of_time: Callable[[], bool] = lambda: False, tries: int = TRIES
    ) -> None:
        self.setting = setting
        self.proved = True
        self.searches = 0
        self._known: dict[str, Standing] = {}
        self._empty: dict[str, bool] = {}  # where nothing passes, and whether that is sure
        self._begun: tuple[str, Search, Found] | None = None  # of `passing`, for the best of the same lift
        self._out_of_time, self._tries = out_of_time, tries

    def remember(self, search: Search, main: Found) -> None:
        """Take the lift's own answer from the walk that found it."""
        self._known[_identity(self.setting.lift)] = _with_nearest(
            standing_of(main.answer, self.setting.lift.want.by, proved=main.proved), search
        )

    @property
    def now(self) -> Standing:
        """The lift as it is."""
        return self.answer(self.setting.lift)

    def answer(self, lift: Lift) -> Standing:
        """The best for this lift.

        Raises
        ------
        OutOfTime
            Before the search began or while it ran.
        """
        key = _identity(lift)
        if key not in self._known:
            if self._out_of_time():
                raise OutOfTime
            self._known[key] = self._search(lift)
        return self._known[key]

    def passing(self, lift: Lift) -> Passing:
        """Some candidate that passes for this lift: known sooner than the best is.

        Raises
        ------
        OutOfTime
            Before the search began or while it ran.
        """
        key = _identity(lift)
        if key in self._empty:
            return Passing(None, self._empty[key])
        if key in self._known and not self._known[key].fits:
            return Passing(None, self._known[key].proved)
        if self._out_of_time():
            raise OutOfTime
        if stop_of(check_lift(lift, self.setting.rulebook)) is not None:
            return Passing(None, sure=True)
        search, found = self._walked(lift, enough=1)
        self._begun = key, search, found
        if found.answer is None:
            self.proved = self.proved and found.proved
            self._empty[key] = found.proved
        return Passing(found.answer, found.proved)

    def _search(self, lift: Lift) -> Standing:
        stop = stop_of(check_lift(lift, self.setting.rulebook))
        if stop is not None:
            return Standing(stop=stop)
        search, found = self._walked(lift)
        self.proved = self.proved and found.proved
        standing = standing_of(found.answer, lift.want.by, proved=found.proved)
        return _with_nearest(standing, search)

    def _walked(self, lift: Lift, *, enough: int = 0) -> tuple[Search, Found]:
        """The walk of an altered lift, over what is known of it already where it was begun just now."""
        begun, stock_only = self._begun, lift.want.stock_only
        if begun is None or begun[0] != _identity(lift):
            self.searches += 1
            search = Search(replace(self.setting, lift=lift), out_of_time=self._out_of_time)
        elif begun[2].answer is None:
            return begun[1:]
        else:
            search = begun[1]
        found = search.walk(
            lift.want.by, only=lambda e: not stock_only or bool(e.stock), tries=self._tries, enough=enough
        )
        if self._out_of_time() and not found.proved:
            raise OutOfTime
        return search, found


def _with_nearest(standing: Standing, search: Search) -> Standing:
    """Where nothing fits: the stop that is nearest to passing."""
    if standing.fits:
        return standing
    nearest = min(search.nearest.values(), key=lambda n: (n[0], n[2]), default=None)
    if nearest is not None:
        off, stop, _ = nearest
        return replace(standing, stop=stop, off_by=off if math.isfinite(off) else None)
    weak = next(iter(search.space.too_weak.values()), None)
    return replace(standing, stop=weak)


def _identity(lift: Lift) -> str:
    """Everything the search reads of a lift, as text."""
    return repr(lift)
