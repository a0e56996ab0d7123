"""The margins of `_kernel_margin` for one hook and straight legs, on the three unknowns of such a lift."""

from __future__ import annotations

import numpy as np

from slingwright.hang._jit import inner_kernel, kernel

__all__ = ["look_hook"]

NONE, WITH = 0.0, 1.0  # derivatives; floats, so that one copy of the code is compiled
_AXES = 8
_TURN = np.pi / 18.0
_FARTHEST = 9
_HALVINGS = 16


@kernel
def look_hook(legs, rest, stiff, w, hook, directions):  # type: ignore[no-untyped-def]
    """Margins of a stable load under one hook; `legs` (P,3) and `hook` (3,) seen from the centre of gravity.

    Each leg's direction at the load goes into `directions` (P,3). Returns (centre may rise, may be pushed
    [deg], reach margin); infinite = no bound found.
    """
    for p in range(rest.shape[0]):
        d = 0.0
        for i in range(3):
            d += (hook[i] - legs[p, i]) ** 2
        for i in range(3):
            directions[p, i] = (hook[i] - legs[p, i]) / max(np.sqrt(d), 1e-300)
    return _rise(legs, rest, stiff, w, hook), _push(legs, rest, stiff, w, hook), -_reach(legs, rest, hook)


@inner_kernel
def _set(a, b):  # type: ignore[no-untyped-def]
    for i in range(3):
        a[i] = b[i]


@inner_kernel
def _pull(legs, rest, stiff, h, g, k):  # type: ignore[no-untyped-def]
    """Energy, gradient and Hessian of the legs alone."""
    total = 0.0
    for i in range(3):
        g[i] = 0.0
        for m in range(3):
            k[i, m] = 0.0
    n = np.empty(3)
    for p in range(rest.shape[0]):
        d = 0.0
        for i in range(3):
            n[i] = h[i] - legs[p, i]
            d += n[i] * n[i]
        d = np.sqrt(d)
        ext = d - rest[p]
        if ext <= 0.0:
            continue
        t = stiff[p] * ext
        total += 0.5 * t * ext
        for i in range(3):
            n[i] /= d
        for i in range(3):
            g[i] += t * n[i]
            k[i, i] += t / d
            for m in range(3):
                k[i, m] += (stiff[p] - t / d) * n[i] * n[m]
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
def _returning(legs, rest, stiff, w, u, h):  # type: ignore[no-untyped-def]
    """Rest of the hook (from `h`, in place) when the plumb line is held along u in the load."""
    g, k, s, t = np.empty(3), np.empty((3, 3)), np.empty(3), np.empty(3)
    value = _pull(legs, rest, stiff, h, g, k) - w * (u[0] * h[0] + u[1] * h[1] + u[2] * h[2])
    for _ in range(60):
        left = 0.0
        for i in range(3):
            g[i] -= w * u[i]
            left = max(left, abs(g[i]))
        if left <= 1e-8 * w:
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
    h, kept = np.empty(3), np.empty(3)
    rho = np.sqrt(h0[0] ** 2 + h0[1] ** 2 + h0[2] ** 2)
    for i in range(3):
        u0[i] = h0[i] / rho
    _side(u0, e, f)
    best = np.inf
    for n in range(_AXES):
        x, y = np.cos(2.0 * np.pi * n / _AXES), np.sin(2.0 * np.pi * n / _AXES)
        low, high, found = 0.0, 0.0, False
        _set(h, h0)
        for look in range(_FARTHEST + _HALVINGS):
            if not found:
                angle = (look + 1) * _TURN
                if look >= _FARTHEST or angle >= best + _TURN:
                    break
            else:
                angle = 0.5 * (low + high)
                _set(h, kept)
            c, s = np.cos(angle), np.sin(angle)
            moment = 0.0
            for i in range(3):
                u[i] = c * u0[i] + s * (x * e[i] + y * f[i])
            _returning(legs, rest, stiff, w, u, h)
            for i in range(3):
                moment -= (c * (x * e[i] + y * f[i]) - s * u0[i]) * h[i]
            if moment < -1e-9 * rho:
                high, found = angle, True
            else:
                low = angle
                _set(kept, h)
            if look == 0 and not found:
                _set(kept, h)
            elif look == 0:
                _set(kept, h0)
        if found:
            best = min(best, low)
    return best * 180.0 / np.pi


@inner_kernel
def _reach(legs, rest, h0):  # type: ignore[no-untyped-def]
    """Least over the hook's places of the largest excess of distance over unstretched length."""
    h, t, s, g, k = np.empty(3), np.empty(3), np.empty(3), np.empty(3), np.empty((3, 3))
    _set(h, h0)
    best = _excess(legs, rest, h, 0.0, g, k, NONE)
    longest = 0.0
    for p in range(rest.shape[0]):
        longest = max(longest, rest[p])
    soft = 0.1 * longest
    while soft > 1e-10 * longest:
        value = _excess(legs, rest, h, soft, g, k, WITH)
        for _ in range(5):
            shift = 1e-9 / longest
            moved = False
            for _ in range(12):
                for i in range(3):
                    k[i, i] += shift
                if _solve3(k, g, s):
                    for i in range(3):
                        t[i] = h[i] - s[i]
                    if _excess(legs, rest, t, soft, g, k, NONE) <= value:
                        moved = True
                        break
                    _excess(legs, rest, h, soft, g, k, WITH)
                shift = max(100.0 * shift, 1e-3 / longest)
            if not moved:
                break
            _set(h, t)
            before = value
            value = _excess(legs, rest, h, soft, g, k, WITH)
            best = min(best, _excess(legs, rest, h, 0.0, g, k, NONE))
            if before - value < 1e-3 * soft:
                break
        soft *= 0.1
    return best


@inner_kernel
def _excess(legs, rest, h, soft, g, k, derivatives):  # type: ignore[no-untyped-def]
    """Soft maximum (soft = 0: the maximum) of the legs' excesses, with `derivatives` gradient and Hessian."""
    n = rest.shape[0]
    top = -np.inf
    for p in range(n):
        d = np.sqrt((h[0] - legs[p, 0]) ** 2 + (h[1] - legs[p, 1]) ** 2 + (h[2] - legs[p, 2]) ** 2)
        top = max(top, d - rest[p])
    if soft == 0.0:
        return top
    if derivatives > 0.0:
        for i in range(3):
            g[i] = 0.0
            for m in range(3):
                k[i, m] = 0.0
    total = 0.0
    v = np.empty(3)
    for p in range(n):
        for i in range(3):
            v[i] = h[i] - legs[p, i]
        d = np.sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2])
        e = np.exp((d - rest[p] - top) / soft)
        total += e
        if derivatives > 0.0 and d > 0.0:
            for i in range(3):
                v[i] /= d
            for i in range(3):
                g[i] += e * v[i]
                k[i, i] += e / d
                for m in range(3):
                    k[i, m] += e * (1.0 / soft - 1.0 / d) * v[i] * v[m]
    if derivatives > 0.0:
        for i in range(3):
            g[i] /= total
        for i in range(3):
            for m in range(3):
                k[i, m] = k[i, m] / total - g[i] * g[m] / soft
    return top + soft * np.log(total)
