"""The curve holds nothing that is beaten and leaves out nothing that is better; stock against made."""

from __future__ import annotations

import itertools

from slingwright.choose.search import Search
from slingwright.choose.tradeoff import supplies, trade_off
from tests.lifts import read_document
from tests.unit.choose.test_change import document, setting_of

NOTICED = 1.05  # choose/tradeoff.py says so, and so does the answer


def test_no_point_of_the_curve_is_beaten_and_all_that_passed_are_covered() -> None:
    search = Search(setting_of(read_document(document(weight="9000 lb"))))
    best = search.walk("price").best
    assert best is not None
    curve = trade_off(search, only=lambda e: True, tries=40)
    figures = [(p.price_minor, p.hook_height_m, p.mass_kg, p.utilisation) for p in curve]
    assert len(figures) > 1
    assert curve[0].price_minor == best.candidate.price_minor
    for a, b in itertools.permutations(figures, 2):
        assert not all(x <= y for x, y in zip(a, b, strict=True))
    for verdict in search.passed():
        if verdict.grade == 0:
            mine = (verdict.candidate.price_minor, verdict.facts.hook_height_m, verdict.candidate.mass_kg)
            assert any(all(x <= y * NOTICED for x, y in zip(f, mine, strict=False)) for f in figures)


def test_stock_against_made_tells_both_bests() -> None:
    lift = read_document(document())
    search = Search(setting_of(lift))
    stock = search.walk("price", only=lambda e: bool(e.stock))
    made = search.walk("price", only=lambda e: not e.stock)
    both = supplies(stock, made)
    assert stock.answer is not None
    assert made.answer is not None
    assert both is not None
    assert both.stock_price_minor == stock.answer.candidate.price_minor
    assert both.made_price_minor == made.answer.candidate.price_minor
    assert both.stock_days == stock.answer.candidate.days < both.made_days
    assert both.made_tension_n == max(s.design_n for s in made.answer.shares)
    assert supplies(search.walk("price", only=lambda e: False), made) is None
