"""A lift in a link: there and back, and what a damaged or spiteful link does."""

from __future__ import annotations

import base64
import json
import zlib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slingwright.desk.link import MOST_LINK, pack_lift, unpack_lift
from slingwright.errors import InputFault

WORDS = st.text(st.characters(codec="utf-8"), max_size=20)
VALUES = st.recursive(
    WORDS | st.integers(-(2**40), 2**40) | st.booleans(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORDS, inner, max_size=3),
    max_leaves=10,
)


@given(st.dictionaries(WORDS, VALUES, max_size=4))
@settings(max_examples=200)
def test_what_goes_in_comes_out(tables: dict[str, Any]) -> None:
    piece = pack_lift(tables)
    assert unpack_lift(piece) == tables
    assert piece.replace("-", "").replace("_", "").isalnum()


@pytest.mark.parametrize("piece", ["", "!", "é", "AAAA", "x" * (MOST_LINK + 1), pack_lift({"a": "b"})[:-3]])
def test_a_damaged_link_says_so(piece: str) -> None:
    with pytest.raises(InputFault, match="damaged") as caught:
        unpack_lift(piece)
    assert caught.value.field == "", "no field of the page is at fault"


def test_a_link_that_swells_is_refused_before_it_does() -> None:
    bomb = base64.urlsafe_b64encode(zlib.compress(json.dumps({"a": "0" * 40_000_000}).encode(), 9))
    with pytest.raises(InputFault, match="damaged"):
        unpack_lift(bomb.decode().rstrip("="))


def test_no_list_is_taken_for_a_lift() -> None:
    piece = base64.urlsafe_b64encode(zlib.compress(b"[1]")).decode()
    with pytest.raises(InputFault, match="damaged"):
        unpack_lift(piece)
