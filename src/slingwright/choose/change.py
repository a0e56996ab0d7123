"""What would change the answer: the lift altered in one thing, and searched again.

More room above, weight and centre better known, rounded edges, a spreader beam, another pick point; where
nothing fits also a looser tilt, higher picks, slings made to order, and the heaviest load that does fit.
Nothing here relaxes a rule: each altered lift is judged as any other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from slingwright.choose.again import Again
from slingwright.choose.amounts import Try, best_of, least_of
from slingwright.choose.evaluate import Verdict
from slingwright.choose.explained import Change
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
# A beam that a hire yard might send: its weight and rating against the load's, its least top angle
_BEAM_WEIGHT, _BEAM_RATED, _BEAM_TOP_DEG = 0.05, 1.25, 45.0
_BEAM_SPAN = 0.5  # of the load's length, where slings go round it
_SAME_PLACE = 0.15  # of the load's diagonal: a pick already stands there
_PICKS = 4  # a hook takes no more legs gladly


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
        yield best_of(again, one, now) if now.fits else least_of(again, one, now)


def _tries(again: Again, *, nothing_fits: bool) -> Iterator[Try]:
    lift = again.setting.lift
    yield _room(lift, (*_MORE_ROOM, *_MUCH_MORE_ROOM) if nothing_fits else _MORE_ROOM)
    if nothing_fits:
        yield from _looser(again, lift)
        yield from _lighter(lift)
    yield from _known(lift)
    yield from _edges(again, lift)
    yield from _beam(again, lift)
    yield from _picks(lift)


def _room(lift: Lift, shares: tuple[float, ...]) -> Try:
    least = min(h.headroom_m for h in lift.hooks)

    def raised(room_m: float) -> Lift:
        hooks = tuple(replace(h, headroom_m=h.headroom_m + room_m - least) for h in lift.hooks)
        return replace(lift, hooks=hooks)

    def passes(verdict: Verdict, lift: Lift) -> bool:
        return verdict.facts.hook_height_m <= min(h.headroom_m for h in lift.hooks)

    more = tuple(least * share for share in shares)
    # a basket's way round the load is taken for a hook at the top of the room: not the same with more of it
    on_picks = bool(lift.load.pick_points)
    return Try(code="headroom", unit="m", amounts=more, lift=raised, passes=passes if on_picks else None)


def _looser(again: Again, lift: Lift) -> Iterator[Try]:
    """Wishes and supply that stand in the way; the rulebook's own limits stay."""
    now = lift.want.level_within_deg
    loose = tuple(now * s for s in _LOOSER_TILT if now * s <= _MOST_TILT_DEG)
    if loose:
        yield Try(
            code="level-within",
            unit="deg",
            amounts=loose,
            lift=lambda deg: replace(lift, want=replace(lift.want, level_within_deg=deg)),
            passes=lambda verdict, loose: verdict.facts.tilt_deg <= loose.want.level_within_deg,
        )
    angle, least = lift.want.least_angle_deg, again.setting.rulebook.limit("least_angle_deg").value
    flatter = tuple(angle - (angle - least) * s for s in _FLATTER)
    if angle > least:
        yield Try(
            code="least-angle",
            unit="deg",
            amounts=flatter,
            lift=lambda deg: replace(lift, want=replace(lift.want, least_angle_deg=deg)),
            passes=None if lift.beams else _steep_enough,  # above a beam other lengths are tried
        )
    if lift.want.stock_only:
        made = replace(lift, want=replace(lift.want, stock_only=False))
        yield Try(code="made-to-order", unit="", amounts=(0.0,), lift=lambda _: made)


def _steep_enough(verdict: Verdict, lift: Lift) -> bool:
    return verdict.facts.least_angle_from_horizontal_deg >= lift.want.least_angle_deg


def _lighter(lift: Lift) -> Iterator[Try]:
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
    yield Try(code="lighter", unit="N", amounts=amounts, lift=lightened)


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


def _known(lift: Lift) -> Iterator[Try]:
    weight, centre = lift.load.weight, lift.load.centre
    if weight.nominal_n is not None and weight.high_n is not None:
        nominal = weight.nominal_n
        weighed = with_weight_known(lift, nominal)
        bound = weighed.load.weight.high_n
        if bound is not None and bound < weight.high_n:
            yield Try(code="weight-known", unit="N", amounts=(bound,), lift=lambda _: weighed)
    found = with_centre_known(lift, centre.nominal_m)
    if (
        not centre.known
        or found.load.centre.low_m != centre.low_m
        or found.load.centre.high_m != centre.high_m
    ):
        yield Try(code="centre-known", unit="", amounts=(0.0,), lift=lambda _: found)


def _edges(again: Again, lift: Lift) -> Iterator[Try]:
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
        yield Try(code="edge-rounded", unit="m", amounts=(wanted,), lift=lambda _: rounded)


def _beam(again: Again, lift: Lift) -> Iterator[Try]:
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

    yield Try(code="spreader-beam", unit="m", amounts=(span,), lift=under)


def _picks(lift: Lift) -> Iterator[Try]:
    picks = lift.load.pick_points
    if 0 < len(picks) < _PICKS and len(lift.hooks) == 1:
        one = _facing_pick(lift)
        if one is not None:
            more = replace(lift, load=replace(lift.load, pick_points=(*picks, one)))
            yield Try(code="another-pick", unit="", amounts=(0.0,), lift=lambda _: more)
    top = lift.load.height_m
    if picks and min(p.at_m[2] for p in picks) < top:
        higher = tuple(replace(p, at_m=(p.at_m[0], p.at_m[1], max(p.at_m[2], top))) for p in picks)
        raised = replace(lift, load=replace(lift.load, pick_points=higher))
        yield Try(code="higher-picks", unit="m", amounts=(top,), lift=lambda _: raised)


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
