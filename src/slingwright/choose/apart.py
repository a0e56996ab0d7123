"""What needs no hang says of all lengths of one make under a beam or several hooks.

Told where the load is held at two pick points: what balance alone says of it (`two_points`) holds at any
length and any stretch.
"""

from __future__ import annotations

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.choose.nominal import LEAST_TILT_DEG, REASONS
from slingwright.choose.rated import SlingRated
from slingwright.choose.setting import Setting
from slingwright.choose.two_points import SURE, least_pulls, least_tilt_deg, posed_centres

__all__ = ["Apart"]


class Apart:
    """The bounds of one arrangement."""

    def __init__(self, setting: Setting, arrangement: Arrangement) -> None:
        self._tilt_over, self._pull_n, self._picks_over = 0.0, np.zeros(0), 0.0
        self._thin = 1.0 - setting.rulebook.limit("reserve_ratio").value
        self._main = [i for i, h in enumerate(arrangement.holdings) if h.role == "main"]
        lift = setting.lift
        picks = {p.name: p for p in lift.load.pick_points}
        held = [picks.get(arrangement.holdings[i].pick or "") for i in self._main]
        mine = [p for p in held if p is not None]
        if len(held) != 2 or len(mine) != 2:
            return
        at_m, centres = np.array([p.at_m for p in mine]), posed_centres(lift.load.centre)
        level_deg = max(lift.want.level_within_deg, LEAST_TILT_DEG)
        self._tilt_over = least_tilt_deg(at_m, centres) / level_deg - 1.0 - SURE
        shares = least_pulls(at_m, centres, level_deg * (1.0 + SURE))
        self._pull_n = setting.weight_n * shares
        rated_n = np.array([np.inf if p.rated_n is None else p.rated_n for p in mine])
        self._picks_over = float((self._pull_n / rated_n).max()) - 1.0 - SURE

    def fell(self, rated: tuple[SlingRated, ...], dry: float) -> tuple[int, float, bool]:
        """The number of the reason for which every row falls, 0 where it may pass.

        With it, by how much of a limit it misses at least, and whether it is sure to be graded. `dry` is the
        share of a limit that is left where the webbing gets wet.
        """
        if not len(self._pull_n):
            return 0, 0.0, False
        limits_n = np.array([rated[i].part_limit_n for i in self._main])
        share = float((self._pull_n / limits_n).max())
        over = [
            ("rated-load", share - 1.0 - SURE),
            ("pick-rating", self._picks_over),
            ("tilt", self._tilt_over),
            ("wet", share / dry - 1.0 - SURE),
        ]
        miss = max(x for _, x in over)
        why = next((reason for reason, x in over if x > 0.0), "")
        return REASONS.index(why), max(miss, 0.0), share > self._thin * (1.0 + SURE)
