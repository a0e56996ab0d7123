"""Every place and length of a family under one hook as lanes of one batch, whatever their stiffness.

A lane is a row of lengths at one place along the load, made of one webbing. All lanes of a group have the
same paths from the hook to the load; points, lengths and stiffness differ. What is solved is the same as the
careful problem's to the last few bits: a sieve allows for them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.arrangement.bodies import LOAD
from slingwright.arrangement.geometry import round_hook_distance
from slingwright.arrangement.model import Round
from slingwright.choose.setting import Setting
from slingwright.hang.batch import Variations
from slingwright.hang.problem import WORLD, Body, Path, Point, Problem
from slingwright.sling import Hitch

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Places = NDArray[np.int64]

Point3 = tuple[float, float, float]

__all__ = ["Laid", "Lanes", "Point3", "laid_as_lanes"]

_RATED_N = 1000.0  # every lane's rated load; its own stands in its strain, for only their ratio counts


def laid_as_lanes(arrangement: Arrangement) -> bool:
    """Whether the arrangement hangs from one hook without a beam: what lanes can tell."""
    return arrangement.beam is None and len(arrangement.hooks_xy_m) == 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """Lanes as laid on the level load.

    `length_m` (S, paths), what of it stretches `elastic_m` (S, paths), the points on the load `ends_m`
    (S, paths, 3).
    """

    length_m: Floats
    elastic_m: Floats
    ends_m: Floats | None  # None: no point varies

    def take(self, lanes: Places) -> Laid:
        """Some of the lanes."""
        length = self.length_m[lanes]
        return Laid(
            length_m=length,
            elastic_m=length if self.elastic_m is self.length_m else self.elastic_m[lanes],
            ends_m=None if self.ends_m is None else self.ends_m[lanes],
        )

    @classmethod
    def joined(cls, parts: list[Laid]) -> Laid:
        """Lanes beside each other, all of one group."""
        length = np.concatenate([p.length_m for p in parts])
        same = all(p.elastic_m is p.length_m for p in parts)
        ends = [p.ends_m for p in parts if p.ends_m is not None]
        return cls(
            length_m=length,
            elastic_m=length if same else np.concatenate([p.elastic_m for p in parts]),
            ends_m=np.concatenate(ends) if ends else None,
        )

    def put(self, lanes: Places, other: Laid) -> Laid:
        """The same with some of the lanes laid otherwise."""
        length, elastic = self.length_m.copy(), self.elastic_m.copy()
        length[lanes], elastic[lanes] = other.length_m, other.elastic_m
        ends = None
        if self.ends_m is not None and other.ends_m is not None:
            ends = self.ends_m.copy()
            ends[lanes] = other.ends_m
        return Laid(length_m=length, elastic_m=elastic, ends_m=ends)


class Lanes:
    """The geometry of one group: arrangements that differ in their place along the load alone.

    Attributes
    ----------
    sling_of : (paths,) which sling each path is of.
    curved : bool, whether a basket lies round a curve, so that its points move with the hook.
    problem : the hang problem that all lanes vary.
    """

    def __init__(self, setting: Setting, arrangements: tuple[Arrangement, ...], level_m: float) -> None:
        """`level_m`: the height of some level hook; the search begins there where no point varies."""
        self._weight_n, self._centre = setting.weight_n, setting.lift.load.centre.nominal_m
        self._hook_xy = arrangements[0].hooks_xy_m[0]
        self._paths: list[_Straight | _Side] = []
        sling_of: list[int] = []
        for i, holding in enumerate(arrangements[0].holdings):
            ways = [a.holdings[i].round for a in arrangements]
            if holding.hitch is Hitch.BASKET:
                rounds = [way for way in ways if way is not None]  # all of them: a basket lies round its load
                sides = [_Side(i, end, rounds, self._hook_xy) for end in (0, 1)]
                self._paths += sides
            else:
                lower = [a.holdings[i].lower_m for a in arrangements]
                at = [p if w is None else w.turns_m[0] for p, w in zip(lower, ways, strict=True)]
                loop = [0.0 if w is None else w.loop_m for w in ways]
                self._paths.append(_Straight(i, np.array(at, dtype=np.float64), np.array(loop)))
            sling_of += [i] * (len(self._paths) - len(sling_of))
        self.sling_of = np.array(sling_of)
        self.curved = any(isinstance(p, _Side) and p.curved for p in self._paths)
        legs = [p for p in self._paths if isinstance(p, _Straight)]
        self._still = len(arrangements) == 1 and len(legs) == len(self._paths)  # no point varies
        self._whole = all(p.whole for p in legs)
        self._alike = _Alike.of([p for p in self._paths if isinstance(p, _Side)]) if not legs else None
        self.problem = self._template([p.at_m for p in legs], level_m) if self._still else self._template()

    @property
    def picks_m(self) -> Floats | None:
        """The pick points (legs, 3) where all lanes are whole slings from the hook to the same ones."""
        legs = [p for p in self._paths if isinstance(p, _Straight)]
        return np.array([p.at_m for p in legs]) if self._still and self._whole else None

    def _template(self, at_m: list[Point3] | None = None, level_m: float = 0.0) -> Problem:
        """The problem that all lanes vary; without places its points stand where variations put them."""
        load = Body(name=LOAD, weight_n=self._weight_n, centre_of_gravity_m=self._centre)
        paths = tuple(
            Path(
                name=str(k),
                sling=int(i),
                points=(
                    Point(WORLD, (*self._hook_xy, level_m)),
                    Point(LOAD, (0.0, 0.0, 0.0) if at_m is None else at_m[k]),
                ),
                length_m=1.0,
                rated_n=_RATED_N,
                strain_at_rated=1.0,
            )
            for k, i in enumerate(self.sling_of)
        )
        return Problem(bodies=(load,), paths=paths)

    def lay(self, lengths_m: Floats, places: Places, hook_m: Floats | None = None) -> Laid:
        """Lay slings of lengths (S, slings) at places (S,); round a curve for hooks at heights (S,).

        Without heights a string round a curve is taken for the level hook; `hook_m` may be places (S, 2) in
        the section's plane, too.
        """
        if self._still and self._whole:  # legs to pick points, each all that stretches of its sling
            whole = np.ascontiguousarray(lengths_m)
            return Laid(length_m=whole, elastic_m=whole, ends_m=None)
        if self._alike is not None and hook_m is not None and hook_m.ndim == 1:
            made = lengths_m[:, 0]
            if (lengths_m == made[:, None]).all():
                return self._alike.lay(made, places, hook_m)
        laid = [path.lay(lengths_m[:, path.sling], places, hook_m) for path in self._paths]
        length, elastic, ends = zip(*laid, strict=True)
        return Laid(
            length_m=np.stack(length, axis=1),
            elastic_m=np.stack(elastic, axis=1),
            ends_m=None if self._still else np.stack(ends, axis=1),
        )

    def vary(
        self, laid: Laid, level_m: Floats, rated_n: Floats, strain: Floats, centre_m: Floats | None = None
    ) -> Variations:
        """How the hang problem of all lanes varies.

        Parameters
        ----------
        laid : Laid
        level_m : (S,) height of the level hook, where the search begins [m].
        rated_n, strain : (S,) vertical rated load [N] and the stretch at it, (S,) or each path's, (S, paths).
        centre_m : (S, 3), optional
            The centre of gravity where it is not the told one.
        """
        count, paths = laid.length_m.shape
        points: Floats | None = None
        if laid.ends_m is not None:
            both = np.zeros((count, paths, 2, 3))
            both[:, :, 0, 2] = level_m[:, None]
            both[:, :, 1] = laid.ends_m
            points = both.reshape(count, 2 * paths, 3)
        if strain.ndim == 1:
            soft = np.empty((count, paths))
            soft[:] = (strain * (_RATED_N / rated_n))[:, None]
        else:
            soft = strain * (_RATED_N / rated_n)[:, None]
        return Variations(
            length_m=laid.length_m,
            strain_at_rated=(
                soft if laid.elastic_m is laid.length_m else soft * (laid.elastic_m / laid.length_m)
            ),
            points_m=points,
            centre_of_gravity_m=None if centre_m is None else centre_m[:, None],
        )


class _Straight:
    """A leg to a pick point, or from the bite of a choker up."""

    def __init__(self, sling: int, at_m: Floats, loop_m: Floats) -> None:
        self.sling, self._at_m, self._loop_m = sling, at_m, loop_m

    @property
    def whole(self) -> bool:
        """Whether all of its sling hangs free."""
        return not self._loop_m.any()

    @property
    def at_m(self) -> Point3:
        """Its point on the load at the first place."""
        x, y, z = self._at_m[0].tolist()
        return x, y, z

    def lay(self, made: Floats, places: Places, hook_m: Floats | None) -> tuple[Floats, Floats, Floats]:
        return made - self._loop_m[places], made, self._at_m[places]


class _Side:
    """One side of a basket, locked by friction; it stretches with half of what lies on the load."""

    def __init__(self, sling: int, end: int, ways: list[Round], hook_xy: tuple[float, float]) -> None:
        self.sling, self._end, self._hook_xy = sling, end, hook_xy
        self.curved = bool(ways[0].curved)
        x, y = hook_xy
        ends = np.array([(w.turns_m[0], w.turns_m[-1]) for w in ways], dtype=np.float64)  # (P, 2, 3)
        self._ends_m = ends
        self._lies_m = np.array([w.lies_m for w in ways])
        self._across_m = np.hypot(x - ends[:, :, 0], y - ends[:, :, 1])
        self._x_m = np.array([w.x_m for w in ways])
        self._wraps = ways[0].wraps
        if self.curved:
            self._radius_m = np.array([w.radius_m for w in ways])
            self._middle_m = np.array([w.centre_yz_m for w in ways])

    @property
    def circle(self) -> tuple[float, float, float, int] | None:
        """Radius and middle of the section where it is the same at all places, with the wraps round it."""
        if not self.curved or np.ptp(self._radius_m) > 0.0 or np.ptp(self._middle_m, axis=0).any():
            return None
        return float(self._radius_m[0]), *self._middle_m[0].tolist(), self._wraps

    @property
    def x_m(self) -> Floats:
        """Where along the load it lies at each place (P,)."""
        return self._x_m

    @property
    def stands(self) -> tuple[int, float]:
        """Which of the two sides it is, and how far the hook stands to the side [m]."""
        return self._end, self._hook_xy[1]

    def lay(self, made: Floats, places: Places, hook_m: Floats | None) -> tuple[Floats, Floats, Floats]:
        if not self.curved:
            return self._flat(made, places)
        if hook_m is not None and hook_m.ndim > 1:
            return self._tangent(made, places, hook_m)
        return self._round(made, places, hook_m)

    def _flat(self, made: Floats, places: Places) -> tuple[Floats, Floats, Floats]:
        """Between edges, where the sides end at the same points whatever its length."""
        ends, lies = self._ends_m[places], self._lies_m[places]
        side = self._taut(made, lies, self._across_m[places], ends[:, :, 2])
        return side, side + lies / 2, ends[:, self._end]

    def _taut(self, made: Floats, lies: Floats, across: Floats, z: Floats) -> Floats:
        """As `geometry.basket_height` says where both sides are taut: this one's length.

        Both ends (S, 2) stand so far `across` from the plumb line of the hook, so high `z`.
        """
        (a, b), (za, zb), free = across.T, z.T, made - lies
        middle = (free + (a * a - b * b + za * za - zb * zb) / free) / 2
        slope = (za - zb) / free
        square, linear = 1 - slope * slope, slope * middle - za
        constant = a * a + za * za - middle * middle
        height = (np.sqrt(np.maximum(linear * linear - square * constant, 0.0)) - linear) / square
        return np.asarray(np.hypot(across[:, self._end], height - z[:, self._end]))

    def _tangent(self, made: Floats, places: Places, hook_yz_m: Floats) -> tuple[Floats, Floats, Floats]:
        """Round a circular section: the tangents from the hook at these places (S, 2) on a load that tilts.

        As the careful search lays it (`enumerate.refit`), taut from the level hook's plumb line.
        """
        radius, (x, y), x_m = self._radius_m[places], self._hook_xy, self._x_m[places]
        from_middle = hook_yz_m - self._middle_m[places]
        half = np.arccos(np.minimum(radius / np.hypot(*from_middle.T), 1.0))
        to_hook = np.arctan2(from_middle[:, 1], from_middle[:, 0])
        lies = radius * (2 * math.pi * self._wraps - 2 * half)
        angles = np.stack([to_hook + half, to_hook - half], axis=1)
        yz = self._middle_m[places][:, None] + radius[:, None, None] * np.stack(
            [np.cos(angles), np.sin(angles)], axis=2
        )
        across = np.hypot((x - x_m)[:, None], y - yz[:, :, 0])
        side = self._taut(made, lies, across, yz[:, :, 1])
        end = np.concatenate([x_m[:, None], yz[:, self._end]], axis=1)
        return side, side + lies / 2, end

    def _round(self, made: Floats, places: Places, hook_m: Floats | None) -> tuple[Floats, Floats, Floats]:
        """Round a circular section: the tangent from the hook."""
        (x, y), radius = self._hook_xy, self._radius_m[places]
        middle_y, middle_z = self._middle_m[places].T
        if hook_m is None:
            along = np.abs(x - self._x_m[places])
            far = round_hook_distance(radius, along, self._wraps, made)
        else:
            far = np.maximum(np.hypot(hook_m - middle_z, y - middle_y), radius)
        half = np.arccos(np.minimum(radius / far, 1.0))
        lies = radius * (2 * math.pi * self._wraps - 2 * half)
        side = (made - lies) / 2
        to_hook = np.arctan2(np.sqrt(np.maximum(far**2 - (y - middle_y) ** 2, 0.0)), y - middle_y)
        angle = to_hook + half if self._end == 0 else to_hook - half
        end = np.stack(
            [self._x_m[places], middle_y + radius * np.cos(angle), middle_z + radius * np.sin(angle)], axis=1
        )
        return side, side + lies / 2, end


class _Alike:
    """The sides of equal baskets round one circle: the tangents are worked out once for all of them."""

    def __init__(self, sides: list[_Side], circle: tuple[float, float, float, int]) -> None:
        self._radius_m, self._y_m, self._z_m, self._wraps = circle
        self._ends = np.array([side.stands[0] for side in sides])
        self._aside_m = sides[0].stands[1] - self._y_m
        self._x_m = np.stack([side.x_m for side in sides], axis=1)  # (P, paths)

    @classmethod
    def of(cls, sides: list[_Side]) -> _Alike | None:
        """None where they do not lie alike."""
        circles = {side.circle for side in sides}
        circle = next(iter(circles)) if len(circles) == 1 else None
        return None if circle is None else cls(sides, circle)

    def lay(self, made: Floats, places: Places, hook_m: Floats) -> Laid:
        """As `_Side` lays each of them: slings all so long (S,), hooks at heights (S,)."""
        radius, aside = self._radius_m, self._aside_m
        far = np.maximum(np.hypot(hook_m - self._z_m, aside), radius)
        half = np.arccos(np.minimum(radius / far, 1.0))
        lies = radius * (2 * math.pi * self._wraps - 2 * half)
        side = (made - lies) / 2
        to_hook = np.arctan2(np.sqrt(np.maximum(far**2 - aside**2, 0.0)), aside)
        ends = np.empty((len(made), len(self._ends), 3))
        ends[:, :, 0] = self._x_m[places]
        for end, angle in enumerate((to_hook + half, to_hook - half)):
            mine = self._ends == end
            ends[:, mine, 1] = (self._y_m + radius * np.cos(angle))[:, None]
            ends[:, mine, 2] = (self._z_m + radius * np.sin(angle))[:, None]
        many = len(self._ends)
        return Laid(
            length_m=np.repeat(side[:, None], many, axis=1),
            elastic_m=np.repeat((side + lies / 2)[:, None], many, axis=1),
            ends_m=ends,
        )
