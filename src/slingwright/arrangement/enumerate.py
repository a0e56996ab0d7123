"""Every arrangement a lift allows: families × placements along the load × which way round.

The space is finite and written down in `docs/reference/search-space.md`; nothing here looks at a
sling's strength, its price or its stiffness.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from slingwright.arrangement.model import Arrangement, Holding, Round
from slingwright.arrangement.section import perimeter, taut_string, top_of
from slingwright.lift.model import Beam, Lift, Load, PickPoint, Section
from slingwright.sling import Hitch

__all__ = ["GridSteps", "arrangements", "refit"]

Vector = tuple[float, float, float]

_END_M = 1e-6
_MADE_AT_MOST = 4  # legs of individual length: more orders to hang them wrong than a mark can prevent
_NAMES = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True, kw_only=True)
class GridSteps:
    """The shop's steps along the load."""

    placement_m: float


def arrangements(lift: Lift, steps: GridSteps) -> Iterator[Arrangement]:
    """All arrangements of the lift, in a fixed order.

    Pick points, where there are any, are what the buyer wants gripped: then nothing goes round the load.
    """
    if lift.load.pick_points:
        yield from _at_picks(lift)
    else:
        yield from _round_load(lift, steps)


def _at_picks(lift: Lift) -> Iterator[Arrangement]:
    picks = lift.load.pick_points
    if len(lift.hooks) > 1:
        yield from _picks_on_hooks(lift, picks)
        return
    hooks = (_over_centre(lift),)
    family = {1: "vertical", 2: "bridle-2", 3: "bridle-3", 4: "bridle-4"}.get(len(picks), "bridle-n")
    holdings = tuple(_leg(p, i) for i, p in enumerate(picks))
    equal = Arrangement(family=family, placement="picks", holdings=holdings, hooks_xy_m=hooks)
    yield equal
    if 1 < len(picks) <= _MADE_AT_MOST:
        yield replace(equal, lengths="made")
    for beam in lift.beams:
        yield from _picks_on_beam(lift, beam, picks)


def _leg(pick: PickPoint, index: int, *, hook: int | None = 0, beam_end: int | None = None) -> Holding:
    return Holding(
        id=_NAMES[index],
        hitch=Hitch.VERTICAL,
        pick=pick.name,
        lower_m=pick.at_m,
        hook=hook,
        beam_end=beam_end,
    )


def _over_centre(lift: Lift) -> tuple[float, float]:
    hook = lift.hooks[0]
    centre = lift.load.centre.nominal_m
    return hook.at_m if hook.at_m is not None else (centre[0], centre[1])


def _hook_places(lift: Lift) -> tuple[tuple[float, float], ...]:
    """Where several hooks stand; a hook without a place stands over the centre."""
    return tuple(h.at_m if h.at_m is not None else _over_centre(lift) for h in lift.hooks)


def _picks_on_hooks(lift: Lift, picks: tuple[PickPoint, ...]) -> Iterator[Arrangement]:
    """Each pick point hangs on the hook nearest to it; every hook must hold at least one."""
    places = _hook_places(lift)
    nearest = [_nearest(places, p.at_m[:2]) for p in picks]
    if set(nearest) != set(range(len(places))):
        return
    holdings = tuple(_leg(p, i, hook=nearest[i]) for i, p in enumerate(picks))
    equal = Arrangement(family="hooks-vertical", placement="picks", holdings=holdings, hooks_xy_m=places)
    yield equal
    if len(picks) <= _MADE_AT_MOST:
        yield replace(equal, lengths="made")


def _nearest(places: tuple[tuple[float, float], ...], at_m: tuple[float, float]) -> int:
    return min(range(len(places)), key=lambda k: math.dist(places[k], at_m))


def _picks_on_beam(lift: Lift, beam: Beam, picks: tuple[PickPoint, ...]) -> Iterator[Arrangement]:
    """Each pick point hangs on the beam's nearer end; both ends must hold the same number."""
    x, y = _over_centre(lift)
    ends = [0 if p.at_m[0] < x else 1 for p in picks]
    if not picks or ends.count(0) != ends.count(1):
        return
    low = tuple(_leg(p, i + 2, hook=None, beam_end=ends[i]) for i, p in enumerate(picks))
    yield Arrangement(
        family="beam-vertical",
        placement=f"beam {beam.name}",
        holdings=(*_beam_tops(), *low),
        lengths="beam",
        beam=beam,
        hooks_xy_m=((x, y),),
    )


def _beam_tops() -> tuple[Holding, Holding]:
    """The two slings between hook and beam."""
    first, second = (
        Holding(id=_NAMES[end], hitch=Hitch.VERTICAL, role="top", hook=0, beam_end=end) for end in (0, 1)
    )
    return first, second


def _round_load(lift: Lift, steps: GridSteps) -> Iterator[Arrangement]:
    if not lift.load.sections:
        return
    for place in _placements(lift, steps):
        for hitch in (Hitch.BASKET, Hitch.CHOKER):
            for wraps in (1, 2):
                yield from _with_heights(lift, place, hitch, wraps=wraps)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """Where slings lie along the load, and which hook or beam each hangs on."""

    xs_m: tuple[float, ...]
    hooks_xy_m: tuple[tuple[float, float], ...]
    sits: tuple[int, ...]  # which hook each sling takes
    beam: Beam | None = None

    def family(self, hitch: Hitch, wraps: int) -> str:
        """The family's code for this hitch here."""
        what = f"{'double-' if wraps > 1 else ''}{hitch}"
        if self.beam is not None:
            return f"beam-{what}"
        return f"hooks-{what}" if len(self.hooks_xy_m) > 1 else f"{what}-{len(self.xs_m)}"


def _placements(lift: Lift, steps: GridSteps) -> Iterator[_Place]:
    load, centre = lift.load, lift.load.centre.nominal_m
    if len(lift.hooks) > 1:
        places = _hook_places(lift)
        yield from _if_it_may_lie(
            load, _Place(xs_m=tuple(p[0] for p in places), hooks_xy_m=places, sits=tuple(range(len(places))))
        )
        return
    over = _over_centre(lift)
    yield from _if_it_may_lie(load, _Place(xs_m=(centre[0],), hooks_xy_m=(over,), sits=(0,)))
    for a in _offsets(load, steps.placement_m):
        yield from _if_it_may_lie(
            load, _Place(xs_m=(centre[0] - a, centre[0] + a), hooks_xy_m=(over,), sits=(0, 0))
        )
    for beam in lift.beams:
        half = beam.span_m / 2
        yield from _if_it_may_lie(
            load, _Place(xs_m=(over[0] - half, over[0] + half), hooks_xy_m=(over,), sits=(0, 0), beam=beam)
        )


def _if_it_may_lie(load: Load, place: _Place) -> Iterator[_Place]:
    spans = load.bears_m or ((0.0, load.length_m),)
    # at the very end of a span no web can lie, whatever its width
    if all(any(low + _END_M < x < high - _END_M for low, high in spans) for x in place.xs_m):
        yield place


def _offsets(load: Load, step_m: float) -> Iterator[float]:
    count = int(load.length_m / 2 / step_m)
    yield from (step_m * k for k in range(1, count + 1))


def _with_heights(lift: Lift, place: _Place, hitch: Hitch, *, wraps: int) -> Iterator[Arrangement]:
    """One arrangement for each span of hook heights in which a basket's string touches other edges.

    Off a polygon the string leaves at the same edges until the hook crosses the line through one of its
    sides; a round section is one span, its tangents taken anew for each hook (`refit`).
    """
    bounds = _edge_heights(lift, place) if hitch is Hitch.BASKET else []
    top = max(h.headroom_m for h in lift.hooks)
    base = max(
        top_of(lift.load.section_at(x), place.hooks_xy_m[k][1])
        for x, k in zip(place.xs_m, place.sits, strict=True)
    )
    edges = [min(base, top), *(h for h in bounds if base < h < top), math.inf]
    made: list[tuple[Arrangement, tuple[float, float]]] = []
    for low, high in pairwise(edges):
        middle = (low + high) / 2 if high < math.inf else max(top, 2 * low)
        arrangement = _arrange(lift, place, hitch, wraps=wraps, height_m=middle)
        if arrangement is not None:
            made.append((arrangement, (low, high)))
    if len(made) == 1:
        yield made[0][0]
        return
    for arrangement, span in made:
        yield replace(arrangement, level_height_m=span)


def _edge_heights(lift: Lift, place: _Place) -> list[float]:
    """Heights at which the hook crosses the line through a side of a section it hangs over, rising."""
    found: set[float] = set()
    for i, x in enumerate(place.xs_m):
        section = lift.load.section_at(x)
        if section.radius_m is not None:
            continue
        y = place.hooks_xy_m[place.sits[i]][1]
        over = top_of(section, y)
        ring = section.points_m
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
            if a[0] != b[0]:
                height = a[1] + (y - a[0]) * (b[1] - a[1]) / (b[0] - a[0])
                if height > over:
                    found.add(round(height, 9))  # two sides may meet the middle line at one height
    return sorted(found)


def refit(lift: Lift, arrangement: Arrangement, hooks_m: tuple[Vector | None, ...]) -> Arrangement:
    """The arrangement with each basket's string taken anew for where its upper end stands.

    Parameters
    ----------
    lift, arrangement
        The lift; the arrangement to refit.
    hooks_m : tuple
        For each holding the place of its upper end in the load's own coordinates [m]; None leaves it.

    Returns
    -------
    Arrangement
        The same one where nothing goes round the load, or where an upper end stands inside its section.
    """
    holdings = [_refit_one(lift, h, hook) for h, hook in zip(arrangement.holdings, hooks_m, strict=True)]
    return replace(arrangement, holdings=tuple(holdings))


def _refit_one(lift: Lift, holding: Holding, hook_m: Vector | None) -> Holding:
    way = holding.round
    if way is None or hook_m is None or holding.hitch is not Hitch.BASKET:
        return holding
    section = lift.load.section_at(way.x_m)
    anew = _way_round(section, way.x_m, hook_yz=hook_m[1:], hitch=holding.hitch, wraps=holding.wraps)
    return holding if anew is None else replace(holding, round=anew)


def _arrange(lift: Lift, place: _Place, hitch: Hitch, *, wraps: int, height_m: float) -> Arrangement | None:
    on_beam = place.beam is not None
    holdings: list[Holding] = list(_beam_tops()) if on_beam else []
    for i, x in enumerate(place.xs_m):
        hook_y = place.hooks_xy_m[place.sits[i]][1]
        way = _way_round(lift.load.section_at(x), x, hook_yz=(hook_y, height_m), hitch=hitch, wraps=wraps)
        if way is None:
            return None
        name = _NAMES[len(holdings)]
        sits, end = (None, i) if on_beam else (place.sits[i], None)
        holdings.append(Holding(id=name, hitch=hitch, wraps=wraps, hook=sits, beam_end=end, round=way))
    text = "x " + " ".join(f"{x:.4f}" for x in place.xs_m)
    return Arrangement(
        family=place.family(hitch, wraps),
        placement=text if place.beam is None else f"beam {place.beam.name} {text}",
        holdings=tuple(holdings),
        lengths="beam" if on_beam else "equal",
        beam=place.beam,
        hooks_xy_m=place.hooks_xy_m,
    )


def _way_round(
    section: Section, x_m: float, *, hook_yz: tuple[float, float], hitch: Hitch, wraps: int
) -> Round | None:
    """The sling's way round the section, or None where the hook would stand inside it."""
    once = perimeter(section)
    edges = 0 if section.radius_m is not None else len(section.points_m)
    if hitch is Hitch.CHOKER:
        bite = (x_m, hook_yz[0], top_of(section, hook_yz[0]))
        return Round(
            x_m=x_m,
            turns_m=(bite,),
            lies_m=0.0,
            loop_m=wraps * once,
            contact_rad=2 * math.pi * wraps,
            perimeter_m=once,
            radius_m=section.radius_m,
            edges=edges,
            curved=section.radius_m is not None,
            centre_yz_m=section.centre_yz_m,
            wraps=wraps,
        )
    try:
        string = taut_string(section, hook_yz)
    except ValueError:
        return None
    more = wraps - 1
    turns = tuple((x_m, y, z) for y, z in string.turns_m)
    return Round(
        x_m=x_m,
        turns_m=turns,
        lies_m=string.lies_m + more * once,
        loop_m=0.0,
        contact_rad=string.contact_rad + 2 * math.pi * more,
        perimeter_m=once,
        radius_m=section.radius_m,
        edges=0 if section.radius_m is not None else (len(turns) if more == 0 else edges),
        curved=section.radius_m is not None,
        centre_yz_m=section.centre_yz_m,
        wraps=wraps,
    )
