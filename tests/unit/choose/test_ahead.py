"""How far columns are sifted whole changes how many rows are hung, never what is found or counted."""

from __future__ import annotations

from typing import Any

import pytest

from slingwright.choose.ahead import Ahead
from slingwright.choose.fallen import rejected
from slingwright.choose.search import Found, Search
from slingwright.choose.setting import Setting, draw
from slingwright.rulebook import load_rulebook
from tests.lifts import read_document
from tests.shops import harrow_quay, harrow_quay_prices

DRAWS = draw(1, samples=128)


def _setting() -> Setting:
    """Four lugs on a box, its centre off the middle: unequal legs are cheapest, and graded for swaps."""
    corners = {"A": (1.4, 0.5), "B": (11.2, 0.5), "C": (11.2, 3.6), "D": (1.4, 3.6)}
    doc: dict[str, Any] = {
        "load": {
            "weight": "7000 lb", "known_by": "plate", "shape": "box",
            "length": "12.6 ft", "width": "4.1 ft", "height": "3 ft",
            "centre_of_gravity": ["6.6 ft", "2 ft", "1.5 ft"],
            "pick_point": [
                {"name": name, "at": [f"{x} ft", f"{y} ft", "3 ft"], "pin": "1 in"}
                for name, (x, y) in corners.items()
            ],
            "surface_temperature": "80 °F",
        },
        "hook": {"headroom": "22 ft", "thickness": "2 in"},
    }  # fmt: skip
    return Setting(
        lift=read_document(doc), rulebook=load_rulebook("us"), shop=harrow_quay(), book=harrow_quay_prices(),
        draws=DRAWS,
    )  # fmt: skip


class _Counting(Search):
    """Counts the rows that the sieve is asked for."""

    asked = 0

    def ask(self, questions: Any, **how: Any) -> None:
        self.asked += sum(len(q.row) for q in questions)
        super().ask(questions, **how)


def _walked(monkeypatch: pytest.MonkeyPatch, horizon: int | None) -> tuple[int, Found, dict[str, int]]:
    def look(ahead: Ahead, *, graded_lose: bool) -> None:
        if ahead.sources:
            ahead.sources, ahead.horizon = [], horizon

    monkeypatch.setattr(Ahead, "look", look)
    search = _Counting(_setting())
    found = search.walk("price")
    return search.asked, found, rejected(search, found)


def test_whatever_stands_for_the_horizon_the_same_is_found_and_counted(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    every, found, counts = _walked(monkeypatch, None)
    assert found.best is not None
    assert found.best_grade_1 is not None
    price = found.best.candidate.price_minor
    assert price > found.best_grade_1.candidate.price_minor
    asked = {}
    for horizon in (0, price - 1, price, 2 * price):
        asked[horizon], other, others = _walked(monkeypatch, horizon)
        assert other.best is not None
        assert other.best.candidate.text == found.best.candidate.text
        assert sum(others.values()) == sum(counts.values())
    assert asked[price] < 0.9 * every


def test_it_is_seen_about_where_a_walk_ends() -> None:
    """The answer's legs differ by a step or two; legs of one length cost hardly more."""
    search = Search(_setting())
    seen = []
    look = Ahead.look

    def looked(ahead: Ahead, *, graded_lose: bool) -> None:
        look(ahead, graded_lose=graded_lose)
        seen.append(ahead.horizon)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Ahead, "look", looked)
        found = search.walk("price")
    assert found.best is not None
    assert found.best.candidate.price_minor <= seen[0] < 1.2 * found.best.candidate.price_minor


def test_where_anything_may_win_that_passes_its_horizon_spares_rows() -> None:
    """The cheapest of all that passes has unequal legs: some rows of every make tell about where it is."""
    setting, asked, seen = _setting(), {}, []
    look = Ahead.look
    for sees in (False, True):

        def looked(ahead: Ahead, *, graded_lose: bool, sees: bool = sees) -> None:
            assert not graded_lose
            if sees:
                look(ahead, graded_lose=graded_lose)
                seen.append(ahead.horizon)

        search = _Counting(setting, only_best=True)
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(Ahead, "look", looked)
            found = search.walk("price", enough=1)
        assert found.best_grade_1 is not None
        asked[sees] = search.asked, found.best_grade_1.candidate
    assert asked[True][1] == asked[False][1]
    assert asked[True][1].price_minor <= seen[0] < 1.2 * asked[True][1].price_minor
    assert asked[True][0] < 0.9 * asked[False][0]
