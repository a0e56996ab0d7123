"""A lift: one load, one way of hanging it, one place. What the buyer does not know stays a range.

SI throughout. Load coordinates: origin at the left-front-bottom corner, x along the length, y across,
z up. Pure data, validated in `lift/parse.py`; the only place that turns people's words into it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from slingwright.sling import Fibre, Form

__all__ = [
    "Beam",
    "Centre",
    "ChokeStated",
    "EdgeRadius",
    "Hook",
    "KnownBy",
    "Lift",
    "Load",
    "PickPoint",
    "Section",
    "Shape",
    "Site",
    "Want",
    "WantedSling",
    "Weight",
]

Vector = tuple[float, float, float]


class KnownBy(StrEnum):
    """How a weight or a centre of gravity is known; decides its default tolerance."""

    SCALE = "scale"
    PLATE = "plate"
    DRAWING = "drawing"
    COMPUTED = "computed"  # by this program, from shapes, parts or a mesh with a density
    ESTIMATE = "estimate"


class Shape(StrEnum):
    """What the sling goes round."""

    BOX = "box"
    CYLINDER = "cylinder"
    BUNDLE = "bundle"
    HULL = "hull"
    FRAME = "frame"
    MESH = "mesh"


@dataclass(frozen=True, slots=True, kw_only=True)
class Weight:
    """Weight with its bounds [N]. `high_n` is the upper bound every check uses.

    `nominal_n` None = unknown: the lift is refused with how to find out (a stop, exit 1).
    """

    nominal_n: float | None
    low_n: float | None
    high_n: float | None
    known_by: KnownBy
    stated_tolerance: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Centre:
    """Centre of gravity: the nominal point and the box it lies in (limits, worst corner) [m].

    `known` False = "unknown" in the file: planning only; the box is what the shape allows.
    """

    nominal_m: Vector
    low_m: Vector
    high_m: Vector
    known: bool
    known_by: KnownBy


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeRadius:
    """The load's edge radius; `radius_m` None = unknown (never "no edge")."""

    radius_m: float | None
    stated: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class PickPoint:
    """A lug or eye on the load. `rated_n` None = not stated; `vertical_only` = rated for a vertical pull.

    `rated_at_stated` False = it has a rating, but the file does not say for which pull.
    """

    name: str
    at_m: Vector
    pin_m: float | None = None
    rated_n: float | None = None
    vertical_only: bool = False
    rated_at_stated: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A cross-section of the load at `x_m`: convex hull points (y, z) in order, anticlockwise [m].

    `radius_m` is set for a round section of that radius (points then approximate it for drawing only);
    `centre_yz_m` is its centre.
    """

    x_m: float
    points_m: tuple[tuple[float, float], ...]
    radius_m: float | None = None
    centre_yz_m: tuple[float, float] | None = None


class ChokeStated(StrEnum):
    """The three states of the angle of choke as an input."""

    FREE = "free"
    STATED = "stated"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """The load. `sections` gives its cross-sections along x for slings that go round it."""

    shape: Shape
    length_m: float
    width_m: float
    height_m: float
    weight: Weight
    centre: Centre
    edge: EdgeRadius
    pick_points: tuple[PickPoint, ...] = ()
    sections: tuple[Section, ...] = ()
    sections_assumed: bool = False  # the tool's own hull section: the answer says so
    diameter_m: float | None = None
    wall_m: float | None = None
    loose: bool = False
    bears_m: tuple[tuple[float, float], ...] = ()  # spans along x where a sling may lie; () = all of it
    surface_temperature_k: float | None = None
    surface_friction: float | None = None
    surface: str = ""
    choke: ChokeStated = ChokeStated.FREE
    choke_angle_deg: float | None = None
    computed_by: str = ""  # "shape", "parts", "mesh": how weight and centre were computed, "" if told
    mesh_sha256: str = ""  # of the mesh file's bytes: part of the input beside the lift file

    def section_at(self, x_m: float) -> Section:
        """The section a sling at `x_m` goes round (the one in force at that station)."""
        best = min(self.sections, key=lambda s: abs(s.x_m - x_m))
        return best


@dataclass(frozen=True, slots=True, kw_only=True)
class Hook:
    """A hook. `at_m` = (x, y) in load coordinates, None = over the centre of gravity (one hook only).

    `headroom_m`: from the load's underside to the hook's bearing point, at most.
    """

    headroom_m: float
    at_m: tuple[float, float] | None = None
    thickness_m: float | None = None
    width_m: float | None = None
    capacity_n: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Beam:
    """A spreader beam on hand. `least_top_angle_deg` None = no offer with it (PRACTICE)."""

    name: str
    span_m: float
    weight_n: float
    rated_n: float | None
    least_top_angle_deg: float | None
    lugs: int = 2
    depth_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Where and in what the lift happens. `touches` are chemical agents by the rulebook's names."""

    temperature_low_k: float | None = None
    temperature_high_k: float | None = None
    touches: tuple[str, ...] = ()
    purpose: str = "lift"
    service: str = "normal"
    dynamic_factor: float = 1.0
    wet: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedSling:
    """The one sling to be used, known already; `eye_m` None: the shop's own eye."""

    form: Form
    fibre: Fibre
    webbing_class: int
    plies: int
    width_m: float
    length_m: float
    eye_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Want:
    """What the buyer wants. `by` = price | delivery | reserve | weight."""

    level_within_deg: float
    least_angle_deg: float
    by: str = "price"
    stock_only: bool = False
    matched_set: bool = True
    tolerance_length_rel: float | None = None  # a user may state tolerances, never switch them off
    tolerance_length_m: float | None = None
    sling: WantedSling | None = None  # None: the whole range


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """One load, one way of hanging it, one place. `sources` maps field paths to notes on defaults used."""

    title: str
    rulebook: str
    profile: str  # "own" | "strictest"
    load: Load
    hooks: tuple[Hook, ...]
    site: Site
    want: Want
    beams: tuple[Beam, ...] = ()
    units: str = "us"  # "us" or "si": what the file is mostly written in; papers print these first
    notes: tuple[str, ...] = field(default=())  # codes of assumptions made while reading
