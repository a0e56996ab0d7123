"""What `slingwright quote` says of the lift that an offer is for, and for whom."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.system.command import Command
from tests.system.test_cli_make_quote import SHOP, US, an_offer, text_of


def test_a_quote_says_for_which_lift_and_for_whom(command: Command, tmp_path: Path) -> None:
    """On paper, in the terminal and in the document; an order of several offers names each lift once."""
    pdf, first, second = tmp_path / "quote.pdf", an_offer(), an_offer()
    first["title"], second["title"] = "Chiller <1>, roof", "Boat 7"
    asked = ("quote", "-", *US[2:], "--customer", "Boatyard", "--pdf", pdf)
    found = command.answers("quote", *asked, stdin=json.dumps(first))
    assert found["lifts"] == ["Chiller <1>, roof"]
    text = text_of(pdf)
    assert "For the lift Chiller <1>, roof" in text
    assert "For Boatyard" in text
    said = " ".join(command(*asked, stdin=json.dumps(first)).out.split())
    assert "For Boatyard" in said
    assert "For the lift Chiller <1>, roof" in said
    for name, offers in (("a", first), ("b", second)):
        (tmp_path / f"{name}.json").write_text(json.dumps(offers))
    order = tmp_path / "order.toml"
    lines = "".join(f'[[line]]\nquantity = 1\noffer = {{ file = "{name}.json" }}\n' for name in "aba")
    order.write_text(f'schema = "slingwright/order/1"\nrulebook = "us"\n{lines}')
    assert command.answers("quote", "quote", order, *SHOP)["lifts"] == ["Chiller <1>, roof", "Boat 7"]


@pytest.mark.parametrize("title", [3, "two\nlines", "x" * 1000])
def test_a_lift_s_name_that_cannot_be_printed_is_a_fault(command: Command, title: object) -> None:
    document = an_offer() | {"title": title}
    command.answers("fault", "quote", "-", *US[2:], stdin=json.dumps(document), code=2)
