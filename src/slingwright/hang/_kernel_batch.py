"""Many samples of one problem through the general search, each on its own figures alone."""

from __future__ import annotations

import numpy as np

from slingwright.hang._jit import inner_kernel, kernel
from slingwright.hang._kernel_angle import angle_deg
from slingwright.hang._kernel_energy import (
    FORCE,
    LOAD,
    NOW,
    PLACE,
    PULL,
    ROUND,
    SCALE,
    Model,
    copy_rows,
    stiffness,
)
from slingwright.hang._kernel_search import find

__all__ = ["model_at", "run_general", "upper_end"]


@inner_kernel
def model_at(base, weight, cg, point, lies, lies_given, length, stiff, arm, rest, figure):  # type: ignore[no-untyped-def]
    """The model of one sample; `arm` and `rest` are filled."""
    on, first = base.on, base.first
    reach2, force, longest = 0.0, 0.0, 0.0
    for b in range(weight.shape[0]):
        force += weight[b]
    for q in range(on.shape[0]):
        b = on[q]
        for i in range(3):
            arm[q, i] = point[q, i] - cg[b, i] if b >= 0 else point[q, i]
        if b >= 0:
            reach2 = max(reach2, arm[q, 0] ** 2 + arm[q, 1] ** 2 + arm[q, 2] ** 2)
    widest = 0.0
    for p in range(rest.shape[0]):
        chord = 0.0
        for q in range(first[p], first[p + 1] - 1):
            if on[q] >= 0 and on[q] == on[q + 1]:
                x, y, z = (
                    point[q + 1, 0] - point[q, 0],
                    point[q + 1, 1] - point[q, 1],
                    point[q + 1, 2] - point[q, 2],
                )
                chord += np.sqrt(x * x + y * y + z * z)
        lying = lies[p] if lies_given[p] else chord
        # longer than its chord: a round section, which may roll
        if chord > 0.0 and lying > 1.000001 * chord:
            widest = max(widest, 0.5 * chord)
        rest[p] = length[p] - lying
        longest = max(longest, length[p])
    scale = max(np.sqrt(reach2), 0.1 * longest)
    figure[SCALE] = scale
    figure[FORCE] = force
    figure[ROUND] = widest
    figure[LOAD] = base.figure[LOAD]
    return Model(weight, arm, on, first, rest, stiff, figure)


@inner_kernel
def _top(on, point, hook):  # type: ignore[no-untyped-def]
    """Height of the hook: as given (`hook` has one figure), else the highest world point."""
    if hook.shape[0] > 0:
        return hook[0]
    top = -np.inf
    for q in range(on.shape[0]):
        if on[q] < 0:
            top = max(top, point[q, 2])
    return top


@inner_kernel
def upper_end(model, x, p):  # type: ignore[no-untyped-def]
    """(point, its neighbour) at the higher end of path p; the first end where they are level."""
    first, last = model.first[p], model.first[p + 1] - 1
    if x[last, 2] > x[first, 2] + 1e-12:
        return last, last - 1
    return first, first + 1


@kernel
def run_general(  # type: ignore[no-untyped-def]
    base, start, lies_given, lies, given, hook, lo, hi, work, out
):
    """Solve those of the samples lo..hi that `out.todo` marks."""
    arm, rest = np.empty_like(given.point_m[0]), np.empty_like(given.length_m[0])
    figure, load = np.empty_like(base.figure), int(base.figure[LOAD])
    begin, stiff = np.empty_like(start), np.empty_like(rest)
    for s in range(lo, hi):
        if not out.todo[s]:
            continue
        at = given.point_m[s if given.point_m.shape[0] > 1 else 0]
        centre = given.centre_m[s if given.centre_m.shape[0] > 1 else 0]
        weight = given.weight_n[s if given.weight_n.shape[0] > 1 else 0]
        length = given.length_m[s if given.length_m.shape[0] > 1 else 0]
        for p in range(rest.shape[0]):
            stiff[p] = stiffness(given, s, p)
        model = model_at(base, weight, centre, at, lies, lies_given, length, stiff, arm, rest, figure)
        for b in range(start.shape[0]):
            for i in range(3):
                begin[b, i] = start[b, i] + centre[b, i]
        status, left, roll, spin = find(model, begin, work)
        pose, x = work.pose[NOW], work.point[PLACE]
        out.status[s] = status
        out.residual[s] = left
        lean = np.sqrt(pose[load, 9] * pose[load, 9] + pose[load, 10] * pose[load, 10])
        out.tilt_deg[s] = angle_deg(lean, pose[load, 11])
        for i in range(3):
            out.up[s, i] = pose[load, 9 + i]
        out.hook_above_cg_m[s] = _top(base.on, at, hook) - pose[load, 2]
        for p in range(rest.shape[0]):
            out.tension_n[s, p] = work.path[PULL, p]
            q, r = upper_end(model, x, p)
            u, v, w = x[q, 0] - x[r, 0], x[q, 1] - x[r, 1], x[q, 2] - x[r, 2]
            out.angle_deg[s, p] = angle_deg(w, np.sqrt(u * u + v * v))
        if out.pose.shape[0] > 0:
            out.roll[s] = roll
            out.spin[s] = spin
            copy_rows(out.pose[s], pose)
