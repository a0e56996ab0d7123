"""The next question: of all that is not known, the one answer that would move the choice most.

Each unknown has a range: the one the lift file gives, or the one stated here. The range is cut where the
answer to the lift changes: it is searched at evenly spaced places, and between two that differ it is
halved. What knowing it is worth is the mean over the range of how far the price moves; see
`explained.Question`. A question none of whose answers changes price, family, fibre or grade is not asked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import NamedTuple

from slingwright.check.temperature import hottest_k
from slingwright.choose.again import Again
from slingwright.choose.change import with_centre_known, with_weight_known
from slingwright.choose.explained import Piece, Question, Standing
from slingwright.lift.assumptions import assumptions
from slingwright.lift.model import ChokeStated, EdgeRadius, KnownBy, Lift
from slingwright.sling import Fibre

__all__ = ["matters", "most_worth", "next_question", "open_points", "weigh", "weigh_questions"]

_PLACES = 3  # of a range that are searched first
_HALVINGS = 3  # between two that differ
_MATTERS = 0.005  # of the price (own judgement)
# Ranges where the lift file gives none (own judgement)
_HOOK_M, _PIN_M = (0.02, 0.10), (0.012, 0.075)
_COLDEST_SURFACE_K = 293.15  # nothing said of the place either: from a room's temperature
_ABOVE_LIMIT_K = 10.0  # and to so much above what the most heat-proof fibre stands
_LEAST_EDGE_M = 0.001  # as good as sharp
_Asked = Callable[[float], Lift]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Range:
    """An unknown figure: from where to where, and the lift in which it is known."""

    code: str
    unit: str
    low: float
    high: float
    lift: _Asked

    @property
    def is_figure(self) -> bool:
        """It is: cutting its range takes many searches."""
        return True


@dataclass(frozen=True, slots=True, kw_only=True)
class _Choice:
    """An unknown of few answers, and the lift for each."""

    code: str
    answers: tuple[tuple[str, Lift], ...]

    @property
    def is_figure(self) -> bool:
        """It is not: each answer is one search."""
        return False


OpenPoint = _Range | _Choice


def next_question(again: Again, *, without: frozenset[str] = frozenset()) -> Question | None:
    """The question to ask first; None where no answer matters.

    Parameters
    ----------
    again
        Searches altered lifts.
    without
        Codes not to ask (the user does not know).

    Raises
    ------
    OutOfTime
        Before all questions were weighed.
    """
    return most_worth(weigh_questions(again, without=without), again.now)


def most_worth(weighed: Iterable[Question], now: Standing) -> Question | None:
    """The one to ask of questions in the order a rigger asks; None where none matters."""
    asked = (q for q in weighed if matters(q, now))  # of equals the first
    return max(asked, key=lambda q: (q.worth_minor, q.changes), default=None)


def matters(question: Question, now: Standing) -> bool:
    """Whether its answer can change kind or grade, or moves the price by more than nobody would mind."""
    price = now.price_minor or max((p.then.price_minor or 0 for p in question.pieces), default=0)
    return question.changes > 0 or question.worth_minor > _MATTERS * price


def weigh_questions(again: Again, *, without: frozenset[str] = frozenset()) -> Iterator[Question]:
    """Every unknown of the lift with what its answers lead to, in a fixed order."""
    for point in open_points(again, without=without):
        yield weigh(again, point)


def open_points(again: Again, *, without: frozenset[str] = frozenset()) -> tuple[OpenPoint, ...]:
    """What the lift leaves open and may be asked, in the order a rigger asks; nothing without a weight."""
    if again.setting.lift.load.weight.high_n is None:
        return ()
    return tuple(point for point in _unknowns(again) if point.code not in without)


def weigh(again: Again, point: OpenPoint) -> Question:
    """The question of an open point, with what its answers lead to.

    Raises
    ------
    OutOfTime
        Before that was known.
    """
    pieces = _cut(again, point) if isinstance(point, _Range) else _choices(again, point)
    unit = point.unit if isinstance(point, _Range) else ""
    return _weighed(again.now, point.code, unit, pieces)


def _weighed(now: Standing, code: str, unit: str, pieces: tuple[Piece, ...]) -> Question:
    return Question(
        code=code,
        unit=unit,
        worth_minor=sum(p.share * _moved(now, p.then) for p in pieces),
        changes=sum(p.share for p in pieces if _kind(p.then) != _kind(now)),
        pieces=pieces,
    )


def _moved(now: Standing, then: Standing) -> float:
    """How far the price moves [minor units]; all of it where there is an answer on one side only."""
    return abs((now.price_minor or 0) - (then.price_minor or 0))


def _kind(standing: Standing) -> tuple[int, str, Fibre | None]:
    return standing.grade, standing.family, standing.specs[0].fibre if standing.specs else None


def _same(one: Standing, other: Standing) -> bool:
    """Whether two answers are the same to the buyer: kind and price."""
    return (_kind(one), one.price_minor) == (_kind(other), other.price_minor)


def _rank(standing: Standing) -> tuple[bool, int, int]:
    """Less is better: an answer before none, then by its grade, then by its price."""
    return standing.price_minor is None, standing.grade, standing.price_minor or 0


def _choices(again: Again, unknown: _Choice) -> tuple[Piece, ...]:
    share = 1 / len(unknown.answers)
    return tuple(
        Piece(choice=name, low=None, high=None, share=share, then=again.answer(lift))
        for name, lift in unknown.answers
    )


def _cut(again: Again, unknown: _Range) -> tuple[Piece, ...]:
    """The range in stretches of one answer each."""
    width = unknown.high - unknown.low
    places = [unknown.low + width * i / (_PLACES - 1) for i in range(_PLACES)]
    found = [(x, again.answer(unknown.lift(x))) for x in places]
    ends: list[_End] = []
    for (x0, s0), (x1, s1) in pairwise(found):
        if not _same(s0, s1):
            ends.extend(_borders(again, unknown, (x0, s0), (x1, s1)))
    ends.append(_End(unknown.high, unknown.high, found[-1][1]))
    starts = [_End(unknown.low, unknown.low, found[0][1]), *ends[:-1]]
    return tuple(
        Piece(
            choice="", low=start.sure, high=end.sure, share=(end.about - start.about) / width, then=end.then
        )
        for start, end in zip(starts, ends, strict=True)
    )


class _End(NamedTuple):
    """Where a stretch ends, and its answer: about, and as far as it is sure.

    What lies between the last two places that were looked at counts for the worse answer of the two; half of
    it for either where only its worth is weighed.
    """

    about: float
    sure: float
    then: Standing


def _borders(
    again: Again, unknown: _Range, low: tuple[float, Standing], high: tuple[float, Standing], depth: int = 0
) -> Iterator[_End]:
    """Where the answer changes between two places that differ, each with the answer below it."""
    middle = (low[0] + high[0]) / 2
    if depth == _HALVINGS:
        yield _End(middle, (low if _rank(low[1]) < _rank(high[1]) else high)[0], low[1])
        return
    between = (middle, again.answer(unknown.lift(middle)))
    if not _same(low[1], between[1]):
        yield from _borders(again, unknown, low, between, depth + 1)
    if not _same(between[1], high[1]):
        yield from _borders(again, unknown, between, high, depth + 1)


def _unknowns(again: Again) -> Iterator[_Range | _Choice]:
    """What the lift leaves open, in the order a rigger asks."""
    lift = again.setting.lift
    yield from _weight(lift)
    yield from _centre(lift)
    if not lift.load.pick_points:
        yield from _grip(again, lift)
    yield from _surface(again, lift)
    yield from _fittings(lift)


def _weight(lift: Lift) -> Iterator[_Range]:
    weight = lift.load.weight
    share = assumptions().tolerance[KnownBy.SCALE].weight
    low, high, nominal = weight.low_n, weight.high_n, weight.nominal_n
    if low is None or high is None or nominal is None or high <= nominal * (1 + share) * (1 + 1e-9):
        return
    # a weighing finds at most what the bound allows, tolerance included
    yield _Range(
        code="weight",
        unit="N",
        low=max(low, high / 10),
        high=high / (1 + share),
        lift=lambda x: with_weight_known(lift, x),
    )


def _centre(lift: Lift) -> Iterator[_Choice]:
    """Found in the middle of its box, or half-way to each side of it."""
    load, centre = lift.load, lift.load.centre
    share = assumptions().tolerance[KnownBy.SCALE].centre
    extents = (load.length_m, load.width_m)
    boxes = list(zip(centre.low_m, centre.high_m, strict=True))[:2]
    if all(high - low <= 2 * share * e * (1 + 1e-9) for (low, high), e in zip(boxes, extents, strict=True)):
        return
    x, y, z = ((low + high) / 2 for low, high in zip(centre.low_m, centre.high_m, strict=True))
    dx, dy = ((high - low) / 4 for low, high in boxes)
    places = {
        "middle": (x, y, z),
        "left": (x - dx, y, z),
        "right": (x + dx, y, z),
        "front": (x, y - dy, z),
        "back": (x, y + dy, z),
    }
    answers = tuple((name, with_centre_known(lift, at)) for name, at in places.items())
    yield _Choice(code="centre", answers=answers)


def _grip(again: Again, lift: Lift) -> Iterator[_Range | _Choice]:
    load, setting = lift.load, again.setting
    if load.edge.radius_m is None and any(s.radius_m is None for s in load.sections):
        ratio = setting.rulebook.limit("edge_former_ratio").value
        thickest = max(w.thickness_m for w in setting.shop.webbings) * max(setting.shop.plies)
        yield _Range(
            code="edge-radius",
            unit="m",
            low=_LEAST_EDGE_M,
            high=ratio * thickest,
            lift=lambda x: replace(lift, load=replace(load, edge=EdgeRadius(radius_m=x))),
        )
    if load.choke is ChokeStated.UNKNOWN:
        free = replace(lift, load=replace(load, choke=ChokeStated.FREE))
        yield _Choice(code="choke-angle", answers=(("free", free), ("pulled-sideways", lift)))


def _surface(again: Again, lift: Lift) -> Iterator[_Range]:
    if lift.load.surface_temperature_k is not None:
        return
    book = again.setting.rulebook
    fibres = {w.fibre for w in again.setting.shop.webbings}
    top = max(book.max_temperature_k(f).value for f in fibres) + _ABOVE_LIMIT_K
    low = hottest_k(lift)
    low = _COLDEST_SURFACE_K if low is None else low
    if low < top:
        yield _Range(
            code="surface-temperature",
            unit="K",
            low=low,
            high=top,
            lift=lambda x: replace(lift, load=replace(lift.load, surface_temperature_k=x)),
        )


def _fittings(lift: Lift) -> Iterator[_Range | _Choice]:
    if any(h.thickness_m is None for h in lift.hooks):
        yield _Range(
            code="hook-thickness",
            unit="m",
            low=_HOOK_M[0],
            high=_HOOK_M[1],
            lift=lambda x: replace(
                lift, hooks=tuple(h if h.thickness_m else replace(h, thickness_m=x) for h in lift.hooks)
            ),
        )
    picks = lift.load.pick_points
    if any(p.pin_m is None for p in picks):
        yield _Range(
            code="pin",
            unit="m",
            low=_PIN_M[0],
            high=_PIN_M[1],
            lift=lambda x: replace(
                lift,
                load=replace(
                    lift.load, pick_points=tuple(p if p.pin_m else replace(p, pin_m=x) for p in picks)
                ),
            ),
        )
    if any(not p.rated_at_stated for p in picks):
        yield _Choice(
            code="pick-rating-angle",
            answers=(
                ("any-angle", _rated_at(lift, vertical=False)),
                ("vertical-only", _rated_at(lift, vertical=True)),
            ),
        )


def _rated_at(lift: Lift, *, vertical: bool) -> Lift:
    picks = tuple(
        p if p.rated_at_stated else replace(p, rated_at_stated=True, vertical_only=vertical)
        for p in lift.load.pick_points
    )
    return replace(lift, load=replace(lift.load, pick_points=picks))
