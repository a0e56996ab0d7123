"""Faults on a page: by the label of their field, in the page's own words, never those of files or options."""

from __future__ import annotations

import pytest

from slingwright.desk.bench import Look
from slingwright.desk.pages.faults import told_of_lift, told_of_sling
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
        ("load.weight", 'write it like "4 lb"', "load.weight", "Weight", 'write it like "4 lb"'),
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
