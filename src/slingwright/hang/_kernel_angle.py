"""An arc tangent that becomes vector code: the same bits for one sample as for sixteen at once."""

from __future__ import annotations

import numpy as np

from slingwright.hang._jit import lane_kernel

__all__ = ["angle_deg"]

_DEG = 180.0 / np.pi


@lane_kernel
def angle_deg(y, x):  # type: ignore[no-untyped-def]
    """atan2(y, x) in degrees for x >= 0 or y >= 0 (all that a tilt or a leg needs), to 2 in the last place.

    The argument is brought into [0, tan(pi/8)] and a series of the odd powers, economised as a rational
    function, does the rest (S. L. Moshier's Cephes library, atan.c, public formula and coefficients).
    """
    a = abs(y)
    b = abs(x)
    steep = a > b
    low = b if steep else a
    high = a if steep else b
    t = low / high if high > 0.0 else 0.0
    # above tan(pi/8) turn by 45 degrees more
    mid = t > 0.41421356237309503
    t = (t - 1.0) / (t + 1.0) if mid else t
    z = t * t
    p = -8.750608600031904122785e-1
    p = p * z - 1.615753718733365076637e1
    p = p * z - 7.500855792314704667340e1
    p = p * z - 1.228866684490136173410e2
    p = p * z - 6.485021904942025371773e1
    q = z + 2.485846490142306297962e1
    q = q * z + 1.650270098316988542046e2
    q = q * z + 4.328810604912902668951e2
    q = q * z + 4.853903996359136964868e2
    q = q * z + 1.945506571482613964425e2
    r = (t + t * (z * p / q)) * _DEG
    r = r + 45.0 if mid else r
    r = 90.0 - r if steep else r
    r = 180.0 - r if x < 0.0 else r
    return -r if y < 0.0 else r
