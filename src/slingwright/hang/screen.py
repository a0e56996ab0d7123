"""Many variations of a problem of one body under one hook, read down to a few figures a sample.

As `solve_many`, for a sieve that asks of each sample only the worst over its paths.
"""

from __future__ import annotations

import os
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from slingwright.hang._kernel_screen import read_samples
from slingwright.hang.batch import Variations, run
from slingwright.hang.problem import WORLD, Problem

__all__ = ["Screen", "View", "screen_many"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


class View(NamedTuple):
    """What is asked of S samples of P paths.

    Attributes
    ----------
    limit_n : (S,) what a path's pull is a share of [N].
    pick_n : (P,) what the pull at its lower end is a share of [N]; infinite where nothing is asked.
    along, upright : (P,) paths whose angle along the load, whose lean is asked.
    size_m : (3,) the load's box, from its own origin [m].
    """

    limit_n: Floats
    pick_n: Floats
    along: Bools
    upright: Bools
    size_m: Floats


class Figures(NamedTuple):
    """Where the kernel writes, a row a sample: as in `Screen`."""

    slack: Floats
    share: Floats
    pick_share: Floats
    lean_deg: Floats
    flattest_deg: Floats
    along_deg: Floats
    spread_deg: Floats
    height_m: Floats


class Screen(NamedTuple):
    """A few figures of each sample, (S,); of loaded paths only, 90 degrees (spread, lean: 0) where none is.

    Attributes
    ----------
    careful : solved by the careful search, a hundred times slower than the quick kernel.
    status : 0 stable, 1 capsizes, 2 unreachable.
    tilt_deg : the load's tilt.
    hook_above_cg_m : from the centre of gravity to the hook [m].
    height_m : from the load's lowest corner to the hook, hanging [m].
    slack : how many paths carry nothing.
    share, pick_share : the largest pull over its limit, over its lower end's.
    flattest_deg : the least angle from the horizontal.
    along_deg : the least angle from the horizontal seen along the load, of the paths asked for.
    lean_deg : the largest angle from the load's own vertical, of the paths asked for.
    spread_deg : the largest angle between two paths at the hook.
    """

    careful: Bools
    status: NDArray[np.int8]
    tilt_deg: Floats
    hook_above_cg_m: Floats
    height_m: Floats
    slack: Floats
    share: Floats
    pick_share: Floats
    flattest_deg: Floats
    along_deg: Floats
    lean_deg: Floats
    spread_deg: Floats


def screen_many(
    problem: Problem, variations: Variations, view: View, *, threads: int | None = None
) -> Screen:
    """Solve every variation and read it.

    Parameters
    ----------
    problem : a checked problem of one body, every path straight from one hook to it.
    variations : S samples of what differs.
    view : what is asked.
    threads : how many threads share the samples (None: all processors); changes no figure.

    Raises
    ------
    ValueError
        If the problem is another one.
    RuntimeError
        If a sample did not converge: our fault, never the input's.
    """
    if len(problem.bodies) != 1 or any(len(p.points) != 2 for p in problem.paths):
        msg = "a screen reads one body on straight paths"
        raise ValueError(msg)
    _, given, out = run(problem, variations, threads if threads is not None else os.cpu_count() or 1)
    ends = [2 * k + (p.points[0].on == WORLD) for k, p in enumerate(problem.paths)]
    found = Figures(*(np.empty(len(out.status)) for _ in Figures._fields))
    read_samples(np.array(ends, dtype=np.int64), given, out, view, found)
    return Screen(
        careful=out.todo,
        status=out.status,
        tilt_deg=out.tilt_deg,
        hook_above_cg_m=out.hook_above_cg_m,
        height_m=found.height_m,
        slack=found.slack,
        share=found.share,
        pick_share=found.pick_share,
        flattest_deg=found.flattest_deg,
        along_deg=found.along_deg,
        lean_deg=found.lean_deg,
        spread_deg=found.spread_deg,
    )
