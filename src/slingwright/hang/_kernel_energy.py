"""Energy of bodies on elastic paths, with its gradient and Hessian: the one physical model of the statics.

Unknowns, six a body: the centre of gravity's displacement [m] and a turn about it times `scale` [m], so
that both are metres and the Hessian is N/m throughout. World z is up. A pose is a row of twelve figures a
body: the centre of gravity in the world, then the rotation matrix row by row.

Few large functions and few, large arrays: the compiler's time grows with both numbers.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from slingwright.hang._jit import inner_kernel

__all__ = [
    "Model",
    "Work",
    "clear",
    "copy_rows",
    "energy",
    "move",
    "new_work",
    "path_gradient",
    "slopes",
    "stiffness",
]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

# model.figure: length that turns are multiplied by [m]; total weight [N]; half chord of the widest round
# contact [m] (0 = none); the load's index
SCALE, FORCE, ROUND, LOAD = range(4)
# rows of work.vec, work.mat, work.pose, work.path, work.point
LENGTHWISE, GRADIENT, STEP, TAKEN, VALUES, HELD = range(6)
HESSIAN, FACTOR, SPARE = range(3)
NOW, TRY, DROPPED, UPRIGHT, FAR, KEPT = range(6)
PULL, EXTENSION = range(2)
PLACE, ARM = range(2)
NONE, WITH = 0.0, 1.0  # derivatives; floats, so that one copy of the code is compiled
NO_SEGMENT = 1e-12  # m: ends that coincide pull in no direction


class Model(NamedTuple):
    """One problem as arrays: B bodies, P paths, Q points (a path's points lie side by side)."""

    weight: Floats  # (B,) N
    arm: Floats  # (Q,3) m: from the body's centre of gravity, own axes; world points as they are
    on: Ints  # (Q,) body of the point, -1 = world
    first: Ints  # (P+1,) where each path's points begin
    rest: Floats  # (P,) m: unstretched length left for the free distances = length_m - lies_m
    stiff: Floats  # (P,) N/m
    figure: Floats  # (4,) see above


class Work(NamedTuple):
    """Scratch of one thread; rows as named above."""

    point: Floats  # (2,Q,3)
    path: Floats  # (2,P)
    vec: Floats  # (6,n)
    mat: Floats  # (3,n,n)
    pose: Floats  # (6,B,12)
    ends: Floats  # (4,12) one segment's ends by the unknowns, and its direction
    slot: Ints  # (12,) which unknowns those are


def new_work(bodies: int, paths: int, points: int) -> Work:
    """Allocate scratch for problems of one shape."""
    n, z = 6 * bodies, np.zeros
    return Work(
        z((2, points, 3)),
        z((2, paths)),
        z((6, n)),
        z((3, n, n)),
        z((6, bodies, 12)),
        z((4, 12)),
        z(12, np.int64),
    )


@inner_kernel
def copy_rows(a, b):  # type: ignore[no-untyped-def]
    """Copy matrix b into a."""
    for i in range(a.shape[0]):
        for m in range(a.shape[1]):
            a[i, m] = b[i, m]


@inner_kernel
def clear(work):  # type: ignore[no-untyped-def]
    """Gradient and Hessian to zero."""
    for i in range(work.vec.shape[1]):
        work.vec[GRADIENT, i] = 0.0
        for m in range(work.vec.shape[1]):
            work.mat[HESSIAN, i, m] = 0.0


@inner_kernel
def stiffness(given, s, p):  # type: ignore[no-untyped-def]
    """N/m of path p in sample s: rated load over (strain there times the length that stretches)."""
    length = given.length_m[s if given.length_m.shape[0] > 1 else 0, p]
    elastic = given.elastic_m[p] + (length - given.own_m[p]) if given.elastic_given[p] else length
    return given.rated_n[p] / (given.strain[s if given.strain.shape[0] > 1 else 0, p] * elastic)


@inner_kernel
def path_gradient(model, work, p, curvature):  # type: ignore[no-untyped-def]
    """Length gradient of path p into its row of work.vec; curvature * second derivative to the Hessian."""
    j, h, d, slot = work.vec[LENGTHWISE], work.mat[HESSIAN], work.ends, work.slot
    x, r = work.point[PLACE], work.point[ARM]
    scale = model.figure[SCALE]
    for i in range(j.shape[0]):
        j[i] = 0.0
    n = d[3]
    for q in range(model.first[p], model.first[p + 1] - 1):
        if model.on[q] == model.on[q + 1] and model.on[q] >= 0:
            continue
        for i in range(3):
            n[i] = x[q + 1, i] - x[q, i]
        length = np.sqrt(n[0] * n[0] + n[1] * n[1] + n[2] * n[2])
        if length < NO_SEGMENT:
            continue
        m = 0
        for end in range(2):
            b = model.on[q + end]
            if b < 0:
                continue
            sign = 2.0 * end - 1.0
            for i in range(3):
                for a in range(3):
                    d[i, m + a] = sign if i == a else 0.0
                # row i of (turn x arm)
                k, e = (i + 1) % 3, (i + 2) % 3
                d[i, m + 3 + i] = 0.0
                d[i, m + 3 + k] = sign * r[q + end, e] / scale
                d[i, m + 3 + e] = -sign * r[q + end, k] / scale
            for a in range(6):
                slot[m + a] = 6 * b + a
            m += 6
        for i in range(3):
            n[i] /= length
        f = curvature / length
        for a in range(m):
            va = n[0] * d[0, a] + n[1] * d[1, a] + n[2] * d[2, a]
            j[slot[a]] += va
            if curvature > 0.0:
                for b in range(m):
                    vb = n[0] * d[0, b] + n[1] * d[1, b] + n[2] * d[2, b]
                    dot = d[0, a] * d[0, b] + d[1, a] * d[1, b] + d[2, a] * d[2, b]
                    h[slot[a], slot[b]] += f * (dot - va * vb)
        if curvature > 0.0:
            # a turning point runs on a circle: n . d2x = (n.turn)(arm.turn) - (n.arm) turn^2
            for end in range(2):
                o = 6 * model.on[q + end] + 3
                if o < 0:
                    continue
                s = curvature * (2.0 * end - 1.0) / (scale * scale)
                a0 = n[0] * r[q + end, 0] + n[1] * r[q + end, 1] + n[2] * r[q + end, 2]
                for i in range(3):
                    for k in range(3):
                        h[o + i, o + k] += 0.5 * s * (n[i] * r[q + end, k] + n[k] * r[q + end, i])
                    h[o + i, o + i] -= s * a0


@inner_kernel
def energy(model, pose, work, load, derivatives):  # type: ignore[no-untyped-def]
    """Energy [J] at a pose; points, tensions, extensions into `work`, WITH `derivatives` gradient, Hessian.

    `load` scales the weights (0 = elastic energy only).
    """
    x, r = work.point[PLACE], work.point[ARM]
    for q in range(model.on.shape[0]):
        b = model.on[q]
        for i in range(3):
            r[q, i] = 0.0
            x[q, i] = model.arm[q, i]
            if b >= 0:
                for m in range(3):
                    r[q, i] += pose[b, 3 + 3 * i + m] * model.arm[q, m]
                x[q, i] = pose[b, i] + r[q, i]
    total = 0.0
    for b in range(model.weight.shape[0]):
        total += load * model.weight[b] * pose[b, 2]
    for p in range(model.rest.shape[0]):
        ext = -model.rest[p]
        for q in range(model.first[p], model.first[p + 1] - 1):
            if model.on[q] == model.on[q + 1] and model.on[q] >= 0:
                continue
            u, v, w = x[q + 1, 0] - x[q, 0], x[q + 1, 1] - x[q, 1], x[q + 1, 2] - x[q, 2]
            ext += np.sqrt(u * u + v * v + w * w)
        work.path[EXTENSION, p] = ext
        work.path[PULL, p] = model.stiff[p] * max(0.0, ext)
        total += 0.5 * work.path[PULL, p] * max(0.0, ext)
    if derivatives != NONE:
        slopes(model, work, load)
    return total


@inner_kernel
def slopes(model, work, load):  # type: ignore[no-untyped-def]
    """Gradient and Hessian at the pose for which `energy` filled `work` last."""
    g, h, j = work.vec[GRADIENT], work.mat[HESSIAN], work.vec[LENGTHWISE]
    clear(work)
    for b in range(model.weight.shape[0]):
        g[6 * b + 2] = load * model.weight[b]
    for p in range(model.rest.shape[0]):
        pull = work.path[PULL, p]
        if pull > 0.0:
            path_gradient(model, work, p, pull)
            for i in range(g.shape[0]):
                if j[i] != 0.0:
                    g[i] += pull * j[i]
                    for m in range(g.shape[0]):
                        h[i, m] += model.stiff[p] * j[i] * j[m]


@inner_kernel
def move(pose, step, scale, to):  # type: ignore[no-untyped-def]
    """The pose after a step of the unknowns (exact turns, kept orthonormal)."""
    for b in range(pose.shape[0]):
        o = 6 * b
        x, y, z = step[o + 3] / scale, step[o + 4] / scale, step[o + 5] / scale
        a = np.sqrt(x * x + y * y + z * z)
        # the half turn as a quaternion: exact also for the smallest steps
        f = 0.5 - a * a / 48.0 if a < 1e-4 else np.sin(0.5 * a) / a
        w = np.cos(0.5 * a)
        x, y, z = f * x, f * y, f * z
        f = 2.0 / (w * w + x * x + y * y + z * z)
        for m in range(3):
            to[b, m] = pose[b, m] + step[o + m]
            u, v, t = pose[b, 3 + m], pose[b, 6 + m], pose[b, 9 + m]
            # v + 2 q x (q x v + w v)
            cx, cy, cz = y * t - z * v + w * u, z * u - x * t + w * v, x * v - y * u + w * t
            to[b, 3 + m] = u + f * (y * cz - z * cy)
            to[b, 6 + m] = v + f * (z * cx - x * cz)
            to[b, 9 + m] = t + f * (x * cy - y * cx)
