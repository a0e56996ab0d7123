"""What is known of rows: which may leave a column unpriced."""

from __future__ import annotations

import numpy as np

from slingwright.choose.known import Known
from slingwright.choose.nominal import BEATEN, UNASKED


def test_what_is_only_graded_falls_where_a_graded_answer_is_known_and_nowhere_else() -> None:
    """A later walk by another measure has no answer yet: what lost by its grade before may be its best."""
    known = Known((5, 1))
    known.why[:, 0] = [0, BEATEN, 3, UNASKED, BEATEN]
    known.miss[:, 0] = [0.0, 0.1, 0.3, 0.0, 0.0]
    rows = np.array([4, 2, 3, 0, 1])
    never, lost = (known.halves(rows, graded_lose=lose) for lose in (False, True))
    assert (never.left.tolist(), never.fallen.tolist()) == ([4, 3, 0, 1], [2])
    assert (lost.left.tolist(), lost.fallen.tolist()) == ([3, 0], [4, 2, 1])
    assert lost.why.tolist() == [BEATEN, 3, BEATEN]
    assert lost.miss.tolist() == [np.inf, 0.3, np.inf]  # what is only graded misses no limit
    assert (never.least, lost.least) == (0.3, 0.3)


def test_halves_of_some_rows_are_not_taken_for_those_of_all() -> None:
    known = Known((3, 1))
    known.why[:, 0] = [2, 0, 2]
    assert known.halves(np.array([2]), graded_lose=False, all_rows=False).fallen.tolist() == [2]
    assert known.halves(np.arange(3), graded_lose=False).fallen.tolist() == [0, 2]
    assert known.halves(np.array([1]), graded_lose=False, all_rows=False).fallen.tolist() == []


def test_halves_are_cut_anew_when_more_is_known() -> None:
    known = Known((2, 1))
    rows = np.array([0, 1])
    assert known.halves(rows, graded_lose=False)[0].tolist() == [0, 1]
    known.why[0, 0] = 2
    known.forget_halves()
    assert known.halves(rows, graded_lose=False)[0].tolist() == [1]
