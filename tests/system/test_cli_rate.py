"""`slingwright rate`: people's words in, the printed figure out; a refusal is an answer with its rows."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from slingwright.rulebook import load_rulebook
from tests.system.command import Command

POUND_N = 4.4482216152605  # 1 lbf: international pound (0.45359237 kg) times 9.80665 m/s²
TONNE_N = 9806.65
US = ("--rulebook", "us", "--form", "twisted-eye", "--fibre", "polyester", "--class", "7", "--plies", "2")
US_2IN = (*US, "--width", "2 in")
EN = ("--rulebook", "en", "--form", "flat-eye", "--fibre", "polyester", "--class", "7", "--plies", "2",
      "--width", "60 mm")  # fmt: skip


@pytest.mark.parametrize(
    ("more", "pounds"),
    [
        # 2 ply 2 in of class 7: 6,200 lb (WSTDA-WS-1, from memory, lower of two series); the rest by hand:
        # choker 0.80 and sines as OSHA's Guidance on Safe Sling Use prints them, down to 10 lb
        ("", 6200),
        ("--hitch choker --choke free", 4960),
        # angle of choke 100 deg: 0.71 in one published scheme, 0.87 in the other; 4,960 x 0.71 = 3,521.6
        ("--hitch choker --choke 100deg", 3520),
        # not known: the lowest of both, 0.49; 4,960 x 0.49 = 2,430.4
        ("--hitch choker", 2430),
        ("--hitch basket", 12400),
        ("--hitch basket --angle-from-horizontal 60deg", 10730),  # 12,400 x 0.8660 = 10,738.7
        ("--hitch basket --angle-from-vertical 45deg --wraps 2", 8760),  # 12,400 x 0.7071 = 8,768.1
        ("--legs 2 --angle-from-horizontal 30deg", 6200),
        ("--legs 3 --angle-from-horizontal 45deg", 13150),  # 18,600 x 0.7071 = 13,152.2
        ("--legs 4 --angle-from-horizontal 45deg", 13150),  # the third leg is the last that counts
    ],
)
def test_us_ratings(command: Command, more: str, pounds: int) -> None:
    document = command.answers("rating", "rate", *US_2IN, *more.split())
    assert document["printed"] == f"{pounds:,} lb"
    assert document["rated_n"] == pytest.approx(pounds * POUND_N, rel=1e-12)
    assert document["answer"] == "rated"


@pytest.mark.parametrize(
    ("more", "tonnes"),
    [
        # EN 1492-1 mode factors on 2 t (60 mm, two plies): 0.8, 2, 1.4, 1; two legs 1.4, four 2.1 and 1.5
        ("", 2.0),
        ("--hitch choker --choke free", 1.6),
        ("--hitch basket", 4.0),
        ("--hitch basket --angle-from-vertical 45deg", 2.8),
        ("--hitch basket --angle-from-vertical 46deg", 2.0),
        ("--legs 2 --angle-from-vertical 45deg", 2.8),
        ("--legs 4 --angle-from-vertical 45deg", 4.2),
        ("--legs 4 --angle-from-vertical 60deg", 3.0),
    ],
)
def test_en_ratings(command: Command, more: str, tonnes: float) -> None:
    document = command.answers("rating", "rate", *EN, *more.split())
    assert document["rated_n"] == pytest.approx(tonnes * TONNE_N, rel=1e-12)
    assert document["printed"] == f"{tonnes:g} t"


@pytest.mark.parametrize(
    ("line", "reason", "nearest"),
    [
        ((*US, "--width", "2.5 in"), "no-cell", ["2 ply, 2 in", "2 ply, 3 in"]),
        ((*US, "--width", "20 in"), "no-cell", ["2 ply, 12 in"]),
        ((*US[:-1], "8", "--width", "2 in"), "no-cell", ["4 ply, 2 in"]),
        ((*US[:5], "polypropylene", *US[6:], "--width", "2 in"), "no-table", []),
        ((*US_2IN[:3], "triangle-triangle", *US_2IN[4:], "--hitch", "choker"), "form-does-not-choke", []),
        ((*US_2IN, "--legs", "2"), "angle-needed", []),
        ((*US_2IN, "--legs", "2", "--angle-from-horizontal", "20 deg"), "below-least-angle", []),
        ((*EN, "--hitch", "choker", "--choke", "100 deg"), "choke-not-covered", []),
        ((*EN, "--hitch", "basket", "--legs", "2", "--angle-from-horizontal", "60 deg"), "no-mode", []),
    ],
)  # fmt: skip
def test_outside_the_table_is_a_stop_with_the_nearest_rows(
    command: Command, line: tuple[str, ...], reason: str, nearest: list[str]
) -> None:
    document = command.answers("rating", "rate", *line, code=1)
    assert document["refusal"]["reason"] == reason
    assert [cell["cell"] for cell in document["refusal"]["nearest"]] == nearest
    assert document["rated_n"] is document["printed"] is document["part_limit_n"] is None
    told = command("rate", *line)
    assert told.code == 1
    assert "STOP" in told.out
    assert all(cell in told.out for cell in nearest)


def test_the_figure_says_where_each_factor_is_from(command: Command) -> None:
    document = command.answers("rating", "rate", *US_2IN, "--hitch", "choker", "--choke", "100 deg")
    assert [(f["name"], f["value"]) for f in document["factors"]] == [("choker", 0.8), ("choke", 0.71)]
    assert all(f["citation"]["document"] and f["citation"]["known"] for f in document["factors"])
    assert document["table"]["citation"]["known"] == "from memory"
    told = command("rate", *US_2IN, "--hitch", "choker", "--choke", "100 deg").out
    assert "× 0.71" in told
    assert "(from memory)" in told


def test_what_a_crew_could_act_on_says_planning_only_and_who_decides(command: Command) -> None:
    document = command.answers("rating", "rate", *US_2IN)
    assert document["planning_only"] is True
    told = command("rate", *US_2IN).out
    for text in document["cautions"]:
        assert text.split(".")[0] in " ".join(told.split())
    assert "PLANNING ONLY" in told
    assert "qualified person" in told
    assert "Local codes" in told


def test_an_adopted_table_is_no_longer_planning_only(command: Command, tmp_path: Path) -> None:
    table = next(t for t in load_rulebook("us").tables if t.id == "us-class7-eye")
    (tmp_path / "adoption.toml").write_text(
        'rulebook = "us"\nby = ["A. One", "B. Two"]\ndocument = "the bought document"\nedition = "2015"\n'
        f'date = "2026-01-31"\n[[checked]]\ntable = "{table.id}"\nsha256 = "{table.sha256}"\n'
    )
    document = command.answers("rating", "rate", *US_2IN, "--adoption", "adoption.toml")
    assert document["planning_only"] is False
    assert document["made_by"]["rulebook"]["adopted"]["by"] == ["A. One", "B. Two"]
    assert "PLANNING ONLY" not in command("rate", *US_2IN, "--adoption", "adoption.toml").out


def test_the_chart_never_rises_as_slings_lie_flatter(command: Command) -> None:
    rows = command.answers("rating", "rate", *US_2IN, "--table")["rows"]
    assert {row["angle_from_horizontal_deg"] for row in rows} == {None, 90, 60, 45, 30}
    for one, flatter in pairwise(rows):
        if (one["hitch"], one["legs"]) == (flatter["hitch"], flatter["legs"]):
            assert flatter["rated_n"] <= one["rated_n"]
    for row in rows:
        assert row["printed"] in command("rate", *US_2IN, "--table").out


def test_the_strictest_profile_is_recorded_and_lower(command: Command) -> None:
    """The older US choker factor, 0.75 (NAVEDTRA 14081): 6,200 x 0.75 = 4,650."""
    line = (*US_2IN, "--hitch", "choker", "--choke", "free", "--profile", "strictest")
    document = command.answers("rating", "rate", *line)
    assert document["printed"] == "4,650 lb"
    assert document["made_by"]["rulebook"]["profile"] == "strictest"


def test_equal_widths_in_two_units_are_the_same_sling(command: Command) -> None:
    inches, millimetres = (command("rate", *US, "--width", w, "--json").out for w in ("2 in", "50.8 mm"))
    assert inches == millimetres


@pytest.mark.parametrize(
    ("line", "field"),
    [
        (US_2IN[2:], "--rulebook"),
        (US, "--width"),
        ((*US, "--width", "2"), "--width"),
        ((*US, "--width", "2 lb"), "--width"),
        ((*US[:8], "--plies", "two", "--width", "2 in"), "--plies"),
        ((*US[:6], "--class", "0", *US[8:], "--width", "2 in"), "--class"),
        ((*US[:2], "--form", "twisted", *US[4:], "--width", "2 in"), "--form"),
        ((*US_2IN, "--hitch", "hang"), "--hitch"),
        ((*US_2IN, "--wraps", "3"), "--wraps"),
        ((*US_2IN, "--wraps", "2"), "--wraps"),
        ((*US_2IN, "--legs", "-1"), "--legs"),
        ((*US_2IN, "--choke", "free"), "--choke"),
        ((*US_2IN, "--hitch", "choker", "--choke", "tight"), "--choke"),
        ((*US_2IN, "--angle-from-horizontal", "0 deg"), "--angle-from-horizontal"),
        ((*US_2IN, "--angle-from-horizontal", "95 deg"), "--angle-from-horizontal"),
        ((*US_2IN, "--angle-from-vertical", "90 deg"), "--angle-from-vertical"),
        ((*US_2IN, "--angle-from-vertical", "1 deg", "--angle-from-horizontal", "9 deg"),
         "--angle-from-vertical"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_a_fault_of_its_option(
    command: Command, line: tuple[str, ...], field: str
) -> None:
    document = command.answers("fault", "rate", *line, code=2)
    assert document["field"] == field
    told = command("rate", *line)
    assert (told.code, told.out) == (2, "")
    assert field in told.err


def test_all_that_is_missing_is_told_at_once(command: Command) -> None:
    document = command.answers("fault", "rate", code=2)
    missing = [fault["field"] for fault in document["faults"]]
    assert missing == ["--form", "--fibre", "--class", "--plies", "--width", "--rulebook"]
