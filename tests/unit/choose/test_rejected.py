"""What a walk looked at beyond its answer is not told as rejected before it.

That what is told is exactly what comes before the answer stands in `tests/property/test_choose_exact.py`.
"""

from __future__ import annotations

from slingwright.choose.fallen import rejected, rejected_each
from slingwright.choose.search import Found, Search
from tests.property.test_choose_exact import setting_of


def _walked(kind: str, number: int, by: str = "price") -> tuple[Search, Found]:
    search = Search(setting_of(kind, number))
    return search, search.walk(by)


def _looked_at(found: Found) -> int:
    return sum(len(f.source.row_numbers if f.row is None else f.row) for f in found.fallen)


def test_rows_beyond_the_answer_fell_and_are_not_told() -> None:
    search, found = _walked("bridle-4", 0)
    assert found.answer is not None
    assert _looked_at(found) > sum(rejected(search, found).values()) > 0
    assert all(
        one.candidate.price_minor <= found.answer.candidate.price_minor
        for one in rejected_each(search, found)
    )


def test_where_nothing_fits_all_that_can_be_had_was_rejected() -> None:
    search, found = _walked("bridle-3", 2)
    assert found.answer is None
    assert sum(rejected(search, found).values()) == _looked_at(found)
