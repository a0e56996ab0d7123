"""Bodies on straight paths, sixteen samples at a time: Newton on six unknowns a body.

The same energy and unknowns as the general search (`_kernel_energy`), for samples that go straight home: a
sample is answered here only if every Hessian on its way was positive definite, every step lowered the energy,
all bodies end upright and their paths reach. `todo` marks all others, for the general search. Figures are
the general search's to the last bits, not the same bits.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slingwright.hang._jit import inner_kernel, kernel, lane_kernel
from slingwright.hang._kernel_angle import angle_deg
from slingwright.hang._kernel_bodies_step import (
    AXIS_X,
    AXIS_Y,
    BAD,
    EXTENSION,
    LANES,
    LEFT,
    LEG_ROWS,
    MOST,
    ON,
    ONE,
    PULL,
    ROW_E,
    SCALE,
    WEIGHT,
    above,
    advance,
    cross_block,
    ends_of,
    factor,
    hold_heading,
    load_weights,
    lower,
    own_block,
    pull_of,
    pulls_up,
    rise,
)
from slingwright.hang._kernel_energy import LOAD, stiffness

__all__ = ["new_room", "run_bodies"]

_STEPS = 40
_STRAIGHT = 1e-11  # of the weight: the imbalance at which a sample is home
_LIFTS = 7  # one to begin with
_LEAST = 0.3  # of its share of the weight: what each path carries to begin with
_UPRIGHT = 0.8  # cosine: a body that leans more is looked at with care


def new_room(bodies: int, paths: int) -> tuple[NDArray[np.float64], ...]:
    """Allocate scratch for samples of one shape."""
    n = 6 * bodies
    rows = (24 * bodies, 4 * n, n * n, paths * LEG_ROWS, 12, SCALE + 1 + bodies, 36, 2 * paths)
    return tuple(np.zeros(k * LANES) for k in rows)


@inner_kernel
def _assemble(pose, vec, mat, legs, ends, w, block, bodies):  # type: ignore[no-untyped-def]
    """Energy, gradient and Hessian at the poses."""
    n = 6 * bodies
    load_weights(pose, vec, mat, w, bodies, n)
    for p in range(legs.shape[0] // (LEG_ROWS * LANES)):
        b0, b1 = _bodies_of(legs, p)
        ends_of(pose, legs, ends, p, b0, b1)
        pull_of(legs, ends, w, p)
        for e in range(2):
            b = b1 if e == 1 else b0
            if b >= 0:
                own_block(vec, mat, ends, w, block, e, b, n)
        if b0 >= 0 and b1 >= 0:
            cross_block(mat, ends, w, block, b0, b1, n)
    hold_heading(pose, vec, mat, w, bodies, n)


@inner_kernel
def _bodies_of(legs, p):  # type: ignore[no-untyped-def]
    """Which bodies path p joins, -1 = the world (the same for all samples)."""
    o = (p * LEG_ROWS + 8) * LANES
    return int(legs[o]), int(legs[o + LANES])


@inner_kernel
def _fill(pose, legs, w, given, base, start, order, at, hi):  # type: ignore[no-untyped-def]
    """Samples at..at+15 into lanes, upright, all paths taut; past the end the last sample is repeated."""
    bodies, paths = start.shape[0], given.rated_n.shape[0]
    for i in range(LANES):
        s = min(at + i, hi - 1)
        centre = given.centre_m[s if given.centre_m.shape[0] > 1 else 0]
        point = given.point_m[s if given.point_m.shape[0] > 1 else 0]
        length = given.length_m[s if given.length_m.shape[0] > 1 else 0]
        weight = given.weight_n[s if given.weight_n.shape[0] > 1 else 0]
        force, reach2, longest = 0.0, 0.0, 0.0
        seen, one = False, 1.0
        for b in range(bodies):
            force += weight[b]
            for m in range(12):
                pose[(12 * b + m) * LANES + i] = 1.0 if m == 3 or m == 7 or m == 11 else 0.0
            for m in range(3):
                pose[(12 * b + m) * LANES + i] = start[b, m] + centre[b, m]
            w[(SCALE + 1 + b) * LANES + i] = weight[b]
        for p in range(paths):
            o = p * LEG_ROWS * LANES + i
            for e in range(2):
                q = 2 * p + e
                b = base.on[q]
                legs[o + (8 + e) * LANES] = b
                far = 0.0
                for m in range(3):
                    arm = point[q, m] - centre[b, m] if b >= 0 else point[q, m]
                    legs[o + (3 * e + m) * LANES] = arm
                    far += arm * arm
                if b >= 0:
                    reach2 = max(reach2, far)
                elif not seen:
                    seen = True
                    w[AXIS_X * LANES + i], w[AXIS_Y * LANES + i] = point[q, 0], point[q, 1]
                elif (
                    abs(point[q, 0] - w[AXIS_X * LANES + i]) > 1e-12
                    or abs(point[q, 1] - w[AXIS_Y * LANES + i]) > 1e-12
                ):
                    one = 0.0
            legs[o + 6 * LANES] = length[p]
            legs[o + 7 * LANES] = stiffness(given, s, p)
            longest = max(longest, length[p])
        w[WEIGHT * LANES + i], w[ONE * LANES + i] = force, one
        w[SCALE * LANES + i] = max(np.sqrt(reach2), 0.1 * longest)


@inner_kernel
def _place(pose, legs, w, order, share):  # type: ignore[no-untyped-def]
    """Every body where it hangs if it may only rise and fall, upright, from the topmost down.

    The pull of straight paths grows the faster the lower a body is: from where all of them carry more than
    they must, Newton's steps rise to the balance and never past it. None is left slack to begin with.
    """
    for k in range(order.shape[0]):
        b = order[k]
        for i in range(LANES):
            pose[(12 * b + 2) * LANES + i] = np.inf
        for step in range(_LIFTS + 1):
            for i in range(LANES):
                w[ROW_E * LANES + i] = 0.0
                w[(ROW_E + 1) * LANES + i] = 0.0
            for p in range(legs.shape[0] // (LEG_ROWS * LANES)):
                b0, b1 = _bodies_of(legs, p)
                for e in range(2):
                    mine, other = (b1, b0) if e == 1 else (b0, b1)
                    if mine == b and (other < 0 or _before(order, k, other)):
                        above(pose, legs, w, p, e, b, other)
                        if step == 0:
                            lower(pose, legs, w, p, b, 1.5 * share[k])
                        elif step < _LIFTS:
                            pulls_up(pose, legs, w, p, b)
                        else:
                            lower(pose, legs, w, p, b, _LEAST * share[k])
            if 0 < step < _LIFTS:
                rise(pose, w, b, order, k)


@inner_kernel
def _begin(pose, begin, at, hi):  # type: ignore[no-untyped-def]
    """Every body where it is told to begin."""
    for i in range(LANES):
        s = min(at + i, hi - 1)
        there = begin[s if begin.shape[0] > 1 else 0]
        for b in range(there.shape[0]):
            for m in range(12):
                pose[(12 * b + m) * LANES + i] = there[b, m]


@inner_kernel
def _before(order, k, b):  # type: ignore[no-untyped-def]
    found = False
    for m in range(k):
        found = found or order[m] == b
    return found


@lane_kernel
def _imbalance(vec, legs, ends, w, n):  # type: ignore[no-untyped-def]
    """The largest entry of the gradient over the weight."""
    for i in range(LANES):
        w[LEFT * LANES + i] = 0.0
    for k in range(n):
        for i in range(LANES):
            w[LEFT * LANES + i] = max(w[LEFT * LANES + i], abs(vec[k * LANES + i]))
    for i in range(LANES):
        w[LEFT * LANES + i] /= w[WEIGHT * LANES + i]


@lane_kernel
def _read(ends, w, pulls, p):  # type: ignore[no-untyped-def]
    """Pull and angle of path p, which was looked at last; the largest stretch so far."""
    for i in range(LANES):
        u, v = ends[9 * LANES + i] - ends[3 * LANES + i], ends[10 * LANES + i] - ends[4 * LANES + i]
        rise = ends[11 * LANES + i] - ends[5 * LANES + i]
        pulls[2 * p * LANES + i] = w[PULL * LANES + i]
        pulls[(2 * p + 1) * LANES + i] = angle_deg(abs(rise), np.sqrt(u * u + v * v))
        w[MOST * LANES + i] = max(w[MOST * LANES + i], w[EXTENSION * LANES + i])


@lane_kernel
def _too_long(pose, legs, ends, w, p, up0, up1, row):  # type: ignore[no-untyped-def]
    """Whether path p is still taut with its ends' bodies raised by multiples of the largest stretch."""
    o = p * LEG_ROWS * LANES
    for i in range(LANES):
        u, v = ends[9 * LANES + i] - ends[3 * LANES + i], ends[10 * LANES + i] - ends[4 * LANES + i]
        rise = ends[11 * LANES + i] - ends[5 * LANES + i] + (up1 - up0) * w[MOST * LANES + i]
        rest = legs[o + 6 * LANES + i]
        over = u * u + v * v + rise * rise - rest * rest
        w[row * LANES + i] = max(w[row * LANES + i], over)


@inner_kernel
def _finish(pose, vec, legs, ends, w, pulls, bodies):  # type: ignore[no-untyped-def]
    """Pulls and angles, and whether unstretched paths would reach: raised a little all are slack."""
    paths = legs.shape[0] // (LEG_ROWS * LANES)
    for i in range(LANES):
        w[MOST * LANES + i] = 0.0
        w[ROW_E * LANES + i] = -1.0
        w[(ROW_E + 1) * LANES + i] = -1.0
    for p in range(paths):
        b0, b1 = _bodies_of(legs, p)
        ends_of(pose, legs, ends, p, b0, b1)
        pull_of(legs, ends, w, p)
        _read(ends, w, pulls, p)
    for i in range(LANES):
        w[ROW_E * LANES + i] = -1.0
        w[(ROW_E + 1) * LANES + i] = -1.0
    for p in range(paths):
        b0, b1 = _bodies_of(legs, p)
        ends_of(pose, legs, ends, p, b0, b1)
        near0, near1 = 2.0 * (bodies - b0) if b0 >= 0 else 0.0, 2.0 * (bodies - b1) if b1 >= 0 else 0.0
        _too_long(pose, legs, ends, w, p, near0, near1, ROW_E)
        _too_long(pose, legs, ends, w, p, 3.0 * near0, 3.0 * near1, ROW_E + 1)


@inner_kernel
def _write(pose, w, pulls, given, base, hook, at, hi, again, out):  # type: ignore[no-untyped-def]
    """Lanes into samples at..; those that did not go straight home stay to be done.

    `again`: into those alone that are to be done yet. Returns whether some are now.
    """
    bodies, paths, load = given.centre_m.shape[1], given.rated_n.shape[0], int(base.figure[LOAD])
    some = False
    for i in range(min(LANES, hi - at)):
        s = at + i
        if again and not out.todo[s]:
            continue
        fine = w[BAD * LANES + i] < 0.5 and w[ON * LANES + i] < 0.5
        fine = fine and w[LEFT * LANES + i] <= _STRAIGHT
        fine = fine and min(w[ROW_E * LANES + i], w[(ROW_E + 1) * LANES + i]) <= 0.0
        for b in range(bodies):
            fine = fine and pose[(12 * b + 11) * LANES + i] > _UPRIGHT
        out.todo[s] = not fine
        some = some or not fine
        out.status[s] = 0
        out.residual[s] = w[LEFT * LANES + i]
        o = 12 * load * LANES + i
        for m in range(3):
            out.up[s, m] = pose[o + (9 + m) * LANES]
        out.tilt_deg[s] = angle_deg(np.sqrt(out.up[s, 0] ** 2 + out.up[s, 1] ** 2), out.up[s, 2])
        point = given.point_m[s if given.point_m.shape[0] > 1 else 0]
        top = -np.inf
        for q in range(base.on.shape[0]):
            if base.on[q] < 0:
                top = max(top, point[q, 2])
        out.hook_above_cg_m[s] = (hook[0] if hook.shape[0] > 0 else top) - pose[o + 2 * LANES]
        for p in range(paths):
            out.tension_n[s, p] = pulls[2 * p * LANES + i]
            out.angle_deg[s, p] = pulls[(2 * p + 1) * LANES + i]
        if out.pose.shape[0] > 0:
            for b in range(bodies):
                for m in range(12):
                    out.pose[s, b, m] = pose[(12 * b + m) * LANES + i]
    return some


@kernel
def run_bodies(  # type: ignore[no-untyped-def]
    base, start, order, share, begin, given, hook, lo, hi, room, out
):
    """Solve samples lo..hi of bodies on paths of two points each into `out`; `out.todo` marks the odd ones.

    `order` (B,) are the bodies from the topmost down, `share` (B,) what each of its paths then carries of
    the whole weight, about. `begin` (S, B, 12): poses near which the samples hang, one for all, or none at
    all; a sample that does not go straight home from there begins anew upright. `room` is scratch as
    `new_room` makes it.
    """
    pose, vec, mat, legs, ends, w, block, pulls = room
    bodies = start.shape[0]
    n = 6 * bodies
    for at in range(lo, hi, LANES):
        for again in range(2):
            _fill(pose, legs, w, given, base, start, order, at, hi)
            if begin.shape[0] > 0 and again == 0:
                _begin(pose, begin, at, hi)
            else:
                _place(pose, legs, w, order, share)
            for i in range(LANES):
                w[ON * LANES + i], w[BAD * LANES + i] = 1.0, 0.0
                w[(ROW_E + 1) * LANES + i] = np.inf
            for _ in range(_STEPS):
                _assemble(pose, vec, mat, legs, ends, w, block, bodies)
                _imbalance(vec, legs, ends, w, n)
                factor(mat, vec, w, n)
                advance(pose, vec, w, bodies, n)
                busy = 0.0
                for i in range(LANES):
                    busy += w[ON * LANES + i]
                if busy == 0.0:
                    break
            _assemble(pose, vec, mat, legs, ends, w, block, bodies)
            _imbalance(vec, legs, ends, w, n)
            _finish(pose, vec, legs, ends, w, pulls, bodies)
            odd = _write(pose, w, pulls, given, base, hook, at, hi, again == 1, out)
            if begin.shape[0] == 0 or not odd:
                break
