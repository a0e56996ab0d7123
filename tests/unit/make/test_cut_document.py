"""Reading cut problems: instance lines, lists, the shop's job file, and every fault at its field."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slingwright.errors import InputFault
from slingwright.make.cutting import parse_cut, read_cut_text

ROLLS = {
    "name": "r",
    "capacity": 1000,
    "items": [{"length": 400, "quantity": 3}],
    "optimum": 2,
    "source": "s",
}
SHOP: dict[str, Any] = {
    "name": "s",
    "params": {
        "kerf": 20,
        "head_trim": 50,
        "remnant_min": 3000,
        "discount": 750,
        "full_length": 50000,
        "mount_cost": 500,
        "keep_orders_together": False,
    },
    "stock": [
        {"length": 50000, "count": 4, "kind": "full"},
        {"length": 27270, "count": 2, "kind": "remnant"},
    ],
    "items": [
        {"length": 13550, "quantity": 2, "order": "O12"},
        {"length": 4730, "quantity": 4, "order": "O2"},
    ],
}
JOB = """
title = "Wednesday, east loft"

[practice]
kerf_mm = 10
head_trim_mm = 50
remnant_min_mm = 2000
discount_mm = 500
full_length_mm = 50000
mount_cost_mm = 100
keep_together = "sling"
horizon = 2026-11-30

[[webbing]]
name = "polyamide 2 in"
full_length_mm = 100000

[[roll]]
webbing = "polyester 2 in"
name = "R1"
lot = "L-2041"
remaining_mm = 50000

[[roll]]
webbing = "polyamide 2 in"
remaining_mm = 60000
count = 2

[[piece]]
webbing = "polyester 2 in"
order = "A-17"
sling = "1"
due = 2026-11-27
length_mm = 4200
quantity = 2

[[piece]]
webbing = "polyamide 2 in"
order = "A-18"
sling = "1"
due = 2026-12-09
length_mm = 3100
quantity = 1
"""


def faults(data: object) -> dict[str, str]:
    with pytest.raises(InputFault) as caught:
        parse_cut(data)
    return {f.field: f.problem for f in caught.value.faults}


def changed(data: dict[str, Any], *path: Any, to: Any) -> dict[str, Any]:
    """A copy with the value at the path replaced (`...` = taken out)."""
    new = copy.deepcopy(data)
    place: Any = new
    for step in path[:-1]:
        place = place[step]
    if to is ...:
        del place[path[-1]]
    else:
        place[path[-1]] = to
    return new


def test_a_line_a_list_and_lines_read_the_same() -> None:
    one = read_cut_text(json.dumps(ROLLS))
    listed = read_cut_text(json.dumps([ROLLS, SHOP], indent=1))
    lines = read_cut_text(json.dumps(ROLLS) + "\n" + json.dumps(SHOP) + "\n")
    assert not one.several
    assert listed == lines
    assert listed.several
    assert listed.problems[0] == one.problems[0]


def test_the_shop_form_holds_every_figure() -> None:
    (problem,) = parse_cut(changed(SHOP, "params", "keep_orders_together", to=True)).problems
    assert [(s.length_mm, s.count, s.full) for s in problem.stock] == [(50000, 4, True), (27270, 2, False)]
    assert [(p.length_mm, p.quantity, p.together) for p in problem.pieces] == [
        (13550, 2, "O12"),
        (4730, 4, "O2"),
    ]
    assert problem.practice is not None
    assert (problem.practice.kerf_mm, problem.practice.mount_cost_mm) == (20, 500)


def test_the_job_file_is_one_problem_a_webbing() -> None:
    request = read_cut_text(JOB)
    east, nylon = request.problems
    assert request.several
    assert (east.webbing, nylon.webbing) == ("polyester 2 in", "polyamide 2 in")
    assert (east.stock[0].lot, east.stock[0].name, east.stock[0].full) == ("L-2041", "R1", True)
    assert nylon.practice is not None
    assert (nylon.practice.full_length_mm, nylon.practice.kerf_mm) == (100_000, 10)
    assert not nylon.stock[0].full
    assert (east.pieces[0].due, east.pieces[0].together) == ("2026-11-27", "A-17/1")
    assert east.pieces[0].uncut_cost_mm is None
    # due after the horizon: may wait, at the price of its own length and kerf
    assert nylon.pieces[0].uncut_cost_mm == 3110


@pytest.mark.parametrize(
    ("data", "field", "problem"),
    [
        (changed(ROLLS, "capacity", to=0), "capacity", "must be 1 or more"),
        (changed(ROLLS, "capacity", to=12.5), "capacity", "must be a whole number, not 12.5"),
        (changed(ROLLS, "capacity", to=True), "capacity", "must be a whole number, not True"),
        (changed(ROLLS, "capacity", to=10**12), "capacity", "is too large"),
        (changed(ROLLS, "items", to=[]), "items", "must be a list with at least one entry"),
        (changed(ROLLS, "items", 0, to=7), "items[0]", "must be a table"),
        (changed(ROLLS, "items", 0, "quantity", to=...), "items[0].quantity", "is missing"),
        (changed(ROLLS, "items", 0, "quantity", to=-2), "items[0].quantity", "must be 1 or more"),
        (changed(ROLLS, "items", 0, "lenght", to=4), "items[0].lenght", "unknown key"),
        (changed(ROLLS, "items", 0, "quantity", to=30_000), "items[0].length", "more than 20000 pieces"),
        (
            changed(ROLLS, "items", 0, "length", to=1001),
            "items[0].length",
            r"longer than the longest roll \(1000",
        ),
        (changed(SHOP, "stock", 1, "count", to=-1), "stock[1].count", "must be 0 or more, not -1"),
        (changed(SHOP, "stock", 1, "kind", to="new"), "stock[1].kind", "must be one of full, remnant"),
        (changed(SHOP, "stock", to=...), "stock", "must be a list"),
        (changed(SHOP, "params", to=...), "params", "must be a table"),
        (changed(SHOP, "params", "kerf", to=...), "params.kerf", "is missing"),
        (changed(SHOP, "params", "discount", to=3001), "params.discount", "exceeds remnant_min"),
        (
            changed(SHOP, "params", "keep_orders_together", to=1),
            "params.keep_orders_together",
            "true or false",
        ),
        (changed(SHOP, "items", 0, "length", to=49_951), "items[0].length", "with its head trimmed"),
        (changed(SHOP, "items", 0, "due", to="soon"), "items[0].due", "must be a date"),
        (changed(SHOP, "items", 0, "order", to=7), "items[0].order", "must be a text"),
        ([ROLLS, 3], "[1]", "must be a table"),
        ([], "", "the list is empty"),
        ("plan", "", "must be a table"),
        ({"rolls": []}, "rolls", "unknown key"),
    ],
)
def test_a_fault_is_named_at_its_field(data: object, field: str, problem: str) -> None:
    with pytest.raises(InputFault, match=problem):
        parse_cut(data)
    assert field in faults(data)


def test_orders_kept_together_need_their_names() -> None:
    together = changed(SHOP, "params", "keep_orders_together", to=True)
    assert set(faults(changed(together, "items", 1, "order", to=...))) == {"items[1].order"}


def test_all_faults_come_at_once() -> None:
    broken = changed(changed(SHOP, "params", "kerf", to=-1), "items", 1, "quantity", to="four")
    assert set(faults(broken)) == {"params.kerf", "items[1].quantity"}


@pytest.mark.parametrize(
    ("old", "new", "field", "problem"),
    [
        ('webbing = "polyester 2 in"\nname = "R1"', 'webbing = "other"', "piece[0].webbing", "no roll of"),
        ("remaining_mm = 50000", "remaining_mm = 4000", "piece[0].length_mm", "longer than the longest roll"),
        ("remaining_mm = 50000", "remaning_mm = 50000", "roll[0].remaning_mm", "unknown key"),
        ('sling = "1"\ndue = 2026-11-27', "due = 2026-11-27", "piece[0].sling", "is missing"),
        ("due = 2026-11-27", 'due = "27 Nov"', "piece[0].due", "must be a date"),
        (
            "length_mm = 4200",
            "length_mm = 4200\nuncut_cost_mm = 5",
            "piece[0].uncut_cost_mm",
            "only a piece due",
        ),
        ('keep_together = "sling"', 'keep_together = "lot"', "practice.keep_together", "must be one of"),
        ("full_length_mm = 100000", "full_length_mm = 0", "webbing[0].full_length_mm", "must be 1 or more"),
        ("discount_mm = 500", "discount_mm = 5000", "practice.discount_mm", "exceeds remnant_min_mm"),
    ],
)
def test_a_job_file_s_faults(old: str, new: str, field: str, problem: str) -> None:
    assert old in JOB
    with pytest.raises(InputFault, match=problem) as caught:
        read_cut_text(JOB.replace(old, new, 1))
    assert field in {f.field for f in caught.value.faults}


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("", "the file is empty"),
        (" \n", "the file is empty"),
        ('{"capacity": 10', "is not JSON"),
        ('{"capacity": NaN, "items": []}', "is not JSON"),
        ("capacity 10", "is neither JSON nor TOML"),
        ("[" * 100_000, "is nested too deeply"),
    ],
)
def test_what_is_no_document_at_all(text: str, problem: str) -> None:
    with pytest.raises(InputFault, match=problem):
        read_cut_text(text)


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from([*SHOP, *SHOP["params"]]), inner)
    ),
    max_leaves=12,
)


@given(ANYTHING)
def test_nothing_but_an_input_fault_ever_leaves_the_reader(data: object) -> None:
    try:
        request = parse_cut(data)
    except InputFault:
        return
    assert all(p.pieces and p.stock for p in request.problems)
