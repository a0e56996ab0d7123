"""The lengths an arrangement may have, as whole numbers of the shop's length step.

Dropped here are only lengths that fail for every stiffness: they do not reach even unstretched, or the
level unstretched hook already stands above the headroom by more than the length tolerance (`SEARCH.md`
calls these necessary conditions; `docs/reference/search-space.md` lists them).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.arrangement.geometry import level_hook_heights
from slingwright.choose.individual import made_steps
from slingwright.choose.rows import all_of, total
from slingwright.choose.setting import Setting
from slingwright.shop import grid_length_m, grid_steps, length_um

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Rows", "choices", "length_conditions", "rows_for", "steps_to_metres"]

_UM = 1_000_000
_BEAM_LOW_EVERY = 12  # below a beam lengths go by twelve of the shop's steps: they only lower the load
_BEAM_TOPS = 36  # above a beam: the shortest lengths that keep the least angle, this many of them


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """Length choices of one arrangement: `steps` (S, slings) of the shop's bridle step, the same in metres.

    `space` counts the choices before anything was dropped, `hangs` the different lengths among them;
    `too_high` and `no_reach` count those dropped. From the shelf (`groups.shelf_groups`) the steps are its
    rows instead. `every` holds the steps of individually made legs before anything was dropped.
    """

    steps: NDArray[np.int64]
    lengths_m: NDArray[np.float64]
    space: int
    no_reach: int
    too_high: int
    hangs: int
    every: NDArray[np.int64] | None = None


def steps_to_metres(setting: Setting, steps: NDArray[np.int64]) -> NDArray[np.float64]:
    """Bridle steps to metres, the same bits as the length read from a file."""
    return np.asarray(steps * length_um(setting.shop.practice.bridle_step_m) / _UM)


def rows_for(setting: Setting, arrangement: Arrangement) -> Rows:
    """All length choices of the arrangement that no stiffness rules out."""
    steps = choices(setting, arrangement)
    lengths = steps_to_metres(setting, steps)
    reaches, fits, elsewhere, _ = length_conditions(setting, arrangement, lengths)
    kept = np.flatnonzero(fits)
    return Rows(
        steps=steps[kept],
        lengths_m=lengths[kept],
        space=len(steps) - int(elsewhere.sum()),
        no_reach=int((~reaches & ~elsewhere).sum()),
        too_high=int((reaches & ~fits).sum()),
        hangs=len(steps) - int(elsewhere.sum()),
        every=steps if arrangement.lengths == "made" else None,
    )


def length_conditions(
    setting: Setting, arrangement: Arrangement, lengths_m: NDArray[np.float64]
) -> tuple[NDArray[np.bool_], NDArray[np.bool_], NDArray[np.bool_], NDArray[np.float64]]:
    """Of each row of lengths (S, slings): whether it reaches, fits, counts elsewhere; its hook's height.

    Elsewhere: its level hook stands in another arrangement's span of heights (curved loads); what does not
    reach at all counts with the lowest span.
    """
    if not len(lengths_m):
        none = np.zeros(0, dtype=np.bool_)
        return none, none, none, np.zeros(0)
    heights = level_hook_heights(arrangement, lengths_m)
    reaches: NDArray[np.bool_] = all_of(np.isfinite(heights))
    elsewhere = np.zeros(len(lengths_m), dtype=np.bool_)
    if arrangement.level_height_m is not None:
        low, high = arrangement.level_height_m
        first = heights[:, 0]
        elsewhere = np.asarray(np.where(reaches, (first < low) | (first >= high), low > 0), dtype=np.bool_)
        reaches &= ~elsewhere
    limits = np.array([h.headroom_m for h in setting.lift.hooks[: heights.shape[1]]])
    slack_m = _tolerance_m(setting, lengths_m)
    under: NDArray[np.bool_] = heights <= limits + slack_m[:, None]  # never true of what does not reach
    fits: NDArray[np.bool_] = reaches & all_of(under)
    return reaches, fits, elsewhere, heights[:, 0]


def _tolerance_m(setting: Setting, lengths: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far a hanging hook may stand below the level unstretched one: made lengths, and a load that tilts.

    A load tilted by t has its lowest corner at most z (1 - cos t) nearer to a centre z above its underside.
    """
    practice, load = setting.shop.practice, setting.lift.load
    sinks = max(load.centre.high_m[2], 0.0) * (1 - math.cos(math.radians(setting.lift.want.level_within_deg)))
    return np.asarray(practice.tolerance_rel * total(lengths) + practice.tolerance_m + sinks)


def _grid(setting: Setting) -> range:
    lofts = setting.shop.lofts
    return grid_steps(
        setting.shop, min(loft.min_length_m for loft in lofts), max(loft.max_length_m for loft in lofts)
    )


def choices(setting: Setting, arrangement: Arrangement) -> NDArray[np.int64]:
    """Every choice of lengths (S, slings) in bridle steps, before anything is dropped."""
    count = len(arrangement.holdings)
    lofts, fine = setting.shop.lofts, _fine_steps(setting)
    if arrangement.lengths == "made":
        shortest, longest = min(x.min_length_m for x in lofts), max(x.max_length_m for x in lofts)
        return made_steps(setting, arrangement, shortest, longest)
    if arrangement.lengths == "beam":
        return _beam(setting, arrangement) * fine
    grid = np.array(_grid(setting), dtype=np.int64) * fine
    if all(h.round is None for h in arrangement.holdings):  # legs made together are cut to the bridle step
        grid = np.arange(grid[0], grid[-1] + 1) if len(grid) else grid
    return np.repeat(grid[:, None], count, axis=1)


def _fine_steps(setting: Setting) -> int:
    """How many bridle steps a length step is."""
    practice = setting.shop.practice
    return length_um(practice.length_step_m) // length_um(practice.bridle_step_m)


def _beam(setting: Setting, arrangement: Arrangement) -> NDArray[np.int64]:
    beam = arrangement.beam
    assert beam is not None
    grid = _grid(setting)
    steepest = max(setting.lift.want.least_angle_deg, beam.least_top_angle_deg or 0.0)
    least = beam.span_m / 2 / math.cos(math.radians(min(steepest, 89.0)))
    step = grid_length_m(setting.shop, 1)
    first = max(grid.start, math.ceil(least / step))
    tops = range(first, min(grid.stop, first + _BEAM_TOPS))
    every = _BEAM_LOW_EVERY if len(grid) > 1 else 1  # the one length of a sling that is wanted by name
    lows = range(-(-grid.start // every) * every, grid.stop, every)
    role_low = np.array([h.role == "main" for h in arrangement.holdings])
    rows = [np.where(role_low, low, top) for low in lows for top in tops]
    return np.array(rows, dtype=np.int64).reshape(len(rows), len(arrangement.holdings))
