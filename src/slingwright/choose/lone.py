"""How far a load swings at least that hangs from one sling round it, whatever its length and stretch.

Only the sling holds the load, at points of one section across it: the two ends of a basket's sides, or the
bite of a choker. Each pull goes from there to the hook, none pushes, and together they balance the weight. So
the plumb line through the centre of gravity meets the section between those points: it goes from the centre
to a point as far along the load as the sling lies off the centre, and no farther up or down than the points
can lie. The load's own vertical stands off that line by no less than the angle of the two, taut or slack,
stable or not, wherever the hook is and however the sling stretches. It holds of every centre for itself.
"""

from __future__ import annotations

import math

from slingwright.arrangement import Arrangement
from slingwright.arrangement.model import Round
from slingwright.choose.setting import Setting
from slingwright.choose.two_points import SURE, posed_centres

__all__ = ["least_swing_deg"]


def least_swing_deg(setting: Setting, arrangement: Arrangement) -> float:
    """The least tilt at the worst of the centres whose pose counts [deg], some of its last digits left out.

    0 where not one sling alone goes round the load.
    """
    only = arrangement.holdings[0].round
    if len(arrangement.holdings) > 1 or only is None:
        return 0.0
    worst, lie = 0.0, _heights(only)
    if lie is None:
        return 0.0
    for x, _, z in posed_centres(setting.lift.load.centre):
        far = max(abs(point - z) for point in lie)
        worst = max(worst, math.atan2(abs(only.x_m - x), far))
    return math.degrees(worst) * (1.0 - SURE)


def _heights(way: Round) -> tuple[float, float] | None:
    """Between what the points lie where it may hold the load; None where that is not told.

    Round a circle they move with the hook, from edges they do not.
    """
    if way.radius_m is not None and way.centre_yz_m is not None:
        middle = way.centre_yz_m[1]
        return middle - way.radius_m, middle + way.radius_m
    return None if way.curved else (way.turns_m[0][2], way.turns_m[-1][2])
