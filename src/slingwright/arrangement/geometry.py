"""Level geometry: where the hook stands for given lengths, before anything stretches or tilts.

Only bounds and starting poses come from here; what a crew acts on comes from the hang.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from slingwright.sling import Hitch

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from slingwright.arrangement.model import Arrangement, Holding, Round

__all__ = [
    "basket_height",
    "beam_low_height",
    "free_length",
    "holding_height",
    "leg_height",
    "level_hook_heights",
    "round_hook_distance",
    "upper_xy",
]

_STEPS_AT_MOST = 100  # four to six do; a root beside the slope's own zero takes longer


def upper_xy(arrangement: Arrangement, holding: Holding) -> tuple[float, float]:
    """Where the upper end of a sling stands over the level load (x, y) [m]."""
    if holding.hook is not None:
        return arrangement.hooks_xy_m[holding.hook]
    x, y = arrangement.hooks_xy_m[0]
    beam = arrangement.beam
    assert beam is not None
    half = beam.span_m / 2
    return (x - half, y) if holding.beam_end == 0 else (x + half, y)


def free_length(holding: Holding, length_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """What is left of a sling's length between its upper end and the load [m]."""
    if holding.round is None:
        return length_m
    taken = holding.round.loop_m if holding.hitch is Hitch.CHOKER else holding.round.lies_m
    return length_m - taken


def leg_height(
    upper_xy_m: tuple[float, float], at_m: tuple[float, float, float], free_m: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Height at which a straight leg of `free_m` is taut over its lower point; NaN if it cannot reach."""
    across2 = (upper_xy_m[0] - at_m[0]) ** 2 + (upper_xy_m[1] - at_m[1]) ** 2
    up2 = np.where(free_m > 0, free_m * np.abs(free_m), 0.0) - across2
    return np.where(up2 > 0, at_m[2] + np.sqrt(np.maximum(up2, 0.0)), np.nan)


def basket_height(
    upper_xy_m: tuple[float, float],
    ends_m: tuple[tuple[float, float, float], tuple[float, float, float]],
    free_m: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Height at which both sides of a basket, together `free_m`, are taut; NaN if they cannot reach."""
    (x, y), (a, b) = upper_xy_m, ends_m
    across_a, across_b = math.hypot(x - a[0], y - a[1]), math.hypot(x - b[0], y - b[1])
    # with d1 + d2 = s, d1 = middle - slope h is linear in the height h, and d1^2 = across^2 + (h - z)^2
    free = np.where(free_m > 0, free_m, np.nan)
    middle = (free + (across_a**2 - across_b**2 + a[2] ** 2 - b[2] ** 2) / free) / 2
    slope = (a[2] - b[2]) / free
    square, linear = 1 - slope * slope, slope * middle - a[2]
    constant = across_a**2 + a[2] ** 2 - middle * middle
    inside = linear * linear - square * constant
    # ends one over the other and a sling just as long: no height at all, NaN below
    rise = np.sqrt(np.where(inside >= 0, inside, np.nan)) - linear
    height = rise / np.where(square > 0, square, np.nan)
    reaches = np.hypot(across_a, max(a[2], b[2]) - a[2]) + np.hypot(across_b, max(a[2], b[2]) - b[2]) < free
    return np.where(reaches & (square > 0), height, np.nan)


def round_hook_distance(
    radius_m: float | NDArray[np.float64],
    along_m: float | NDArray[np.float64],
    wraps: int,
    length_m: NDArray[np.float64],
) -> NDArray[np.float64]:
    """How far the hook stands from a round section's centre, in its plane, for a basket of `length_m` [m].

    The taut loop: two tangents t = sqrt(D^2 - R^2), leaning `along_m` along the load, and the arc between
    them round the underside. Its length is convex in t and at least 2 t + R (2 pi wraps - pi), so that
    Newton's steps from where that equals the sling come down on the root and never pass it. NaN where the
    sling does not close. Each figure is a function of its own length alone, whatever is solved beside it.
    """
    flat2, square = along_m * along_m, radius_m * radius_m
    whole = 2 * math.pi * wraps
    tangent = np.maximum((length_m - radius_m * (whole - math.pi)) / 2, 0.0)
    closes = 2 * along_m + radius_m * whole < length_m
    for _ in range(_STEPS_AT_MOST):
        side = np.sqrt(tangent * tangent + flat2)
        over = 2 * side + radius_m * (whole - 2 * np.arctan(tangent / radius_m)) - length_m
        with np.errstate(
            divide="ignore", invalid="ignore"
        ):  # lanes that do not close have no slope to follow
            step = over / (2 * tangent / side - 2 * square / (square + tangent * tangent))
        moves = closes & (step > 0) & (tangent - step < tangent)
        if not moves.any():
            break
        tangent = np.where(moves, np.maximum(tangent - step, 0.0), tangent)
    return np.where(closes, np.sqrt(tangent * tangent + square), np.nan)


def _round_basket_height(
    upper_xy_m: tuple[float, float], way: Round, length_m: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Level height of the upper end of a basket round a circular section; NaN if it does not close."""
    assert way.radius_m is not None and way.centre_yz_m is not None  # noqa: PT018  (a curved way has both)
    (x, y), (cy, cz) = upper_xy_m, way.centre_yz_m
    far = round_hook_distance(way.radius_m, abs(x - way.x_m), way.wraps, length_m)
    up2 = far**2 - (y - cy) ** 2
    return np.where(up2 > 0, cz + np.sqrt(np.maximum(up2, 0.0)), np.nan)


def holding_height(
    arrangement: Arrangement, holding: Holding, length_m: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Level height at which the upper end of one sling stands when it alone is taut; NaN if it cannot [m]."""
    at, free = upper_xy(arrangement, holding), free_length(holding, length_m)
    if holding.round is None:
        assert holding.lower_m is not None
        return leg_height(at, holding.lower_m, free)
    turns = holding.round.turns_m
    if holding.hitch is Hitch.CHOKER:
        return leg_height(at, turns[0], free)
    if holding.round.curved:
        return _round_basket_height(at, holding.round, length_m)
    return basket_height(at, (turns[0], turns[-1]), free)


def level_hook_heights(arrangement: Arrangement, lengths_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Height of each hook's bearing point over the level load's origin, slings unstretched [m].

    Parameters
    ----------
    arrangement : Arrangement
    lengths_m : array, shape (S, slings)

    Returns
    -------
    array, shape (S, hooks)
        NaN where a sling cannot reach.
    """
    beam = arrangement.beam
    if (
        beam is None
        and len(arrangement.hooks_xy_m) == 1
        and all(h.round is None for h in arrangement.holdings)
    ):
        return _straight_heights(arrangement, lengths_m)
    out = np.full((lengths_m.shape[0], len(arrangement.hooks_xy_m)), np.inf)
    if beam is not None:
        low = beam_low_height(arrangement, lengths_m)
        top = lengths_m[:, [i for i, h in enumerate(arrangement.holdings) if h.role == "top"]].min(axis=1)
        up2 = top * top - (beam.span_m / 2) ** 2
        out[:, 0] = np.where(up2 > 0, low + beam.depth_m + np.sqrt(np.maximum(up2, 0)), np.nan)
        return out
    for i, holding in enumerate(arrangement.holdings):
        hook = holding.hook if holding.hook is not None else 0
        out[:, hook] = np.minimum(out[:, hook], holding_height(arrangement, holding, lengths_m[:, i]))
    return out


def _straight_heights(arrangement: Arrangement, lengths_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """As `leg_height` of each leg by itself, the least of them: all straight to one hook."""
    x, y = arrangement.hooks_xy_m[0]
    at = [h.lower_m for h in arrangement.holdings if h.lower_m is not None]
    across2 = np.array([[(x - a[0]) ** 2 + (y - a[1]) ** 2] for a in at])
    legs = np.ascontiguousarray(lengths_m.T)  # figures of all rows lie together
    up2 = np.where(legs > 0, legs * np.abs(legs), 0.0) - across2
    up2[~(up2 > 0)] = np.nan
    heights = np.array([[a[2]] for a in at]) + np.sqrt(up2)
    return np.asarray(np.minimum.reduce(heights, axis=0)[:, None])


def beam_low_height(arrangement: Arrangement, lengths_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Height of the beam's lower lugs over the level load's origin, slings unstretched [m], shape (S,)."""
    heights = [
        holding_height(arrangement, h, lengths_m[:, i])
        for i, h in enumerate(arrangement.holdings)
        if h.role == "main"
    ]
    return np.asarray(np.minimum.reduce(heights))
