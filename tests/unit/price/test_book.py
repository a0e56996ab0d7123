"""The price book: Harrow Quay's reads without holes; every fault names its field."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import jsonschema
import pytest

from slingwright.errors import InputFault
from slingwright.price import price_book_schema, read_price_book
from slingwright.shop import Protection
from slingwright.sling import Fibre
from tests.shops import SHA256, document, harrow_quay, harrow_quay_prices

Doc = dict[str, Any]


def faults_of(doc: Doc, *, with_shop: bool = False) -> list[tuple[str, str]]:
    with pytest.raises(InputFault) as caught:
        read_price_book(doc, sha256=SHA256, shop=harrow_quay() if with_shop else None)
    return [(fault.field, fault.problem) for fault in caught.value.faults]


def test_harrow_quays_book_reads_exactly() -> None:
    book = harrow_quay_prices()
    assert book.webbing_per_m[Fibre.POLYESTER, 7, 0.0508] == 185
    assert (book.markup, book.stock_discount) == (Fraction(35, 100), Fraction(8, 100))
    assert (book.version, book.currency, book.sha256) == ("HQ-2025-1", "USD", SHA256)
    jsonschema.validate(document("price_book.toml"), price_book_schema())


def test_protection_rates_go_by_width_band() -> None:
    book = harrow_quay_prices()
    assert book.protection_rate(Protection.WEAR_SLEEVE, 0.0254) == 650
    assert book.protection_rate(Protection.WEAR_SLEEVE, 0.0762) == 650
    assert book.protection_rate(Protection.WEAR_SLEEVE, 0.0763) == 1100
    assert book.protection_rate(Protection.WEAR_SLEEVE, 0.31) is None


def test_quantity_discounts_go_by_step() -> None:
    book = harrow_quay_prices()
    assert [book.quantity_discount(n) for n in (1, 9, 10, 24, 25, 900)] == [
        0, 0, Fraction(5, 100), Fraction(5, 100), Fraction(9, 100), Fraction(9, 100),
    ]  # fmt: skip


def change(*steps: str | int, to: Any) -> Callable[[Doc], None]:
    def apply(doc: Doc) -> None:
        for step in steps[:-1]:
            doc = doc[step]  # type: ignore[index]
        doc[steps[-1]] = to  # type: ignore[index]

    return apply


@pytest.mark.parametrize(
    ("field", "spoil"),
    [
        ("schema", change("schema", to="slingwright/price-book/0")),
        ("currency", change("currency", to="usd")),
        ("currency", change("currency", to="US")),
        ("currency", change("currency", to="£££")),
        ("labour_per_hour", change("labour_per_hour", to=54.5)),
        ("minimum_per_sling", change("minimum_per_sling", to=-1)),
        ("thread_per_m", change("thread_per_m", to=True)),
        ("markup", change("markup", to="33.333 %")),
        ("markup", change("markup", to="-5 %")),
        ("stock_discount", change("stock_discount", to="100 %")),
        ("webbing[0].per_m", change("webbing", 0, "per_m", to=[95])),
        ("webbing[1].widths[0]", change("webbing", 1, "fibre", to="polyester")),
        ("webbing[2].class", change("webbing", 2, "class", to="five")),
        ("fitting[1].widths[0]", change("fitting", 1, "kind", to="triangle")),
        ("protection[0].kind", change("protection", 0, "kind", to="felt")),
        ("break[0].from", change("break", 0, "from", to=1)),
        ("break[1].discount", change("break", 1, "discount", to="100 %")),
        ("overtime_per_hour", change("overtime_per_hour", to=1)),
    ],
)
def test_a_bad_book_names_its_field(field: str, spoil: Callable[[Doc], None]) -> None:
    doc = document("price_book.toml")
    spoil(doc)
    assert faults_of(doc)[0][0] == field


def test_holes_are_faults_where_the_shop_is_known_all_at_once() -> None:
    doc = document("price_book.toml")
    doc["webbing"][3]["widths"].pop()
    doc["webbing"][3]["per_m"].pop()
    doc["fitting"].pop()
    doc["protection"].pop()
    read_price_book(doc, sha256=SHA256)  # the book alone is sound
    found = faults_of(doc, with_shop=True)
    assert [field for field, _ in found] == ["webbing", *["fitting"] * 7, "protection"]
    assert found[0][1] == "no rate for nylon class 5, 0.1524 m wide"
