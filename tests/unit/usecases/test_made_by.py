"""The head of every document, as the contract for programs has it."""

from __future__ import annotations

from slingwright import __version__
from slingwright.usecases.made_by import head


def test_head_names_schema_and_maker_and_leaves_no_key_out() -> None:
    document = head("offers/1", seed=4, shop_sha256="ab")
    assert document["schema"] == "slingwright/offers/1"
    assert document["made_by"] == {
        "tool": f"slingwright {__version__}",
        "rulebook": None,
        "shop_sha256": "ab",
        "price_book": None,
        "input_sha256": None,
        "seed": 4,
    }
