"""The solved equilibrium: pose, tensions, angles, slack, stability. There is no unsolved `Hang`."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["BodyPose", "Hang", "PathHang", "Stability", "Status", "Support"]

Vector = tuple[float, float, float]


class Status(StrEnum):
    """Whether it hangs: `capsizes` has the upright state's figures, `unreachable` the elastic minimum's."""

    STABLE = "stable"
    CAPSIZES = "capsizes"
    UNREACHABLE = "unreachable"


@dataclass(frozen=True, slots=True, kw_only=True)
class PathHang:
    """One path at equilibrium. Angles are at its upper end; the lower ones are None where equal."""

    name: str
    tension_n: float
    slack: bool
    angle_from_horizontal_deg: float
    angle_from_vertical_deg: float
    lower_angle_from_horizontal_deg: float | None = None
    lower_angle_from_vertical_deg: float | None = None
    stretch_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyPose:
    """Where a body came to rest: world = origin_m + rotation @ own."""

    name: str
    origin_m: Vector
    rotation: tuple[Vector, Vector, Vector]


@dataclass(frozen=True, slots=True, kw_only=True)
class Support:
    """What a world point carries (force that the rigging exerts on it, N)."""

    at_m: Vector
    force_n: Vector


@dataclass(frozen=True, slots=True, kw_only=True)
class Stability:
    """How far the centre of gravity may rise in the load, and how far the load may be pushed, before it goes.

    None = no bound was found within the ranges searched.
    """

    centre_may_rise_m: float | None
    push_deg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Hang:
    """The equilibrium of a `Problem`, with its residual (largest force imbalance over the weight)."""

    status: Status
    determinate: bool
    null_modes: tuple[str, ...]
    paths: tuple[PathHang, ...]
    bodies: tuple[BodyPose, ...]
    tilt_deg: float
    tilt_direction_deg: float | None
    hook_above_cg_m: float
    supports: tuple[Support, ...]
    stability: Stability
    reach_margin_m: float
    residual: float
