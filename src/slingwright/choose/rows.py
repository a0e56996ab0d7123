"""Figures of rows of a few columns each: a reduction along so short an axis costs ten times more."""

from __future__ import annotations

from collections.abc import Iterable
from functools import reduce
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Bools = NDArray[np.bool_]
    Places = NDArray[np.int64]

__all__ = ["all_of", "any_of", "first_least", "in_order", "least", "most", "total", "unequal"]


def most(rows: Floats) -> Floats:
    """The largest figure of each row (S, columns), at least one column."""
    return np.array(reduce(np.maximum, rows.T))


def least(rows: Floats) -> Floats:
    """The smallest figure of each row (S, columns), at least one column."""
    return np.array(reduce(np.minimum, rows.T))


def first_least(rows: Floats) -> Places:
    """Where the smallest figure of each row (S, columns) stands, the first of those alike."""
    at, low = np.zeros(len(rows), dtype=np.int64), rows[:, 0]
    for k in range(1, rows.shape[1]):
        less = rows[:, k] < low
        at[less] = k
        low = np.where(less, rows[:, k], low)
    return at


def total(rows: Floats) -> Floats:
    """The sum of each row (S, columns), from its first figure on."""
    return np.array(reduce(np.add, rows.T))


def in_order(columns: Iterable[Floats]) -> list[Floats]:
    """The figures of each row, least first; given and told column by column, (S,) each."""
    rows = list(columns)
    for many in range(len(rows) - 1, 0, -1):
        for k in range(many):  # the largest of the first comes to stand behind them
            rows[k], rows[k + 1] = np.minimum(rows[k], rows[k + 1]), np.maximum(rows[k], rows[k + 1])
    return rows


def any_of(rows: Bools) -> Bools:
    """Whether anything in each row (S, columns) is so."""
    return np.array(reduce(np.logical_or, rows.T))


def all_of(rows: Bools) -> Bools:
    """Whether everything in each row (S, columns) is so."""
    return np.array(reduce(np.logical_and, rows.T))


def unequal(rows: Floats) -> Bools:
    """Whether the figures of each row (S, columns) differ."""
    return any_of(rows != rows[:, :1])
