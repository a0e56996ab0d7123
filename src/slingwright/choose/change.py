"""What would change the answer: the lift altered in one thing, and searched again.

More room above, weight and centre better known, rounded edges, a spreader beam, another pick point; where
nothing fits also a looser tilt, higher picks, slings made to order, and the heaviest load that does fit.
Nothing here relaxes a rule: each altered lift is judged as any other.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from slingwright.choose.again import Again
from slingwright.choose.explained import Change, Standing
from slingwright.lift.assumptions import assumptions
from slingwright.lift.model import Beam, Centre, EdgeRadius, KnownBy, Lift, PickPoint, Weight

__all__ = ["changes", "with_centre_known", "with_weight_known"]

# How much is tried (own judgement): what a site can often give, in a few steps
_MORE_ROOM = (1.1, 1.25, 1.5)
_MUCH_MORE_ROOM = (2.0, 3.0)  # only where nothing fits as it is
_LOOSER_TILT = (1.5, 2.0, 3.0)
_MOST_TILT_DEG = 10.0
_FLATTER = (1 / 3, 2 / 3, 1.0)  # of the way to the rulebook's own least angle
_LIGHTER = (1.0, 0.75, 0.5, 0.25, 0.12, 0.06, 0.03, 0.015)
_HALVINGS = 5  # of the room, tilt or weight that is just enough
# A beam that a hire yard might send: its weight and rating against the load's, its least top angle
_BEAM_WEIGHT, _BEAM_RATED, _BEAM_TOP_DEG = 0.05, 1.25, 45.0
_BEAM_SPAN = 0.5  # of the load's length, where slings go round it
_SAME_PLACE = 0.15  # of the load's diagonal: a pick already stands there
_PICKS = 4  # a hook takes no more legs gladly

_Altered = Callable[[float], Lift]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Try:
    """One thing to alter: amounts from small to large, and the lift altered by an amount."""

    code: str
    unit: str
    amounts: tuple[float, ...]
    lift: _Altered


def changes(again: Again) -> Iterator[Change]:
    """Each thing that could be done differently, in a fixed order, as its searches end.

    Where something fits now: the amount that helps most, the least of equals. Where nothing fits: the least
    amount found that makes the lift possible.

    Raises
    ------
    OutOfTime
        The time is over; what came before holds.
    """
    now = again.now
    for one in _tries(again, nothing_fits=not now.fits):
        yield _best_of(again, one, now) if now.fits else _least_of(again, one, now)


def _best_of(again: Again, one: _Try, now: Standing) -> Change:
    found = [(amount, again.answer(one.lift(amount))) for amount in one.amounts]
    amount, then = min(found, key=lambda pair: pair[1].order)
    return _change(one, amount, now, then)


def _least_of(again: Again, one: _Try, now: Standing) -> Change:
    """The first amount with an answer, then halved towards the last one without."""
    below: float | None = None
    then = now
    for amount in one.amounts:
        then = again.answer(one.lift(amount))
        if then.fits:
            break
        below = amount
    if not then.fits:
        return _change(one, one.amounts[-1], now, then)
    above = amount
    for _ in range(_HALVINGS if below is not None else 0):
        assert below is not None
        middle = (below + above) / 2
        between = again.answer(one.lift(middle))
        if between.fits:
            above, then = middle, between
        else:
            below = middle
    return _change(one, above, now, then)


def _change(one: _Try, amount: float, now: Standing, then: Standing) -> Change:
    both = now.price_minor is not None and then.price_minor is not None
    saved = (now.price_minor or 0) - (then.price_minor or 0) if both else None
    return Change(
        code=one.code,
        figure=amount if one.unit else None,
        unit=one.unit,
        then=then,
        saved_minor=saved,
        helps=then.order < now.order,
    )


def _tries(again: Again, *, nothing_fits: bool) -> Iterator[_Try]:
    lift = again.setting.lift
    yield _room(lift, (*_MORE_ROOM, *_MUCH_MORE_ROOM) if nothing_fits else _MORE_ROOM)
    if nothing_fits:
        yield from _looser(again, lift)
        yield from _lighter(lift)
    yield from _known(lift)
    yield from _edges(again, lift)
    yield from _beam(again, lift)
    yield from _picks(lift)


def _room(lift: Lift, shares: tuple[float, ...]) -> _Try:
    least = min(h.headroom_m for h in lift.hooks)

    def raised(room_m: float) -> Lift:
        hooks = tuple(replace(h, headroom_m=h.headroom_m + room_m - least) for h in lift.hooks)
        return replace(lift, hooks=hooks)

    more = tuple(least * share for share in shares)
    # nothing fits: the halving starts from the room there is
    return _Try(code="headroom", unit="m", amounts=more, lift=raised)


def _looser(again: Again, lift: Lift) -> Iterator[_Try]:
    """Wishes and supply that stand in the way; the rulebook's own limits stay."""
    now = lift.want.level_within_deg
    loose = tuple(now * s for s in _LOOSER_TILT if now * s <= _MOST_TILT_DEG)
    if loose:
        yield _Try(
            code="level-within",
            unit="deg",
            amounts=loose,
            lift=lambda deg: replace(lift, want=replace(lift.want, level_within_deg=deg)),
        )
    angle, least = lift.want.least_angle_deg, again.setting.rulebook.limit("least_angle_deg").value
    flatter = tuple(angle - (angle - least) * s for s in _FLATTER)
    if angle > least:
        yield _Try(
            code="least-angle",
            unit="deg",
            amounts=flatter,
            lift=lambda deg: replace(lift, want=replace(lift.want, least_angle_deg=deg)),
        )
    if lift.want.stock_only:
        made = replace(lift, want=replace(lift.want, stock_only=False))
        yield _Try(code="made-to-order", unit="", amounts=(0.0,), lift=lambda _: made)


def _lighter(lift: Lift) -> Iterator[_Try]:
    """Weight taken off: the amounts are upper bounds of what is left, heaviest first."""
    weight = lift.load.weight
    high = weight.high_n
    if high is None or weight.nominal_n is None:
        return

    def lightened(bound_n: float) -> Lift:
        less = bound_n / high
        light = replace(
            weight,
            nominal_n=None if weight.nominal_n is None else weight.nominal_n * less,
            low_n=None if weight.low_n is None else weight.low_n * less,
            high_n=bound_n,
        )
        return _with_weight(lift, light)

    amounts = tuple(high * s for s in _LIGHTER)
    yield _Try(code="lighter", unit="N", amounts=amounts, lift=lightened)


def with_weight_known(lift: Lift, nominal_n: float) -> Lift:
    """The lift with this weight read off a scale, with the tolerance of a scale."""
    share = assumptions().tolerance[KnownBy.SCALE].weight
    return _with_weight(
        lift,
        Weight(
            nominal_n=nominal_n,
            low_n=nominal_n * (1 - share),
            high_n=nominal_n * (1 + share),
            known_by=KnownBy.SCALE,
            stated_tolerance=True,
        ),
    )


def with_centre_known(lift: Lift, at_m: tuple[float, float, float]) -> Lift:
    """The lift with its centre found by weighing: a box of the scale's tolerance, within what was known."""
    share = assumptions().tolerance[KnownBy.SCALE].centre
    load, old = lift.load, lift.load.centre
    reach = [share * e for e in (load.length_m, load.width_m, load.height_m)]
    x, y, z = (
        (max(p - r, low), min(p + r, high))
        for p, r, low, high in zip(at_m, reach, old.low_m, old.high_m, strict=True)
    )
    centre = Centre(
        nominal_m=at_m,
        low_m=(x[0], y[0], z[0]),
        high_m=(x[1], y[1], z[1]),
        known=True,
        known_by=KnownBy.SCALE,
    )
    return replace(lift, load=replace(load, centre=centre))


def _with_weight(lift: Lift, weight: Weight) -> Lift:
    return replace(lift, load=replace(lift.load, weight=weight))


def _known(lift: Lift) -> Iterator[_Try]:
    weight, centre = lift.load.weight, lift.load.centre
    if weight.nominal_n is not None and weight.high_n is not None:
        nominal = weight.nominal_n
        weighed = with_weight_known(lift, nominal)
        bound = weighed.load.weight.high_n
        if bound is not None and bound < weight.high_n:
            yield _Try(code="weight-known", unit="N", amounts=(bound,), lift=lambda _: weighed)
    found = with_centre_known(lift, centre.nominal_m)
    if (
        not centre.known
        or found.load.centre.low_m != centre.low_m
        or found.load.centre.high_m != centre.high_m
    ):
        yield _Try(code="centre-known", unit="", amounts=(0.0,), lift=lambda _: found)


def _edges(again: Again, lift: Lift) -> Iterator[_Try]:
    """Edges rounded for good to what the thickest stack asks for (three thicknesses: the edge rule)."""
    setting = again.setting
    if lift.load.pick_points or all(s.radius_m is not None for s in lift.load.sections):
        return
    ratio = setting.rulebook.limit("edge_former_ratio").value
    thickest = max(w.thickness_m for w in setting.shop.webbings) * max(setting.shop.plies)
    wanted = ratio * thickest
    now = lift.load.edge.radius_m
    if now is None or now < wanted:
        rounded = replace(lift, load=replace(lift.load, edge=EdgeRadius(radius_m=wanted)))
        yield _Try(code="edge-rounded", unit="m", amounts=(wanted,), lift=lambda _: rounded)


def _beam(again: Again, lift: Lift) -> Iterator[_Try]:
    """A hired beam as wide as the picks are apart (or half the load), over one hook."""
    picks, load = lift.load.pick_points, lift.load
    if lift.beams or len(lift.hooks) > 1 or len(picks) % 2:
        return
    xs = [p.at_m[0] for p in picks]
    span = max(xs) - min(xs) if picks else load.length_m * _BEAM_SPAN
    if span <= 0:
        return
    weight = again.setting.weight_n

    def under(span_m: float) -> Lift:
        beam = Beam(
            name="hired",
            span_m=span_m,
            weight_n=weight * _BEAM_WEIGHT,
            rated_n=weight * _BEAM_RATED,
            least_top_angle_deg=_BEAM_TOP_DEG,
        )
        return replace(lift, beams=(beam,))

    yield _Try(code="spreader-beam", unit="m", amounts=(span,), lift=under)


def _picks(lift: Lift) -> Iterator[_Try]:
    picks = lift.load.pick_points
    if 0 < len(picks) < _PICKS and len(lift.hooks) == 1:
        one = _facing_pick(lift)
        if one is not None:
            more = replace(lift, load=replace(lift.load, pick_points=(*picks, one)))
            yield _Try(code="another-pick", unit="", amounts=(0.0,), lift=lambda _: more)
    top = lift.load.height_m
    if picks and min(p.at_m[2] for p in picks) < top:
        higher = tuple(replace(p, at_m=(p.at_m[0], p.at_m[1], max(p.at_m[2], top))) for p in picks)
        raised = replace(lift, load=replace(lift.load, pick_points=higher))
        yield _Try(code="higher-picks", unit="m", amounts=(top,), lift=lambda _: raised)


def _facing_pick(lift: Lift) -> PickPoint | None:
    """The pick that has none across the centre of gravity from it gets one there; the farthest first."""
    load, picks = lift.load, lift.load.pick_points
    x, y, _ = load.centre.nominal_m
    near = _SAME_PLACE * math.hypot(load.length_m, load.width_m)
    for pick in sorted(picks, key=lambda p: -math.dist(p.at_m[:2], (x, y))):
        place = (
            min(max(2 * x - pick.at_m[0], 0.0), load.length_m),
            min(max(2 * y - pick.at_m[1], 0.0), load.width_m),
            pick.at_m[2],
        )
        if all(math.dist(place[:2], p.at_m[:2]) > near for p in picks):
            return replace(pick, name="new pick", at_m=place)
    return None
