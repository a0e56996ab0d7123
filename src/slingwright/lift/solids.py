"""Volume, mass and centre of gravity of simple solids, and of what is put together from them.

Plain formulas in SI (common handbook formulas, recomputed); the densities are data, in `materials`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from slingwright.lift.model import Vector

__all__ = [
    "block_mass_kg",
    "block_volume_m3",
    "composite_centre_m",
    "cylinder_volume_m3",
    "pipe_mass_kg",
    "pipe_volume_m3",
    "plate_mass_kg",
    "shell_box_volume_m3",
    "shell_sphere_volume_m3",
    "sphere_volume_m3",
]


def block_volume_m3(length_m: float, width_m: float, height_m: float) -> float:
    """Volume of a solid box [m³]."""
    return length_m * width_m * height_m


def cylinder_volume_m3(length_m: float, diameter_m: float) -> float:
    """Volume of a solid cylinder [m³]: π d² L / 4."""
    return math.pi * diameter_m**2 * length_m / 4


def pipe_volume_m3(length_m: float, diameter_m: float, wall_m: float) -> float:
    """Volume of the wall of a pipe open at both ends [m³]: π (D - t) t L, D outside."""
    return math.pi * (diameter_m - wall_m) * wall_m * length_m


def shell_box_volume_m3(length_m: float, width_m: float, height_m: float, wall_m: float) -> float:
    """Volume of the walls of a box closed on all six sides [m³]."""
    inside = block_volume_m3(length_m - 2 * wall_m, width_m - 2 * wall_m, height_m - 2 * wall_m)
    return block_volume_m3(length_m, width_m, height_m) - inside


def sphere_volume_m3(diameter_m: float) -> float:
    """Volume of a solid sphere [m³]: π d³ / 6."""
    return math.pi * diameter_m**3 / 6


def shell_sphere_volume_m3(diameter_m: float, wall_m: float) -> float:
    """Volume of the wall of a hollow sphere [m³]."""
    return sphere_volume_m3(diameter_m) - sphere_volume_m3(diameter_m - 2 * wall_m)


def block_mass_kg(length_m: float, width_m: float, height_m: float, *, density_kg_m3: float) -> float:
    """Mass of a solid box [kg]."""
    return block_volume_m3(length_m, width_m, height_m) * density_kg_m3


def plate_mass_kg(length_m: float, width_m: float, thickness_m: float, *, density_kg_m3: float) -> float:
    """Mass of a flat plate [kg]."""
    return block_mass_kg(length_m, width_m, thickness_m, density_kg_m3=density_kg_m3)


def pipe_mass_kg(length_m: float, diameter_m: float, wall_m: float, *, density_kg_m3: float) -> float:
    """Mass of an empty pipe, open at both ends [kg]."""
    return pipe_volume_m3(length_m, diameter_m, wall_m) * density_kg_m3


def composite_centre_m(parts: Iterable[tuple[float, Vector]]) -> Vector:
    """Centre of gravity of several parts: Σ(w · x) / Σ w for each axis.

    Parameters
    ----------
    parts
        (weight, centre [m]) of each part; weights in any one unit (areas for flat figures of one
        thickness), their sum above zero.
    """
    rows = list(parts)
    total = math.fsum(weight for weight, _ in rows)
    x, y, z = (math.fsum(weight * centre[axis] for weight, centre in rows) / total for axis in range(3))
    return x, y, z
