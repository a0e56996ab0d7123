"""Every code has its sentence, every sentence its code, and the figures shown never flatter."""

from __future__ import annotations

import math
import re
import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slingwright.check import CODES, CURES, Finding, Outcome, run_checks
from slingwright.citation import Citation, Known
from slingwright.rulebook import load_rulebook
from slingwright.units import Units
from slingwright.words import MissingWords, cure_text, finding_text, read_catalogue
from tests.unit.check.rule_cases import CASES, Case

POUND_N = 4.4482216152605  # 1 lbf: international pound (0.45359237 kg) times 9.80665 m/s²
SOURCE = Citation(document="a test", known=Known.SHOP)
PLACES = {"figure", "limit", "subject", "sling", "agent", "material", "group"}
BOOKS = {name: load_rulebook(name) for name in ("us", "en")}


def make_finding(rule: str, detail: str, **more: object) -> Finding:
    return Finding(rule=rule, detail=detail, outcome=Outcome.PASS, citation=SOURCE, **more)


def test_every_code_has_a_sentence_and_no_sentence_is_orphaned() -> None:
    told = set(read_catalogue().findings)
    assert told == {(rule, detail) for rule, details in CODES.items() for detail in details}


def test_every_cure_has_words_and_none_is_orphaned() -> None:
    assert set(read_catalogue().sections["cures"]) == set(CURES)


@pytest.mark.parametrize("key", sorted(read_catalogue().findings), ids="-".join)
def test_sentence_has_only_places_that_are_filled(key: tuple[str, str]) -> None:
    sentence = read_catalogue().findings[key]
    places = {name for _, name, _, _ in string.Formatter().parse(sentence.say) if name is not None}
    assert places <= PLACES
    assert sentence.sense in ("", "at most", "at least")
    assert sentence.ratio in ("percent", "number")
    assert sentence.say.endswith((".", "?", "}"))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
@pytest.mark.parametrize("units", list(Units))
def test_sentence_of_every_worked_finding_lacks_no_figure(case: Case, units: Units) -> None:
    """The checks' own cases, worked by hand there: no place is left without its figure."""
    found = run_checks(case.facts(), BOOKS[case.rulebook])
    told = [f for f in found if (f.rule, f.detail, f.subject) == (case.rule, case.detail, case.subject)]
    assert told
    for finding in told:
        text = finding_text(finding, units)
        say = read_catalogue().sentence(finding.rule, finding.detail).say
        assert finding.figure is not None or "{figure}" not in say
        assert finding.limit is not None or "{limit}" not in say
        assert "{" not in text
        assert "Sling :" not in text  # a sentence about a sling names it
        assert cure_text(finding) or not finding.cure


def test_customer_words_keep_to_practice() -> None:
    """PRACTICE, choosing and words: reserve, not margin of safety; checked, not proved; no chances."""
    every = [s.say for s in read_catalogue().findings.values()]
    every += [w for words in read_catalogue().sections.values() for w in words.values()]
    for forbidden in (r"margin of safety", r"safety margin", r"\bprove", r"\bchance", r"probab", r"\bsafe\b"):
        assert not [w for w in every if re.search(forbidden, w, re.IGNORECASE)]


def test_figure_over_a_limit_never_reads_as_equal() -> None:
    """44.96° against a least of 45°: by hand, 44.9° against 45°; nearest would show 45° twice."""
    finding = make_finding("least-angle", "below-wanted", figure=44.96, limit=45.0, unit="deg")
    assert "44.9°" in finding_text(finding, Units.US)
    assert " 45° " in finding_text(finding, Units.US)


@given(st.floats(1.0, 5e6))
def test_a_load_is_rounded_up_and_its_rating_down(force_n: float) -> None:
    """Whatever the figure, the shown load is no less and the shown rating no more than it is."""
    finding = make_finding("rated-load", "part-within", figure=force_n, limit=force_n, unit="N", subject="A")
    shown = [float(t.replace(",", "")) for t in re.findall(r"([\d,.]+) lb", finding_text(finding, Units.US))]
    assert len(shown) == 2
    tiny = 1e-8 * force_n / POUND_N + 1e-9
    assert shown[0] >= force_n / POUND_N - tiny
    assert shown[1] <= force_n / POUND_N + tiny
    assert shown[0] - shown[1] <= math.ceil(1.0)


def test_names_of_things_are_said_in_words() -> None:
    chemical = make_finding("chemicals", "attacked", subject="strong-alkali/polyester")
    assert finding_text(chemical, Units.US) == "Strong alkali attacks polyester."
    several = make_finding("edge", "not-cut-proof", subject="A, B")
    assert finding_text(several, Units.US).startswith("Slings A, B:")
    hook = make_finding("hook-load", "on-the-hook", subject="hook 2", figure=1000 * POUND_N, unit="N")
    assert "On hook 2 hang 1,000 lb" in finding_text(hook, Units.US)


def test_a_code_without_words_is_our_bug_and_never_shown_bare() -> None:
    with pytest.raises(MissingWords, match="no sentence for finding"):
        finding_text(make_finding("least-angle", "no-such"), Units.US)
    with pytest.raises(MissingWords, match="no words for cures"):
        cure_text("no-such")
    with pytest.raises(MissingWords, match="no catalogue for the language"):
        read_catalogue("xx")


def test_a_pick_points_name_is_text_and_never_a_place_to_fill() -> None:
    finding = make_finding("pick-rating", "over", subject="{figure} <b>", figure=1.0, limit=1.0, unit="N")
    assert "{figure} <b>" in finding_text(finding, Units.SI)
