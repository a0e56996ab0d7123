"""The eye over a bar, against DOMAIN 3.3 (derived there): 3.5 d gives 19.2°, 3.0 d 23.1°, 20° asks 3.38 d."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slingwright.check import Outcome, run_checks
from slingwright.check.eye_fit import least_eye_m, looks_at
from slingwright.citation import Cited
from slingwright.rulebook import load_rulebook
from slingwright.sling import Form
from tests.unit.check.rule_cases import CLEAN, changed


@pytest.mark.parametrize(("ratio", "printed_deg"), [(3.5, 19.2), (3.0, 23.1), (3.38, 20.0)])
def test_printed_angles_ask_for_the_printed_ratios(ratio: float, printed_deg: float) -> None:
    assert least_eye_m(0.05, 0.0, printed_deg) == pytest.approx(ratio * 0.05, rel=0.005)


def test_ratio_counts_where_it_asks_for_more() -> None:
    assert least_eye_m(0.05, 3.5, None) == 3.5 * 0.05
    assert least_eye_m(0.05, 3.5, 20.0) == 3.5 * 0.05, "20° asks 3.38 d only"
    assert least_eye_m(0.05, 3.0, 20.0) > 3.37 * 0.05


@given(st.floats(0.005, 0.2), st.floats(1.0, 60.0))
def test_least_eye_opens_to_exactly_the_angle(bar_m: float, widest_deg: float) -> None:
    """The formula of DOMAIN 3.3, forwards: 2 asin((d/2) / (E - d/2))."""
    eye_m = least_eye_m(bar_m, 0.0, widest_deg)
    opened_deg = math.degrees(2 * math.asin((bar_m / 2) / (eye_m - bar_m / 2)))
    assert opened_deg == pytest.approx(widest_deg, rel=1e-9)


@pytest.mark.parametrize(
    ("name", "value", "outcome"),
    [
        ("max_eye_angle_deg", 12.7, Outcome.STOP),
        ("max_eye_angle_deg", 12.8, Outcome.PASS),
        ("elsewhere_eye_angle_deg", 12.7, Outcome.CAUTION),
    ],
)
def test_angle_alone_can_decide(name: str, value: float, outcome: Outcome) -> None:
    """The clean lift's eye, 0.25 m on 0.05 m, opens 2 asin(0.025 / 0.225) = 12.76°."""
    book = load_rulebook("us")
    limit = Cited(value, book.limit("eye_to_hook_ratio").citation)
    strict = replace(book, limits={**book.limits, name: limit})
    found = [f for f in run_checks(CLEAN, strict) if f.rule == "eye-fit" and f.subject == "A"]
    assert found[0].outcome is outcome


@pytest.mark.parametrize(("eye_m", "is_stopped"), [(0.2249, True), (0.225, False)])
def test_strictest_profile_asks_for_the_dock_codes_eye(eye_m: float, is_stopped: bool) -> None:
    """ILO dock code 22.1.2: 225 mm inside, of any eye."""
    facts = changed([{"sling": {"eye_m": eye_m, "upper_thickness_m": 0.05}}])
    found = run_checks(facts, load_rulebook("us", "strictest"))
    stops = [f for f in found if f.detail == "too-short-for-width"]
    assert [(f.figure, f.limit) for f in stops] == ([(eye_m, 0.225)] if is_stopped else [])


@pytest.mark.parametrize("book", [("us",), ("us", "strictest"), ("en",)])
def test_slings_that_look_alike_to_the_rule_are_told_alike(book: tuple[str, ...]) -> None:
    """And nothing that it looks at is left out: eyes and widths about its borders, of every form."""
    rules, told = load_rulebook(*book), defaultdict[tuple[object, ...], set[str]](set)
    for form, width_m, eye_m in product(Form, (0.0254, 0.1, 0.3048), (0.0, 0.12, 0.18, 0.2249, 0.225, 0.61)):
        facts = changed([{"sling": {"form": form, "width_m": width_m, "eye_m": eye_m}}])
        alike = looks_at(facts.slings[0].spec, rules)
        told[alike].add(repr([f for f in run_checks(facts, rules) if f.rule == "eye-fit"]))
    assert all(len(found) == 1 for found in told.values())
    assert 5 < len(told) < len(Form) * 3 * 6
