"""Faults on a page: by the label of their field, in the page's own words, never those of files or options."""

from __future__ import annotations

import pytest

from slingwright.desk.bench import Look
from slingwright.desk.pages.faults import told_of_lift, told_of_sling
from slingwright.desk.pages.render import render
from slingwright.errors import Fault

LOOK = Look()


@pytest.mark.parametrize(
    ("field", "hint", "at", "name", "told"),
    [
        ("load.shape", "box | cylinder", "load.shape", "Shape", "Choose a shape."),
        (
            "hook",
            "one [hook], or several [[hook]].",
            "hook.headroom",
            "The hook",
            "Say at least how much room there is above.",
        ),
        ("load.weight", 'write it like "4 lb"', "load.weight", "Weight", 'write it like "4\u00a0lb"'),
        ("load.pick_point[2].at[0]", "say it", "load.pick_point.2.at.0", "Pick points 3, Along", "say it"),
        ("load.pick_point[0].at", "all three", "load.pick_point.0.at.0", "Pick points 1", "all three"),
        ("hook.width", "give --hook-width", "hook.width", "Width of the hook's seat", ""),
        ("nowhere", "give [nowhere]", "", "nowhere", "give [nowhere]"),
    ],
)
def test_a_fault_is_told_by_its_field(field: str, hint: str, at: str, name: str, told: str) -> None:
    (one,) = told_of_lift([Fault(field, "is wrong", hint)], LOOK)
    assert (one.id, one.name, one.problem, one.hint) == (at, name, "is wrong", told)


def test_a_sling_s_fault_never_speaks_of_an_option() -> None:
    fault = Fault("rulebook", "is not said", "give --rulebook us, or write it in slingwright.toml")
    (one,) = told_of_sling([fault], LOOK, ("rulebook",))
    assert (one.id, one.name, one.hint) == ("rulebook", "Rules", "Choose whose rules count.")


def test_what_the_core_says_is_marked_as_english_on_another_page() -> None:
    (one,) = told_of_lift([Fault("load.weight", "is <b>", "say it")], Look(language="es"))
    assert str(one.problem) == '<span lang="en">is &lt;b&gt;</span>'


def test_a_fault_of_no_field_is_a_sentence_and_one_of_a_whole_file_names_it() -> None:
    large = Fault("", "is larger than 1 MB", "a lift file is a few kilobytes")
    link = Fault("", "the link is damaged: no lift can be read from it", "ask for the link again")
    one, other = told_of_lift([large, link], LOOK)
    assert (one.name, one.problem) == ("The file", "is larger than 1\u00a0MB")
    assert other.problem.startswith("The link")
    (one,) = told_of_lift([large], Look(language="es"))
    assert (one.name, one.problem[:9]) == ("El archivo", "es mayor ")


def test_a_hint_that_is_a_sentence_begins_one() -> None:
    shape, weight = (
        Fault("load.shape", "is missing", "box | hull"),
        Fault("load.weight", "is wrong", "say it"),
    )
    one, other = told_of_lift([shape, weight], LOOK)
    assert (one.between, other.between) == (". ", ": ")
    page = render("faults.html", LOOK, faults=[one, other])
    assert "is missing. Choose a shape." in page
    assert "is wrong: say it" in page
