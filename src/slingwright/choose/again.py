"""Searching again on an altered lift: the same shop, rules and random numbers, another question.

Each altered lift is searched once and remembered, so that what would change the answer and what to ask
next share their searches.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from slingwright.check.all import check_lift
from slingwright.choose.evaluate import Verdict, stop_of
from slingwright.choose.explained import Standing
from slingwright.choose.present import measure_of
from slingwright.choose.search import Found, Search
from slingwright.choose.setting import Setting
from slingwright.lift.model import Lift

__all__ = ["Again", "OutOfTime", "standing_of"]

TRIES = 300  # candidates solved for one altered lift; beyond them the answer claims nothing


class OutOfTime(Exception):  # noqa: N818  (names what has run out)
    """The time given to explanations is over; what was not searched is left unsaid."""


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
            self.searches += 1
        return self._known[key]

    def _search(self, lift: Lift) -> Standing:
        stop = stop_of(check_lift(lift, self.setting.rulebook))
        if stop is not None:
            return Standing(stop=stop)
        search = Search(replace(self.setting, lift=lift), out_of_time=self._out_of_time)
        stock_only = lift.want.stock_only
        found = search.walk(lift.want.by, only=lambda e: not stock_only or bool(e.stock), tries=self._tries)
        if self._out_of_time() and not found.proved:
            raise OutOfTime
        self.proved = self.proved and found.proved
        return _with_nearest(standing_of(found.answer, lift.want.by, proved=found.proved), search)


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
