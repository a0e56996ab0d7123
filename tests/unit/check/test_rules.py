"""Every rule gives the finding that its cases say, by hand, and no rule can be switched off unseen."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from typing import Any

import pytest

from slingwright.check import (
    CODES,
    CURES,
    HANGLESS,
    LIFT_RULES,
    RULES,
    Finding,
    Outcome,
    check_lift,
    first_stop,
    grade,
    run_checks,
)
from slingwright.rulebook import load_rulebook
from tests.unit.check.rule_cases import ABSENT, CANNOT, CASES, CLEAN, Case, changed

BOOKS = {name: load_rulebook(name) for name in ("us", "en")}
ids = [case.name for case in CASES]


def _findings(case: Case, leave_out: str = "") -> tuple[Finding, ...]:
    rules = [rule for rule in RULES if _rule_name(rule) != leave_out]
    return run_checks(case.facts(), BOOKS[case.rulebook], rules)


def _rule_name(rule: object) -> str:
    return rule.__module__.rpartition(".")[2].replace("_", "-")


def _matching(case: Case, found: tuple[Finding, ...]) -> list[Finding]:
    return [f for f in found if (f.rule, f.detail, f.subject) == (case.rule, case.detail, case.subject)]


@pytest.mark.parametrize("case", CASES, ids=ids)
def test_rule_gives_the_finding_worked_by_hand(case: Case) -> None:
    (finding,) = _matching(case, _findings(case))
    assert finding.outcome is case.outcome
    assert finding.figure == pytest.approx(case.figure, rel=1e-12) if case.figure is not None else True
    assert (finding.figure is None) == (case.figure is None)
    assert finding.limit == (None if case.limit is None else pytest.approx(case.limit, rel=1e-12))
    assert (finding.unit, finding.cure) == (case.unit, case.cure)
    assert (finding.grades, finding.of_the_lift) == (case.grades, case.of_the_lift)


@pytest.mark.parametrize(("rulebook", "rule", "detail", "change", "why"), ABSENT)
def test_rule_says_nothing_where_there_is_nothing_to_say(
    rulebook: str, rule: str, detail: str, change: list[dict[str, dict[str, Any]]], why: str
) -> None:
    found = run_checks(changed(change), BOOKS[rulebook])
    assert not [f for f in found if f.rule == rule and detail in ("", f.detail)], why


@pytest.mark.parametrize("case", CASES, ids=ids)
def test_case_is_missed_when_its_rule_is_switched_off(case: Case) -> None:
    assert not _matching(case, _findings(case, leave_out=case.rule))


@pytest.mark.parametrize("case", CASES, ids=ids)
def test_pass_means_that_the_rule_finds_nothing_worse_of_the_same(case: Case) -> None:
    """A pass, or a lone caution, is not given beside a stop of the same subject by the same rule."""
    same = [f for f in _findings(case) if f.rule == case.rule and f.subject == case.subject]
    if case.outcome is Outcome.PASS:
        assert all(f.outcome is not Outcome.STOP for f in same)
    graded = grade(same)
    assert (graded is None) == any(f.outcome is Outcome.STOP for f in same)


def test_clean_lift_is_grade_0_and_only_the_lift_itself_is_cautioned() -> None:
    for book in BOOKS.values():
        found = run_checks(CLEAN, book)
        assert grade(found) == 0
        cautions = {(f.rule, f.detail) for f in found if f.outcome is Outcome.CAUTION}
        assert cautions == {("load-free", "free-and-complete"), ("edge", "shackle-required")}


@pytest.mark.parametrize(("rule", "outcome"), list(itertools.product(sorted(CODES), Outcome)))
def test_every_rule_has_a_pass_a_caution_and_a_stop_or_says_why_not(rule: str, outcome: Outcome) -> None:
    has_case = any(case.rule == rule and case.outcome is outcome for case in CASES)
    assert has_case != ((rule, outcome) in CANNOT), "either a lift or a reason, never both or none"


def test_codes_are_exactly_those_the_cases_reach() -> None:
    """But for those that only a whole search gives (see test_wrong_tool, choose/test_wanted)."""
    reached = {(case.rule, case.detail) for case in CASES}
    listed = {(rule, detail) for rule, details in CODES.items() for detail in details}
    of_a_search = {
        ("wrong-tool", "nothing-strong-enough"),
        ("wrong-tool", "no-edge-protection-enough"),
        ("wrong-tool", "nothing-fits-the-room"),
        ("buildable", "named-too-short"),
        ("buildable", "named-not-built"),
        ("buildable", "named-not-rated"),
        ("buildable", "named-not-used"),
    }
    assert listed - reached == of_a_search
    assert not reached - listed


def test_every_finding_of_every_case_is_cited_and_listed() -> None:
    used_cures = set()
    for case in CASES:
        for f in _findings(case):
            assert f.citation.document.strip()
            assert f.detail in CODES[f.rule]
            assert f.unit in ("N", "m", "deg", "K", "1", "")
            assert not (f.grades and f.of_the_lift)
            assert f.outcome is Outcome.CAUTION or not (f.grades or f.of_the_lift)
            if f.outcome is Outcome.PASS:
                assert f.cure == ""
            else:
                assert f.cure in CURES, (f.rule, f.detail, f.cure)
            used_cures.add(f.cure)
    unused = set(CURES) - used_cures
    assert unused == {"use-round"}, "given by suit_family alone"


def test_rule_files_and_codes_and_rules_name_the_same_rules() -> None:
    assert sorted(_rule_name(rule) for rule in RULES) == sorted(CODES)
    assert len(set(RULES)) == len(RULES)
    assert set(HANGLESS) <= set(RULES)


def test_rules_without_a_hang_read_no_figure_of_it() -> None:
    """Nonsense in every figure that only a hang gives changes nothing they say."""
    nonsense = dict.fromkeys(
        (
            "least_angle_from_horizontal_deg",
            "tilt_deg",
            "hook_height_m",
            "reach_margin_m",
            "push_deg",
            "squeeze_n",
            "hang_n",
        ),
        math.nan,
    )
    slings = dict.fromkeys(
        ("part_tension_n", "design_tension_n", "hitch_load_n", "friction_needed"), math.nan
    )
    for case in CASES:
        facts = case.facts()
        wild = replace(facts, **nonsense, status="", slings=tuple(replace(s, **slings) for s in facts.slings))
        book = BOOKS[case.rulebook]
        assert run_checks(wild, book, HANGLESS) == run_checks(facts, book, HANGLESS)


def test_not_a_number_never_passes() -> None:
    """A figure that is not a number is a stop, or at least no pass, wherever one is compared."""
    wild = replace(
        CLEAN,
        slings=tuple(replace(s, design_tension_n=math.nan, hitch_load_n=math.nan) for s in CLEAN.slings),
        lugs=tuple(
            replace(g, tension_n=math.nan, vertical_only=True, lean_from_vertical_deg=math.nan)
            for g in CLEAN.lugs
        ),
        hooks=(
            replace(CLEAN.hooks[0], load_n=math.nan, included_angle_deg=math.nan, side_pull_deg=math.nan),
        ),
        least_angle_from_horizontal_deg=math.nan,
        tilt_deg=math.nan,
        hook_height_m=math.nan,
    )
    found = run_checks(wild, BOOKS["us"])
    rules = (
        "rated-load",
        "pick-rating",
        "hook-capacity",
        "hook-angle",
        "side-pull",
        "least-angle",
        "tilt",
        "headroom",
    )
    for rule in rules:
        outcomes = {f.outcome for f in found if f.rule == rule}
        assert outcomes == {Outcome.STOP}, rule


def test_first_stop_is_the_first_of_all_findings() -> None:
    for case in CASES:
        facts, book = case.facts(), BOOKS[case.rulebook]
        stops = [f for f in run_checks(facts, book) if f.outcome is Outcome.STOP]
        assert first_stop(facts, book) == (stops[0] if stops else None)


def test_lift_rules_say_of_the_lift_what_they_say_of_its_candidates() -> None:
    """But for chemicals, whose lift rule stops only on agents that nobody listed."""
    lift_rules = {_rule_name(rule) for rule in LIFT_RULES}
    assert lift_rules == {
        "purpose",
        "dynamic",
        "service",
        "unknowns",
        "chemicals",
        "wrong-tool",
        "load-free",
    }
    for case in CASES:
        facts, book = case.facts(), BOOKS[case.rulebook]
        of_lift = [f for f in check_lift(facts.lift, book) if f.rule != "chemicals"]
        shared = lift_rules - {"chemicals"}
        of_candidate = [f for f in run_checks(facts, book) if f.rule in shared]
        assert of_lift == of_candidate


def test_unlisted_agent_stops_the_lift_before_any_candidate() -> None:
    (case,) = [c for c in CASES if c.detail == "agent-unknown"]
    found = [f for f in check_lift(case.facts().lift, BOOKS["us"]) if f.rule == "chemicals"]
    assert [(f.outcome, f.detail, f.subject) for f in found] == [(Outcome.STOP, "agent-unknown", "goo")]
    listed = next(c for c in CASES if c.detail == "with-care")
    assert not [f for f in check_lift(listed.facts().lift, BOOKS["us"]) if f.rule == "chemicals"]


def test_agent_listed_for_one_fibre_only_does_not_stop_the_lift() -> None:
    """Ethers: nylon and polyester are listed, polypropylene is not; its candidates alone are stopped."""
    lift = changed([{"site": {"touches": ["ether"]}}]).lift
    assert not [f for f in check_lift(lift, BOOKS["us"]) if f.rule == "chemicals"]
