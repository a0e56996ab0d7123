"""Energy of bodies on elastic paths, with its gradient and Hessian: the one physical model of the statics.

Unknowns, six a body: the centre of gravity's displacement [m] and a turn about it times `scale` [m], so that
both are metres and the Hessian is N/m throughout. World z is up.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from slingwright.hang._jit import kernel

__all__ = ["Model", "Work", "energy", "measure", "move", "new_work", "path_gradient", "place_points", "stiffness"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


class Model(NamedTuple):
    """One problem as arrays: B bodies, P paths, Q points (a path's points lie side by side)."""

    weight: Floats  # (B,) N
    arm: Floats  # (Q,3) m: from the body's centre of gravity, own axes; world points as they are
    on: Ints  # (Q,) body of the point, -1 = world
    first: Ints  # (P+1,) where each path's points begin
    rest: Floats  # (P,) m: unstretched length left for the free distances = length_m - lies_m
    stiff: Floats  # (P,) N/m
    scale: float  # m: the load's length, turns are multiplied by it
    force: float  # N: the total weight, to measure imbalance by
    hooked: int  # 1 where all world points stand on one vertical: the heading is free
    axis_x: float
    axis_y: float
    round_m: float  # m: half chord of the roundest contact (0 = none): a roll may be neutral


class Work(NamedTuple):
    """Scratch of one thread."""

    x: Floats  # (Q,3) points in the world
    r: Floats  # (Q,3) from the centre of gravity, world axes
    j: Floats  # (n,) gradient of one path's length
    pull: Floats  # (P,) tension
    ext: Floats  # (P,) extension, negative = slack
    g: Floats
    h: Floats
    h2: Floats
    low: Floats
    step: Floats
    full: Floats
    c: Floats  # (B,3) centre of gravity in the world
    turn: Floats  # (B,3,3)
    c_try: Floats
    turn_try: Floats
    c_drop: Floats
    turn_drop: Floats
    c_far: Floats
    turn_far: Floats


def new_work(bodies: int, paths: int, points: int) -> Work:
    """Allocate scratch for problems of one shape."""
    n = 6 * bodies
    z, sq = np.zeros, (n, n)
    poses = [z((bodies, 3)), z((bodies, 3, 3))]
    return Work(
        z((points, 3)), z((points, 3)), z(n), z(paths), z(paths), z(n), z(sq), z(sq), z(sq), z(n), z(n),
        *(a.copy() for _ in range(4) for a in poses),
    )  # fmt: skip


@kernel
def stiffness(given, s, p):  # type: ignore[no-untyped-def]
    """N/m of path p in sample s: rated load over (strain there times the length that stretches)."""
    length = given.length_m[s if given.length_m.shape[0] > 1 else 0, p]
    elastic = given.elastic_m[p] + (length - given.own_m[p]) if given.elastic_given[p] else length
    return given.rated_n[p] / (given.strain[s if given.strain.shape[0] > 1 else 0, p] * elastic)


@kernel
def place_points(model, c, turn, work):  # type: ignore[no-untyped-def]
    """World coordinates of every point at the pose (c, turn)."""
    x, r = work.x, work.r
    for q in range(model.on.shape[0]):
        b = model.on[q]
        if b < 0:
            for i in range(3):
                x[q, i] = model.arm[q, i]
                r[q, i] = 0.0
        else:
            for i in range(3):
                r[q, i] = (
                    turn[b, i, 0] * model.arm[q, 0] + turn[b, i, 1] * model.arm[q, 1] + turn[b, i, 2] * model.arm[q, 2]
                )
                x[q, i] = c[b, i] + r[q, i]


@kernel
def _second(h, b, r, nx, ny, nz, pull, scale):  # type: ignore[no-untyped-def]
    """Add pull * n . d²x of a point that turns with body b."""
    dot = nx * r[0] + ny * r[1] + nz * r[2]
    f = pull / (scale * scale)
    o = 6 * b + 3
    n = (nx, ny, nz)
    for i in range(3):
        for m in range(3):
            h[o + i, o + m] += f * 0.5 * (n[i] * r[m] + n[m] * r[i])
        h[o + i, o + i] -= f * dot


@kernel
def _turn_rows(r, i, scale):  # type: ignore[no-untyped-def]
    """d x_i / d turn, as three numbers (turn cross r), per scaled unit."""
    if i == 0:
        return 0.0, r[2] / scale, -r[1] / scale
    if i == 1:
        return -r[2] / scale, 0.0, r[0] / scale
    return r[1] / scale, -r[0] / scale, 0.0


@kernel
def _segment_curvature(h, bp, bq, rp, rq, nx, ny, nz, f, scale):  # type: ignore[no-untyped-def]
    """Add f * Dᵀ(I - n nᵀ)D where D maps the unknowns to the change of the segment's ends."""
    n = (nx, ny, nz)
    for s in range(2):
        b1 = bq if s == 0 else bp
        if b1 < 0:
            continue
        r1 = rq if s == 0 else rp
        for t in range(2):
            b2 = bq if t == 0 else bp
            if b2 < 0:
                continue
            r2 = rq if t == 0 else rp
            sign = f if s == t else -f
            o1, o2 = 6 * b1, 6 * b2
            for i in range(3):
                t1 = _turn_rows(r1, i, scale)
                for m in range(3):
                    w = -n[i] * n[m]
                    if i == m:
                        w += 1.0
                    w *= sign
                    t2 = _turn_rows(r2, m, scale)
                    h[o1 + i, o2 + m] += w
                    for d in range(3):
                        h[o1 + i, o2 + 3 + d] += w * t2[d]
                        h[o1 + 3 + d, o2 + m] += w * t1[d]
                        for e in range(3):
                            h[o1 + 3 + d, o2 + 3 + e] += w * t1[d] * t2[e]


@kernel
def path_gradient(model, work, p):  # type: ignore[no-untyped-def]
    """Length gradient of path p into work.j (zeroed first)."""
    j, x, r = work.j, work.x, work.r
    j[:] = 0.0
    for q in range(model.first[p], model.first[p + 1] - 1):
        bp, bq = model.on[q], model.on[q + 1]
        if bp == bq and bp >= 0:
            continue
        dx, dy, dz = x[q + 1, 0] - x[q, 0], x[q + 1, 1] - x[q, 1], x[q + 1, 2] - x[q, 2]
        d = np.sqrt(dx * dx + dy * dy + dz * dz)
        if d < 1e-12:
            continue
        nx, ny, nz = dx / d, dy / d, dz / d
        for s in range(2):
            b = bq if s == 0 else bp
            if b < 0:
                continue
            a = r[q + 1] if s == 0 else r[q]
            f = 1.0 if s == 0 else -1.0
            o = 6 * b
            j[o] += f * nx
            j[o + 1] += f * ny
            j[o + 2] += f * nz
            f /= model.scale
            j[o + 3] += f * (a[1] * nz - a[2] * ny)
            j[o + 4] += f * (a[2] * nx - a[0] * nz)
            j[o + 5] += f * (a[0] * ny - a[1] * nx)


@kernel
def _path_curvature(model, work, p, pull, h):  # type: ignore[no-untyped-def]
    """Add pull * (second derivative of path p's length)."""
    x, r = work.x, work.r
    for q in range(model.first[p], model.first[p + 1] - 1):
        bp, bq = model.on[q], model.on[q + 1]
        if bp == bq and bp >= 0:
            continue
        dx, dy, dz = x[q + 1, 0] - x[q, 0], x[q + 1, 1] - x[q, 1], x[q + 1, 2] - x[q, 2]
        d = np.sqrt(dx * dx + dy * dy + dz * dz)
        if d < 1e-12:
            continue
        nx, ny, nz = dx / d, dy / d, dz / d
        _segment_curvature(h, bp, bq, r[q], r[q + 1], nx, ny, nz, pull / d, model.scale)
        if bq >= 0:
            _second(h, bq, r[q + 1], nx, ny, nz, pull, model.scale)
        if bp >= 0:
            _second(h, bp, r[q], -nx, -ny, -nz, pull, model.scale)


@kernel
def measure(model, work):  # type: ignore[no-untyped-def]
    """Extension of every path into work.ext, from work.x."""
    x = work.x
    for p in range(model.rest.shape[0]):
        total = 0.0
        for q in range(model.first[p], model.first[p + 1] - 1):
            bp = model.on[q]
            if bp == model.on[q + 1] and bp >= 0:
                continue
            dx, dy, dz = x[q + 1, 0] - x[q, 0], x[q + 1, 1] - x[q, 1], x[q + 1, 2] - x[q, 2]
            total += np.sqrt(dx * dx + dy * dy + dz * dz)
        work.ext[p] = total - model.rest[p]


@kernel
def energy(model, c, turn, work, load, derivatives):  # type: ignore[no-untyped-def]
    """Energy [J] at a pose; with `derivatives` also work.g and work.h. `load` scales the weights (0 = elastic only)."""
    place_points(model, c, turn, work)
    measure(model, work)
    total = 0.0
    for b in range(model.weight.shape[0]):
        total += load * model.weight[b] * c[b, 2]
    for p in range(model.rest.shape[0]):
        e = max(0.0, work.ext[p])
        work.pull[p] = model.stiff[p] * e
        total += 0.5 * model.stiff[p] * e * e
    if not derivatives:
        return total
    g, h, j = work.g, work.h, work.j
    n = g.shape[0]
    g[:] = 0.0
    h[:] = 0.0
    for b in range(model.weight.shape[0]):
        g[6 * b + 2] = load * model.weight[b]
    for p in range(model.rest.shape[0]):
        if work.pull[p] <= 0.0:
            continue
        path_gradient(model, work, p)
        for i in range(n):
            g[i] += work.pull[p] * j[i]
            f = model.stiff[p] * j[i]
            for m in range(n):
                h[i, m] += f * j[m]
        _path_curvature(model, work, p, work.pull[p], h)
    return total


@kernel
def move(c, turn, step, scale, c_to, turn_to):  # type: ignore[no-untyped-def]
    """The pose after a step of the unknowns (exact turns, kept orthonormal)."""
    for b in range(c.shape[0]):
        o = 6 * b
        for i in range(3):
            c_to[b, i] = c[b, i] + step[o + i]
        x, y, z = step[o + 3] / scale, step[o + 4] / scale, step[o + 5] / scale
        a = np.sqrt(x * x + y * y + z * z)
        # the half turn as a quaternion: exact also for the smallest steps
        f = 0.5 - a * a / 48.0 if a < 1e-4 else np.sin(0.5 * a) / a
        w = np.cos(0.5 * a)
        x, y, z = f * x, f * y, f * z
        norm = np.sqrt(w * w + x * x + y * y + z * z)
        w, x, y, z = w / norm, x / norm, y / norm, z / norm
        m00, m01, m02 = 1.0 - 2.0 * (y * y + z * z), 2.0 * (x * y - w * z), 2.0 * (x * z + w * y)
        m10, m11, m12 = 2.0 * (x * y + w * z), 1.0 - 2.0 * (x * x + z * z), 2.0 * (y * z - w * x)
        m20, m21, m22 = 2.0 * (x * z - w * y), 2.0 * (y * z + w * x), 1.0 - 2.0 * (x * x + y * y)
        for i in range(3):
            u, v, t = turn[b, 0, i], turn[b, 1, i], turn[b, 2, i]
            turn_to[b, 0, i] = m00 * u + m01 * v + m02 * t
            turn_to[b, 1, i] = m10 * u + m11 * v + m12 * t
            turn_to[b, 2, i] = m20 * u + m21 * v + m22 * t
