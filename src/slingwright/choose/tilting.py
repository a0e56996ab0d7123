"""Which rows are sure to tilt their load too far, its centre where that tilts them farthest: told unhung.

A candidate is hung with the centre told and at every corner of its box, and each of these poses may tilt no
farther than is wanted. So one corner for which `Tilted` has a proof is enough. Which corner is tried is
guessed from where the hook would stand if the legs did not stretch; a poor guess proves less.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from slingwright.choose.cases import centre_corners
from slingwright.choose.corners import first_corner
from slingwright.hang.tilted import Tilted

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from slingwright.choose.setting import Setting

    Floats = NDArray[np.float64]
    Places = NDArray[np.int64]

__all__ = ["Tilting"]


class Tilting:
    """What is told so of legs from one hook to the same picks.

    Parameters
    ----------
    setting
        The lift. A centre that is not known has a box that is no pose: then the told one alone counts.
    at_m : (legs, 3)
        The pick points [m].
    level_deg
        The largest tilt that an offer may have.
    """

    def __init__(self, setting: Setting, at_m: Floats, level_deg: float) -> None:
        centre = setting.lift.load.centre
        self._told = np.array(centre.nominal_m)
        corners = centre_corners(centre) if centre.known else ()
        self._corners = np.array(corners).reshape(-1, 3)
        centres = self._corners if len(self._corners) else self._told[None]
        self._tilted = [Tilted(at_m - c, setting.weight_n, level_deg) for c in centres]
        across = at_m[:, :2] - self._told[:2]
        self._far2 = (across * across).sum(axis=1)
        # the squares of the legs are linear in the hook's place: fitted
        self._fit = np.linalg.pinv(np.column_stack([np.ones(len(across)), -2.0 * across]))[1:]

    @property
    def tells(self) -> bool:
        """Whether anything is told of these picks."""
        return any(tilted.tells for tilted in self._tilted)

    def farthest(self, lengths_m: Floats) -> Places:
        """At which of its centres each of the rows of lengths (R, legs) is looked at (R,)."""
        if len(self._tilted) == 1:
            return np.zeros(len(lengths_m), dtype=np.int64)
        hook = (lengths_m * lengths_m - self._far2) @ self._fit.T
        return first_corner(hook, self._corners, self._told)[:, 0]

    def of(self, lengths_m: Floats, at: Places, rows: Places, strain_per_n: float) -> NDArray[np.bool_]:
        """For which `rows` (S,) of lengths (R, legs) [m] it is sure, with so much stretch for each newton.

        `at` (R,) is what `farthest` says of all of them.
        """
        sure, mine = np.zeros(len(rows), dtype=np.bool_), at[rows]
        for k, tilted in enumerate(self._tilted):
            some = np.flatnonzero(mine == k)
            if len(some) and tilted.tells:
                sure[some] = tilted.of(lengths_m, rows[some], strain_per_n)
        return sure
