"""Many variations of a problem of one body under one hook, read down to a few figures a sample.

As `solve_many`, for a sieve that asks of each sample only the worst over its paths.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from slingwright.hang._kernel_held import CASE, STRENGTH, TOLD, TURNED, hold_samples
from slingwright.hang._kernel_screen import read_samples
from slingwright.hang.batch import Inputs, Out, Variations, ready, run, run_ready
from slingwright.hang.problem import WORLD, Problem

__all__ = ["CASE", "STRENGTH", "TOLD", "TURNED", "Held", "Holder", "Limits", "Screen", "View", "screen_many"]

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
    _refuse_others(problem)
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


def _refuse_others(problem: Problem) -> None:
    if len(problem.bodies) != 1 or any(len(p.points) != 2 for p in problem.paths):
        msg = "a screen reads one body on straight paths"
        raise ValueError(msg)


class Held(NamedTuple):
    """What is known of S lanes, and what they are held to; the first five are written.

    Attributes
    ----------
    why : (S,) int8, the code of the condition that a lane fails first; 0: none so far.
    share : (S,) the largest pull over its limit so far.
    miss : (S,) by how much of a limit the told hang misses it, of its conditions the largest.
    flattest_deg : (S,) the told hangs' least angle from the horizontal.
    crooked : (S,) whether it is sure to be graded by how it hangs.
    longer_m : (S,) what the legs may be longer than told.
    limit_n, dry : (S,) a part's limit; the share of it that is left where it gets wet.
    """

    why: NDArray[np.int8]
    share: Floats
    miss: Floats
    flattest_deg: Floats
    crooked: Bools
    longer_m: Floats
    limit_n: Floats
    dry: Floats


class Limits(NamedTuple):
    """What samples are held to.

    Attributes
    ----------
    margin : relative; how much over its limit a figure must be to fail for sure.
    sure : relative; how much over its limit to grade for sure.
    last : relative; the last bits, of another order of the legs and of what is left in hand.
    least_deg, room_m, level_deg : the flattest angle, the headroom, the largest tilt.
    tight : how many legs must be taut.
    upright : whether some path's lean is asked.
    upright_deg, straight_deg : the largest such lean; from which on one grades.
    low_pull_deg : the least angle along the load below which a choker grades; 0: not asked.
    sloping_deg : the least angle along the load of a plain basket; 0: not asked.
    apart_deg : the angle between two legs from which on they grade.
    thin : the share of a limit beyond which little is left in hand.
    least_sine : no flatter leg is taken for what longer legs raise the hook by.
    """

    margin: float
    sure: float
    last: float
    least_deg: float
    room_m: float
    level_deg: float
    tight: int
    upright: bool
    upright_deg: float
    straight_deg: float
    low_pull_deg: float
    sloping_deg: float
    apart_deg: float
    thin: float
    least_sine: float


class Holder:
    """Hangs lanes of one problem and holds them to a sieve's conditions; no figure of a sample is kept."""

    def __init__(self, problem: Problem, view: View, limits: Limits, codes: Sequence[int]) -> None:
        """`codes`: what is written where a condition fails, in the order of `_kernel_held`."""
        _refuse_others(problem)
        self._ready, self._view = ready(problem, one_hook=True, near=True), view
        self.limits, self._codes = limits, np.array(codes, dtype=np.int8)

    def hang(self, variations: Variations, threads: int | None = 1) -> tuple[Inputs, Out]:
        """Solve every sample; as `screen_many`, what is odd to the last bits."""
        return run_ready(self._ready, variations, threads if threads is not None else os.cpu_count() or 1)

    def hold(
        self, mode: int, at: NDArray[np.int64], hung: tuple[Inputs, Out], lanes: Held, *, lose: bool
    ) -> None:
        """Write what the samples of lanes `at` (S,) say of these; a lane's own samples lie together.

        `mode`: TOLD | CASE | STRENGTH | TURNED. `lose`: those that are sure to be graded are beaten.
        """
        legs = self._ready.one_hook
        hold_samples(mode, at, legs, *hung, self._view, self.limits, self._codes, lanes, lose)
