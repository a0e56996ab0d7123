"""Route a day's orders between lofts at least total cost, proved, with what each choice spares."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from slingwright.usecases.documents import hash_input, read_tables
from slingwright.usecases.made_by import head
from slingwright.usecases.shop_files import open_shop

if TYPE_CHECKING:
    from slingwright.make.route import Needs, Route
    from slingwright.shop import Shop
    from slingwright.usecases.routing_day import DayOrder, RoutingDay
    from slingwright.usecases.settings import Settings

__all__ = ["RouteAnswer", "route_document", "route_orders"]

_MOST_REASONS = 200  # orders times lofts for which each other choice is solved too


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteAnswer:
    """The route, or None where the orders cannot all be made in time; `elsewhere` in minor units more."""

    day: RoutingDay
    route: Route | None
    elsewhere: Mapping[tuple[str, str], int | None]
    one_by_one: tuple[Mapping[str, str], Needs] | None
    shop: Shop
    currency: str
    language: str
    head: Mapping[str, object]

    @property
    def is_stop(self) -> bool:
        """Whether there is no route."""
        return self.route is None


def route_orders(
    content: bytes, file: str, settings: Settings, *, clock: Callable[[], float] = lambda: 0.0,
    limit_s: float = 60.0,
) -> RouteAnswer:  # fmt: skip
    """Read a routing day, route it, and price every other choice.

    Parameters
    ----------
    content, file, settings
        The day's bytes, its file's name, the settings in force.
    clock, limit_s
        A running count of seconds, and how many all of it may take; other choices that there is no time to
        price are left out, all of them.

    Raises
    ------
    InputFault
        The file or the shop's files are at fault; all faults of a file at once.
    """
    from slingwright.make.route import Route, route_cost, route_one_by_one
    from slingwright.make.route_solve import solve_route
    from slingwright.usecases.routing_day import read_routing_day

    opened = open_shop(settings)
    day = read_routing_day(read_tables(content, file, what="a routing day"), opened.shop)
    began = clock()
    route = solve_route(day.problem, time_limit_s=limit_s)
    greedy = route_one_by_one(day.problem)
    needs = None if greedy is None else route_cost(day.problem, greedy)
    if route is None and greedy is not None and needs is not None:  # the time was over: it can be done
        route = Route(lofts=greedy, cost_minor=needs.cost_minor, bound_minor=0, overtime_h=needs.overtime_h,
                      rolls=needs.rolls)  # fmt: skip
    return RouteAnswer(
        day=day,
        route=route,
        elsewhere=_elsewhere(day, route, left_s=lambda: limit_s - (clock() - began)) if route else {},
        one_by_one=None if greedy is None or needs is None else (greedy, needs),
        shop=opened.shop,
        currency=opened.book.currency,
        language=settings.language,
        head=head(
            "route/1",
            shop_sha256=opened.shop.sha256,
            price_book=opened.price_book_record,
            input_sha256=hash_input(content),
        ),
    )


def _elsewhere(
    day: RoutingDay, route: Route, *, left_s: Callable[[], float]
) -> dict[tuple[str, str], int | None]:
    """What the whole day would cost more with one order at another loft; None = it cannot be done so."""
    from slingwright.make.route_solve import solve_route

    found: dict[tuple[str, str], int | None] = {}
    if sum(len(job.lofts) for job in day.problem.jobs) > _MOST_REASONS:
        return found
    for job in day.problem.jobs:
        for loft_id in job.lofts:
            if route.lofts[job.number] != loft_id:
                if (left := left_s()) <= 0:
                    return {}
                other = solve_route(day.problem, fixed={job.number: loft_id}, time_limit_s=left)
                if left_s() <= 0:  # what was not found in time is not impossible
                    return {}
                found[job.number, loft_id] = None if other is None else other.cost_minor - route.cost_minor
    return found


def route_document(answer: RouteAnswer) -> dict[str, Any]:
    """The `slingwright/route/1` document."""
    from slingwright.words.routing import routing_cautions

    route, greedy = answer.route, answer.one_by_one
    return {
        **answer.head,
        "answer": "routed" if route else "stop",
        "on": answer.day.on.isoformat(),
        "currency": answer.currency,
        "cost_minor": route.cost_minor if route else None,
        "bound_minor": route.bound_minor if route else None,
        "proved": route.proved if route else None,
        "orders": [_order(answer, order) for order in answer.day.orders],
        "lofts": [_loft(answer, loft.id) for loft in answer.day.problem.lofts] if route else [],
        "one_by_one": {
            "cost_minor": greedy[1].cost_minor if greedy else None,
            "lofts": dict(greedy[0]) if greedy else {},
        },
        "cautions": list(routing_cautions(language=answer.language)),
    }


def _order(answer: RouteAnswer, order: DayOrder) -> dict[str, Any]:
    job = next(job for job in answer.day.problem.jobs if job.number == order.number)
    loft_id = answer.route.lofts[order.number] if answer.route else None
    others = [
        {"loft": other, "more_minor": more, "barred": None if more is not None else "no-hours"}
        for (number, other), more in answer.elsewhere.items()
        if number == order.number
    ]
    barred = [{"loft": other, "more_minor": None, "barred": why} for other, why in order.barred.items()]
    return {
        "number": order.number,
        "region": order.region,
        "due": order.due.isoformat(),
        "work_s": order.labour_s,
        "mass_kg": order.mass_kg,
        "webbing_mm": dict(order.webbing_mm),
        "loft": loft_id,
        "cost_minor": job.lofts[loft_id][0] if loft_id else None,
        "elsewhere": [*others, *barred],
    }


def _loft(answer: RouteAnswer, loft_id: str) -> dict[str, Any]:
    route = answer.route
    assert route is not None
    mine = [job for job in answer.day.problem.jobs if route.lofts[job.number] == loft_id]
    return {
        "loft": loft_id,
        "orders": [job.number for job in mine],
        "work_s": sum(job.labour_s for job in mine),
        "overtime_h": route.overtime_h.get(loft_id, 0),
        "fetched_rolls": {key: n for (loft, key), n in route.rolls.items() if loft == loft_id},
    }
