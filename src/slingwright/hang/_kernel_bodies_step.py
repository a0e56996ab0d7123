"""Sixteen samples of bodies on straight paths at one pose: energy, gradient, Hessian, the step from there.

All arrays are rows of sixteen figures, one a sample. Of a body: where its centre of gravity is, its rotation
row by row. Of a path: its ends' arms (3 each), length, stiffness, the bodies of both ends.
"""

from __future__ import annotations

import numpy as np

from slingwright.hang._jit import lane_kernel

__all__ = [
    "AXIS_X",
    "AXIS_Y",
    "BAD",
    "EXTENSION",
    "LANES",
    "LEFT",
    "LEG_ROWS",
    "MOST",
    "ON",
    "ONE",
    "PULL",
    "ROW_E",
    "SCALE",
    "WEIGHT",
    "above",
    "advance",
    "cross_block",
    "ends_of",
    "factor",
    "hold_heading",
    "load_weights",
    "lower",
    "own_block",
    "pull_of",
    "pulls_up",
    "rise",
]

LANES = 16
LEG_ROWS = 10
# rows of w: a path's direction, pull, pull over length, extension, the six of its stiffness; ROW_E energy
# now and of the last pose that was taken; after SCALE the weights of the bodies
_NX, _NY, _NZ, PULL, _FLAT, EXTENSION, _XX, _XY, _XZ, _YY, _YZ, _ZZ = range(12)
ROW_E = 12
LEFT, MOST, ON, BAD, WEIGHT, ONE, AXIS_X, AXIS_Y, _LEAST, _T, SCALE = range(14, 25)
_FIRM = 1e-6  # of weight over scale: a softer state is looked at with care
_CLOSE = 1e-7  # of the weight: an imbalance from which one more step reaches rounding
_CAP, _CAP_ODD = 0.3, 0.01  # of the scale: a step is no longer, nor one from where the energy is no bowl


@lane_kernel
def above(pose, legs, w, p, e, b, other):  # type: ignore[no-untyped-def]
    """Where the centre of upright body b would stand if its end e of path p met the other, above it."""
    mine, far = (p * LEG_ROWS + 3 * e) * LANES, (p * LEG_ROWS + 3 * (1 - e)) * LANES
    c = 12 * max(other, 0) * LANES
    for m in range(3):
        for i in range(LANES):
            at = legs[far + m * LANES + i]
            at = pose[c + m * LANES + i] + at if other >= 0 else at
            w[(_NX + m) * LANES + i] = at - legs[mine + m * LANES + i]


@lane_kernel
def lower(pose, legs, w, p, b, share):  # type: ignore[no-untyped-def]
    """Lower body b until path p carries a share of the weight."""
    o, c = p * LEG_ROWS * LANES, 12 * b * LANES
    for i in range(LANES):
        x, y = pose[c + i] - w[_NX * LANES + i], pose[c + LANES + i] - w[_NY * LANES + i]
        rest = legs[o + 6 * LANES + i]
        long = rest + share * w[WEIGHT * LANES + i] / legs[o + 7 * LANES + i]
        drop = np.sqrt(max(long * long - x * x - y * y, 0.01 * rest * rest))
        pose[c + 2 * LANES + i] = min(w[_NZ * LANES + i] - drop, pose[c + 2 * LANES + i])


@lane_kernel
def pulls_up(pose, legs, w, p, b):  # type: ignore[no-untyped-def]
    """Add what path p lifts body b by, and by how much more it would were it lower."""
    o, c = p * LEG_ROWS * LANES, 12 * b * LANES
    for i in range(LANES):
        x, y = pose[c + i] - w[_NX * LANES + i], pose[c + LANES + i] - w[_NY * LANES + i]
        z = w[_NZ * LANES + i] - pose[c + 2 * LANES + i]
        inv = 1.0 / np.sqrt(x * x + y * y + z * z)
        ext = 1.0 / inv - legs[o + 6 * LANES + i]
        k = legs[o + 7 * LANES + i] if ext > 0.0 else 0.0
        f = k * ext * inv
        z *= inv
        w[ROW_E * LANES + i] += k * ext * z
        w[(ROW_E + 1) * LANES + i] += (k - f) * z * z + f


@lane_kernel
def rise(pose, w, b, order, k):  # type: ignore[no-untyped-def]
    """One step of body b, the k-th from the top, towards where its paths lift what hangs from it."""
    for i in range(LANES):
        w[_T * LANES + i] = w[ROW_E * LANES + i] - w[(SCALE + 1 + b) * LANES + i]
    for m in range(k + 1, order.shape[0]):
        for i in range(LANES):
            w[_T * LANES + i] -= w[(SCALE + 1 + order[m]) * LANES + i]
    for i in range(LANES):
        slope = w[(ROW_E + 1) * LANES + i]
        step = w[_T * LANES + i] / slope if slope > 0.0 else 0.0
        pose[(12 * b + 2) * LANES + i] += step


@lane_kernel
def load_weights(pose, vec, mat, w, bodies, n):  # type: ignore[no-untyped-def]
    """Nothing but the weights."""
    for k in range(n):
        for i in range(LANES):
            vec[k * LANES + i] = 0.0
    for k in range(n * n):
        for i in range(LANES):
            mat[k * LANES + i] = 0.0
    for i in range(LANES):
        w[ROW_E * LANES + i] = 0.0
    for b in range(bodies):
        for i in range(LANES):
            weight = w[(SCALE + 1 + b) * LANES + i]
            vec[(6 * b + 2) * LANES + i] = weight
            w[ROW_E * LANES + i] += weight * pose[(12 * b + 2) * LANES + i]


@lane_kernel
def ends_of(pose, legs, ends, p, b0, b1):  # type: ignore[no-untyped-def]
    """Both ends of path p: the arm in the world and the place, (r, x) of the first, then of the second."""
    for e in range(2):
        b = b1 if e == 1 else b0
        o, r = (p * LEG_ROWS + 3 * e) * LANES, 6 * e * LANES
        c = 12 * max(b, 0) * LANES
        held = 1.0 if b >= 0 else 0.0
        for m in range(3):
            row = c + (3 + 3 * m) * LANES
            for i in range(LANES):
                turned = pose[row + i] * legs[o + i] + pose[row + LANES + i] * legs[o + LANES + i]
                turned += pose[row + 2 * LANES + i] * legs[o + 2 * LANES + i]
                ends[r + m * LANES + i] = held * turned
                at = legs[o + m * LANES + i]
                ends[r + (3 + m) * LANES + i] = (pose[c + m * LANES + i] + turned) if b >= 0 else at


@lane_kernel
def pull_of(legs, ends, w, p):  # type: ignore[no-untyped-def]
    """Direction from the first end to the second, pull and stiffness of path p; its energy is added."""
    o = p * LEG_ROWS * LANES
    for i in range(LANES):
        x = ends[9 * LANES + i] - ends[3 * LANES + i]
        y = ends[10 * LANES + i] - ends[4 * LANES + i]
        z = ends[11 * LANES + i] - ends[5 * LANES + i]
        d = np.sqrt(x * x + y * y + z * z)
        inv = 1.0 / d
        ext = d - legs[o + 6 * LANES + i]
        k = legs[o + 7 * LANES + i] if ext > 0.0 else 0.0
        pull = k * ext
        x *= inv
        y *= inv
        z *= inv
        f = pull * inv
        s = k - f
        w[_NX * LANES + i] = x
        w[_NY * LANES + i] = y
        w[_NZ * LANES + i] = z
        w[PULL * LANES + i] = pull
        w[_FLAT * LANES + i] = f
        w[EXTENSION * LANES + i] = ext
        w[_XX * LANES + i] = s * x * x + f
        w[_XY * LANES + i] = s * x * y
        w[_XZ * LANES + i] = s * x * z
        w[_YY * LANES + i] = s * y * y + f
        w[_YZ * LANES + i] = s * y * z
        w[_ZZ * LANES + i] = s * z * z + f
        w[ROW_E * LANES + i] += 0.5 * pull * ext


@lane_kernel
def _block(ends, w, block, row, col):  # type: ignore[no-untyped-def]
    """What the path's stiffness gives between the six of one end (`row`: its arm) and those of another."""
    for i in range(LANES):
        turn = 1.0 / w[SCALE * LANES + i]
        xx, xy, xz = w[_XX * LANES + i], w[_XY * LANES + i], w[_XZ * LANES + i]
        yy, yz, zz = w[_YY * LANES + i], w[_YZ * LANES + i], w[_ZZ * LANES + i]
        a, b, c = ends[row + i] * turn, ends[row + LANES + i] * turn, ends[row + 2 * LANES + i] * turn
        r, s, t = ends[col + i] * turn, ends[col + LANES + i] * turn, ends[col + 2 * LANES + i] * turn
        # columns: the stiffness times what a unit of each unknown moves the end
        for k in range(6):
            if k == 0:
                x, y, z = xx, xy, xz
            elif k == 1:
                x, y, z = xy, yy, yz
            elif k == 2:
                x, y, z = xz, yz, zz
            elif k == 3:
                x, y, z = xz * s - xy * t, yz * s - yy * t, zz * s - yz * t
            elif k == 4:
                x, y, z = xx * t - xz * r, xy * t - yz * r, xz * t - zz * r
            else:
                x, y, z = xy * r - xx * s, yy * r - xy * s, yz * r - xz * s
            block[k * LANES + i] = x
            block[(6 + k) * LANES + i] = y
            block[(12 + k) * LANES + i] = z
            block[(18 + k) * LANES + i] = b * z - c * y
            block[(24 + k) * LANES + i] = c * x - a * z
            block[(30 + k) * LANES + i] = a * y - b * x


@lane_kernel
def own_block(vec, mat, ends, w, block, e, b, n):  # type: ignore[no-untyped-def]
    """Gradient and Hessian of the path at its end e, on body b."""
    o, sign = 6 * e * LANES, 2.0 * e - 1.0
    _block(ends, w, block, o, o)
    g = 6 * b * LANES
    for i in range(LANES):
        turn = 1.0 / w[SCALE * LANES + i]
        pull = sign * w[PULL * LANES + i]
        x, y, z = w[_NX * LANES + i], w[_NY * LANES + i], w[_NZ * LANES + i]
        r, s, t = ends[o + i], ends[o + LANES + i], ends[o + 2 * LANES + i]
        vec[g + i] += pull * x
        vec[g + LANES + i] += pull * y
        vec[g + 2 * LANES + i] += pull * z
        vec[g + 3 * LANES + i] += pull * turn * (s * z - t * y)
        vec[g + 4 * LANES + i] += pull * turn * (t * x - r * z)
        vec[g + 5 * LANES + i] += pull * turn * (r * y - s * x)
        # a turning point runs on a circle
        f = pull * turn * turn
        dot = x * r + y * s + z * t
        block[21 * LANES + i] += f * (x * r - dot)
        block[28 * LANES + i] += f * (y * s - dot)
        block[35 * LANES + i] += f * (z * t - dot)
        block[27 * LANES + i] += 0.5 * f * (x * s + y * r)
        block[33 * LANES + i] += 0.5 * f * (x * t + z * r)
        block[34 * LANES + i] += 0.5 * f * (y * t + z * s)
    for k in range(6):
        for m in range(k + 1):
            to, at = ((6 * b + k) * n + 6 * b + m) * LANES, (6 * k + m) * LANES
            for i in range(LANES):
                mat[to + i] += block[at + i]


@lane_kernel
def cross_block(mat, ends, w, block, b0, b1, n):  # type: ignore[no-untyped-def]
    """Hessian of the path between both of its ends, on two bodies."""
    high, low = max(b0, b1), min(b0, b1)
    _block(ends, w, block, 6 * LANES if b1 == high else 0, 0 if b1 == high else 6 * LANES)
    for k in range(6):
        for m in range(6):
            to, at = ((6 * high + k) * n + 6 * low + m) * LANES, (6 * k + m) * LANES
            for i in range(LANES):
                mat[to + i] -= block[at + i]


@lane_kernel
def hold_heading(pose, vec, mat, w, bodies, n):  # type: ignore[no-untyped-def]
    """Where all hangs from one vertical hold the heading, which costs no energy."""
    v = 3 * n * LANES
    for k in range(n):
        for i in range(LANES):
            vec[v + k * LANES + i] = 0.0
    for i in range(LANES):
        w[_T * LANES + i] = 0.0  # along
        w[_LEAST * LANES + i] = 0.0  # norm
    for b in range(bodies):
        for i in range(LANES):
            one = w[ONE * LANES + i]
            y = one * (pose[12 * b * LANES + i] - w[AXIS_X * LANES + i])
            x = one * (w[AXIS_Y * LANES + i] - pose[(12 * b + 1) * LANES + i])
            z = one * w[SCALE * LANES + i]
            o = 6 * b * LANES + i
            vec[v + o] = x
            vec[v + o + LANES] = y
            vec[v + o + 5 * LANES] = z
            w[_LEAST * LANES + i] += x * x + y * y + z * z
            w[_T * LANES + i] += x * vec[o] + y * vec[o + LANES] + z * vec[o + 5 * LANES]
    for i in range(LANES):
        norm = w[_LEAST * LANES + i] if w[ONE * LANES + i] > 0.5 else 1.0
        w[_T * LANES + i] /= norm
        w[_LEAST * LANES + i] = w[WEIGHT * LANES + i] / (w[SCALE * LANES + i] * norm)
    for k in range(n):
        if k % 6 in (2, 3, 4):
            continue
        for i in range(LANES):
            vec[k * LANES + i] -= w[_T * LANES + i] * vec[v + k * LANES + i]
        for m in range(k + 1):
            o = (k * n + m) * LANES
            for i in range(LANES):
                mat[o + i] += w[_LEAST * LANES + i] * vec[v + k * LANES + i] * vec[v + m * LANES + i]


@lane_kernel
def factor(mat, vec, w, n):  # type: ignore[no-untyped-def]
    """Cholesky in place, and Newton's step into the third row set of `vec`; the least pivot into its row."""
    # where a pivot is not firm the energy is no bowl: a firm one in its place makes the step go downhill
    d = 3 * n * LANES  # one over each root of a pivot
    for i in range(LANES):
        w[_LEAST * LANES + i] = np.inf
    for j in range(n):
        for k in range(j, n):
            o = (k * n + j) * LANES
            for i in range(LANES):
                w[_T * LANES + i] = mat[o + i]
            for m in range(j):
                a, b = (k * n + m) * LANES, (j * n + m) * LANES
                for i in range(LANES):
                    w[_T * LANES + i] -= mat[a + i] * mat[b + i]
            if k == j:
                for i in range(LANES):
                    t = w[_T * LANES + i]
                    w[_LEAST * LANES + i] = min(w[_LEAST * LANES + i], t)
                    firm = w[WEIGHT * LANES + i] / w[SCALE * LANES + i]
                    t = t if t > _FIRM * firm else max(-t, 10.0 * firm)
                    vec[d + j * LANES + i] = 1.0 / np.sqrt(t)
            else:
                for i in range(LANES):
                    mat[o + i] = w[_T * LANES + i] * vec[d + j * LANES + i]
    x = 2 * n * LANES
    for k in range(n):
        for i in range(LANES):
            w[_T * LANES + i] = vec[k * LANES + i]
        for m in range(k):
            o = (k * n + m) * LANES
            for i in range(LANES):
                w[_T * LANES + i] -= mat[o + i] * vec[x + m * LANES + i]
        for i in range(LANES):
            vec[x + k * LANES + i] = w[_T * LANES + i] * vec[d + k * LANES + i]
    for k in range(n - 1, -1, -1):
        for i in range(LANES):
            w[_T * LANES + i] = vec[x + k * LANES + i]
        for m in range(k + 1, n):
            o = (m * n + k) * LANES
            for i in range(LANES):
                w[_T * LANES + i] -= mat[o + i] * vec[x + m * LANES + i]
        for i in range(LANES):
            vec[x + k * LANES + i] = w[_T * LANES + i] * vec[d + k * LANES + i]


@lane_kernel
def advance(pose, vec, w, bodies, n):  # type: ignore[no-untyped-def]
    """One guarded step of every lane that is still on its way; the others keep their bits."""
    x, taken, before = 2 * n * LANES, n * LANES, 12 * bodies * LANES
    for i in range(LANES):
        w[_T * LANES + i] = 0.0
    for k in range(n):
        for i in range(LANES):
            step = vec[x + k * LANES + i]
            w[_T * LANES + i] += step * step
    for i in range(LANES):
        weight, scale = w[WEIGHT * LANES + i], w[SCALE * LANES + i]
        now, last = w[ROW_E * LANES + i], w[(ROW_E + 1) * LANES + i]
        on = w[ON * LANES + i] > 0.5
        odd = not w[_LEAST * LANES + i] * scale > _FIRM * weight
        # energy rose: half of the last step is taken back; not where it can tell no more
        home = w[LEFT * LANES + i] <= _CLOSE
        back = now > last + 1e-13 * (abs(now) + weight * scale) and not home
        size = np.sqrt(w[_T * LANES + i])
        w[BAD * LANES + i] = 1.0 if on and odd and home else w[BAD * LANES + i]
        go = on and not (odd and home)
        # how much of the new step is taken, whether any, whether half of the last is taken back
        w[_XY * LANES + i] = -min(1.0, (_CAP_ODD if odd else _CAP) * scale / max(size, 1e-300))
        w[_XZ * LANES + i] = 1.0 if go else 0.0
        w[_YY * LANES + i] = 1.0 if back else 0.0
        w[(ROW_E + 1) * LANES + i] = now if on and not back else last
        w[ON * LANES + i] = 1.0 if go and (back or w[LEFT * LANES + i] > _CLOSE) else 0.0
    for k in range(n):
        for i in range(LANES):
            old = vec[taken + k * LANES + i]
            new = w[_XY * LANES + i] * vec[x + k * LANES + i]
            new = 0.5 * old if w[_YY * LANES + i] > 0.5 else new
            vec[taken + k * LANES + i] = new if w[_XZ * LANES + i] > 0.5 else old
    for k in range(12 * bodies):
        for i in range(LANES):
            here = pose[k * LANES + i] if w[_YY * LANES + i] < 0.5 else pose[before + k * LANES + i]
            on = w[_XZ * LANES + i] > 0.5
            pose[before + k * LANES + i] = here if on else pose[before + k * LANES + i]
    for b in range(bodies):
        _move(pose, vec, w, taken + 6 * b * LANES, 12 * b * LANES, before + 12 * b * LANES)


@lane_kernel
def _move(pose, vec, w, o, c, d):  # type: ignore[no-untyped-def]
    """The pose at row c from the one at row d by the step at row o, of the lanes that go."""
    for i in range(LANES):
        go = w[_XZ * LANES + i] > 0.5
        half = 0.5 / w[SCALE * LANES + i]
        x, y, z = vec[o + 3 * LANES + i] * half, vec[o + 4 * LANES + i] * half, vec[o + 5 * LANES + i] * half
        f = 2.0 / (1.0 + x * x + y * y + z * z)
        for m in range(3):
            at = pose[d + m * LANES + i] + vec[o + m * LANES + i]
            pose[c + m * LANES + i] = at if go else pose[c + m * LANES + i]
            p, q, r = (
                pose[d + (3 + m) * LANES + i],
                pose[d + (6 + m) * LANES + i],
                pose[d + (9 + m) * LANES + i],
            )
            # v + 2 q x (q x v + v), the half turn's quaternion being (1, q)
            e, g, h = y * r - z * q + p, z * p - x * r + q, x * q - y * p + r
            p, q, r = p + f * (y * h - z * g), q + f * (z * e - x * h), r + f * (x * g - y * e)
            pose[c + (3 + m) * LANES + i] = p if go else pose[c + (3 + m) * LANES + i]
            pose[c + (6 + m) * LANES + i] = q if go else pose[c + (6 + m) * LANES + i]
            pose[c + (9 + m) * LANES + i] = r if go else pose[c + (9 + m) * LANES + i]
