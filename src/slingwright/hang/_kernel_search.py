"""From the upright pose to the equilibrium: drop, stationary state, flow, verdict.

The state wanted is the one that the load flows to from the upright pose. Newton steps are taken while the
energy falls; every Hessian on the way is checked. Only where one is not positive definite does the second,
slower search run: the downhill flow, compared with the stationary state next to the upright pose.
"""

from __future__ import annotations

import numpy as np

from slingwright.hang._jit import inner_kernel
from slingwright.hang._kernel_dense import cholesky, cholesky_solve, eigen
from slingwright.hang._kernel_energy import (
    DROPPED,
    EXTENSION,
    FACTOR,
    FAR,
    FORCE,
    GRADIENT,
    HELD,
    HESSIAN,
    LENGTHWISE,
    LOAD,
    NONE,
    NOW,
    PLACE,
    PULL,
    ROUND,
    SCALE,
    SPARE,
    STEP,
    TAKEN,
    TRY,
    UPRIGHT,
    VALUES,
    WITH,
    copy_rows,
    energy,
    move,
    slopes,
)

__all__ = ["CAPSIZES", "DRAWN_IN", "FAILED", "STABLE", "UNREACHABLE", "find", "hold", "imbalance", "walk"]

STABLE, CAPSIZES, UNREACHABLE, FAILED, DRAWN_IN = 0, 1, 2, 3, 4
FLAT = 1e-9  # of force/scale: a stiffness below this is none
ROLL = 0.05  # of weight times half chord: a roll stiffness below this is what a true round would not have
# what may move, as floats (whole-number constants would compile one copy of the code for each)
LIFT_ONLY, ALL, LOAD_UNTURNED = 0.0, 1.0, 2.0
# how to step: downhill whatever the Hessian, or to the nearest stationary state of any kind
DOWNHILL, STATIONARY = 0.0, 1.0


@inner_kernel
def imbalance(model, work):  # type: ignore[no-untyped-def]
    """Largest entry of the gradient over the total weight, or over the largest tension where that is more."""
    worst, force = 0.0, model.figure[FORCE]
    for p in range(work.path.shape[1]):
        force = max(force, work.path[PULL, p])
    for i in range(work.vec.shape[1]):
        worst = max(worst, abs(work.vec[GRADIENT, i]))
    return worst / force


@inner_kernel
def _noise(model, pose):  # type: ignore[no-untyped-def]
    """The imbalance that rounding alone can leave (stiff paths amplify the last bit of a position)."""
    size, total = model.figure[SCALE], 0.0
    for p in range(model.rest.shape[0]):
        size = max(size, abs(model.rest[p]))
        total += model.stiff[p]
    for b in range(pose.shape[0]):
        for i in range(3):
            size = max(size, abs(pose[b, i]))
    return 1e-12 + 1.5e-14 * size * total / model.figure[FORCE]


@inner_kernel
def _axis(model, work):  # type: ignore[no-untyped-def]
    """(whether one vertical holds all world points that carry anything, its x, its y)."""
    seen, x, y = False, 0.0, 0.0
    for p in range(model.rest.shape[0]):
        if work.path[PULL, p] <= 0.0:
            continue
        for q in range(model.first[p], model.first[p + 1]):
            if model.on[q] >= 0:
                continue
            if not seen:
                seen, x, y = True, model.arm[q, 0], model.arm[q, 1]
            elif abs(model.arm[q, 0] - x) > 1e-12 or abs(model.arm[q, 1] - y) > 1e-12:
                return False, x, y
    return seen, x, y


@inner_kernel
def hold(model, work, free, pose):  # type: ignore[no-untyped-def]
    """Hold what is not free; with one hook hold the heading, which costs no energy.

    What pulls on the things held is kept in its row of work.vec.
    """
    g, h, v = work.vec[GRADIENT], work.mat[HESSIAN], work.vec[LENGTHWISE]
    n = g.shape[0]
    firm = model.figure[FORCE] / model.figure[SCALE]
    turn = 6 * int(model.figure[LOAD]) + 3
    if free == ALL:
        one, axis_x, axis_y = _axis(model, work)
        if not one:
            return
        for i in range(n):
            v[i] = 0.0
        norm, along = 0.0, 0.0
        for b in range(pose.shape[0]):
            v[6 * b] = -(pose[b, 1] - axis_y)
            v[6 * b + 1] = pose[b, 0] - axis_x
            v[6 * b + 5] = model.figure[SCALE]
        for i in range(n):
            norm += v[i] * v[i]
            along += v[i] * g[i]
        for i in range(n):
            g[i] -= along * v[i] / norm
            for m in range(n):
                h[i, m] += firm * v[i] * v[m] / norm
        return
    for i in range(n):
        if (free == LIFT_ONLY and i % 6 != 2) or (free == LOAD_UNTURNED and turn <= i < turn + 3):
            work.vec[HELD, i] = g[i]
            g[i] = 0.0
            for m in range(n):
                h[i, m] = 0.0
                h[m, i] = 0.0
            h[i, i] = firm


@inner_kernel
def _direction(model, work, how):  # type: ignore[no-untyped-def]
    """Newton's step into its row of work.vec; True where the Hessian is positive definite."""
    h, g, step, low = work.mat[HESSIAN], work.vec[GRADIENT], work.vec[STEP], work.mat[FACTOR]
    floor = FLAT * model.figure[FORCE] / model.figure[SCALE]
    n = g.shape[0]
    if cholesky(h, 0.0, low):
        firm = True
        for i in range(n):
            firm = firm and low[i, i] * low[i, i] > floor
        if firm:
            cholesky_solve(low, g, step)
            return True
    copy_rows(work.mat[SPARE], h)
    values = work.vec[VALUES]
    eigen(work.mat[SPARE], values, low)
    least = 0.0
    for k in range(n):
        least = min(least, values[k])
    if least >= -floor:
        least = 0.0
    for i in range(n):
        step[i] = 0.0
    for k in range(n):
        along = 0.0
        for i in range(n):
            along += low[i, k] * g[i]
        # a neutral way (a free heading) on which no force acts: rounding must not be taken for one
        if abs(values[k]) <= floor and abs(along) <= FLAT * model.figure[FORCE]:
            continue
        # downhill all stiffnesses are raised alike until the softest is positive
        by = values[k] - 3.0 * least + floor if how == DOWNHILL else values[k]
        if abs(by) < floor:
            by = floor
        for i in range(n):
            step[i] += along / by * low[i, k]
    return least == 0.0


@inner_kernel
def walk(model, pose, work, load, free, how, cap, most, rough):  # type: ignore[no-untyped-def]
    """Newton from `pose`, in place, with steps no longer than a trust radius.

    It ends at an imbalance of `rough`, or of the noise where that is more (then once polished).
    DOWNHILL the energy never rises; STATIONARY it may where the Hessian is not positive definite.
    Returns (converged, every Hessian positive definite, imbalance).
    """
    force, scale = model.figure[FORCE], model.figure[SCALE]
    step, taken, trial = work.vec[STEP], work.vec[TAKEN], work.pose[TRY]
    radius, convex, tol = cap, True, max(rough, _noise(model, pose))
    e = energy(model, pose, work, load, WITH)
    hold(model, work, free, pose)
    last = imbalance(model, work)
    polish = 0
    for _ in range(int(most)):
        if last <= tol:
            polish += 1
            if polish > 1 or tol == rough:
                break
        definite = _direction(model, work, how)
        convex = convex and definite
        size = 0.0
        for i in range(step.shape[0]):
            size += step[i] * step[i]
        size = np.sqrt(size)
        done = False
        for _ in range(60):
            f = -1.0 if size <= radius else -radius / size
            for i in range(step.shape[0]):
                taken[i] = f * step[i]
            move(pose, taken, scale, trial)
            e_try = energy(model, trial, work, load, NONE)
            if e_try <= e + 1e-14 * (force * scale + abs(e)) or (how == STATIONARY and not definite):
                done = True
                break
            radius = 0.25 * min(size, radius)
        if not done:
            break
        copy_rows(pose, trial)
        e = e_try
        slopes(model, work, load)
        hold(model, work, free, pose)
        now = imbalance(model, work)
        if now >= last and now < 1e-9 and now <= 100.0 * tol:
            last = now
            break
        last = now
        radius = 2.0 * radius if free == LIFT_ONLY else min(2.0 * radius, cap)
    return last <= max(1e-8, 10.0 * tol) and last <= 1e-6, convex, last


@inner_kernel
def judge(model, pose, work):  # type: ignore[no-untyped-def]
    """Look at a stationary state's Hessian.

    Returns (stable, roll is neutral, a turn about a vertical is neutral, unstable in heading only).
    """
    energy(model, pose, work, 1.0, WITH)
    hold(model, work, ALL, pose)
    force, scale, chord = model.figure[FORCE], model.figure[SCALE], model.figure[ROUND]
    floor = FLAT * force / scale
    if chord == 0.0 and cholesky(work.mat[HESSIAN], -floor, work.mat[FACTOR]):
        return True, False, False, False
    values, vectors = work.vec[VALUES], work.mat[FACTOR]
    copy_rows(work.mat[SPARE], work.mat[HESSIAN])
    eigen(work.mat[SPARE], values, vectors)
    stable, roll, spin, heading = True, False, False, True
    for k in range(values.shape[0]):
        level, upright = 0.0, 0.0
        for b in range(pose.shape[0]):
            level += vectors[6 * b + 3, k] ** 2 + vectors[6 * b + 4, k] ** 2
            upright += vectors[6 * b + 5, k] ** 2
        if abs(values[k]) <= floor and upright > 0.5:
            spin = True
            continue
        # a turn by one radian is `scale` metres: stiffness against turning, in N m
        turning = values[k] * scale * scale / max(level, 1e-12)
        if chord > 0.0 and level > 0.1 and abs(turning) <= ROLL * force * chord:
            roll = True
        elif values[k] <= floor:
            stable = False
            heading = heading and level < 0.02
    return stable, roll, spin, heading and not stable


@inner_kernel
def _longest(work):  # type: ignore[no-untyped-def]
    most = 0.0
    for p in range(work.path.shape[1]):
        most = max(most, work.path[EXTENSION, p])
    return most


@inner_kernel
def _reaches(model, pose, work):  # type: ignore[no-untyped-def]
    """Whether the unstretched paths can all reach (the extensions at `pose` are in `work`).

    First a quick proof: all bodies a little higher, unturned, and every path slack. Else the elastic energy
    without weight is followed down: it falls to nothing where they reach.
    """
    scale, most = model.figure[SCALE], _longest(work)
    trial = work.pose[FAR]
    for rise in range(2, 7, 4):
        copy_rows(trial, pose)
        for b in range(pose.shape[0]):
            trial[b, 2] += rise * most * (pose.shape[0] - b)
        energy(model, trial, work, 0.0, NONE)
        if _longest(work) == 0.0:
            return True
    copy_rows(trial, pose)
    walk(model, trial, work, 0.0, ALL, DOWNHILL, 0.5 * scale, 60.0, 0.0)
    energy(model, trial, work, 0.0, NONE)
    return _longest(work) <= 1e-7 * scale


@inner_kernel
def _apart(pose, other):  # type: ignore[no-untyped-def]
    """How far the verticals of two poses are apart (the heading costs nothing)."""
    s = 0.0
    for b in range(pose.shape[0]):
        for i in range(9, 12):
            s += (pose[b, i] - other[b, i]) ** 2
    return np.sqrt(s)


@inner_kernel
def find(model, start, work):  # type: ignore[no-untyped-def]
    """Solve one problem from the upright start (B,3) of its centres of gravity; the pose is work.pose[NOW].

    Returns (status, imbalance, roll is neutral, a turn about a vertical is neutral).
    """
    scale, pose = model.figure[SCALE], work.pose[NOW]
    for b in range(pose.shape[0]):
        for i in range(12):
            pose[b, i] = 0.0
        for i in range(3):
            pose[b, i] = start[b, i]
            pose[b, 3 + 4 * i] = 1.0
    walk(model, pose, work, 1.0, LIFT_ONLY, DOWNHILL, 0.25 * scale, 200.0, 0.0)
    copy_rows(work.pose[DROPPED], pose)
    good, clean, left = walk(model, pose, work, 1.0, ALL, STATIONARY, 0.3 * scale, 60.0, 0.0)
    stable, roll, spin, heading = False, False, False, False
    if good:
        stable, roll, spin, heading = judge(model, pose, work)
    if not (good and stable and (clean or roll)):
        # follow the flow; is its end the answer, or the upright state?
        copy_rows(work.pose[UPRIGHT], pose)
        upright = good and not stable and not heading
        copy_rows(pose, work.pose[DROPPED])
        good, _, left_end = walk(model, pose, work, 1.0, ALL, DOWNHILL, 0.1 * scale, 20000.0, 0.0)
        near, far = _apart(work.pose[UPRIGHT], work.pose[DROPPED]), _apart(pose, work.pose[DROPPED])
        if upright and (near <= far or not good):
            copy_rows(pose, work.pose[UPRIGHT])
            good = True
        else:
            left = left_end
            stable, roll, spin, heading = judge(model, pose, work)
            for b in range(pose.shape[0]):
                stable = stable and pose[b, 11] > 0.0
    status = STABLE if stable else CAPSIZES
    energy(model, pose, work, 1.0, NONE)
    if not _reaches(model, pose, work):
        status = UNREACHABLE
    energy(model, pose, work, 1.0, NONE)
    if good:
        return status, left, roll, spin
    p = _drawn_in(model, work)
    return (DRAWN_IN if p >= 0 else FAILED), (float(p) if p >= 0 else left), roll, spin


@inner_kernel
def _drawn_in(model, work):  # type: ignore[no-untyped-def]
    """A taut path of which two points meet (its pull has no direction there), else -1."""
    x = work.point[PLACE]
    for p in range(model.rest.shape[0]):
        for q in range(model.first[p], model.first[p + 1] - 1):
            if work.path[PULL, p] > 0.0 and (model.on[q] != model.on[q + 1] or model.on[q] < 0):
                u, v, w = x[q + 1, 0] - x[q, 0], x[q + 1, 1] - x[q, 1], x[q + 1, 2] - x[q, 2]
                if u * u + v * v + w * w < 1e-8 * model.figure[SCALE] ** 2:
                    return p
    return -1
