"""How far a hanging load is from going: centre of gravity, push and reach. Single solves only.

Rise: moving the centre of gravity up its own plumb line by t changes no force, only the Hessian, by -t W on
the two level turns of the load; it stays positive definite until t = 1/(W m), m the largest eigenvalue of the
inverse Hessian's block of these turns. Push: the load is held turned by a growing angle, about eight level
axes, while all else comes to rest; it returns as long as the moment opposes the turn. Reach: the largest
excess of distance over unstretched length, at its smallest over all places of the bodies, taken negative.
"""

from __future__ import annotations

import numpy as np

from slingwright.hang._jit import inner_kernel, kernel
from slingwright.hang._kernel_batch import model_at
from slingwright.hang._kernel_dense import between, cholesky, cholesky_solve, eigen
from slingwright.hang._kernel_energy import (
    EXTENSION,
    FACTOR,
    FAR,
    FORCE,
    GRADIENT,
    HELD,
    HESSIAN,
    KEPT,
    LENGTHWISE,
    LOAD,
    NONE,
    PULL,
    SCALE,
    SPARE,
    STEP,
    TAKEN,
    TRY,
    VALUES,
    WITH,
    clear,
    copy_rows,
    energy,
    move,
    path_gradient,
    stiffness,
)
from slingwright.hang._kernel_search import ALL, DOWNHILL, FLAT, LOAD_UNTURNED, STABLE, hold, walk

__all__ = ["look"]

_AXES = 8
_TURN = np.pi / 18.0  # first look every ten degrees
_FARTHEST = 9  # looks: up to a right angle
_REFINED = 16
_TOLERANCE = _TURN / 2**12
_AT_REST = 1e-7  # imbalance over the weight: only the sign of a moment is wanted


@kernel
def look(base, lies_given, lies, given, pose, work, status, slopes):  # type: ignore[no-untyped-def]
    """Figures of one solved sample (index 0) that no batch needs.

    Points, tensions and extensions go into `work`, each path's length gradient into `slopes` (P,n).
    Returns (centre may rise, may be pushed [deg], reach margin); infinite = no bound found.
    """
    arm, rest = np.empty_like(given.point_m[0]), np.empty_like(given.length_m[0])
    stiff, figure = np.empty_like(rest), np.empty_like(base.figure)
    for p in range(rest.shape[0]):
        stiff[p] = stiffness(given, 0, p)
    model = model_at(
        base, given.weight_n[0], given.centre_m[0], given.point_m[0], lies, lies_given, given.length_m[0],
        stiff, arm, rest, figure,
    )  # fmt: skip
    rise = _rise(model, pose, work)
    push = np.inf
    if status == STABLE:
        push = _push(model, pose, work)
    margin = _reach(model, pose, work)
    energy(model, pose, work, 1.0, NONE)
    for p in range(rest.shape[0]):
        path_gradient(model, work, p, 0.0)
        for i in range(slopes.shape[1]):
            slopes[p, i] = work.vec[LENGTHWISE, i]
    return rise, push, margin


@inner_kernel
def _rise(model, pose, work):  # type: ignore[no-untyped-def]
    energy(model, pose, work, 1.0, WITH)
    hold(model, work, ALL, pose)
    values, vectors = work.vec[VALUES], work.mat[FACTOR]
    copy_rows(work.mat[SPARE], work.mat[HESSIAN])
    eigen(work.mat[SPARE], values, vectors)
    load = int(model.figure[LOAD])
    scale, force = model.figure[SCALE], model.figure[FORCE]
    o = 6 * load + 3
    a, b, c = 0.0, 0.0, 0.0
    for k in range(values.shape[0]):
        # a neutral turn stays neutral: it is not what the rise would upset
        if abs(values[k]) <= FLAT * force / scale:
            continue
        a += vectors[o, k] ** 2 / values[k]
        b += vectors[o, k] * vectors[o + 1, k] / values[k]
        c += vectors[o + 1, k] ** 2 / values[k]
    f = model.weight[load] / (scale * scale)
    mean, swing = 0.5 * f * (a + c), f * np.sqrt(0.25 * (a - c) ** 2 + b * b)
    low, high = mean - swing, mean + swing
    if low < -1e-9:  # unstable: it must come down to the lowest of the bounds
        return 1.0 / low if high >= 0.0 else min(1.0 / low, 1.0 / high)
    return 1.0 / high if high > 1e-9 else np.inf


@inner_kernel
def _returning(model, pose, work, x, y, angle):  # type: ignore[no-untyped-def]
    """Moment [N m] that brings back the load of `pose` turned by angle about (x, y, 0), all else at rest."""
    load = int(model.figure[LOAD])
    scale = model.figure[SCALE]
    held, step = work.pose[FAR], work.vec[TAKEN]
    for i in range(step.shape[0]):
        step[i] = 0.0
    step[6 * load + 3] = angle * scale * x
    step[6 * load + 4] = angle * scale * y
    move(pose, step, scale, held)
    walk(model, held, work, 1.0, LOAD_UNTURNED, DOWNHILL, 0.3 * scale, 100.0, _AT_REST)
    g = work.vec[HELD]
    return (g[6 * load + 3] * x + g[6 * load + 4] * y) * scale


@inner_kernel
def _push(model, pose, work):  # type: ignore[no-untyped-def]
    force, scale = model.figure[FORCE], model.figure[SCALE]
    kept = work.pose[KEPT]
    best = np.inf
    for k in range(_AXES):
        x, y = np.cos(2.0 * np.pi * k / _AXES), np.sin(2.0 * np.pi * k / _AXES)
        low, high, over, under, before = 0.0, np.inf, 0.0, 0.0, 0
        copy_rows(kept, pose)
        for _ in range(_FARTHEST + _REFINED):
            if high == np.inf:
                if low >= min(best, _FARTHEST * _TURN):
                    break
                # past the best so far this axis cannot matter
                angle = min(low + _TURN, best)
            elif high - low > _TOLERANCE:
                angle = between(low, high, over, under)
            else:
                break
            # from where it last came back: the rest of the bodies follow the load as it is turned
            moment = _returning(model, kept, work, x, y, angle - low)
            # a neutral roll leaves no moment either way: that is no way of going
            if moment < (-1e-6 * force * scale if high == np.inf else 0.0):
                over = 0.5 * over if before > 0 and high < np.inf else over
                high, under, before = angle, moment, 1
            else:
                under = 0.5 * under if before < 0 else under
                low, over, before = angle, moment, -1
                copy_rows(kept, work.pose[FAR])
        if high < np.inf:
            best = min(best, low)
    return best * 180.0 / np.pi


@inner_kernel
def _reach(model, pose, work):  # type: ignore[no-untyped-def]
    """Newton on a soft maximum of the excesses that is made harder and harder."""
    place, trial = work.pose[FAR], work.pose[TRY]
    copy_rows(place, pose)
    g, h, j, step = work.vec[GRADIENT], work.mat[HESSIAN], work.vec[LENGTHWISE], work.vec[STEP]
    n, scale = g.shape[0], model.figure[SCALE]
    energy(model, place, work, 0.0, NONE)
    best = _most(work)
    soft, shift = 0.1 * scale, 1e-3
    while soft > 1e-10 * scale:
        for _ in range(4):
            energy(model, place, work, 0.0, NONE)
            top = _most(work)
            total = 0.0
            for p in range(model.rest.shape[0]):
                work.path[PULL, p] = np.exp((work.path[EXTENSION, p] - top) / soft)
                total += work.path[PULL, p]
            now = top + soft * np.log(total)
            clear(work)
            for p in range(model.rest.shape[0]):
                w = work.path[PULL, p] / total
                if w < 1e-14:
                    continue
                path_gradient(model, work, p, w)
                for i in range(n):
                    g[i] += w * j[i]
                    for m in range(n):
                        h[i, m] += w / soft * j[i] * j[m]
            for i in range(n):
                for m in range(n):
                    h[i, m] -= g[i] * g[m] / soft
            taken = False
            for _ in range(8):
                if cholesky(h, shift / scale, work.mat[FACTOR]):
                    cholesky_solve(work.mat[FACTOR], g, step)
                    size = 0.0
                    for i in range(n):
                        size = max(size, abs(step[i]))
                    f = -min(1.0, 0.3 * scale / max(size, 1e-300))
                    for i in range(n):
                        work.vec[TAKEN, i] = f * step[i]
                    move(place, work.vec[TAKEN], scale, trial)
                    energy(model, trial, work, 0.0, NONE)
                    high, total = _most(work), 0.0
                    for p in range(model.rest.shape[0]):
                        total += np.exp((work.path[EXTENSION, p] - high) / soft)
                    if high + soft * np.log(total) <= now:
                        taken = True
                        break
                shift *= 10.0
            shift = max(1e-6, 0.1 * shift)
            if not taken:
                break
            copy_rows(place, trial)
            best = min(best, high)
        soft *= 0.2
    return -best


@inner_kernel
def _most(work):  # type: ignore[no-untyped-def]
    most = -np.inf
    for p in range(work.path.shape[1]):
        most = max(most, work.path[EXTENSION, p])
    return most
