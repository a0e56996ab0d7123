"""The front door of the statics: one problem in, its equilibrium out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from slingwright.hang._answer import answer, rank_of
from slingwright.hang._flat import Flat, base_of, load_index
from slingwright.hang._kernel_energy import PLACE, new_work
from slingwright.hang._kernel_hook_margin import look_hook
from slingwright.hang._kernel_margin import look
from slingwright.hang._together import together
from slingwright.hang.batch import Inputs, Out, Variations, figures_at, run
from slingwright.hang.problem import Problem
from slingwright.hang.result import Hang

__all__ = ["HookArguments", "hook_arguments", "solve", "solve_all"]

Floats = NDArray[np.float64]


_NOT_ASKED = np.int8(-1)  # no status: the look for a push is left out


def solve(problem: Problem, *, push: bool = True) -> Hang:
    """Find how the load hangs: the stable equilibrium that it flows to from the upright pose.

    Parameters
    ----------
    problem : a checked problem (`document.problem_from_document` checks it).
    push : False leaves `push_deg` out (None), the dear part with several bodies or hooks; every other
        figure is the same to the bit.

    Returns
    -------
    Hang
        `stable`, or `capsizes` with the upright state's figures, or `unreachable` with the elastic minimum's.

    Raises
    ------
    InputFault
        If a path is so short that its points are drawn together, where its pull has no direction.
    RuntimeError
        If the search did not converge: our fault, never the input's. No unconverged figure is returned.
    """
    flat, given, out = run(problem, Variations(), poses=True)
    if not out.todo[0]:
        return _under_hook(problem, flat, given, out, push)
    work = new_work(len(flat.weight_n), len(flat.length_m), len(flat.on))
    slopes = np.empty((len(flat.length_m), 6 * len(flat.weight_n)))
    margins = look(
        base_of(flat, load_index(problem)), flat.lies_given, flat.lies_m, given, out.pose[0], work,
        out.status[0] if push else _NOT_ASKED, slopes,
    )  # fmt: skip
    return answer(problem, out, work.point[PLACE], margins, rank_of(problem, out, slopes))


def solve_all(problems: Sequence[Problem], *, push: bool = True) -> list[Hang]:
    """As `solve` of each, the same bits; sooner where all are alike: one body, straight legs, one hook."""
    made = together(problems) if len(problems) > 1 else None
    if made is None:
        return [solve(problem, push=push) for problem in problems]
    flat, given, out = made
    hangs = []
    for row, problem in enumerate(problems):
        if out.todo[row]:
            hangs.append(solve(problem, push=push))
        else:
            mine = figures_at(given, slice(row, row + 1))
            hangs.append(_under_hook(problem, flat, mine, out, push, row))
    return hangs


class HookArguments(NamedTuple):
    """What `look_hook` is asked; it fills `place`."""

    point_m: Floats
    on: NDArray[np.int64]
    given: Inputs
    hook: Floats
    tension_n: Floats
    pose: Floats
    place: Floats
    push: bool


def hook_arguments(flat: Flat, given: Inputs, out: Out, push: bool, row: int = 0) -> HookArguments:
    """What the margins of a row of `out` are read from; `given` is of that sample alone."""
    place = np.empty((len(flat.on), 3))
    return HookArguments(
        given.point_m[0], flat.on, given, out.h[row], out.tension_n[row], out.pose[row, 0], place, push
    )


def _under_hook(problem: Problem, flat: Flat, given: Inputs, out: Out, push: bool, row: int = 0) -> Hang:
    """The answer of the quick kernel: one hook, straight legs, stable."""
    asked = hook_arguments(flat, given, out, push, row)
    *margins, rank = look_hook(*asked)
    (rise, pushed, reach), place = margins, asked.place
    return answer(problem, out, place, (rise, pushed, reach), rank, row)
