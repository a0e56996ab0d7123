"""Which loft makes which order: least total cost of a day's orders together, proved.

Whole orders go to one loft. A loft's cost of an order is its work and its freight; what orders share is the
loft's regular hours before each due day (past them overtime, by the whole hour) and the webbing on its shelf
(past it whole rolls are fetched, each at a charge). All figures are whole numbers, so the proof is exact.

Capacity before a due day is counted over all orders due by then: on one floor that may stop and resume work,
the orders fit if and only if they fit so for every due day (earliest due first; derived).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

__all__ = ["Route", "RouteJob", "RouteLoft", "RouteProblem", "route_cost", "route_one_by_one"]

SECONDS_AN_HOUR = 60 * 60


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteJob:
    """One order. `lofts`: each loft that may make it, with (cost in minor units, working days it has)."""

    number: str
    labour_s: int
    webbing_mm: Mapping[str, int]
    lofts: Mapping[str, tuple[int, int]]


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteLoft:
    """One loft's day and shelf."""

    id: str
    day_s: int
    overtime_day_s: int
    overtime_minor: int  # a whole hour of it
    fetch_minor: int  # a roll brought in
    on_hand_mm: Mapping[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteProblem:
    """The orders, the lofts, and what a fetched roll of each webbing holds [mm]."""

    jobs: tuple[RouteJob, ...]
    lofts: tuple[RouteLoft, ...]
    roll_mm: Mapping[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """Which loft makes which order. The bound is proved; hours and rolls are what lofts need on top."""

    lofts: Mapping[str, str]
    cost_minor: int
    bound_minor: int
    overtime_h: Mapping[str, int]
    rolls: Mapping[tuple[str, str], int]

    @property
    def proved(self) -> bool:
        """Whether nothing cheaper exists."""
        return self.bound_minor == self.cost_minor


@dataclass(frozen=True, slots=True, kw_only=True)
class Needs:
    """What a set of orders costs and needs."""

    cost_minor: int
    overtime_h: Mapping[str, int]
    rolls: Mapping[tuple[str, str], int]


def route_cost(problem: RouteProblem, lofts: Mapping[str, str]) -> Needs | None:
    """What the orders named cost, each at its loft; None where one may not, or hours do not suffice."""
    cost = 0
    overtime: dict[str, int] = {}
    rolls: dict[tuple[str, str], int] = {}
    for loft in problem.lofts:
        mine = [job for job in problem.jobs if lofts.get(job.number) == loft.id]
        if any(loft.id not in job.lofts for job in mine):
            return None
        cost += sum(job.lofts[loft.id][0] for job in mine)
        hours = _overtime_h(mine, loft)
        if hours is None:
            return None
        if hours:
            overtime[loft.id] = hours
        rolls |= {(loft.id, key): n for key, n in _rolls(mine, loft, problem.roll_mm)}
        cost += hours * loft.overtime_minor
    cost += sum(n * _fetch_minor(problem, loft_id) for (loft_id, _), n in rolls.items())
    return Needs(cost_minor=cost, overtime_h=overtime, rolls=rolls)


def due_days(jobs: list[RouteJob] | tuple[RouteJob, ...], loft_id: str) -> list[int]:
    """The distinct working days by which orders are due at a loft."""
    return sorted({job.lofts[loft_id][1] for job in jobs if loft_id in job.lofts})


def _overtime_h(mine: list[RouteJob], loft: RouteLoft) -> int | None:
    """Whole hours of overtime a loft needs; None where even overtime does not suffice before some due day."""
    most = 0
    for days in due_days(mine, loft.id):
        work_s = sum(job.labour_s for job in mine if job.lofts[loft.id][1] <= days)
        over_s = work_s - days * loft.day_s
        if over_s > days * loft.overtime_day_s:
            return None
        most = max(most, over_s)
    return -(-most // SECONDS_AN_HOUR)


def _rolls(mine: list[RouteJob], loft: RouteLoft, roll_mm: Mapping[str, int]) -> Iterator[tuple[str, int]]:
    for key in sorted({key for job in mine for key in job.webbing_mm}):
        short_mm = sum(job.webbing_mm.get(key, 0) for job in mine) - loft.on_hand_mm.get(key, 0)
        if short_mm > 0:
            yield key, -(-short_mm // roll_mm[key])


def _fetch_minor(problem: RouteProblem, loft_id: str) -> int:
    return next(loft.fetch_minor for loft in problem.lofts if loft.id == loft_id)


def route_one_by_one(problem: RouteProblem) -> Mapping[str, str] | None:
    """Decide order by order: each to the loft where it adds least; None where one then fits nowhere."""
    chosen: dict[str, str] = {}
    for job in problem.jobs:
        tried = []
        for loft_id in job.lofts:
            needs = route_cost(problem, {**chosen, job.number: loft_id})
            if needs is not None:
                tried.append((needs.cost_minor, loft_id))
        if not tried:
            return None
        chosen[job.number] = min(tried)[1]
    return chosen
