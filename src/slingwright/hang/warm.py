"""The statics made ready before someone waits for it."""

from __future__ import annotations

from slingwright.hang.problem import Body, Path, Point, Problem
from slingwright.hang.solve import solve

__all__ = ["warm"]

_HOOK = Point("world", (0.0, 0.0, 3.0))
_RATED_N, _STRAIN = 2e4, 0.03


def warm() -> None:
    """Compile all kernels, or load them from the disk: under one hook, and in a basket."""
    load = Body(name="load", weight_n=1e4, centre_of_gravity_m=(0.1, 0.0, -0.5))
    ends = [Point("load", (x, 0.0, 0.0)) for x in (-1.0, 1.0)]
    legs = tuple(
        Path(name=str(i), points=(_HOOK, end), length_m=3.0, rated_n=_RATED_N, strain_at_rated=_STRAIN)
        for i, end in enumerate(ends)
    )
    basket = Path(
        name="0",
        points=(_HOOK, *ends, _HOOK),
        length_m=8.0,
        lies_m=2.0,
        rated_n=_RATED_N,
        strain_at_rated=_STRAIN,
    )
    for paths in (legs, (basket,)):
        solve(Problem(bodies=(load,), paths=paths))
