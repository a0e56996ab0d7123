"""The statics made ready before someone waits for it."""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import typeof

from slingwright.hang._kernel_hook_margin import look_hook
from slingwright.hang.batch import Variations, solve_near, unsolved
from slingwright.hang.problem import Body, Path, Point, Problem
from slingwright.hang.screen import TOLD, Held, Holder, Limits, View, screen_many
from slingwright.hang.solve import hook_arguments, solve
from slingwright.hang.tilted import Tilted

__all__ = ["compile_margins", "warm", "warm_general", "warm_hook", "warm_near"]

_HOOK = Point("world", (0.0, 0.0, 3.0))
_RATED_N, _STRAIN = 2e4, 0.03
_LOAD = Body(name="load", weight_n=1e4, centre_of_gravity_m=(0.1, 0.0, -0.5))
_ENDS = tuple(Point("load", (x, 0.0, 0.0)) for x in (-1.0, 1.0))


def warm() -> None:
    """Compile all kernels, or load them from the disk; last what a child compiles meanwhile."""
    warm_near()
    warm_hook()
    warm_general()


def _on_two_legs() -> Problem:
    legs = tuple(
        Path(name=str(i), points=(_HOOK, end), length_m=3.0, rated_n=_RATED_N, strain_at_rated=_STRAIN)
        for i, end in enumerate(_ENDS)
    )
    return Problem(bodies=(_LOAD,), paths=legs)


def compile_margins() -> None:
    """The margins of one body under one hook, before another has compiled what solves it."""
    arguments = hook_arguments(*unsolved(_on_two_legs()), push=True)
    kernel: Any = look_hook
    kernel.compile(tuple(typeof(one) for one in arguments))  # type: ignore[no-untyped-call]  # numba's


def warm_hook() -> None:
    """Those of one body on straight paths under one hook, and those that read its samples or need none."""
    problem = _on_two_legs()
    solve(problem)
    each = np.ones(len(problem.paths))
    asked = np.ones(len(problem.paths), dtype=bool)
    view = View(limit_n=np.ones(1), pick_n=each, along=asked, upright=asked, size_m=np.ones(3))
    told = Variations(weight_n=np.full((1, 1), _LOAD.weight_n))
    screen_many(problem, told, view)
    limits = Limits._make([*[0.0] * 6, 0, True, *[0.0] * 7])
    why, crooked = np.zeros(1, dtype=np.int8), np.zeros(1, dtype=np.bool_)
    lane = np.ones((6, 1))
    held = Held(why, lane[0], lane[1], lane[2], crooked, lane[3], lane[4], lane[5])
    holder = Holder(problem, view, limits, range(12))
    corners = np.array([(x, y, 0.5) for x in (-1.0, 1.0) for y in (-1.0, 1.0)])
    Tilted(corners, 1e4, 5.0).of(np.full((1, 4), 3.0), np.zeros(1, dtype=np.int64), 1e-6)
    holder.hold(TOLD, np.zeros(1, dtype=np.int64), holder.hang(told), held, lose=False)


def warm_general() -> None:
    """Those of baskets, beams and several hooks."""
    basket = Path(
        name="0",
        points=(_HOOK, *_ENDS, _HOOK),
        length_m=8.0,
        lies_m=2.0,
        rated_n=_RATED_N,
        strain_at_rated=_STRAIN,
    )
    solve(Problem(bodies=(_LOAD,), paths=(basket,)))


def warm_near() -> None:
    """That of many samples of beams and several hooks."""
    apart = tuple(
        Path(
            name=str(i),
            points=(Point("world", (x, 0.0, 3.0)), end),
            length_m=3.0,
            rated_n=_RATED_N,
            strain_at_rated=_STRAIN,
        )
        for i, (x, end) in enumerate(zip((-1.0, 1.0), _ENDS, strict=True))
    )
    solve_near(Problem(bodies=(_LOAD,), paths=apart), Variations())
