"""No row of the check values is forgotten, and the page that says so is not stale."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tools import rulebook_coverage as coverage

# rows per section of the page of check values (its sub-sections have two numbers)
SECTIONS = {
    "2.1": 8, "2.2": 7, "2.3": 2, "2.4": 1, "2.5": 3, "2.6": 4, "2.7": 3, "3.1": 13, "3.2": 4, "3.3": 10,
    "3.4": 5, "4.1": 8, "4.2": 10, "4.3": 8, "5": 21, "6": 15, "6.1": 13, "7": 18, "8": 10, "8.1": 16,
}  # fmt: skip


def test_every_row_is_used_data_or_left_out() -> None:
    rows = coverage.read_rows()
    assert coverage.find_problems(rows) == []
    counted: dict[str, int] = {}
    for row in rows:
        section = row.id.rpartition(".")[0]
        counted[section] = counted.get(section, 0) + 1
    assert counted == SECTIONS


def test_the_page_is_not_stale(capsys: pytest.CaptureFixture[str]) -> None:
    assert coverage.main(["--check"]) == 0, capsys.readouterr().out


@pytest.mark.parametrize(
    ("changes", "problem"),
    [
        ({"fate": "forgotten"}, "none of"),
        ({"what": " "}, "says nothing"),
        ({"what": "us:no_such_limit"}, "us:no_such_limit is nothing"),
        ({"what": "code:rulebook.book.Rulebook.no_such"}, "is nothing"),
        ({"what": "check:no_such"}, "is nothing"),
        ({"what": "nonsense"}, "is nothing"),
        ({"fate": "used", "what": "us:least_angle_deg"}, "names no user"),
    ],
)
def test_a_bad_row_is_found(changes: dict[str, str], problem: str) -> None:
    row = replace(coverage.Row("9.1", "a topic", "data", "us:least_angle_deg"), **changes)
    assert any(problem in found for found in coverage.find_problems((row,)))


def test_a_row_twice_is_found() -> None:
    row = coverage.Row("9.1", "a topic", "data", "us:least_angle_deg")
    assert coverage.find_problems((row, row)) == ["9.1: given twice"] * 2
