"""What a sieve reads of each solved sample of one body under one hook, in one pass."""

from __future__ import annotations

import numpy as np

from slingwright.hang._jit import inner_kernel, kernel, taken_in_kernel
from slingwright.hang._kernel_angle import angle_deg

__all__ = [
    "ALONG",
    "FIGURES",
    "FLATTEST",
    "HEIGHT",
    "LEAN",
    "PICK",
    "SHARE",
    "SPREAD",
    "TAUT",
    "height_of",
    "legs_of",
    "pulls_of",
    "read_samples",
]

_DEG = 180.0 / np.pi
# of one sample
SHARE, PICK, TAUT, FLATTEST, HEIGHT, LEAN, ALONG, SPREAD = range(8)
FIGURES = 8


# arrays one by one, never in their tuples: a part that is not taken into its caller copies and counts each


@inner_kernel
def pulls_of(s, limit_n, pick_n, tension_n, angle_deg_, found):  # type: ignore[no-untyped-def]
    """What needs the pulls alone: shares of the limits, how many legs are taut, the flattest of them."""
    most, pulled, taut, flattest = 0.0, 0.0, 0, 90.0
    for p in range(pick_n.shape[0]):
        pull = tension_n[s, p]
        most = max(most, pull)
        pulled = max(pulled, pull / pick_n[p])
        if pull > 0.0:
            flattest = min(flattest, angle_deg_[s, p])
            taut += 1
    found[SHARE], found[PICK], found[TAUT], found[FLATTEST] = most / limit_n, pulled, taut, flattest


@inner_kernel
def height_of(s, c, above, centre_m, up, size_m):  # type: ignore[no-untyped-def]
    """The hook's height over the load's lowest corner; `c` is the row of the sample's centre."""
    low = 0.0
    for i in range(3):
        low += min(up[s, i] * size_m[i], 0.0) - up[s, i] * centre_m[c, 0, i]
    return above - low


@taken_in_kernel
def legs_of(s, q, c, pick, point_m, centre_m, up, above, tension_n, upright, along, way, found):  # type: ignore[no-untyped-def]
    """How taut legs lean, stand along the load, spread (cosine); `q`, `c`: the rows of points and centre."""
    leans, least, closest, taut = 0.0, 90.0, 1.0, 0
    # the hook hangs over the centre
    hook_x = centre_m[c, 0, 0] + up[s, 0] * above
    hook_y = centre_m[c, 0, 1] + up[s, 1] * above
    hook_z = centre_m[c, 0, 2] + up[s, 2] * above
    for p in range(pick.shape[0]):
        if not tension_n[s, p] > 0.0:
            continue
        k = pick[p]
        x, y, z = hook_x - point_m[q, k, 0], hook_y - point_m[q, k, 1], hook_z - point_m[q, k, 2]
        if upright[p]:
            leans = max(leans, angle_deg(np.hypot(x, y), z))
        if along[p]:
            least = min(least, angle_deg(z, abs(x)))
        inv = 1.0 / np.sqrt(x * x + y * y + z * z)
        x, y, z = x * inv, y * inv, z * inv
        for other in range(taut):
            closest = min(closest, x * way[other, 0] + y * way[other, 1] + z * way[other, 2])
        way[taut, 0], way[taut, 1], way[taut, 2] = x, y, z
        taut += 1
    found[LEAN], found[ALONG], found[SPREAD] = leans, least, max(closest, -1.0)


@kernel
def read_samples(pick, given, out, view, found):  # type: ignore[no-untyped-def]
    """Fill `found` for every sample of `out`; `pick` (P,) is each leg's point on the load."""
    n = pick.shape[0]
    way, one = np.empty((n, 3)), np.empty(FIGURES)
    point_m, centre_m, tension_n, up = given.point_m, given.centre_m, out.tension_n, out.up
    for s in range(out.status.shape[0]):
        q = s if point_m.shape[0] > 1 else 0
        c = s if centre_m.shape[0] > 1 else 0
        above = out.hook_above_cg_m[s]
        pulls_of(s, view.limit_n[s], view.pick_n, tension_n, out.angle_deg, one)
        legs_of(s, q, c, pick, point_m, centre_m, up, above, tension_n, view.upright, view.along, way, one)
        found.slack[s] = n - one[TAUT]
        found.share[s] = one[SHARE]
        found.pick_share[s] = one[PICK]
        found.lean_deg[s] = one[LEAN]
        found.flattest_deg[s] = one[FLATTEST]
        found.along_deg[s] = one[ALONG]
        found.spread_deg[s] = np.arccos(one[SPREAD]) * _DEG
        found.height_m[s] = height_of(s, c, above, centre_m, up, view.size_m)
