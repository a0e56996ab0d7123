"""What balance alone says of a load held at two points, whatever hangs above them and however it stretches.

Forces at two points have no moment about the line through them. So the weight has none either: in every
balance the plumb line through the centre of gravity meets that line, the vertical lies in the plane of the
two points and the centre, and the load tilts by no less than its own vertical stands off that plane. And
about one point the other's pull balances the weight, at an arm no longer than the points lie apart.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from slingwright.choose.cases import centre_corners
from slingwright.lift.model import Centre

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Point3 = tuple[float, float, float]

__all__ = ["SURE", "least_pulls", "least_tilt_deg", "posed_centres"]

SURE = 1e-6  # relative: a figure so near its limit is left to the careful solve
_LEAST_M = 1e-6  # points nearer to each other, or a centre nearer to their line, tell nothing


def posed_centres(centre: Centre) -> list[Point3]:
    """Where the centre of gravity may be in the cases whose pose counts."""
    return [centre.nominal_m, *(centre_corners(centre) if centre.known else ())]


def least_tilt_deg(points_m: Floats, centres_m: Iterable[Point3]) -> float:
    """The least that a load held at two points (2, 3) tilts, at the worst of its centres of gravity [deg]."""
    worst, apart = 0.0, points_m[1] - points_m[0]
    for centre in centres_m:
        normal = np.cross(apart, np.array(centre) - points_m[0])
        far = float(np.linalg.norm(normal))
        if far > _LEAST_M * float(np.linalg.norm(apart)):
            worst = max(worst, math.degrees(math.asin(min(abs(float(normal[2])) / far, 1.0))))
    return worst


def least_pulls(points_m: Floats, centres_m: Iterable[Point3], level_deg: float) -> Floats:
    """The least pull at each of two points (2, 3), as a share of the weight, at its worst centre of gravity.

    Of a load that tilts by no more than `level_deg` in every one of these cases.
    """
    apart = float(np.linalg.norm(points_m[1] - points_m[0]))
    least = np.zeros(2)
    if apart < _LEAST_M:
        return least
    tilt = math.radians(min(level_deg, 90.0))
    for centre in centres_m:
        from_points = points_m - np.array(centre)
        across = np.hypot(from_points[:, 0], from_points[:, 1])
        arms = across * math.cos(tilt) - np.abs(from_points[:, 2]) * math.sin(tilt)
        least = np.maximum(least, arms[::-1] / apart)
    return least
