"""A view: how world metres become millimetres on the sheet. Parallel projection, nothing foreshortened."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["ABOVE", "FRONT", "RIGHT", "Facing", "View"]

Vector = tuple[float, float, float]
Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Facing:
    """Which way one looks: the world directions that run to the right and up on paper, and to the eye."""

    name: str
    right: Vector
    up: Vector
    to_eye: Vector

    def flat(self, at_m: Vector) -> Point:
        """Right and up coordinates of a world point [m]."""
        return _dot(self.right, at_m), _dot(self.up, at_m)


FRONT = Facing(name="elevation", right=(1.0, 0.0, 0.0), up=(0.0, 0.0, 1.0), to_eye=(0.0, -1.0, 0.0))
RIGHT = Facing(name="end", right=(0.0, 1.0, 0.0), up=(0.0, 0.0, 1.0), to_eye=(1.0, 0.0, 0.0))
ABOVE = Facing(name="plan", right=(1.0, 0.0, 0.0), up=(0.0, 1.0, 0.0), to_eye=(0.0, 0.0, 1.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """A facing with its scale and where the world's origin falls on the sheet."""

    facing: Facing
    mm_per_m: float
    origin_mm: Point

    def to_sheet(self, at_m: Vector) -> Point:
        """Where a world point falls on the sheet [mm], y downward as SVG has it."""
        right, up = self.facing.flat(at_m)
        return self.origin_mm[0] + right * self.mm_per_m, self.origin_mm[1] - up * self.mm_per_m

    def all_to_sheet(self, points_m: Iterable[Vector]) -> list[Point]:
        """Several points at once."""
        return [self.to_sheet(p) for p in points_m]

    def sees(self, normal: Vector) -> bool:
        """Whether a face with this outward normal is seen."""
        return _dot(normal, self.facing.to_eye) > 1e-9


def _dot(a: Vector, b: Vector) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
