"""The front door of the statics: one problem in, its equilibrium out."""

from __future__ import annotations

import numpy as np

from slingwright.hang._answer import answer, pose_from_hook
from slingwright.hang._flat import base_of, load_index
from slingwright.hang._kernel_energy import new_work
from slingwright.hang._kernel_hook_margin import look_hook
from slingwright.hang._kernel_margin import look
from slingwright.hang.batch import Variations, run
from slingwright.hang.problem import Problem
from slingwright.hang.result import Hang

__all__ = ["solve"]


def solve(problem: Problem) -> Hang:
    """Find how the load hangs: the stable equilibrium that it flows to from the upright pose.

    Parameters
    ----------
    problem : a checked problem (`document.problem_from_document` checks it).

    Returns
    -------
    Hang
        `stable`, or `capsizes` with the upright state's figures, or `unreachable` with the elastic minimum's.

    Raises
    ------
    RuntimeError
        If the search did not converge: our fault, never the input's. No unconverged figure is returned.
    """
    flat, given, out = run(problem, Variations(), poses=True)
    load = load_index(problem)
    work = new_work(len(flat.weight_n), len(flat.length_m), len(flat.on))
    slopes = np.empty((len(flat.length_m), 6 * len(flat.weight_n)))
    quick = not out.todo[0]
    if quick:
        pose_from_hook(flat, out)
    margins = (look_hook if quick else look)(
        base_of(flat, load), flat.lies_given, flat.lies_m, given, out.pose[0], work, out.status[0], slopes
    )
    return answer(problem, out, work, slopes, margins)
