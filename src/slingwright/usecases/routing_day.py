"""A day's orders to be routed between lofts: `slingwright/routing-day/1`, read into the routing problem."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Any

from slingwright.errors import Fault, InputFault
from slingwright.make.bill import SECONDS_AN_HOUR, Bill, bill
from slingwright.make.pattern import Pattern, pattern
from slingwright.make.route import RouteJob, RouteLoft, RouteProblem
from slingwright.price import half_up
from slingwright.shop import Loft, Protection, Refusal, Shop, buildable_spec, length_um
from slingwright.shop.fields import Field, Table, schema_document
from slingwright.shop.kinds import Choice, Const, ListOf, Schema, Text, Whole
from slingwright.sling import SlingSpec
from slingwright.usecases.order_file import SPEC, Day, spec_of

__all__ = ["DayOrder", "RoutingDay", "read_routing_day", "routing_day_schema", "working_days"]

_WEEKDAYS = 5
_LINE = Table((
    Field("spec", SPEC, "a sling"),
    Field("quantity", Whole(low=1, high=10_000), "how many", 1),
    Field("protection", Choice(Protection), "what goes with each sling", Protection.NONE),
))  # fmt: skip
_ORDER = Table((
    Field("number", Text(longest=20), "the order's number"),
    Field("region", Text(longest=40), "where it goes, as the lofts' freight names it"),
    Field("due", Day(), "to be there on"),
    Field("line", ListOf(kind=_LINE, least=1, most=200), "its slings"),
))  # fmt: skip
_DAY = Table((
    Field("schema", Const("slingwright/routing-day/1"), "name and version of this file's form"),
    Field("on", Day(), "the day it is decided; work begins the next working day"),
    Field("order", ListOf(kind=_ORDER, least=1, most=500), "the day's orders, as they came in"),
))  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class DayOrder:
    """One order with what it takes. `barred` = lofts that may not make it, and why.

    Reasons: `not-built`, `no-capacity`, `no-freight`, `too-late`.
    """

    number: str
    region: str
    due: dt.date
    labour_s: int
    mass_kg: float
    webbing_mm: Mapping[str, int]
    barred: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoutingDay:
    """The day, its orders, and the problem they make."""

    on: dt.date
    orders: tuple[DayOrder, ...]
    problem: RouteProblem


def routing_day_schema() -> Schema:
    """The JSON Schema of a routing day."""
    return schema_document(_DAY, "A day's orders to be routed between lofts")


def working_days(on: dt.date, due: dt.date) -> int:
    """Working days after one day up to another, both Mondays to Fridays; holidays are the shop's to count."""
    days = (on + dt.timedelta(days=k) for k in range(1, (due - on).days + 1))
    return sum(day.weekday() < _WEEKDAYS for day in days)


def read_routing_day(doc: object, shop: Shop) -> RoutingDay:
    """Read a parsed routing day.

    Raises
    ------
    InputFault
        Every fault of it: also slings that the shop cannot lay out.
    """
    row = _DAY.read(doc, "")
    faults: list[Fault] = []
    orders: list[DayOrder] = []
    jobs: list[RouteJob] = []
    longest: dict[str, int] = {}
    numbers = [order["number"] for order in row["order"]]
    for i, order in enumerate(row["order"]):
        if order["number"] in numbers[:i]:
            faults.append(Fault(f"order[{i}].number", f"{order['number']!r} is listed twice"))
        try:
            found, job = _order(order, f"order[{i}]", row["on"], shop, longest)
        except InputFault as fault:
            faults += fault.faults
            continue
        orders.append(found)
        jobs.append(job)
    if faults:
        raise InputFault(faults)
    roll_mm = {key: _roll_mm(shop, key) for key in longest}
    lofts = tuple(_loft(loft, shop, longest) for loft in shop.lofts if loft.capacity is not None)
    problem = RouteProblem(jobs=tuple(jobs), lofts=lofts, roll_mm=roll_mm)
    return RoutingDay(on=row["on"], orders=tuple(orders), problem=problem)


def _order(
    row: Mapping[str, Any], at: str, on: dt.date, shop: Shop, longest: dict[str, int]
) -> tuple[DayOrder, RouteJob]:
    specs: list[SlingSpec] = []
    webbing: dict[str, int] = {}
    labour_s, mass_kg = 0, 0.0
    for i, line in enumerate(row["line"]):
        spec, _ = spec_of(line["spec"], shop, f"{at}.line[{i}].spec")
        made, laid = _take(spec, line["protection"], shop, f"{at}.line[{i}]")
        key = _key(spec.fibre, spec.webbing_class, spec.width_m)
        specs.append(spec)
        labour_s += made.labour_s * line["quantity"]
        mass_kg += made.mass_kg * line["quantity"]
        webbing[key] = webbing.get(key, 0) + made.webbing_mm * line["quantity"]
        longest[key] = max(longest.get(key, 0), *(piece.cut_mm for piece in laid.pieces))
    found = DayOrder(
        number=row["number"],
        region=row["region"],
        due=row["due"],
        labour_s=labour_s,
        mass_kg=mass_kg,
        webbing_mm=webbing,
        barred=dict(_barred(specs, row, on, shop)),
    )
    lofts = {loft.id: _terms(loft, found, on) for loft in shop.lofts if loft.id not in found.barred}
    return found, RouteJob(number=found.number, labour_s=labour_s, webbing_mm=webbing, lofts=lofts)


def _take(spec: SlingSpec, protection: Protection, shop: Shop, at: str) -> tuple[Bill, Pattern]:
    made, laid = bill(spec, protection, shop), pattern(spec, shop)
    if isinstance(made, Refusal):
        raise InputFault([Fault(at, f"cannot be made: {made.code}", "slingwright quote says what could be")])
    assert isinstance(laid, Pattern)  # the bill asks no less than the pattern
    return made, laid


def _barred(
    specs: Sequence[SlingSpec], row: Mapping[str, Any], on: dt.date, shop: Shop
) -> Iterator[tuple[str, str]]:
    """Each loft that may not make an order, with its first reason."""
    able = [buildable_spec(shop, spec) for spec in specs]
    for loft in shop.lofts:
        freight = _freight(loft, row["region"])
        if any(isinstance(lofts, Refusal) or loft not in lofts for lofts in able):
            yield loft.id, "not-built"
        elif loft.capacity is None:
            yield loft.id, "no-capacity"
        elif freight is None:
            yield loft.id, "no-freight"
        elif working_days(on, row["due"]) - freight.days < max(loft.days, 1):
            yield loft.id, "too-late"


def _freight(loft: Loft, region: str) -> Any:
    ways = loft.capacity.freight if loft.capacity else ()
    return next((way for way in ways if way.region == region), None)


def _terms(loft: Loft, order: DayOrder, on: dt.date) -> tuple[int, int]:
    """An order's own cost at a loft [minor units], and the working days it has there."""
    freight = _freight(loft, order.region)
    assert loft.capacity is not None
    work = half_up(Fraction(order.labour_s * loft.capacity.labour_per_hour, SECONDS_AN_HOUR))
    sent = freight.base + ceil(order.mass_kg) * freight.per_kg
    return work + sent, working_days(on, order.due) - freight.days


def _key(fibre: str, webbing_class: int, width_m: float) -> str:
    return f"{fibre}/{webbing_class}/{width_m:.4f}"


def _roll_mm(shop: Shop, key: str) -> int:
    kept = (w for w in shop.webbings if _key(w.fibre, w.webbing_class, w.width_m) == key)
    return length_um(next(kept).roll_m) // 1000


def _loft(loft: Loft, shop: Shop, longest: Mapping[str, int]) -> RouteLoft:
    """A loft's hours and shelf; a roll shorter than the longest piece of the day does not count."""
    assert loft.capacity is not None
    on_hand: dict[str, int] = {}
    for roll in shop.rolls:
        key, long = _key(roll.fibre, roll.webbing_class, roll.width_m), length_um(roll.length_m) // 1000
        if roll.loft == loft.id and key in longest and long >= longest[key]:
            on_hand[key] = on_hand.get(key, 0) + long
    return RouteLoft(
        id=loft.id,
        day_s=loft.capacity.hours_a_day * SECONDS_AN_HOUR,
        overtime_day_s=loft.capacity.overtime_a_day * SECONDS_AN_HOUR,
        overtime_minor=loft.capacity.overtime_per_hour,
        fetch_minor=loft.capacity.fetch_roll,
        on_hand_mm=on_hand,
    )
