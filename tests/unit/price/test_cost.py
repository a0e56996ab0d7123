"""Prices by hand, as sums of lines, and of a whole block of lengths at once."""

from __future__ import annotations

import dataclasses
import decimal
from fractions import Fraction

import numpy as np
from hypothesis import assume, given
from hypothesis import strategies as st

from slingwright.make.bill import Bill, bill
from slingwright.price import (
    Price,
    PriceBook,
    PriceLine,
    Supply,
    price_line,
    price_quantity,
    price_sling,
    read_price_book,
)
from slingwright.shop import Protection, Refusal, buildable, grid_length_m, least_length_m, spec_for
from slingwright.sling import Fibre, Form, SlingSpec
from tests.shops import SHA256, document, harrow_quay, harrow_quay_prices

SHOP, BOOK = harrow_quay(), harrow_quay_prices()
INCH = 0.0254
HAND = spec_for(SHOP, Form.FLAT_EYE, Fibre.POLYESTER, 7, 1, 2 * INCH, 120 * INCH)
WIDTHS = [k * 254 / 10_000 for k in (2, 3, 4, 6, 8, 10, 12)]
MAKES = st.tuples(
    st.sampled_from([f for f in Form if f is not Form.RETURN_EYE]),
    st.sampled_from([Fibre.POLYESTER, Fibre.NYLON]),
    st.just(7),
    st.sampled_from([1, 2]),
    st.sampled_from(WIDTHS),
)


def priced(
    spec: SlingSpec, protection: Protection = Protection.NONE, supply: str = "made", book: PriceBook = BOOK
) -> Price:
    found = price_sling(spec, supply, protection, book, SHOP)
    assert isinstance(found, Price)
    return found


def block(
    make: tuple[Form, Fibre, int, int, float], protection: Protection, book: PriceBook = BOOK
) -> PriceLine:
    found = price_line(*make, protection, book, SHOP)
    assert isinstance(found, PriceLine)
    return found


def lines_of(price: Price) -> dict[str, int]:
    return {line.code: line.minor for line in price.lines}


def test_a_flat_eye_sling_by_hand() -> None:
    """3.940 m × 185 = 728.9; 7.966 m × 1; 120; 1300 s × 5400 / 3600 = 1950; 35 % of 2807 = 982.45."""
    found = priced(HAND)
    assert lines_of(found) == {"webbing": 729, "thread": 8, "label": 120, "labour": 1950, "markup": 982}
    assert (found.price_minor, found.currency) == (3789, "USD")


def test_the_shelf_takes_its_discount_off_the_sling_but_not_off_its_protection() -> None:
    """8 % of 3789 = 303.12; two wear sleeves at 650."""
    found = priced(HAND, Protection.WEAR_SLEEVE, "stock")
    assert lines_of(found)["stock-discount"] == -303
    assert lines_of(found)["protection"] == 1300
    assert found.price_minor == 3789 - 303 + 1300


def test_no_sling_is_cheaper_than_the_minimum() -> None:
    dear = dataclasses.replace(BOOK, minimum_per_sling=5000)
    found = priced(HAND, book=dear)
    assert lines_of(found)["minimum"] == 5000 - 3789
    assert found.price_minor == 5000
    assert (
        block((Form.FLAT_EYE, Fibre.POLYESTER, 7, 1, 2 * INCH), Protection.NONE, dear).minor(120 * INCH)
        == 5000
    )


def test_fittings_are_priced_each() -> None:
    found = priced(spec_for(SHOP, Form.TRIANGLE_CHOKER, Fibre.POLYESTER, 7, 2, 4 * INCH, 120 * INCH))
    fittings = {line.subject: line.minor for line in found.lines if line.code == "fitting"}
    assert fittings == {"triangle": 2480, "choker-triangle": 3950}


def test_more_guards_cost_more() -> None:
    six = price_sling(HAND, "made", Protection.FORMER, BOOK, SHOP, guard_pieces=6)
    assert isinstance(six, Price)
    assert six.price_minor - priced(HAND, Protection.FORMER).price_minor == 2 * 5200
    whole = price_line(
        Form.FLAT_EYE, Fibre.POLYESTER, 7, 1, 2 * INCH, Protection.FORMER, BOOK, SHOP, guard_pieces=6
    )
    assert isinstance(whole, PriceLine)
    assert whole.minor(120 * INCH) == six.price_minor


def test_a_number_of_slings_is_its_lines_times_it_less_the_break() -> None:
    """12 × 3789 = 45 468, less 5 % of it = 2273.4; sleeves 12 × 1300 without discount."""
    one = priced(HAND, Protection.WEAR_SLEEVE)
    dozen = price_quantity(one, 12, BOOK)
    assert lines_of(dozen)["quantity-discount"] == -2273
    assert dozen.price_minor == 12 * 3789 - 2273 + 12 * 1300 == sum(line.minor for line in dozen.lines)
    assert price_quantity(one, 9, BOOK).price_minor == 9 * one.price_minor
    assert "quantity-discount" not in lines_of(price_quantity(one, 9, BOOK))


def test_every_stock_sling_has_a_price_below_the_same_one_made() -> None:
    for sling in SHOP.stock:
        shelf = priced(sling.spec, supply=Supply.STOCK)
        made = priced(sling.spec)
        assert 0 < shelf.price_minor < made.price_minor


def test_what_cannot_be_priced_says_why() -> None:
    thin = document("price_book.toml")
    thin["webbing"], thin["fitting"], thin["protection"] = thin["webbing"][:1], [], []
    book = read_price_book(thin, sha256=SHA256)
    triangle = spec_for(SHOP, Form.TRIANGLE_CHOKER, Fibre.POLYESTER, 7, 1, 2 * INCH, 3.0)
    nylon = spec_for(SHOP, Form.FLAT_EYE, Fibre.NYLON, 7, 1, 2 * INCH, 3.0)
    short = spec_for(SHOP, Form.FLAT_EYE, Fibre.POLYESTER, 7, 1, 2 * INCH, 0.9)
    returned = spec_for(SHOP, Form.RETURN_EYE, Fibre.POLYESTER, 7, 1, 2 * INCH, 3.0)
    for spec, protection, code, subject in (
        (nylon, Protection.NONE, "no-price", "webbing"),
        (triangle, Protection.NONE, "no-price", "triangle"),
        (HAND, Protection.FORMER, "no-price", "radius-former"),
        (short, Protection.NONE, "too-short", ""),
        (returned, Protection.NONE, "form-not-sewn", "return-eye"),
    ):
        found = price_sling(spec, "made", protection, book, SHOP)
        assert isinstance(found, Refusal)
        assert (found.code, found.subject) == (code, subject)
        make = (spec.form, spec.fibre, spec.webbing_class, spec.plies, spec.width_m)
        whole = price_line(*make, protection, book, SHOP)
        if code == "too-short":  # a block asks no length; it says the least
            assert isinstance(whole, PriceLine)
            assert whole.least_length_m == found.limit
        else:
            assert whole == found


@given(
    make=MAKES,
    length_um=st.integers(min_value=3_000_000, max_value=12_192_000),
    supply=st.sampled_from(Supply),
)
def test_a_price_is_the_sum_of_lines_each_rounded_half_up(
    make: tuple[Form, Fibre, int, int, float], length_um: int, supply: Supply
) -> None:
    found = priced(spec_for(SHOP, *make, length_um / 1e6), Protection.CUT_SLEEVE, supply)
    assert found.price_minor == sum(line.minor for line in found.lines)
    context = decimal.Context(prec=60)
    for line in found.lines:
        assert type(line.minor) is int
        if line.code != "minimum":
            exact = context.divide(
                decimal.Decimal(abs(line.quantity.numerator) * line.rate_minor), line.quantity.denominator
            )
            judge = int(exact.quantize(decimal.Decimal(1), rounding=decimal.ROUND_HALF_UP))
            assert line.minor == (judge if line.quantity > 0 else -judge)


@given(
    make=MAKES,
    length_um=st.integers(min_value=3_000_000, max_value=12_192_000),
    protection=st.sampled_from(Protection),
    markup=st.integers(min_value=0, max_value=9_999),
    minimum=st.integers(min_value=0, max_value=20_000),
)
def test_a_blocks_price_and_mass_are_the_full_computations_bit_for_bit(
    make: tuple[Form, Fibre, int, int, float],
    length_um: int,
    protection: Protection,
    markup: int,
    minimum: int,
) -> None:
    book = dataclasses.replace(BOOK, markup=Fraction(markup, 10_000), minimum_per_sling=minimum)
    line, length_m = block(make, protection, book), length_um / 1e6
    spec = spec_for(SHOP, *make, length_m)
    found = bill(spec, protection, SHOP)
    assert isinstance(found, Bill)
    assert line.minor(length_m) == priced(spec, protection, book=book).price_minor
    assert line.mass_kg(length_m) == found.mass_kg


@given(
    make=MAKES, lengths_um=st.lists(st.integers(min_value=0, max_value=13_000_000), min_size=2, max_size=40)
)
def test_longer_is_never_cheaper_or_lighter(
    make: tuple[Form, Fibre, int, int, float], lengths_um: list[int]
) -> None:
    line = block(make, Protection.NONE)
    least_um = round(line.least_length_m * 1e6)
    lengths = sorted(least_um + um for um in lengths_um)
    prices = [line.minor_um(um) for um in lengths]
    masses = [line.mass_kg(um / 1e6) for um in lengths]
    assert prices == sorted(prices)
    assert masses == sorted(masses)
    assert line.minors_um(np.array(lengths, dtype=np.int64)).tolist() == prices


@given(make=MAKES, inches=st.integers(min_value=20, max_value=500))
def test_a_block_promises_what_its_soonest_loft_does(
    make: tuple[Form, Fibre, int, int, float], inches: int
) -> None:
    length_m = grid_length_m(SHOP, inches)
    least = least_length_m(SHOP, make[0], make[4], make[3])
    assert not isinstance(least, Refusal)
    assume(length_m >= least)  # under a tenth of the draws
    lofts = buildable(SHOP, *make, length_m)
    days = block(make, Protection.NONE).ready_in_days(length_m)
    assert days == (None if isinstance(lofts, Refusal) else lofts[0].days)
