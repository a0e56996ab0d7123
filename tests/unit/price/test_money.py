"""Rounding of money, against the decimal module's own half-up."""

from __future__ import annotations

import decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slingwright.price import half_up


@pytest.mark.parametrize(
    ("value", "minor"),
    [(Fraction(1, 2), 1), (Fraction(3, 2), 2), (Fraction(5, 2), 3), (Fraction(49, 100), 0), (Fraction(7), 7)],
)
def test_halves_go_up(value: Fraction, minor: int) -> None:
    assert half_up(value) == minor


@given(thousandths=st.integers(min_value=0, max_value=10**12))
def test_rounding_is_the_decimal_modules(thousandths: int) -> None:
    judge = (decimal.Decimal(thousandths) / 1000).quantize(decimal.Decimal(1), rounding=decimal.ROUND_HALF_UP)
    assert half_up(Fraction(thousandths, 1000)) == int(judge)
