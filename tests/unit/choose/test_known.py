"""What is known of rows: which may leave a column unpriced."""

from __future__ import annotations

import numpy as np

from slingwright.choose.known import Known
from slingwright.choose.nominal import BEATEN, UNASKED


def test_what_is_only_graded_falls_where_a_graded_answer_is_known_and_nowhere_else() -> None:
    """A later walk by another measure has no answer yet: what lost by its grade before may be its best."""
    known = Known((5, 1))
    known.why[:, 0] = [0, BEATEN, 3, UNASKED, BEATEN]
    rows = np.array([4, 2, 3, 0, 1])
    assert [x.tolist() for x in known.halves(rows, graded_lose=False)] == [[4, 3, 0, 1], [2]]
    assert [x.tolist() for x in known.halves(rows, graded_lose=True)] == [[3, 0], [4, 2, 1]]


def test_halves_are_cut_anew_when_more_is_known() -> None:
    known = Known((2, 1))
    rows = np.array([0, 1])
    assert known.halves(rows, graded_lose=False)[0].tolist() == [0, 1]
    known.why[0, 0] = 2
    known.forget_halves()
    assert known.halves(rows, graded_lose=False)[0].tolist() == [1]
