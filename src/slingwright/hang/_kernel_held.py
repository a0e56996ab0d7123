"""Solved samples held to the conditions of a sieve, lane by lane: what fails first, what is sure to grade."""

from __future__ import annotations

import numpy as np

from slingwright.hang._jit import inner_kernel, kernel, taken_in_kernel
from slingwright.hang._kernel_screen import (
    ALONG,
    FIGURES,
    FLATTEST,
    HEIGHT,
    LEAN,
    PICK,
    SHARE,
    SPREAD,
    TAUT,
    height_of,
    legs_of,
    pulls_of,
)

__all__ = ["CASE", "CODES", "STRENGTH", "TOLD", "TURNED", "hold_samples"]

TOLD, CASE, STRENGTH, TURNED = range(4)  # what is asked of the samples
# conditions in their order, numbers into the codes
HANGS, LOAD, ANGLE, ROOM, TILT, WET, PICKED, LEANS, SLIPS, SLACK, SWAPPED, BEATEN = range(12)
CODES = 12
_RAD = np.pi / 180.0


@taken_in_kernel
def _excess(mode, status, tilt_deg, longer_m, dry, limits, steep, found, over):  # type: ignore[no-untyped-def]
    """By how much of its limit a sample is over each condition, into `over`; -1 where it is not asked.

    `steep` is the sine of the least angle: a hook that has room with legs as flat has it with steeper ones.
    """
    for k in range(SLACK):
        over[k] = -1.0
    if status != 0:
        over[HANGS] = np.inf
    over[LOAD] = found[SHARE] - 1.0
    if dry < 1.0:
        over[WET] = found[SHARE] / dry - 1.0
    over[PICKED] = found[PICK] - 1.0
    if limits.upright:
        over[LEANS] = found[LEAN] / limits.upright_deg - 1.0
    if mode == STRENGTH:  # an unknown centre's box is no pose
        return
    flattest = found[FLATTEST]
    over[ANGLE] = 1.0 - flattest / limits.least_deg
    over[ROOM] = (found[HEIGHT] + longer_m / steep) / limits.room_m - 1.0
    if over[ANGLE] > 0.0 or over[ROOM] > 0.0:
        sine = max(np.sin(flattest * _RAD), limits.least_sine)
        over[ROOM] = (found[HEIGHT] + longer_m / sine) / limits.room_m - 1.0
    over[TILT] = tilt_deg / limits.level_deg - 1.0
    if limits.sloping_deg > 0.0:
        over[SLIPS] = 1.0 - found[ALONG] / limits.sloping_deg


@inner_kernel
def _grades(limits, apart, found, n):  # type: ignore[no-untyped-def]
    """Whether the told hang alone grades: a slack leg, a choker pulled flat, a lug aslant, legs far apart.

    `apart` is the cosine of the angle between two legs from which on they grade.
    """
    sure = limits.sure
    if found[TAUT] < n or found[SPREAD] < apart:
        return True
    if limits.low_pull_deg > 0.0 and found[ALONG] < limits.low_pull_deg * (1.0 - sure):
        return True
    return limits.upright and found[LEAN] > limits.straight_deg * (1.0 + sure)


@kernel
def hold_samples(mode, at, pick, given, out, view, limits, codes, lanes, lose):  # type: ignore[no-untyped-def]
    """Hold the samples of lanes `at` (S,), a lane's own beside each other, to what is asked in this mode.

    `codes` (CODES,) are the reasons' own numbers; with `lose` a lane that is sure to be graded is beaten.
    """
    n, s, many = pick.shape[0], 0, at.shape[0]
    way, found, over = np.empty((n, 3)), np.empty(FIGURES), np.empty(CODES)
    point_m, centre_m, tension_n, up = given.point_m, given.centre_m, out.tension_n, out.up
    steep = max(np.sin(limits.least_deg * _RAD), limits.least_sine)
    apart = np.cos(min(limits.apart_deg * (1.0 + limits.sure), 180.0) * _RAD)
    legs = mode == TOLD or limits.upright or limits.sloping_deg > 0.0
    while s < many:
        lane, first = at[s], CODES
        share, crooked = lanes.share[lane], lanes.crooked[lane]
        while s < many and at[s] == lane:
            status, tilt_deg, above = out.status[s], out.tilt_deg[s], out.hook_above_cg_m[s]
            pulls_of(s, lanes.limit_n[lane], view.pick_n, tension_n, out.angle_deg, found)
            if mode == TURNED:
                if status != 0:
                    first = HANGS
                elif found[SHARE] > 1.0 + limits.last:
                    first = min(first, SWAPPED)
                crooked |= tilt_deg > limits.level_deg * (1.0 + limits.last)
                s += 1
                continue
            c = s if centre_m.shape[0] > 1 else 0
            found[HEIGHT] = height_of(s, c, above, centre_m, up, view.size_m)
            if legs:
                q = s if point_m.shape[0] > 1 else 0
                legs_of(
                    s, q, c, pick, point_m, centre_m, up, above, tension_n, view.upright, view.along, way,
                    found,
                )  # fmt: skip
            _excess(mode, status, tilt_deg, lanes.longer_m[lane], lanes.dry[lane], limits, steep, found, over)
            for k in range(SLACK):
                if over[k] > limits.margin:
                    first = min(first, k)
                if mode == TOLD and over[k] > lanes.miss[lane]:
                    lanes.miss[lane] = over[k]
            if mode == TOLD:
                lanes.flattest_deg[lane] = min(lanes.flattest_deg[lane], found[FLATTEST])
                crooked |= _grades(limits, apart, found, n)
                if found[TAUT] < limits.tight:
                    first = min(first, SLACK)
            if found[SHARE] > share:
                share = found[SHARE]
            s += 1
        lanes.share[lane], lanes.crooked[lane] = share, crooked
        if lanes.why[lane] == 0 and first < CODES:
            lanes.why[lane] = codes[first]
        elif lanes.why[lane] == 0 and lose:
            thin = share * (1.0 - limits.margin) > limits.thin * (1.0 + limits.last)
            if thin or crooked:
                lanes.why[lane] = codes[BEATEN]
