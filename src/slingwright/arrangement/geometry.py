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

    from slingwright.arrangement.model import Arrangement, Holding

__all__ = ["basket_height", "beam_low_height", "free_length", "leg_height", "level_hook_heights", "upper_xy"]


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
    height = (np.sqrt(np.where(inside >= 0, inside, np.nan)) - linear) / square
    reaches = np.hypot(across_a, max(a[2], b[2]) - a[2]) + np.hypot(across_b, max(a[2], b[2]) - b[2]) < free
    return np.where(reaches & (square > 0), height, np.nan)


def _holding_height(
    arrangement: Arrangement, holding: Holding, length_m: NDArray[np.float64]
) -> NDArray[np.float64]:
    at, free = upper_xy(arrangement, holding), free_length(holding, length_m)
    if holding.round is None:
        assert holding.lower_m is not None
        return leg_height(at, holding.lower_m, free)
    turns = holding.round.turns_m
    if holding.hitch is Hitch.CHOKER:
        return leg_height(at, turns[0], free)
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
    out = np.full((lengths_m.shape[0], len(arrangement.hooks_xy_m)), np.inf)
    if beam is not None:
        low = beam_low_height(arrangement, lengths_m)
        top = lengths_m[:, [i for i, h in enumerate(arrangement.holdings) if h.role == "top"]].min(axis=1)
        up2 = top * top - (beam.span_m / 2) ** 2
        out[:, 0] = np.where(up2 > 0, low + beam.depth_m + np.sqrt(np.maximum(up2, 0)), np.nan)
        return out
    for i, holding in enumerate(arrangement.holdings):
        hook = holding.hook if holding.hook is not None else 0
        out[:, hook] = np.minimum(out[:, hook], _holding_height(arrangement, holding, lengths_m[:, i]))
    return out


def beam_low_height(arrangement: Arrangement, lengths_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Height of the beam's lower lugs over the level load's origin, slings unstretched [m], shape (S,)."""
    heights = [
        _holding_height(arrangement, h, lengths_m[:, i])
        for i, h in enumerate(arrangement.holdings)
        if h.role == "main"
    ]
    return np.asarray(np.minimum.reduce(heights))
