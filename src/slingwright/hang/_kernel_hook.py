"""One hook, straight legs, sixteen samples at a time: Newton on the three unknowns that such a lift has.

The hook's place h in load coordinates, seen from the centre of gravity, says all (own study):
E(h) = sum of half k max(0, |h - a| - L)^2 - W |h|. No turn and no heading enter. The load hangs stably where
the Hessian is positive definite: sum [k n n' + (T/d)(I - n n')] - (W/|h|)(I - u u').

A sample is answered here only if every Hessian on its way was positive definite, every step lowered the
energy, and the load ends upright with legs that reach. `todo` marks all others, for the careful search.
"""

from __future__ import annotations

import numpy as np

from slingwright.hang._jit import inner_kernel, kernel, lane_kernel
from slingwright.hang._kernel_angle import angle_deg
from slingwright.hang._kernel_energy import stiffness

__all__ = ["LANES", "LEG_ROWS", "ROWS", "run_hook"]

LANES = 16
ROWS = 23
# rows of the accumulators
(
    _HX,
    _HY,
    _HZ,
    _GX,
    _GY,
    _GZ,
    _XX,
    _XY,
    _XZ,
    _YY,
    _YZ,
    _ZZ,
    _E,
    _LAST,
    _ON,
    _BAD,
    _W,
    _LEFT,
    _MOST,
    _REACH,
    _SX,
    _SY,
    _SZ,
) = range(ROWS)
LEG_ROWS = 5  # rows of a leg: arm x, y, z, length, stiffness
_CLOSE = 1e-7  # of the weight: an imbalance from which one more step reaches rounding
_STEPS = 40


@lane_kernel
def _begin(acc, legs, n):  # type: ignore[no-untyped-def]
    """Start: the hook over its place (already in h), so high that every leg is taut."""
    for i in range(LANES):
        acc[_HZ * LANES + i] = -np.inf
    for p in range(n):
        o = p * LEG_ROWS * LANES
        for i in range(LANES):
            x = acc[_HX * LANES + i] - legs[o + i]
            y = acc[_HY * LANES + i] - legs[o + LANES + i]
            length = legs[o + 3 * LANES + i]
            long = length + 1.2 * acc[_W * LANES + i] / (n * legs[o + 4 * LANES + i])
            rise = np.sqrt(max(long * long - x * x - y * y, 0.01 * length * length))
            acc[_HZ * LANES + i] = max(acc[_HZ * LANES + i], legs[o + 2 * LANES + i] + rise)
    for i in range(LANES):
        acc[_LAST * LANES + i] = np.inf
        acc[_ON * LANES + i] = 1.0
        acc[_BAD * LANES + i] = 0.0
        acc[_SX * LANES + i] = 0.0
        acc[_SY * LANES + i] = 0.0
        acc[_SZ * LANES + i] = 0.0


@lane_kernel
def _assemble(acc, legs, n):  # type: ignore[no-untyped-def]
    """Energy, gradient and Hessian at h."""
    for i in range(LANES):
        x, y, z = acc[_HX * LANES + i], acc[_HY * LANES + i], acc[_HZ * LANES + i]
        w = acc[_W * LANES + i]
        rho = np.sqrt(x * x + y * y + z * z)
        inv = 1.0 / rho
        x *= inv
        y *= inv
        z *= inv
        f = w * inv
        acc[_E * LANES + i] = -w * rho
        acc[_GX * LANES + i] = -w * x
        acc[_GY * LANES + i] = -w * y
        acc[_GZ * LANES + i] = -w * z
        acc[_XX * LANES + i] = f * x * x - f
        acc[_XY * LANES + i] = f * x * y
        acc[_XZ * LANES + i] = f * x * z
        acc[_YY * LANES + i] = f * y * y - f
        acc[_YZ * LANES + i] = f * y * z
        acc[_ZZ * LANES + i] = f * z * z - f
    for p in range(n):
        o = p * LEG_ROWS * LANES
        for i in range(LANES):
            x = acc[_HX * LANES + i] - legs[o + i]
            y = acc[_HY * LANES + i] - legs[o + LANES + i]
            z = acc[_HZ * LANES + i] - legs[o + 2 * LANES + i]
            d = np.sqrt(x * x + y * y + z * z)
            inv = 1.0 / d
            ext = d - legs[o + 3 * LANES + i]
            k = legs[o + 4 * LANES + i] if ext > 0.0 else 0.0
            pull = k * ext
            x *= inv
            y *= inv
            z *= inv
            f = pull * inv
            s = k - f
            acc[_E * LANES + i] += 0.5 * pull * ext
            acc[_GX * LANES + i] += pull * x
            acc[_GY * LANES + i] += pull * y
            acc[_GZ * LANES + i] += pull * z
            sx, sy = s * x, s * y
            acc[_XX * LANES + i] += sx * x + f
            acc[_XY * LANES + i] += sx * y
            acc[_XZ * LANES + i] += sx * z
            acc[_YY * LANES + i] += sy * y + f
            acc[_YZ * LANES + i] += sy * z
            acc[_ZZ * LANES + i] += s * z * z + f


@lane_kernel
def _step(acc):  # type: ignore[no-untyped-def]
    """One guarded Newton step of every lane that is still on its way; the others keep their bits."""
    for i in range(LANES):
        w = acc[_W * LANES + i]
        gx, gy, gz = acc[_GX * LANES + i], acc[_GY * LANES + i], acc[_GZ * LANES + i]
        d1 = acc[_XX * LANES + i]
        i1 = 1.0 / d1
        l2 = acc[_XY * LANES + i] * i1
        l3 = acc[_XZ * LANES + i] * i1
        d2 = acc[_YY * LANES + i] - l2 * acc[_XY * LANES + i]
        i2 = 1.0 / d2
        m = acc[_YZ * LANES + i] - l3 * acc[_XY * LANES + i]
        l4 = m * i2
        d3 = acc[_ZZ * LANES + i] - l3 * acc[_XZ * LANES + i] - l4 * m
        b2 = gy - l2 * gx
        b3 = gz - l3 * gx - l4 * b2
        sz = b3 / d3
        sy = b2 * i2 - l4 * sz
        sx = gx * i1 - l2 * sy - l3 * sz
        hx, hy, hz = acc[_HX * LANES + i], acc[_HY * LANES + i], acc[_HZ * LANES + i]
        rho2 = hx * hx + hy * hy + hz * hz
        # pivots clear of zero by more than rounding, step a moderate one
        least = min(d1, d2, d3)
        odd = least * least * rho2 <= 1e-8 * w * w
        odd = odd or least <= 0.0
        odd = odd or sx * sx + sy * sy + sz * sz > 0.16 * rho2
        on = acc[_ON * LANES + i] > 0.5
        # energy rose (a leg went slack or taut on the way): half of the last step is taken back
        energy, last = acc[_E * LANES + i], acc[_LAST * LANES + i]
        back = energy > last + 1e-13 * abs(energy)
        acc[_BAD * LANES + i] = 1.0 if on and odd and not back else acc[_BAD * LANES + i]
        px, py, pz = acc[_SX * LANES + i], acc[_SY * LANES + i], acc[_SZ * LANES + i]
        sx = -0.5 * px if back else sx
        sy = -0.5 * py if back else sy
        sz = -0.5 * pz if back else sz
        go = on and (back or not odd)
        acc[_HX * LANES + i] = hx - sx if go else hx
        acc[_HY * LANES + i] = hy - sy if go else hy
        acc[_HZ * LANES + i] = hz - sz if go else hz
        acc[_SX * LANES + i] = 0.5 * px if back else sx
        acc[_SY * LANES + i] = 0.5 * py if back else sy
        acc[_SZ * LANES + i] = 0.5 * pz if back else sz
        acc[_LAST * LANES + i] = last if back else energy
        most = max(abs(gx), abs(gy), abs(gz))
        acc[_ON * LANES + i] = 1.0 if go and (back or most > _CLOSE * w) else 0.0


@lane_kernel
def _finish(acc, legs, n, pull_out, angle_out):  # type: ignore[no-untyped-def]
    """Tensions, angles, what imbalance is left, and whether unstretched legs would reach."""
    for i in range(LANES):
        x, y, z = acc[_HX * LANES + i], acc[_HY * LANES + i], acc[_HZ * LANES + i]
        inv = 1.0 / np.sqrt(x * x + y * y + z * z)
        acc[_GX * LANES + i] = -acc[_W * LANES + i] * x * inv
        acc[_GY * LANES + i] = -acc[_W * LANES + i] * y * inv
        acc[_GZ * LANES + i] = -acc[_W * LANES + i] * z * inv
        # the plumb line, kept in rows that the Hessian no longer needs
        acc[_XX * LANES + i] = x * inv
        acc[_XY * LANES + i] = y * inv
        acc[_XZ * LANES + i] = z * inv
        acc[_MOST * LANES + i] = 0.0
    for p in range(n):
        o = p * LEG_ROWS * LANES
        for i in range(LANES):
            x = acc[_HX * LANES + i] - legs[o + i]
            y = acc[_HY * LANES + i] - legs[o + LANES + i]
            z = acc[_HZ * LANES + i] - legs[o + 2 * LANES + i]
            d = np.sqrt(x * x + y * y + z * z)
            inv = 1.0 / d
            ext = max(d - legs[o + 3 * LANES + i], 0.0)
            pull = legs[o + 4 * LANES + i] * ext
            x *= inv
            y *= inv
            z *= inv
            acc[_GX * LANES + i] += pull * x
            acc[_GY * LANES + i] += pull * y
            acc[_GZ * LANES + i] += pull * z
            acc[_MOST * LANES + i] = max(acc[_MOST * LANES + i], ext)
            ux, uy, uz = acc[_XX * LANES + i], acc[_XY * LANES + i], acc[_XZ * LANES + i]
            cx, cy, cz = y * uz - z * uy, z * ux - x * uz, x * uy - y * ux
            pull_out[p * LANES + i] = pull
            angle_out[p * LANES + i] = angle_deg(
                x * ux + y * uy + z * uz, np.sqrt(cx * cx + cy * cy + cz * cz)
            )
    for i in range(LANES):
        most = max(abs(acc[_GX * LANES + i]), abs(acc[_GY * LANES + i]), abs(acc[_GZ * LANES + i]))
        acc[_LEFT * LANES + i] = most / acc[_W * LANES + i]
        ux, uy, uz = acc[_XX * LANES + i], acc[_XY * LANES + i], acc[_XZ * LANES + i]
        acc[_GX * LANES + i] = angle_deg(np.sqrt(ux * ux + uy * uy), uz)


@lane_kernel
def _reach(acc, legs, n):  # type: ignore[no-untyped-def]
    """Whether some hook a little nearer to the load leaves every leg slack: then unstretched legs reach."""
    for i in range(LANES):
        acc[_REACH * LANES + i] = 0.0
        acc[_YY * LANES + i] = 0.0
    for p in range(n):
        o = p * LEG_ROWS * LANES
        for i in range(LANES):
            near = 2.0 * acc[_MOST * LANES + i]
            far = 6.0 * acc[_MOST * LANES + i]
            hx, hy, hz = acc[_HX * LANES + i], acc[_HY * LANES + i], acc[_HZ * LANES + i]
            ux, uy, uz = acc[_XX * LANES + i], acc[_XY * LANES + i], acc[_XZ * LANES + i]
            length = legs[o + 3 * LANES + i]
            x, y, z = hx - legs[o + i], hy - legs[o + LANES + i], hz - legs[o + 2 * LANES + i]
            a, b, c = x - near * ux, y - near * uy, z - near * uz
            acc[_REACH * LANES + i] = max(acc[_REACH * LANES + i], a * a + b * b + c * c - length * length)
            a, b, c = x - far * ux, y - far * uy, z - far * uz
            acc[_YY * LANES + i] = max(acc[_YY * LANES + i], a * a + b * b + c * c - length * length)


@lane_kernel
def _verdict(acc, legs, n):  # type: ignore[no-untyped-def]
    """1 into the row _BAD where the careful search must decide; the plumb distance into the row _E."""
    for i in range(LANES):
        acc[_YZ * LANES + i] = 0.0
    for p in range(n):
        o = p * LEG_ROWS * LANES
        for i in range(LANES):
            acc[_YZ * LANES + i] += legs[o + 4 * LANES + i] * legs[o + 3 * LANES + i]
    for i in range(LANES):
        x, y, z = acc[_HX * LANES + i], acc[_HY * LANES + i], acc[_HZ * LANES + i]
        rho = np.sqrt(x * x + y * y + z * z)
        acc[_E * LANES + i] = rho
        # what rounding alone can leave: stiff legs amplify the last bit of a position
        noise = 1e-9 + 1e-14 * acc[_YZ * LANES + i] / acc[_W * LANES + i]
        fine = acc[_ON * LANES + i] < 0.5 and acc[_BAD * LANES + i] < 0.5
        fine = fine and acc[_LEFT * LANES + i] <= noise and z > 0.5 * rho
        fine = fine and min(acc[_REACH * LANES + i], acc[_YY * LANES + i]) <= 0.0
        acc[_BAD * LANES + i] = 0.0 if fine else 1.0


@inner_kernel
def _fill(acc, legs, pick, place, given, at, hi):  # type: ignore[no-untyped-def]
    """Samples at..at+15 into lanes; past the end the last sample is repeated."""
    n = pick.shape[0]
    for i in range(LANES):
        s = min(at + i, hi - 1)
        cg = given.centre_m[s if given.centre_m.shape[0] > 1 else 0, 0]
        point = given.point_m[s if given.point_m.shape[0] > 1 else 0]
        length = given.length_m[s if given.length_m.shape[0] > 1 else 0]
        acc[_W * LANES + i] = given.weight_n[s if given.weight_n.shape[0] > 1 else 0, 0]
        hook = 1 if pick[0] == 0 else 0
        acc[_HX * LANES + i] = point[hook, 0] - place[0] - cg[0]
        acc[_HY * LANES + i] = point[hook, 1] - place[1] - cg[1]
        for p in range(n):
            o = p * LEG_ROWS * LANES + i
            q = pick[p]
            legs[o] = point[q, 0] - cg[0]
            legs[o + LANES] = point[q, 1] - cg[1]
            legs[o + 2 * LANES] = point[q, 2] - cg[2]
            legs[o + 3 * LANES] = length[p]
            legs[o + 4 * LANES] = stiffness(given, s, p)


@kernel
def run_hook(pick, place, given, hook, lo, hi, acc, legs, pull, angle, out):  # type: ignore[no-untyped-def]
    """Solve samples lo..hi of a one-hook lift, straight legs, into `out`; `out.todo` marks the odd ones.

    `pick` (P,) is each leg's point on the load; `hook` holds the height of the hook's mark if given.
    """
    n = pick.shape[0]
    for at in range(lo, hi, LANES):
        _fill(acc, legs, pick, place, given, at, hi)
        _begin(acc, legs, n)
        for _ in range(_STEPS):
            _assemble(acc, legs, n)
            _step(acc)
            busy = 0.0
            for i in range(LANES):
                busy += acc[_ON * LANES + i]
            if busy == 0.0:
                break
        _finish(acc, legs, n, pull, angle)
        _reach(acc, legs, n)
        _verdict(acc, legs, n)
        for i in range(min(LANES, hi - at)):
            s = at + i
            out.todo[s] = acc[_BAD * LANES + i] > 0.5
            out.status[s] = 0
            out.residual[s] = acc[_LEFT * LANES + i]
            out.tilt_deg[s] = acc[_GX * LANES + i]
            mark = 0.0
            if hook.shape[0] > 0:
                point = given.point_m[s if given.point_m.shape[0] > 1 else 0]
                mark = hook[0] - point[1 if pick[0] == 0 else 0, 2]
            out.hook_above_cg_m[s] = acc[_E * LANES + i] + mark
            x, y, z = acc[i], acc[LANES + i], acc[2 * LANES + i]
            rho = np.sqrt(x * x + y * y + z * z)
            out.up[s, 0], out.up[s, 1], out.up[s, 2] = x / rho, y / rho, z / rho
            for p in range(n):
                out.tension_n[s, p] = pull[p * LANES + i]
                out.angle_deg[s, p] = angle[p * LANES + i]
            if out.h.shape[0] > 0:
                for m in range(3):
                    out.h[s, m] = acc[m * LANES + i]
