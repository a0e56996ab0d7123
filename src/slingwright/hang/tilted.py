"""Which legs are sure to leave a load tilted too far, whatever of them is slack: told without a hang.

Legs of lengths L_i from one hook to picks p_i in one level plane, a height z >= 0 over the centre of gravity.
Let H = (x, y) be where the hook stands, seen from the centre in the load's own axes, r its rise over that
plane, and A = r^2 + |H|^2. Then the square of a leg's distance, s_i = A - 2 H.p_i + |p_i|^2, is linear in
(A, H). A leg stretches by c of its length for each newton; times 2c its energy is the integral of
max(0, 1/L_i - s_i^(-1/2)) over s_i, which rises ever steeper: convex in s_i, so convex in (A, H). The hook's
height over the centre, h = sqrt(A + z^2 + 2 z sqrt(A - |H|^2)), is concave in (A, H) where z >= 0. So the
whole energy, V(A, H) = sum of the legs' - 2 c W h, is convex over all places with the hook above the picks,
and every balance, stable or not, is its least place.

At any other place Y = (A', H') the slope of such a function looks away from its least:
grad V(Y) . (least - Y) <= 0. With l its slope along A and G half its slope back along H this reads
l (A - A') <= 2 G.(H - H'). A load that tilts no farther than an angle t has |H| <= (z + r) tan t, that is
|H| <= R(A) = z sin t cos t + sin t sqrt(A - z^2 sin^2 t). Of all such places l (A - A') - 2 G.(H - H') is
least where H = G R / |G| and, for l > 0, sqrt(A - z^2 sin^2 t) = |G| sin t / l; and where that is above 0,

    2 G.H' - 2 |G| z sin t cos t - l (A' - z^2 sin^2 t) - |G|^2 sin^2 t / l > 0,

no balance is left on a load that tilts no farther: it tilts more, or nothing balances at all. (Own study.)

Nothing is assumed of how the tilt grows with stretch, length or weight. Y is guessed; a poor guess proves
less.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from slingwright.hang._kernel_tilted import LANES, ROWS, tilted_rows

__all__ = ["Tilted"]

Floats = NDArray[np.float64]
_LEVEL_M = 1e-9  # picks so near one level are in it
_SURE = 1e-6  # relative


class Tilted:
    """What is told so of legs from one hook to the same picks.

    Parameters
    ----------
    at_m : (legs, 3)
        The picks, from the centre of gravity in the load's axes [m].
    weight_n : float
        The load's weight [N].
    level_deg : float
        The largest tilt that is wanted.

    Attributes
    ----------
    tells : bool
        Whether anything is told of them: not of fewer than three, nor of picks in one line, at different
        heights or below the centre.
    """

    def __init__(self, at_m: Floats, weight_n: float, level_deg: float) -> None:
        self._weight_n, self._above = weight_n, float(at_m[:, 2].min())
        tilt = math.radians(min(level_deg, 89.0)) * (1.0 + _SURE)
        self._sine, self._cosine = math.sin(tilt), math.cos(tilt)
        # seen along the axes in which the guess's energy has no part of both
        self._stiff, axes = np.linalg.eigh(np.cov(at_m[:, :2].T, bias=True))
        self._at, self._far = np.ascontiguousarray(at_m[:, :2] @ axes), np.hypot(at_m[:, 0], at_m[:, 1])
        ones = np.ones(len(at_m))
        fit = np.column_stack([ones, self._at]).T @ np.column_stack([ones, -2.0 * self._at])
        spans = np.linalg.matrix_rank(fit) == len(fit)
        self.tells = bool(spans and self._above >= 0.0 and np.ptp(at_m[:, 2]) <= _LEVEL_M)
        self._guess = np.linalg.inv(fit) if self.tells else np.zeros_like(fit)

    def of(self, lengths_m: Floats, rows: NDArray[np.int64], strain_per_n: float) -> NDArray[np.bool_]:
        """For which `rows` (S,) of lengths (R, legs) [m] it is sure, with so much stretch for each newton."""
        tilted = np.zeros(len(rows), dtype=np.bool_)
        if self.tells:
            acc, legs = np.empty(ROWS * LANES), np.empty(lengths_m.shape[1] * LANES)
            tilted_rows(
                self._at, self._far, self._above, self._guess, self._stiff, self._sine, self._cosine,
                self._weight_n * strain_per_n, np.ascontiguousarray(lengths_m), rows, acc, legs, tilted,
            )  # fmt: skip
        return tilted
