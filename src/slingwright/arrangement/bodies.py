"""The one bridge from lift and slings to a hang problem. Nothing else makes one.

Round a load a sling is told twice: free to render (one tension along its path) and locked by friction
(each side its own leg). The worse counts (PRACTICE).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from slingwright.arrangement.geometry import basket_height, beam_low_height, level_hook_heights, upper_xy
from slingwright.arrangement.model import Arrangement, Holding
from slingwright.hang.problem import WORLD, Body, Path, Point, Problem
from slingwright.sling import Hitch

__all__ = ["LOAD", "BodyState", "SlingState", "build_problem", "build_problems", "renders"]

Vector = tuple[float, float, float]
LOAD, BEAM = "load", "beam"


@dataclass(frozen=True, slots=True, kw_only=True)
class SlingState:
    """A sling as the statics sees it: made length; vertical rated load and its strain there (stiffness)."""

    length_m: float
    rated_n: float
    strain_at_rated: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyState:
    """The load as the statics sees it: weight (upper bound, dynamic factor in) and centre of gravity.

    `beam_factor` is the dynamic factor for the beam, which swings with the load.
    """

    weight_n: float
    centre_of_gravity_m: Vector
    beam_factor: float = 1.0


def renders(arrangement: Arrangement) -> bool:
    """Whether any sling of the arrangement can render (is a basket)."""
    return any(h.hitch is Hitch.BASKET for h in arrangement.holdings)


def build_problem(
    arrangement: Arrangement, load: BodyState, slings: tuple[SlingState, ...], *, free: bool = False
) -> Problem:
    """The hang problem of an arrangement with these slings; `free` = baskets render.

    Parameters
    ----------
    arrangement : Arrangement
    load : BodyState
    slings : tuple of SlingState
        One for each holding, in its order.
    free : bool
        True: a basket is one path of many points; False: it is locked, each side its own path.

    Returns
    -------
    Problem

    Raises
    ------
    ValueError
        If a sling cannot reach its hook even on the level load.
    """
    (problem,) = build_problems(arrangement, load, (slings,), free=free)
    if problem is None:
        msg = "a sling cannot reach from the load to its hook"
        raise ValueError(msg)
    return problem


def build_problems(
    arrangement: Arrangement,
    load: BodyState,
    each: Sequence[tuple[SlingState, ...]],
    *,
    free: bool = False,
) -> Iterator[Problem | None]:
    """As `build_problem` of each set of slings; None of one that cannot reach its hook."""
    lengths = np.array([[s.length_m for s in slings] for slings in each])
    heights = level_hook_heights(arrangement, lengths)
    low = beam_low_height(arrangement, lengths) if arrangement.beam is not None else np.zeros(len(each))
    for slings, hooks_m, low_m in zip(each, heights.tolist(), low.tolist(), strict=True):
        reaches = all(math.isfinite(height) for height in hooks_m)
        yield _problem(arrangement, load, slings, hooks_m, low_m, free=free) if reaches else None


def _problem(
    arrangement: Arrangement,
    load: BodyState,
    slings: tuple[SlingState, ...],
    hooks_m: list[float],
    low_m: float,
    *,
    free: bool,
) -> Problem:
    """The problem with the hooks at these heights, and a beam's lower lugs at theirs."""
    paths: list[Path] = []
    for i, (holding, sling) in enumerate(zip(arrangement.holdings, slings, strict=True)):
        paths.extend(
            _paths(arrangement, holding, sling, i, upper=_upper(arrangement, holding, hooks_m), free=free)
        )
    bodies = [
        Body(name=LOAD, weight_n=load.weight_n, centre_of_gravity_m=load.centre_of_gravity_m),
    ]
    if arrangement.beam is not None:
        x, y = arrangement.hooks_xy_m[0]
        start = (x, y, low_m + arrangement.beam.depth_m / 2)
        bodies.append(
            Body(
                name=BEAM,
                weight_n=arrangement.beam.weight_n * load.beam_factor,
                centre_of_gravity_m=(0.0, 0.0, 0.0),
                start_m=start,
            )
        )
    return Problem(bodies=tuple(bodies), paths=tuple(paths))


def _upper(arrangement: Arrangement, holding: Holding, hooks_m: list[float]) -> Point:
    """The upper end: a hook in the world, or the lower lug of the beam's end."""
    if holding.hook is not None:
        x, y = arrangement.hooks_xy_m[holding.hook]
        return Point(WORLD, (x, y, hooks_m[holding.hook]))
    return Point(BEAM, _lug(arrangement, holding, below=True))


def _lug(arrangement: Arrangement, holding: Holding, *, below: bool) -> Vector:
    beam = arrangement.beam
    assert beam is not None
    x = -beam.span_m / 2 if holding.beam_end == 0 else beam.span_m / 2
    return (x, 0.0, -beam.depth_m / 2 if below else beam.depth_m / 2)


def _paths(
    arrangement: Arrangement, holding: Holding, sling: SlingState, index: int, *, upper: Point, free: bool
) -> list[Path]:
    stiff = {"rated_n": sling.rated_n, "strain_at_rated": sling.strain_at_rated}
    if holding.role == "top":
        lower = Point(BEAM, _lug(arrangement, holding, below=False))
        return [Path(name=holding.id, sling=index, points=(upper, lower), length_m=sling.length_m, **stiff)]
    if holding.round is None:
        assert holding.lower_m is not None
        lower = Point(LOAD, holding.lower_m)
        return [Path(name=holding.id, sling=index, points=(upper, lower), length_m=sling.length_m, **stiff)]
    way = holding.round
    if holding.hitch is Hitch.CHOKER:
        leg = sling.length_m - way.loop_m
        bite = Point(LOAD, way.turns_m[0])
        return [
            Path(
                name=holding.id,
                sling=index,
                points=(upper, bite),
                length_m=leg,
                elastic_m=sling.length_m,
                **stiff,
            )
        ]
    if free:
        told = way.curved or holding.wraps > 1  # then what lies on the load is told as a length
        turns = (way.turns_m[0], way.turns_m[-1]) if told else way.turns_m
        points = (upper, *(Point(LOAD, p) for p in turns), upper)
        lies = way.lies_m if told else None
        return [
            Path(name=holding.id, sling=index, points=points, length_m=sling.length_m, lies_m=lies, **stiff)
        ]
    return _locked(arrangement, holding, sling, index, upper=upper)


def _locked(
    arrangement: Arrangement, holding: Holding, sling: SlingState, index: int, *, upper: Point
) -> list[Path]:
    """Each side its own leg, as laid on the level load; it stretches with half of what lies on the load."""
    way = holding.round
    assert way is not None
    x, y = upper_xy(arrangement, holding)
    own = _own_height(arrangement, holding, sling)
    sides = []
    for name, end in (("left", way.turns_m[0]), ("right", way.turns_m[-1])):
        length = math.dist((x, y, own), end)
        sides.append(
            Path(
                name=f"{holding.id} {name}",
                sling=index,
                points=(upper, Point(LOAD, end)),
                length_m=length,
                elastic_m=length + way.lies_m / 2,
                rated_n=sling.rated_n,
                strain_at_rated=sling.strain_at_rated,
            )
        )
    return sides


def _own_height(arrangement: Arrangement, holding: Holding, sling: SlingState) -> float:
    """The height at which this basket alone would be taut over the level load."""
    way = holding.round
    assert way is not None
    ends = (way.turns_m[0], way.turns_m[-1])
    free = np.array([sling.length_m - way.lies_m])
    return float(basket_height(upper_xy(arrangement, holding), ends, free)[0])
