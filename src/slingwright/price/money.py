"""Money: whole minor units, computed exactly and rounded half up once a line. No float comes near it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

__all__ = ["MoneyLine", "Price", "half_up"]


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyLine:
    """One line of a price.

    Codes: `webbing`, `fitting`, `thread`, `label`, `labour`, `markup`, `minimum`, `stock-discount`,
    `protection`, `quantity-discount`. `quantity` of `unit` at `rate_minor` per `per` of that unit; a share
    (`markup`, discounts) has the share as its quantity and the sum it is taken of as its rate.
    """

    code: str
    subject: str
    quantity: Fraction
    unit: str
    rate_minor: int
    minor: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """A price: the sum of its lines, in minor units of a currency, tax excluded."""

    price_minor: int
    currency: str
    lines: tuple[MoneyLine, ...]


def half_up(value: Fraction) -> int:
    """Round an exact amount half up (towards the larger number) to a whole minor unit."""
    return (2 * value.numerator + value.denominator) // (2 * value.denominator)
