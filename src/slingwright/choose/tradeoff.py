"""Price against hook height, own mass and reserve, with dominated offers gone; and stock against made.

The curve is drawn from every candidate that was judged in full and passed with grade 0 while the lift was
answered, and from as many more, in the order of price, as the given number of tries allows. It claims no
more than that: none of the *judged* beats a point of it without losing something.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from slingwright.choose.evaluate import Verdict
from slingwright.choose.explained import Supplies, TradePoint
from slingwright.choose.present import measure_of
from slingwright.choose.search import Found, Search
from slingwright.choose.space import Entry

__all__ = ["supplies", "trade_off"]

_MICRO = 1_000_000
_NOTICED = 0.05  # of a figure (own judgement): the curve is a few good answers, not a list
MORE_TRIES = 60  # candidates past the best


def trade_off(
    search: Search, *, only: Callable[[Entry], bool], tries: int = MORE_TRIES
) -> tuple[TradePoint, ...]:
    """The curve, cheapest first."""
    search.walk_on("price", only=only, tries=tries)
    passed = [v for v in search.passed() if v.grade == 0]
    kept = _undominated([_point(v) for v in passed])
    return tuple(sorted(kept, key=lambda p: (p.price_minor, p.key)))


def _point(verdict: Verdict) -> TradePoint:
    candidate = verdict.candidate
    return TradePoint(
        key=candidate.text,
        family=candidate.arrangement.family,
        specs=candidate.specs,
        price_minor=candidate.price_minor,
        hook_height_m=verdict.facts.hook_height_m,
        mass_kg=candidate.mass_kg,
        utilisation=measure_of(verdict, "reserve") / _MICRO,
    )


def _figures(point: TradePoint) -> tuple[float, float, float, float]:
    return point.price_minor, point.hook_height_m, point.mass_kg, point.utilisation


def _undominated(points: Iterable[TradePoint]) -> list[TradePoint]:
    """Points that beat each kept one in some figure by more than a buyer would overlook, cheapest first."""
    kept: list[TradePoint] = []
    for point in sorted(points, key=lambda p: (_figures(p), p.key)):
        if not any(_as_good(k, point) for k in kept):
            kept.append(point)
    return kept


def _as_good(one: TradePoint, other: TradePoint) -> bool:
    """Whether one offer is at least as good as another in all figures, but for what nobody would notice."""
    return all(a <= b * (1 + _NOTICED) for a, b in zip(_figures(one), _figures(other), strict=True))


def supplies(stock: Found, made: Found) -> Supplies | None:
    """Stock against made to order by the best of each; None where one of them has no answer."""
    shelf, sewn = stock.answer, made.answer
    if shelf is None or sewn is None:
        return None
    return Supplies(
        stock_price_minor=shelf.candidate.price_minor,
        made_price_minor=sewn.candidate.price_minor,
        stock_days=shelf.candidate.days,
        made_days=sewn.candidate.days,
        stock_tilt_deg=_tilt(shelf),
        made_tilt_deg=_tilt(sewn),
        stock_tension_n=max(s.design_n for s in shelf.shares),
        made_tension_n=max(s.design_n for s in sewn.shares),
    )


def _tilt(verdict: Verdict) -> float:
    return max(c.hang.tilt_deg for c in verdict.cases if c.nominal and c.pose)
