"""What a sieve reads of each solved sample of one body under one hook, in one pass."""

from __future__ import annotations

import numpy as np

from slingwright.hang._jit import kernel
from slingwright.hang._kernel_angle import angle_deg

__all__ = ["read_samples"]

_DEG = 180.0 / np.pi


@kernel
def read_samples(pick, given, out, view, found):  # type: ignore[no-untyped-def]
    """Fill `found` for every sample of `out`; `pick` (P,) is each leg's point on the load."""
    n = pick.shape[0]
    way = np.empty((n, 3))
    for s in range(out.status.shape[0]):
        point = given.point_m[s if given.point_m.shape[0] > 1 else 0]
        centre = given.centre_m[s if given.centre_m.shape[0] > 1 else 0, 0]
        above = out.hook_above_cg_m[s]
        share, pulled, leans, flattest, along, closest, low = 0.0, 0.0, 0.0, 90.0, 90.0, 1.0, 0.0
        for i in range(3):
            low += min(out.up[s, i] * view.size_m[i], 0.0) - out.up[s, i] * centre[i]
        taut = 0
        for p in range(n):
            pull = out.tension_n[s, p]
            share = max(share, pull / view.limit_n[s])
            pulled = max(pulled, pull / view.pick_n[p])
            if not pull > 0.0:
                continue
            flattest = min(flattest, out.angle_deg[s, p])
            far = 0.0
            for i in range(3):  # the hook hangs over the centre
                way[taut, i] = centre[i] + out.up[s, i] * above - point[pick[p], i]
                far += way[taut, i] * way[taut, i]
            if view.upright[p]:
                leans = max(leans, angle_deg(np.hypot(way[taut, 0], way[taut, 1]), way[taut, 2]))
            if view.along[p]:
                along = min(along, angle_deg(way[taut, 2], abs(way[taut, 0])))
            far = np.sqrt(far)
            for i in range(3):
                way[taut, i] /= far
            for q in range(taut):
                dot = way[taut, 0] * way[q, 0] + way[taut, 1] * way[q, 1] + way[taut, 2] * way[q, 2]
                closest = min(closest, dot)
            taut += 1
        found.slack[s] = n - taut
        found.share[s] = share
        found.pick_share[s] = pulled
        found.lean_deg[s] = leans
        found.flattest_deg[s] = flattest
        found.along_deg[s] = along
        found.spread_deg[s] = np.arccos(max(closest, -1.0)) * _DEG
        found.height_m[s] = above - low
