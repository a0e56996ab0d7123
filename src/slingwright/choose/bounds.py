"""What the level geometry of legs at pick points rules out for a lane before it is hung at all.

Under one hook the hook stands straight above the centre of gravity in every balance. A candidate passes
only if its load, told and at the stiff end of its stretch, tilts no more than is wanted and no part pulls
more than its limit. So every leg that is not slack is as long as told, or longer by no more than the
stretch at that limit. From this alone follow bounds on how steep a leg can stand, on what it must carry and
on how far apart the stretched lengths of two legs must lie. They hold for any balance that could pass; a
lane for which they leave none falls. Nothing is assumed of how tension, angle or tilt grow with strength or
length.
"""

from __future__ import annotations

import math
from functools import cached_property, reduce
from itertools import combinations
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.choose.rows import in_order
from slingwright.choose.setting import Setting
from slingwright.choose.two_points import SURE, least_tilt_deg, posed_centres
from slingwright.hang.tilted import Tilted

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = ["Bare", "Bounds", "Shaped"]

_LEGS_AT_MOST = 6  # whose pairs are looked at
_SURE = 1e-9  # relative: a figure so near its limit is left to the hang


class Shaped(NamedTuple):
    """What bounds say of S lanes whatever they carry, (S,): how steep legs can stand, the excess of others.

    `steep` is the sum of the sines of all legs, `must` the sine of the flattest that must be taut; `part` is
    what some leg must pull at least, as a share of the weight, where that is told.
    """

    steep: Floats
    must: Floats
    part: Floats | None
    angle: Floats
    headroom: Floats
    tilt: Floats | None
    lean: Floats | None


class Bare(NamedTuple):
    """What bounds say of S lanes whatever the limit of a part: its pull [N], the others' excess, (S,)."""

    needs_n: Floats
    angle: Floats
    headroom: Floats
    tilt: Floats | None
    lean: Floats | None

    def loaded(self, limit_n: Floats | float) -> Floats:
        """By how much of it a part is over its limit at least."""
        return np.asarray(self.needs_n / limit_n - 1.0 - _SURE)

    def over(self, limit_n: Floats | float) -> list[tuple[str, Floats]]:
        """By how much of its limit each lane is over it at least, in the order of the sieve."""
        found = [
            ("least-angle", self.angle),
            ("rated-load", self.loaded(limit_n)),
            ("headroom", self.headroom),
        ]
        if self.tilt is not None:
            found.append(("tilt", self.tilt))
        if self.lean is not None:
            found.append(("pick-rating", self.lean))
        return found


class Bounds:
    """Bounds for legs at fixed pick points under one hook.

    Parameters
    ----------
    setting
        The lift and its rulebook.
    at_m : (legs, 3)
        The pick points [m].
    least_deg, level_deg, room_m
        The flattest angle, the largest tilt and the headroom that an offer may have.
    upright : (legs,)
        Which pick points are rated for a vertical pull only.

    Attributes
    ----------
    tilted : Tilted
        Tells of legs of some lengths that the load is sure to tilt too far, its centre where it is told.
    """

    def __init__(
        self,
        setting: Setting,
        at_m: Floats,
        *,
        least_deg: float,
        level_deg: float,
        room_m: float,
        upright: NDArray[np.bool_],
    ) -> None:
        self._weight_n, self._room_m, self._least_deg = setting.weight_n, room_m, least_deg
        tilt = math.radians(min(level_deg, 90.0)) * (1.0 + _SURE)
        self._sine, self._cosine = math.sin(tilt), math.cos(tilt)
        self._at = at_m - np.array(setting.lift.load.centre.nominal_m)
        across = np.hypot(self._at[:, 0], self._at[:, 1])
        lean = np.abs(self._at[:, 2]) * self._sine
        # how far a pick stands from the plumb line below the hook, the load tilted by no more than is wanted
        self._near_m = np.maximum(across * self._cosine - lean, 0.0)
        self._far_m = across + lean
        # how high it stands above the centre of gravity, likewise
        z, sway = self._at[:, 2], across * self._sine
        self._low_m = np.minimum(z, z * self._cosine) - sway
        self._high_m = np.maximum(z, z * self._cosine) + sway
        self._under_m = _under_m(setting) * self._cosine
        legs = len(at_m)
        self._slack = max(legs - int(setting.rulebook.limit("tight_legs").value), 0) if legs > 1 else 0
        self._parts = _least_parts(self._at, self._sine / max(self._cosine, _SURE))
        floor = setting.rulebook.leg_floor(legs, setting.weight_n, 90.0, symmetric=False)
        self._floor_n = floor.value
        centre = setting.lift.load.centre
        held_deg = least_tilt_deg(at_m, posed_centres(centre)) if legs == 2 else 0.0
        self._held = max(held_deg / level_deg - 1.0 - SURE, 0.0)  # by how much it tilts too far anyway
        self._upright, self._level_deg = upright, level_deg
        self.tilted = Tilted(self._at, setting.weight_n, level_deg)
        self._lean_deg = setting.rulebook.limit("lug_lean_deg").value

    @cached_property
    def looks(self) -> tuple[object, ...]:
        """All that `shaped` rests on but the rows themselves: alike for loads that only weigh otherwise."""
        arrays = self._at, self._near_m, self._far_m, self._low_m, self._high_m, self._upright, self._parts
        figures = (
            self._sine, self._cosine, self._least_deg, self._level_deg, self._lean_deg, self._room_m,
            self._under_m, self._slack, self._held,
        )  # fmt: skip
        return (*figures, *(None if x is None else x.tobytes() for x in arrays))

    def weighed(self, shaped: Shaped) -> Bare:
        """Lanes under this load."""
        needs = np.maximum(
            self._weight_n / np.maximum(shaped.steep, _SURE), self._floor_n / np.maximum(shaped.must, _SURE)
        )
        if shaped.part is not None:
            needs = np.maximum(needs, self._weight_n * shaped.part)
        return Bare(needs, shaped.angle, shaped.headroom, shaped.tilt, shaped.lean)

    def shaped(self, lengths_m: Floats, stretch: Floats | float, longer_m: Floats) -> Shaped:
        """What is told of lanes whatever the load of this shape weighs.

        Parameters
        ----------
        lengths_m : (S, legs)
            As told [m].
        stretch : float or (S,)
            Of a leg at its limit, at the stiff end.
        longer_m : (S,)
            What the legs may be longer than told [m].
        """
        made = np.ascontiguousarray(lengths_m.T)  # (legs, S): a figure of all lanes at once lies together
        longest = _longest(made, stretch)
        flat = np.minimum(self._near_m[:, None] / longest, 1.0)  # cosine of the steepest angle of each leg
        steep = np.sqrt(1.0 - flat * flat)
        must = in_order(steep)[self._slack]
        steepest = np.degrees(np.arcsin(np.clip(must, 0.0, 1.0)))
        least_m, most_m = self._heights(made, longest)
        part = None
        if self._parts is not None:  # of legs that statics alone shares the load between
            rises = np.maximum(least_m - self._high_m[:, None], 0.0)
            even = rises / np.maximum(least_m - self._low_m.min(), _SURE)
            carried = self._parts[:, None] * np.minimum(even, 1.0)
            part = (carried / np.maximum(steep, _SURE)).max(axis=0)
        some = 1 < len(made) <= _LEGS_AT_MOST
        tilt = self._apart(made, longest, least_m, most_m) if some else None
        if tilt is not None and self._held:
            tilt = np.maximum(tilt, self._held)
        return Shaped(
            steep.sum(axis=0),
            must,
            part,
            1.0 - steepest / self._least_deg - _SURE,
            (least_m + self._under_m + longer_m) / self._room_m - 1.0 - _SURE,
            tilt,
            self._leans(steep) if self._upright.any() else None,
        )

    def _leans(self, steep: Floats) -> Floats:
        """By how much a lug for a vertical pull is pulled aslant too far at least.

        `steep` (legs, S) is the sine of each leg's steepest angle. A lug's own vertical leans no more than
        the load may tilt.
        """
        lean = np.degrees(np.arccos(np.clip(steep, 0.0, 1.0))) - self._level_deg
        lean = np.where(self._upright[:, None], lean, 0.0)
        sure = np.sort(lean, axis=0)[-1 - self._slack]  # the others may be slack
        return np.asarray(sure / self._lean_deg - 1.0 - _SURE)

    @property
    def tells_crooked(self) -> bool:
        """Whether each leg must hold up some of a load that tilts no more than is wanted."""
        return self._parts is not None and bool((self._parts > 0.0).all())

    def crooked(self, lengths_m: Floats, stretch: Floats | float) -> NDArray[np.bool_]:
        """Lanes that for sure tilt too far or pull a part over its limit, whatever leg is slack.

        Told where on a load that tilts no more than is wanted each leg must hold up some of it.
        """
        if not self.tells_crooked:
            return np.zeros(len(lengths_m), dtype=np.bool_)
        made = np.ascontiguousarray(lengths_m.T)
        longest = _longest(made, stretch)
        return np.asarray(self._apart(made, longest, *self._heights(made, longest)) > 0.0)

    def _heights(self, made_m: Floats, longest_m: Floats) -> tuple[Floats, Floats]:
        """Between what the hook stands above the centre of gravity [m]; lengths (legs, S)."""
        near, far, high, low = (x[:, None] for x in (self._near_m, self._far_m, self._high_m, self._low_m))
        tops = np.sqrt(np.maximum(longest_m * longest_m - near * near, 0.0)) + high
        bottoms = np.sqrt(np.maximum(made_m * made_m - far * far, 0.0)) + low
        least = in_order(bottoms)[-1 - self._slack]
        return np.asarray(least), np.asarray(tops.min(axis=0))

    def _apart(self, made_m: Floats, longest_m: Floats, least_m: Floats, most_m: Floats) -> Floats:
        """Positive where legs of which not all can be slack could only be taut on a load that tilts too far.

        With the hook at h from the centre of gravity d_i^2 - d_j^2 = |p_i|^2 - |p_j|^2 - 2 h (p_i - p_j),
        and h stands within the wanted tilt of the load's own vertical. What is missing, as a share of what
        that tilt allows.
        """
        legs, at = len(made_m), self._at
        low2, high2 = made_m * made_m, longest_m * longest_m
        missing: dict[tuple[int, int], Floats] = {}
        for i, j in combinations(range(legs), 2):
            apart = at[i] - at[j]
            across = max(math.hypot(apart[0], apart[1]), _SURE)
            sway = most_m * across * self._sine
            # 2 h (p_i - p_j) lies between these
            if apart[2]:
                rise = sorted((apart[2] * self._cosine, apart[2]))
                high = 2.0 * (np.maximum(least_m * rise[1], most_m * rise[1]) + sway)
                low = 2.0 * (np.minimum(least_m * rise[0], most_m * rise[0]) - sway)
            else:
                high = 2.0 * sway
                low = -high
            own = float(at[i] @ at[i] - at[j] @ at[j])
            gap = np.maximum(low2[i] - high2[j] - own + low, own - high - high2[i] + low2[j])
            gap -= _SURE * (high2[i] + high2[j] + abs(own) + np.abs(high) + np.abs(low))
            missing[i, j] = gap / (2.0 * most_m * across * max(self._sine, _SURE))
        every = [
            reduce(np.maximum, [missing[pair] for pair in combinations(taut, 2)])
            for taut in combinations(range(legs), legs - self._slack)
        ]
        return np.asarray(reduce(np.minimum, every))


def _longest(made_m: Floats, stretch: Floats | float) -> Floats:
    return np.asarray(made_m * (1.0 + stretch * (1.0 + _SURE)))


def _least_parts(at_m: Floats, slope: float) -> Floats | None:
    """The least share of the load's weight that each of two or three legs holds up; None where not told.

    The plumb line crosses the level plane of the picks where the shares have their centre, and no farther
    from straight above or below the centre of gravity than `slope` (the largest tilt's tangent) lets it.
    Told for picks of one height; each share is then taken with all legs rising alike.
    """
    legs = len(at_m)
    if legs not in (2, 3) or np.ptp(at_m[:, 2]) > _SURE:
        return None
    sides = at_m[1:, :2] - at_m[0, :2]
    if np.linalg.matrix_rank(sides) < legs - 1:
        return None
    # shares of the legs but the first: linear in where the plumb line crosses
    slopes = np.linalg.pinv(sides.T)
    later = slopes @ -at_m[0, :2]
    shares = np.array([1.0 - later.sum(), *later])
    gradients = np.array([-slopes.sum(axis=0), *slopes])
    sway = np.hypot(gradients[:, 0], gradients[:, 1]) * float(np.abs(at_m[:, 2]).max()) * slope
    return np.asarray(np.maximum(shares - sway * (1.0 + _SURE), 0.0))


def _under_m(setting: Setting) -> float:
    """How far the load's underside lies below its centre, at least [m]; 0 where that is not sure."""
    load = setting.lift.load
    x, y, z = load.centre.nominal_m
    inside = 0.0 <= x <= load.length_m and 0.0 <= y <= load.width_m
    return max(z, 0.0) if inside else 0.0
