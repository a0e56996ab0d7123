"""What must hold of every choice, whatever the lift. True things only: least angle, tilt and headroom do not
move one way with weight (slings stretch), so nothing is claimed of them here.
"""

from __future__ import annotations

import copy
import functools
import json
import math
import random
import re
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slingwright.arrangement import Arrangement, Holding
from slingwright.arrangement.bodies import BodyState, SlingState, build_problem
from slingwright.check import Outcome, rated_load
from slingwright.choose.candidate import Candidate
from slingwright.choose.cases import Ends, SolvedCase, corner_cases, nominal_cases
from slingwright.choose.figures import build_facts
from slingwright.choose.setting import Setting
from slingwright.hang.solve import solve
from slingwright.sling import Hitch
from tests.brute_force import _candidates
from tests.choosing import answered
from tests.lifts import read_document
from tests.property.test_choose_exact import KINDS, lift_of, setting_of
from tests.rated_again import disagreements

SMALLEST = 1e-9


@st.composite
def hung(draw: st.DrawFn) -> tuple[Arrangement, BodyState, tuple[SlingState, ...]]:
    """A bridle of two to four fixed slings that reach, its centre somewhere between its picks."""
    legs = draw(st.integers(2, 4))
    places = {2: ((0, 0.5), (1, 0.5)), 3: ((0, 0), (0, 1), (1, 0.5)), 4: ((0, 0), (1, 0), (1, 1), (0, 1))}[
        legs
    ]
    long, wide, high = draw(st.floats(0.8, 4)), draw(st.floats(0.6, 2)), draw(st.floats(0.3, 2))
    cx = long * (0.5 + draw(st.floats(-0.1, 0.1)))
    cy = wide * (0.5 + (0.0 if legs == 2 else draw(st.floats(-0.1, 0.1))))
    holdings = tuple(
        Holding(id=str(i), hitch=Hitch.VERTICAL, lower_m=(x * long, y * wide, high))
        for i, (x, y) in enumerate(places)
    )
    arrangement = Arrangement(family="bridle", placement="picks", holdings=holdings, hooks_xy_m=((cx, cy),))
    half = math.hypot(long, wide)
    base = half * draw(st.floats(0.75, 1.6))
    slings = tuple(
        SlingState(
            length_m=base + draw(st.floats(0, 0.03)),
            rated_n=draw(st.sampled_from((14e3, 27e3, 40e3))),
            strain_at_rated=draw(st.floats(0.03, 0.1)),
        )
        for _ in holdings
    )
    weight = draw(st.floats(2e3, 8e4))
    return arrangement, BodyState(weight_n=weight, centre_of_gravity_m=(cx, cy, high * 0.4)), slings


@given(hung(), st.floats(1.0, 2.0))
def test_the_largest_part_tension_of_fixed_slings_grows_with_the_weight(
    rig: tuple[Arrangement, BodyState, tuple[SlingState, ...]], heavier: float
) -> None:
    """A single part's may fall; the largest may not."""
    arrangement, load, slings = rig
    heavy = replace(load, weight_n=load.weight_n * heavier)
    light_n, heavy_n = (
        max(p.tension_n for p in solve(build_problem(arrangement, body, slings)).paths)
        for body in (load, heavy)
    )
    assert heavy_n >= light_n * (1 - SMALLEST)


ANY_KIND = st.sampled_from(sorted(KINDS))
ANY = st.tuples(ANY_KIND, st.integers(0, 2), st.integers(0, 10**6))


@functools.cache
def candidates_of(kind: str, number: int) -> tuple[Setting, list[Any]]:
    """A random lift's candidates, before any is judged."""
    setting = setting_of(kind, number)
    return setting, list(_candidates(setting))


def _judge_loads(setting: Setting, found: Any) -> tuple[bool, float]:
    """Whether the part or hitch check stops the candidate as told, and its worst share of a limit."""
    candidate, rated, ends = found
    cases = [case for case, _ in nominal_cases(setting, candidate, rated[0].cell.rated_n, ends)]
    facts, _ = build_facts(setting, candidate, rated, cases, ())
    shares = [
        max(s.design_tension_n / s.part_limit_n, s.hitch_load_n / s.hitch_rated_n) for s in facts.slings
    ]
    stops = any(f.outcome is Outcome.STOP for f in rated_load.check(facts, setting.rulebook))
    return stops, max(shares)


@given(ANY, st.floats(1.0, 1.6))
def test_a_part_or_hitch_check_that_fails_never_passes_when_heavier(
    which: tuple[str, int, int], heavier: float
) -> None:
    kind, number, pick = which
    setting, every = candidates_of(kind, number)
    found = every[pick % len(every)]
    weight = setting.lift.load.weight
    assert weight.high_n is not None
    load = replace(setting.lift.load, weight=replace(weight, high_n=weight.high_n * heavier))
    heavy = Setting(
        lift=replace(setting.lift, load=load), rulebook=setting.rulebook, shop=setting.shop,
        book=setting.book, draws=setting.draws,
    )  # fmt: skip
    fails, _ = _judge_loads(setting, found)
    still, _ = _judge_loads(heavy, found)
    assert still or not fails


def _stiff_corners(setting: Setting, candidate: Candidate, rated_n: float, ends: Ends) -> list[SolvedCase]:
    laid = {case.name: as_laid for case, as_laid in nominal_cases(setting, candidate, rated_n, ends)}
    return list(corner_cases(setting, {"stiff": laid["stiff"]}))


@given(ANY, st.floats(1.0, 4.0))
def test_a_wider_limit_never_lowers_the_worst_corner(which: tuple[str, int, int], wider: float) -> None:
    """The worst corner of a wider box of the centre of gravity loads the worst part at least as much."""
    kind, number, pick = which
    setting, every = candidates_of(kind, number)
    candidate, rated, ends = every[pick % len(every)]
    centre = setting.lift.load.centre
    low = tuple(n - (n - x) * wider for n, x in zip(centre.nominal_m, centre.low_m, strict=True))
    high = tuple(n + (x - n) * wider for n, x in zip(centre.nominal_m, centre.high_m, strict=True))
    load = replace(setting.lift.load, centre=replace(centre, low_m=low, high_m=high))
    wide = Setting(
        lift=replace(setting.lift, load=load), rulebook=setting.rulebook, shop=setting.shop,
        book=setting.book, draws=setting.draws,
    )  # fmt: skip
    told, more = (_stiff_corners(s, candidate, rated[0].cell.rated_n, ends) for s in (setting, wide))
    if any(c.hang.status != "stable" for c in (*told, *more)):
        return  # what does not hang has no tension to compare; it is a stop in both
    worst = [
        max(r.tension_n / rated[r.sling].part_limit_n for c in cs for r in c.readings) for cs in (told, more)
    ]
    assert worst[1] >= worst[0] * (1 - 1e-7)


# -- units ------------------------------------------------------------------------------------------------

_INCH = re.compile(r"^(-?[0-9.]+) in$")
_POUND = re.compile(r"^([0-9,.]+) lb$")


def _decimal(value: Fraction) -> str:
    """A fraction with a finite decimal as just that."""
    digits = 0
    while (value * 10**digits).denominator != 1:
        digits += 1
    whole = value * 10**digits
    text = str(abs(int(whole))).rjust(digits + 1, "0")
    sign = "-" if whole < 0 else ""
    return f"{sign}{text[: len(text) - digits]}.{text[len(text) - digits :] or '0'}"


def in_other_units(value: Any, rng: random.Random) -> Any:
    """The same quantities in millimetres, centimetres, metres or feet, and in kilograms."""
    if isinstance(value, dict):
        return {k: in_other_units(v, rng) for k, v in value.items()}
    if isinstance(value, list):
        return [in_other_units(v, rng) for v in value]
    if isinstance(value, str) and (found := _INCH.match(value)):
        unit, size = rng.choice(
            (("mm", Fraction("0.0254") * 1000), ("cm", Fraction("2.54")), ("m", Fraction("0.0254")))
        )
        return f"{_decimal(Fraction(found[1]) * size)} {unit}"
    if isinstance(value, str) and (found := _POUND.match(value)):
        return f"{_decimal(Fraction(found[1].replace(',', '')) * Fraction('0.45359237'))} kg"
    return value


@given(ANY_KIND, st.integers(0, 10**6), st.integers(0, 10**6))
def test_units_never_change_the_lift_that_is_read(kind: str, number: int, seed: int) -> None:
    """The same bits in every figure; only which units papers print first may differ."""
    doc = lift_of(kind, number)
    other = in_other_units(doc, random.Random(seed))
    assert other != doc
    one, two = read_document(doc), read_document(other)
    assert replace(one, units="si") == replace(two, units="si")


def _answers(kind: str, number: int) -> dict[str, Any]:
    return answered(lift_of(kind, number))


def _bits(document: dict[str, Any]) -> str:
    document = copy.deepcopy(document)
    document["search"]["seconds"] = None
    document["made_by"]["input_sha256"] = None
    return json.dumps(document)


# a whole search each, so fewer examples: 13 lifts, and three of them in three ways
ONCE = ("hooks", "beam", "box on a beam", "box", "pipe")
WHOLE = [(kind, number) for kind in KINDS for number in range(1 if kind in ONCE else 2)]
TWICE = [("bridle-3", 0), ("bridle-4", 0), ("box", 0)]


@pytest.mark.parametrize(("kind", "number"), WHOLE)
def test_no_offer_has_a_stop_and_every_limit_is_the_tables(kind: str, number: int) -> None:
    document = _answers(kind, number)
    assert document["answer"] == ("offers" if document["offers"] else "stop")
    assert disagreements(document) == []
    if not document["offers"]:
        assert document["stops"]  # a no says why
        assert all(stop["outcome"] == "stop" for stop in document["stops"])


@pytest.mark.parametrize(("kind", "number"), TWICE)
def test_the_same_input_gives_the_same_bytes_in_any_units(kind: str, number: int) -> None:
    first = _bits(_answers(kind, number))
    assert first == _bits(_answers(kind, number))
    other = in_other_units(lift_of(kind, number), random.Random(number))
    assert first == _bits(answered(other))
