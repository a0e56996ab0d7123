"""The margins of `_kernel_margin` for one hook and straight legs, on the three unknowns of such a lift."""

from __future__ import annotations

import numpy as np

from slingwright.hang._jit import inner_kernel, kernel
from slingwright.hang._kernel_dense import RANK, between, eigen
from slingwright.hang._kernel_energy import stiffness

__all__ = ["look_hook"]

_AXES = 8
_TURN = np.pi / 18.0  # first looks, every ten degrees up to a right angle
_FARTHEST = 9
_REFINED = 24
_TOLERANCE = _TURN / 2**15
_GAP = 1e-8
_AT_REST = 1e-7  # imbalance over the weight: only the sign of a moment is wanted


@kernel
def look_hook(point, on, given, hook, pull, pose, place, want_push):  # type: ignore[no-untyped-def]
    """Pose, places and margins of a stable load whose hook stands at `hook` (3,) from its centre.

    `point` (Q,3) and `on` (Q,) as in the problem, `given` the sample's figures (one row), `pull` (P,) the
    tensions. The load's pose goes into `pose` (12,), every point's place into `place` (Q,3). Returns (centre
    may rise, may be pushed [deg], reach margin, how many taut legs pull independently); infinite = no bound
    found, or not asked.
    """
    n = given.length_m.shape[1]
    legs, stiff = np.empty((n, 3)), np.empty(n)
    _stand(point, on, given.centre_m[0, 0], hook, pose, place, legs)
    for p in range(n):
        stiff[p] = stiffness(given, 0, p)
    rest, w = given.length_m[0], given.weight_n[0, 0]
    push = _push(legs, rest, stiff, w, hook) if want_push else np.inf
    rank = _rank(legs, hook, pull)
    return _rise(legs, rest, stiff, w, hook), push, -_reach(legs, rest, hook), rank


@inner_kernel
def _stand(point, on, centre, h, pose, place, legs):  # type: ignore[no-untyped-def]
    """Stand the load under its hook: the least turn that brings the plumb line upright (free heading)."""
    rho = np.sqrt(h[0] ** 2 + h[1] ** 2 + h[2] ** 2)
    x, y, z = h[0] / rho, h[1] / rho, h[2] / rho
    f = 1.0 / (1.0 + z)
    pose[3], pose[4], pose[5] = 1.0 - f * x * x, -f * x * y, -x
    pose[6], pose[7], pose[8] = -f * x * y, 1.0 - f * y * y, -y
    pose[9], pose[10], pose[11] = x, y, z
    p = 0
    for q in range(on.shape[0]):
        if on[q] >= 0:
            for i in range(3):
                legs[p, i] = point[q, i] - centre[i]
            p += 1
        else:
            pose[0], pose[1], pose[2] = point[q, 0], point[q, 1], point[q, 2] - rho
    p = 0
    for q in range(on.shape[0]):
        for i in range(3):
            place[q, i] = point[q, i]
        if on[q] >= 0:
            for i in range(3):
                k = 3 + 3 * i
                place[q, i] = pose[i]
                for m in range(3):
                    place[q, i] += pose[k + m] * legs[p, m]
            p += 1


@inner_kernel
def _rank(legs, hook, pull):  # type: ignore[no-untyped-def]
    """How many taut legs' directions are independent; their moments follow, for they meet at the hook."""
    gram, vectors, values, d = np.zeros((3, 3)), np.empty((3, 3)), np.empty(3), np.empty(3)
    for p in range(pull.shape[0]):
        if pull[p] > 0.0:
            size = 0.0
            for i in range(3):
                d[i] = hook[i] - legs[p, i]
                size += d[i] * d[i]
            for i in range(3):
                for m in range(3):
                    gram[i, m] += d[i] * d[m] / max(size, 1e-300)
    eigen(gram, values, vectors)
    most, rank = max(values[0], values[1], values[2]), 0
    for i in range(3):
        if values[i] > RANK * RANK * most:
            rank += 1
    return rank


@inner_kernel
def _set(a, b):  # type: ignore[no-untyped-def]
    for i in range(3):
        a[i] = b[i]


@inner_kernel
def _pull(legs, rest, stiff, h, g, k):  # type: ignore[no-untyped-def]
    """Energy, gradient and Hessian of the legs alone."""
    total, gx, gy, gz = 0.0, 0.0, 0.0, 0.0
    xx, yy, zz, xy, xz, yz = 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
    for p in range(rest.shape[0]):
        x, y, z = h[0] - legs[p, 0], h[1] - legs[p, 1], h[2] - legs[p, 2]
        d = np.sqrt(x * x + y * y + z * z)
        ext = d - rest[p]
        if ext <= 0.0:
            continue
        t = stiff[p] * ext
        total += 0.5 * t * ext
        x, y, z = x / d, y / d, z / d
        gx, gy, gz = gx + t * x, gy + t * y, gz + t * z
        t /= d
        a = stiff[p] - t
        xx, yy, zz = xx + t + a * x * x, yy + t + a * y * y, zz + t + a * z * z
        xy, xz, yz = xy + a * x * y, xz + a * x * z, yz + a * y * z
    g[0], g[1], g[2] = gx, gy, gz
    k[0, 0], k[1, 1], k[2, 2] = xx, yy, zz
    k[0, 1], k[0, 2], k[1, 2] = xy, xz, yz
    k[1, 0], k[2, 0], k[2, 1] = xy, xz, yz
    return total


@inner_kernel
def _solve3(k, b, x):  # type: ignore[no-untyped-def]
    """Solve a positive definite 3 x 3 system; False where it is not."""
    d1 = k[0, 0]
    l2, l3 = k[0, 1] / d1, k[0, 2] / d1
    d2 = k[1, 1] - l2 * k[0, 1]
    m = k[1, 2] - l3 * k[0, 1]
    l4 = m / d2
    d3 = k[2, 2] - l3 * k[0, 2] - l4 * m
    if not (d1 > 0.0 and d2 > 0.0 and d3 > 0.0):
        return False
    y2 = b[1] - l2 * b[0]
    y3 = b[2] - l3 * b[0] - l4 * y2
    x[2] = y3 / d3
    x[1] = y2 / d2 - l4 * x[2]
    x[0] = b[0] / d1 - l2 * x[1] - l3 * x[2]
    return True


@inner_kernel
def _side(u, e, f):  # type: ignore[no-untyped-def]
    """Two directions square to u and to each other."""
    i = 0 if abs(u[0]) < 0.6 else 1
    dot = u[i]
    s = 0.0
    for m in range(3):
        e[m] = -dot * u[m]
        if m == i:
            e[m] += 1.0
        s += e[m] * e[m]
    for m in range(3):
        e[m] /= np.sqrt(s)
    for m in range(3):
        a, b = (m + 1) % 3, (m + 2) % 3
        f[m] = u[a] * e[b] - u[b] * e[a]


@inner_kernel
def _rise(legs, rest, stiff, w, h):  # type: ignore[no-untyped-def]
    g, k, u = np.empty(3), np.empty((3, 3)), np.empty(3)
    e, f, x, y = np.empty(3), np.empty(3), np.empty(3), np.empty(3)
    _pull(legs, rest, stiff, h, g, k)
    rho = np.sqrt(h[0] ** 2 + h[1] ** 2 + h[2] ** 2)
    for i in range(3):
        u[i] = h[i] / rho
    _side(u, e, f)
    if not (_solve3(k, e, x) and _solve3(k, f, y)):
        return 0.0
    a, b, c = 0.0, 0.0, 0.0
    for i in range(3):
        a += e[i] * x[i]
        b += f[i] * x[i]
        c += f[i] * y[i]
    # the plumb length at which the softest way of the legs gives way to the weight
    return rho - w * (0.5 * (a + c) + np.sqrt(0.25 * (a - c) ** 2 + b * b))


@inner_kernel
def _returning(legs, rest, stiff, w, u, h, spare):  # type: ignore[no-untyped-def]
    """Rest of the hook (from `h`, in place) when the plumb line is held along u in the load."""
    g, s, t, k = spare[0], spare[1], spare[2], spare[3:6]
    value = _pull(legs, rest, stiff, h, g, k) - w * (u[0] * h[0] + u[1] * h[1] + u[2] * h[2])
    for _ in range(60):
        left = 0.0
        for i in range(3):
            g[i] -= w * u[i]
            left = max(left, abs(g[i]))
        if left <= _AT_REST * w:
            break
        if not _solve3(k, g, s):
            # no taut leg: away along the plumb line until one is
            for i in range(3):
                s[i] = -0.3 * rest[0] * u[i]
        f = 1.0
        for _ in range(30):
            for i in range(3):
                t[i] = h[i] - f * s[i]
            trial = _pull(legs, rest, stiff, t, g, k) - w * (u[0] * t[0] + u[1] * t[1] + u[2] * t[2])
            if trial <= value + 1e-13 * abs(value):
                break
            f *= 0.3
        value = trial
        for i in range(3):
            h[i] = t[i]


@inner_kernel
def _push(legs, rest, stiff, w, h0):  # type: ignore[no-untyped-def]
    u0, u, e, f = np.empty(3), np.empty(3), np.empty(3), np.empty(3)
    h, kept, spare = np.empty(3), np.empty(3), np.empty((6, 3))
    rho = np.sqrt(h0[0] ** 2 + h0[1] ** 2 + h0[2] ** 2)
    for i in range(3):
        u0[i] = h0[i] / rho
    _side(u0, e, f)
    best = np.inf
    for n in range(_AXES):
        x, y = np.cos(2.0 * np.pi * n / _AXES), np.sin(2.0 * np.pi * n / _AXES)
        low, high, over, under, before = 0.0, np.inf, 0.0, 0.0, 0
        _set(kept, h0)
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
            _set(h, kept)
            c, s = np.cos(angle), np.sin(angle)
            for i in range(3):
                u[i] = c * u0[i] + s * (x * e[i] + y * f[i])
            _returning(legs, rest, stiff, w, u, h, spare)
            moment = 0.0
            for i in range(3):
                moment -= (c * (x * e[i] + y * f[i]) - s * u0[i]) * h[i]
            if moment < -1e-9 * rho:
                over = 0.5 * over if before > 0 and high < np.inf else over
                high, under, before = angle, moment, 1
            else:
                under = 0.5 * under if before < 0 else under
                low, over, before = angle, moment, -1
                _set(kept, h)
        if high < np.inf:
            best = min(best, low)
    return best * 180.0 / np.pi


@inner_kernel
def _most(legs, rest, h):  # type: ignore[no-untyped-def]
    """Largest excess of a leg's distance over its unstretched length."""
    top = -np.inf
    for p in range(rest.shape[0]):
        d = np.sqrt((h[0] - legs[p, 0]) ** 2 + (h[1] - legs[p, 1]) ** 2 + (h[2] - legs[p, 2]) ** 2)
        top = max(top, d - rest[p])
    return top


@inner_kernel
def _reach(legs, rest, h0):  # type: ignore[no-untyped-def]
    """Least over the hook's places of the largest excess of distance over unstretched length.

    Least t with every excess below it: convex, so Newton along the logarithmic barrier's path gets there
    (Boyd and Vandenberghe, Convex Optimization, 11.3); it ends a share `_GAP` of the longest leg above.
    """
    n = rest.shape[0]
    h, s = np.empty(3), np.empty(3)
    g, k = np.empty(3), np.empty((3, 3))
    _set(h, h0)
    longest = 0.0
    for p in range(n):
        longest = max(longest, rest[p])
    best = _most(legs, rest, h)
    t = best + 0.3 * longest
    sharp = n / (0.3 * longest)
    while True:
        for _ in range(40):
            dt, fall = _centring(legs, rest, h, t, sharp, g, k, s)
            f = 1.0
            for _ in range(50):
                for i in range(3):
                    g[i] = h[i] + f * s[i]
                top = _most(legs, rest, g)
                if t + f * dt > top + 0.01 * (t - _most(legs, rest, h)):
                    break
                f *= 0.5
            _set(h, g)
            t += f * dt
            best = min(best, top)
            if fall <= 0.1:
                break
        if n <= sharp * _GAP * longest:
            return best
        sharp *= 20.0


@inner_kernel
def _centring(legs, rest, h, t, sharp, g, k, s):  # type: ignore[no-untyped-def]
    """Newton's step (`s` (3,) of the hook; t's returned) on sharp t - sum log(t - excess), and its fall."""
    v, b = np.empty(3), np.empty(3)
    gt, c = sharp, 0.0
    for i in range(3):
        g[i], b[i] = 0.0, 0.0
        for m in range(3):
            k[i, m] = 0.0
    for p in range(rest.shape[0]):
        d = 0.0
        for i in range(3):
            v[i] = h[i] - legs[p, i]
            d += v[i] * v[i]
        d = max(np.sqrt(d), 1e-300)
        w = 1.0 / (t - (d - rest[p]))
        gt -= w
        c += w * w
        for i in range(3):
            v[i] /= d
            g[i] += w * v[i]
            b[i] -= w * w * v[i]
            k[i, i] += w / d
        for i in range(3):
            for m in range(3):
                k[i, m] += (w * w - w / d) * v[i] * v[m]
    for i in range(3):
        g[i] -= b[i] * gt / c
        for m in range(3):
            k[i, m] -= b[i] * b[m] / c
        k[i, i] *= 1.0 + 1e-12
    if not _solve3(k, g, s):
        for i in range(3):
            s[i] = 0.0
    dt, fall = -gt / c, gt * gt / c
    for i in range(3):
        fall += g[i] * s[i]
        s[i] = -s[i]
        dt -= b[i] * s[i] / c
    return dt, fall
