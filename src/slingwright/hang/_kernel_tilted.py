"""Rows of legs of which it is sure, without hanging them, that their load tilts farther than is wanted.

The proof is in `tilted.py`: the balance is where a convex function of two figures is least, so its slope at
any one place says on which side of that place the balance lies. Sixteen rows at a time.
"""

from __future__ import annotations

import numpy as np

from slingwright.hang._jit import inner_kernel, kernel, lane_kernel

__all__ = ["LANES", "ROWS", "tilted_rows"]

LANES = 16
ROWS = 12
# rows of the accumulators
_MEAN, _LEAST_LEG, _SQUARE, _X, _Y, _LEAST, _ON, _SURELY, _PULLS, _BENDS, _GX, _GY = range(ROWS)
_STEPS = 8
_TURNS = 3  # steps round the circle that a place is looked for on
_CLOSE = 1e-4  # of the pull: so near the best slope along the square no more is proved
_BETWEEN = 0.2  # of the way from the widest place to the guess, which is mostly too far out
_FAR = 1.001  # of the widest place that is wanted: a guess no farther out is left to the hang
_SURE = 1e-6  # relative


@lane_kernel
def _guess(acc, legs, at, far, m, weight):  # type: ignore[no-untyped-def]
    """Where the hook would stand if all legs were taut and stretched alike."""
    for i in range(LANES):
        acc[_MEAN * LANES + i] = 0.0
        acc[_LEAST_LEG * LANES + i] = np.inf
    for p in range(far.shape[0]):
        for i in range(LANES):
            acc[_MEAN * LANES + i] += legs[p * LANES + i] / far.shape[0]
            acc[_LEAST_LEG * LANES + i] = min(acc[_LEAST_LEG * LANES + i], legs[p * LANES + i])
    for i in range(LANES):
        mean = acc[_MEAN * LANES + i]
        acc[_PULLS * LANES + i] = 2.0 * mean * mean * mean * weight / acc[_LEAST_LEG * LANES + i]
        acc[_GX * LANES + i] = 0.0
        acc[_GY * LANES + i] = 0.0
    for p in range(far.shape[0]):
        for i in range(LANES):
            d = legs[p * LANES + i] * legs[p * LANES + i] - far[p] * far[p]
            acc[_PULLS * LANES + i] += d
            acc[_GX * LANES + i] += d * at[p, 0]
            acc[_GY * LANES + i] += d * at[p, 1]
    for i in range(LANES):
        a, b, c = acc[_PULLS * LANES + i], acc[_GX * LANES + i], acc[_GY * LANES + i]
        acc[_SQUARE * LANES + i] = m[0, 0] * a + m[0, 1] * b + m[0, 2] * c
        acc[_X * LANES + i] = m[1, 0] * a + m[1, 1] * b + m[1, 2] * c
        acc[_Y * LANES + i] = m[2, 0] * a + m[2, 1] * b + m[2, 2] * c


@lane_kernel
def _begin(acc, stiff, above, sine, cosine):  # type: ignore[no-untyped-def]
    """A place between the guess and the widest that is wanted: of its circle where the energy is least.

    There the slope points straight out. `stiff` (2,) is how steep the energy rises along x and y.
    """
    for i in range(LANES):
        x, y, square = acc[_X * LANES + i], acc[_Y * LANES + i], acc[_SQUARE * LANES + i]
        out = np.sqrt(x * x + y * y)
        wide = sine * (cosine * above + np.sqrt(max(square - above * above * sine * sine, _SURE)))
        acc[_ON * LANES + i] = 1.0 if out > wide * _FAR else 0.0
        acc[_SURELY * LANES + i] = 0.0
        there, more = wide + _BETWEEN * (out - wide), 0.0
        u, v = x, y
        for _ in range(_TURNS):
            long2 = u * u + v * v
            long = np.sqrt(max(long2, _SURE))
            bend = u * u / (stiff[0] + more) + v * v / (stiff[1] + more)
            more += max((long / there - 1.0) * long2 / max(bend, _SURE * _SURE), 0.0)
            u = x * stiff[0] / (stiff[0] + more)
            v = y * stiff[1] / (stiff[1] + more)
        acc[_X * LANES + i] = u
        acc[_Y * LANES + i] = v
        least = (u * u + v * v) * (1.0 + _SURE)
        acc[_LEAST * LANES + i] = least
        acc[_SQUARE * LANES + i] = max(square, least)


@lane_kernel
def _slopes(acc, legs, at, far):  # type: ignore[no-untyped-def]
    """What the legs add to the slope: along the square, half of it back along x and y; and how it bends."""
    for i in range(LANES):
        acc[_PULLS * LANES + i] = 0.0
        acc[_BENDS * LANES + i] = 0.0
        acc[_GX * LANES + i] = 0.0
        acc[_GY * LANES + i] = 0.0
    for p in range(far.shape[0]):
        a, b, far2 = at[p, 0], at[p, 1], far[p] * far[p]
        for i in range(LANES):
            toward = acc[_X * LANES + i] * a + acc[_Y * LANES + i] * b
            inv = 1.0 / np.sqrt(max(acc[_SQUARE * LANES + i] - 2.0 * toward + far2, _SURE))
            pull = 1.0 / legs[p * LANES + i] - inv
            taut = pull > 0.0
            pull = pull if taut else 0.0
            acc[_PULLS * LANES + i] += pull
            acc[_GX * LANES + i] += pull * a
            acc[_GY * LANES + i] += pull * b
            acc[_BENDS * LANES + i] += 0.5 * inv * inv * inv if taut else 0.0


@lane_kernel
def _step(acc, weight, above, sine, cosine):  # type: ignore[no-untyped-def]
    """Look whether it is proved; else one step along the square, to where the slope there proves most."""
    low2 = above * above * sine * sine
    for i in range(LANES):
        x, y, square = acc[_X * LANES + i], acc[_Y * LANES + i], acc[_SQUARE * LANES + i]
        there2 = x * x + y * y
        rise = np.sqrt(max(square - there2, _SURE * _SURE))
        high = np.sqrt(square + above * above + 2.0 * above * rise)
        load = weight * (1.0 + above / rise) / high
        back = weight * above / (rise * high)
        gx, gy = acc[_GX * LANES + i] - back * x, acc[_GY * LANES + i] - back * y
        steep = np.sqrt(gx * gx + gy * gy)
        left = acc[_PULLS * LANES + i] - load
        best = steep * sine / np.sqrt(max(square - low2, _SURE))
        over = 2.0 * (gx * x + gy * y - steep * sine * cosine * above) - left * (square - low2)
        over -= steep * steep * sine * sine / max(left, _SURE * _SURE * load)
        on = acc[_ON * LANES + i] > 0.5
        sure = on and left > 0.0 and over > _SURE * load * there2
        acc[_SURELY * LANES + i] = 1.0 if sure else acc[_SURELY * LANES + i]
        acc[_ON * LANES + i] = 1.0 if on and not sure and abs(left - best) > _CLOSE * load else 0.0
        # with all legs slack nothing bends: down to where one is taut
        bends, most = acc[_BENDS * LANES + i], 0.2 * square
        step = (left - best) / bends if bends > 0.0 else -0.5 * most
        acc[_SQUARE * LANES + i] = max(square - min(max(step, -most), most), acc[_LEAST * LANES + i])


@inner_kernel
def _fill(legs, lengths, rows, first):  # type: ignore[no-untyped-def]
    """Rows from the `first` into lanes; past the end the last is repeated."""
    for i in range(LANES):
        s = rows[min(first + i, rows.shape[0] - 1)]
        for p in range(lengths.shape[1]):
            legs[p * LANES + i] = lengths[s, p]


@kernel
def tilted_rows(at, far, above, guess, stiff, sine, cosine, weight, lengths, rows, acc, legs, tilted):  # type: ignore[no-untyped-def]
    """Mark in `tilted` (S,) which of `rows` (S,) of lengths are sure to tilt farther than is wanted.

    `at` (legs, 2) are the picks from the centre's plumb, `far` (legs,) how far, `above` the height of their
    plane over it. `sine` and `cosine` are of the tilt that is wanted, `weight` is the weight times the
    stretch of a newton. `guess` (3, 3) and `stiff` (2,) are of the place to look at. `acc` (ROWS * LANES,)
    and `legs` (legs * LANES,) are room to work in.
    """
    for first in range(0, rows.shape[0], LANES):
        _fill(legs, lengths, rows, first)
        _guess(acc, legs, at, far, guess, weight)
        _begin(acc, stiff, above, sine, cosine)
        for _ in range(_STEPS):
            busy = 0.0
            for i in range(LANES):
                busy += acc[_ON * LANES + i]
            if busy == 0.0:
                break
            _slopes(acc, legs, at, far)
            _step(acc, weight, above, sine, cosine)
        for i in range(min(LANES, rows.shape[0] - first)):
            tilted[first + i] = acc[_SURELY * LANES + i] > 0.5
