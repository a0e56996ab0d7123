"""What a sling costs: whole minor units from a price book, line by line."""

from slingwright.price.book import PriceBook, book_faults, price_book_schema, read_price_book
from slingwright.price.cost import Supply, price_bill, price_quantity, price_sling
from slingwright.price.line import PriceLine, price_line
from slingwright.price.money import MoneyLine, Price, half_up

__all__ = [
    "MoneyLine",
    "Price",
    "PriceBook",
    "PriceLine",
    "Supply",
    "book_faults",
    "half_up",
    "price_bill",
    "price_book_schema",
    "price_line",
    "price_quantity",
    "price_sling",
    "read_price_book",
]
