"""How high the hook stands over a candidate's cases, and whether that alone is too high."""

from __future__ import annotations

from collections.abc import Sequence

from slingwright.arrangement.bodies import LOAD
from slingwright.arrangement.reading import lowest_corner_m
from slingwright.choose.candidate import Candidate
from slingwright.choose.cases import SolvedCase, length_tolerance_m
from slingwright.choose.nominal import LEAST_SINE
from slingwright.choose.setting import Setting

__all__ = ["stands_too_high", "worst_height"]


def stands_too_high(setting: Setting, candidate: Candidate, cases: Sequence[SolvedCase]) -> bool:
    """Whether the cases solved so far alone put the hook above the room there is."""
    posed = [c for c in cases if c.pose]
    room = min(h.headroom_m for h in setting.lift.hooks)
    return worst_height(setting, candidate, posed) > room


def worst_height(setting: Setting, candidate: Candidate, posed: Sequence[SolvedCase]) -> float:
    """How high the hook stands at most, all slings as long as they may be made [m]."""
    return max(_hook_height(setting, c) for c in posed) + _height_tolerance(setting, candidate, posed)


def _hook_height(setting: Setting, case: SolvedCase) -> float:
    """From the load's lowest corner to the highest hook, hanging [m]."""
    load = setting.lift.load
    low = lowest_corner_m(case.hang, LOAD, (load.length_m, load.width_m, load.height_m))
    return max(s.at_m[2] for s in case.hang.supports) - low


def _height_tolerance(setting: Setting, candidate: Candidate, posed: Sequence[SolvedCase]) -> float:
    """How much higher the hook stands when the slings are all as long as they may be made [m].

    A leg longer by d lets the hook rise by d over the sine of its angle; under a beam both kinds add up.
    """
    a, total = candidate.arrangement, 0.0
    for role in dict.fromkeys(h.role for h in a.holdings):
        mine = [i for i, h in enumerate(a.holdings) if h.role == role]
        flattest = min(
            (r.up[2] for c in posed for r in c.readings if r.sling in mine and not r.slack), default=1.0
        )
        longer = max(length_tolerance_m(setting, candidate, candidate.lengths_m[i]) for i in mine)
        total += longer / max(flattest, LEAST_SINE)
    return total
