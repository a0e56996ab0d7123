"""The largest tension that equilibrium alone allows a leg: for legs whose sharing nobody can vouch for.

Four and more legs under one hook are statically indeterminate: how they share depends on made lengths
and stretch. Where the legs are not a matched set the worst sharing that balances at all governs as well
(PRACTICE: a tiny linear program over T >= 0 at the solved pose). Its optimum lies at a vertex, at most
three legs carrying, so all vertices are looked at.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np

__all__ = ["largest_admissible_n"]

Vector = tuple[float, float, float]
_BALANCED = 1e-6  # of the weight: what a vertex may miss by and still count as balanced
_SOLID = 1e-9  # least singular value that counts as a direction of its own


def largest_admissible_n(up: Sequence[Vector], weight_n: float) -> float:
    """Largest tension [N] any one leg can have with all legs pulling and the weight in balance.

    Parameters
    ----------
    up : sequence of unit vectors
        Direction of each leg from the load to the one hook, in the hanging pose (the moments balance there:
        all lines meet at the hook, and the centre of gravity hangs under it).
    weight_n : float
        What hangs on the legs.

    Returns
    -------
    float
        0 where no combination of legs balances the weight.
    """
    directions = np.array(up, dtype=np.float64)
    wanted = np.array([0.0, 0.0, weight_n])
    worst = 0.0
    for count in (1, 2, 3):
        for legs in combinations(range(len(up)), min(count, len(up))):
            columns = directions[list(legs)].T
            if np.linalg.svd(columns, compute_uv=False).min() < _SOLID:
                continue
            tension, *_ = np.linalg.lstsq(columns, wanted, rcond=None)
            misses = float(np.abs(columns @ tension - wanted).max())
            if misses <= _BALANCED * weight_n and float(tension.min()) >= -_BALANCED * weight_n:
                worst = max(worst, float(tension.max()))
    return worst
