"""`slingwright route`: which loft makes which of a day's orders."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from slingwright.cli.blocks import blocks_text
from slingwright.cli.files import read_input
from slingwright.cli.options import ANSWER, NOTHING_SET, Answering, SettingOptions, find_settings
from slingwright.cli.show import print_document, print_text

if TYPE_CHECKING:
    from slingwright.usecases.route_orders import RouteAnswer

__all__ = ["route"]


def route(
    file: Annotated[str, Parameter(allow_leading_hyphen=True)],
    *,
    settings: SettingOptions = NOTHING_SET,
    answering: Answering = ANSWER,
) -> int:
    """Route a day's orders between lofts: least total cost, proved, with what every other choice would cost.

    Exit status 1 = they cannot all be made in time.

    Parameters
    ----------
    file
        The day's orders (TOML or JSON), or - for stdin; `slingwright schema routing-day` has its keys.
    """
    from slingwright.usecases.route_orders import route_document, route_orders

    answer = route_orders(read_input(file), file, find_settings(settings, file))
    if answering.json:
        print_document(route_document(answer))
    else:
        print_text(_text(answer))
    return int(answer.is_stop)


def _text(answer: RouteAnswer) -> str:
    from slingwright.words.routing import RoutedOrder, routing_blocks, unroutable_blocks

    names = {loft.id: loft.name for loft in answer.shop.lofts}
    found = answer.route
    if found is None:
        homeless = [job.number for job in answer.day.problem.jobs if not job.lofts]
        barred = [
            (order.number, [(names[loft], why) for loft, why in order.barred.items()])
            for order in answer.day.orders
            if order.number in homeless
        ]
        return blocks_text(unroutable_blocks(barred, language=answer.language))
    costs = {job.number: job.lofts[found.lofts[job.number]][0] for job in answer.day.problem.jobs}
    orders = [
        RoutedOrder(
            number=order.number,
            loft=names[found.lofts[order.number]],
            cost_minor=costs[order.number],
            elsewhere=(
                *(
                    (names[loft], more, "no-hours")
                    for (number, loft), more in answer.elsewhere.items()
                    if number == order.number
                ),
                *((names[loft], None, why) for loft, why in order.barred.items()),
            ),
        )
        for order in answer.day.orders
    ]
    lofts = [
        (
            names[loft],
            found.overtime_h.get(loft, 0),
            sum(n for (at, _), n in found.rolls.items() if at == loft),
        )
        for loft in names
    ]
    blocks = routing_blocks(
        orders,
        lofts,
        cost_minor=found.cost_minor,
        bound_minor=found.bound_minor,
        one_by_one_minor=answer.one_by_one[1].cost_minor if answer.one_by_one else None,
        currency=answer.currency,
        language=answer.language,
    )
    return blocks_text(blocks)
