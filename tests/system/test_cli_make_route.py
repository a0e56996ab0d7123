"""`slingwright route`: the example day decided together, its figures recounted, and its faults."""

from __future__ import annotations

import datetime as dt
import json
import math
import tomllib
from fractions import Fraction
from pathlib import Path

import pytest

from slingwright.usecases.routing_day import working_days
from tests.shops import EXAMPLE, document
from tests.system.command import Command, hold_to

DAY = EXAMPLE / "routing_day.toml"
LOFTS = {loft["id"]: loft["capacity"] for loft in document("shop.toml")["loft"]}


def test_the_example_day_is_dearer_one_by_one(command: Command) -> None:
    found = command.answers("route", "route", DAY)
    assert found["answer"] == "routed"
    assert found["proved"] is True
    assert found["bound_minor"] == found["cost_minor"] < found["one_by_one"]["cost_minor"]
    assert found["one_by_one"]["lofts"] != {order["number"]: order["loft"] for order in found["orders"]}
    total = 0
    for order in found["orders"]:  # each order's own cost again, from the shop's file
        capacity = LOFTS[order["loft"]]
        (way,) = (w for w in capacity["freight"] if w["region"] == order["region"])
        work = math.floor(Fraction(order["work_s"] * capacity["labour_per_hour"], 3600) + Fraction(1, 2))
        own = work + way["base"] + math.ceil(order["mass_kg"]) * way["per_kg"]
        assert order["cost_minor"] == own
        assert {other["loft"] for other in order["elsewhere"]} | {order["loft"]} == set(LOFTS)
        assert all(
            other["more_minor"] >= 0 for other in order["elsewhere"] if other["more_minor"] is not None
        )
        total += own
    for loft in found["lofts"]:
        capacity = LOFTS[loft["loft"]]
        total += loft["overtime_h"] * capacity["overtime_per_hour"]
        total += sum(loft["fetched_rolls"].values()) * capacity["fetch_roll"]
    assert total == found["cost_minor"]
    told = command("route", DAY).out
    assert "proved: nothing costs less" in told
    assert "deciding together spares" in told


def test_its_documentation_has_its_figures(command: Command) -> None:
    page = (EXAMPLE.parents[1] / "docs" / "guide" / "making.md").read_text(encoding="utf-8")
    found = command.answers("route", "route", DAY)
    for minor in (found["cost_minor"], found["one_by_one"]["cost_minor"]):
        assert f"{minor / 100:,.2f} USD" in page


@pytest.mark.parametrize(
    ("due", "days"),
    [
        ("2026-03-02", 0),
        ("2026-03-03", 1),
        ("2026-03-06", 4),
        ("2026-03-08", 4),
        ("2026-03-09", 5),
        ("2026-02-27", 0),
    ],
)
def test_working_days_leave_out_weekends(due: str, days: int) -> None:
    """2 March 2026 is a Monday (ISO 8601 calendar)."""
    assert dt.date(2026, 3, 2).isoweekday() == 1
    assert working_days(dt.date(2026, 3, 2), dt.date.fromisoformat(due)) == days


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        ("due = 2026-03-09", "due = 2026-03-03", "too late"),
        ('region = "harbour"', 'region = "moon"', "does not send there"),
    ],
)
def test_an_order_that_no_loft_can_take_stops_the_day(
    command: Command, tmp_path: Path, old: str, new: str, why: str
) -> None:
    text = DAY.read_text()
    assert old in text
    day = tmp_path / "day.toml"
    day.write_text(text.replace(old, new, 1))
    found = command.answers("route", "route", day, "--shop", EXAMPLE / "shop.toml", code=1)
    assert (found["answer"], found["cost_minor"], found["lofts"]) == ("stop", None, [])
    assert why in command("route", day, "--shop", EXAMPLE / "shop.toml").out


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ('number = "HQ-2002"', 'number = "HQ-2001"', "order[1].number"),
        ("quantity = 24", "quantity = 0", "order[0].line[0].quantity"),
        ('length = "12 ft"', 'length = "2 ft"', "order[0].line[0]"),
        ('length = "12 ft"', 'lenght = "12 ft"', "order[0].line[0].spec.lenght"),
        ("due = 2026-03-10", 'due = "Tuesday"', "order[3].due"),
    ],
)
def test_faults_of_a_day(command: Command, tmp_path: Path, old: str, new: str, field: str) -> None:
    text = DAY.read_text()
    assert old in text
    day = tmp_path / "day.toml"
    day.write_text(text.replace(old, new, 1))
    fault = command.answers("fault", "route", day, "--shop", EXAMPLE / "shop.toml", code=2)
    assert field in [one["field"] for one in fault["faults"]]


@pytest.mark.parametrize(
    ("file", "schema"),
    [("routing_day", "routing-day"), ("order", "order"), ("making_record", "making-record")],
)
def test_the_examples_hold_to_their_schemas(file: str, schema: str) -> None:
    parsed = tomllib.loads((EXAMPLE / f"{file}.toml").read_text())
    hold_to(schema, json.loads(json.dumps(parsed, default=str)))
