"""The hang problem: rigid bodies, elastic tension-only paths, weights. Knows no sling and no rulebook.

The keys are those of the contract for programs (`docs/reference/contract.md`), SI throughout.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["WORLD", "Body", "Path", "Point", "Problem"]

WORLD = "world"
Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Point:
    """A point of a path: on the world or on a body, in that frame's own coordinates [m]."""

    on: str
    at_m: Vector


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A rigid body. `start_m` is where its own origin stands in the world, upright, before the lift."""

    name: str
    weight_n: float
    centre_of_gravity_m: Vector
    start_m: Vector = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Path:
    """A sling or a part of one: a taut string through `points`; more than two points = it renders.

    tension_n = rated_n / (strain_at_rated * elastic_m) * max(0, free distances + lies_m - length_m)

    `lies_m` None = the straight distances between neighbours on one body; `elastic_m` None = `length_m`.
    `sling` is the index of the sling the path belongs to.
    """

    name: str
    points: tuple[Point, ...]
    length_m: float
    rated_n: float
    strain_at_rated: float
    sling: int = 0
    lies_m: float | None = None
    elastic_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """All that the statics needs. `hook_m` (short form only) is where the hook height is measured from."""

    bodies: tuple[Body, ...]
    paths: tuple[Path, ...]
    hook_m: Vector | None = None
