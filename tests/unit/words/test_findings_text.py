"""Every code has its sentence, every sentence its code, and the figures shown never flatter."""

from __future__ import annotations

import math
import re
import string
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slingwright.check import CODES, CURES, Finding, Outcome, run_checks
from slingwright.citation import Citation, Known
from slingwright.rulebook import load_rulebook
from slingwright.units import Units
from slingwright.words import MissingWords, cure_text, finding_text, finding_texts, read_catalogue
from tests.unit.check.rule_cases import CASES, Case

POUND_N = 4.4482216152605  # 1 lbf: international pound (0.45359237 kg) times 9.80665 m/s²
SOURCE = Citation(document="a test", known=Known.SHOP)
PLACES = {"figure", "limit", "subject", "sling", "agent", "material", "group"}
ON_PAPERS = (
    "cures", "cautions", "notes", "standing", "sheet", "sheet-slings", "sheet-legs", "governed", "drawing",
    "offers", "loads", "blocks", "labels", "cases", "picked-for", "places", "protections", "chokes",
)  # fmt: skip
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
    assert sentence.sense in ("", "at most", "at least", "both up")
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
    every += [w for name in ON_PAPERS for w in read_catalogue().sections[name].values()]
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
    assert finding_text(chemical, Units.US) == "Strong alkali: attacks polyester."
    several = make_finding("edge", "not-cut-proof", subject="A, B")
    assert finding_text(several, Units.US).startswith("Slings A, B:")
    hook = make_finding("hook-load", "on-the-hook", subject="hook 2", figure=1000 * POUND_N, unit="N")
    assert "On hook 2 hang 1,000 lb" in finding_text(hook, Units.US)


def test_equal_findings_are_told_once_and_the_worst_speaks() -> None:
    """By hand: 26 kN on 27.6 kN is nearest; the splice caution names all it is about; stops come first."""
    rated = [
        make_finding("rated-load", "part-within", figure=n, limit=27579.0, unit="N", subject=s)
        for s, n in (("A", 21000.0), ("B", 26000.0), ("C", 22000.0))
    ]
    care = [
        replace(make_finding("form-for-use", "splice-off-hook-and-load", subject=s), outcome=Outcome.CAUTION)
        for s in "AB"
    ]
    agents = [make_finding("chemicals", "unharmed", subject=f"{a}/nylon") for a in ("water", "soap")]
    stop = replace(make_finding("reach", "unreachable"), outcome=Outcome.STOP)
    told = [text for _, text in finding_texts([*rated, *care, *agents, stop], Units.SI)]
    assert told[0] == "The slings are too short to reach between hook and load."
    assert told[1].startswith("Slings A, B: keep the splice")
    assert told[2].startswith("Sling B: its hardest pulled part carries 26.0 kN")
    assert told[2].endswith("(the worst of A, B, C)")
    assert told[3:] == ["Water: no harm to nylon.", "Soap: no harm to nylon."]


def test_angles_are_worst_when_least() -> None:
    """Of 50° and 60° against at least 45° the flatter one speaks."""
    found = [
        make_finding("beam", "top-angle-within", figure=d, limit=45.0, unit="deg", subject=s)
        for s, d in (("Beam 1", 60.0), ("Beam 2", 50.0))
    ]
    ((worst, _),) = finding_texts(found, Units.SI)
    assert worst.figure == 50.0


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
