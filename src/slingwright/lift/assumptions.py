"""What is assumed where the lift file is silent: `data/assumptions.toml` as typed values."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from slingwright.citation import Citation, Known
from slingwright.lift.model import KnownBy

__all__ = ["Assumptions", "HullForm", "MeshLimits", "Tolerance", "assumptions"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """How far off: a share of the weight, and of each extent for the centre."""

    weight: float
    centre: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HullForm:
    """The tool's own hull: beam at stations along the length, keel and bilge, all as shares."""

    x: tuple[float, ...]
    beam: tuple[float, ...]
    keel: float
    bilge: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MeshLimits:
    """Sizes of a mesh file that are still read, and how finely it is sliced."""

    slices: int
    directions: int
    most_bytes: int
    most_faces: int
    most_points: int
    most_parts: int
    most_nodes: int
    most_deep: int
    most_head_bytes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumptions:
    """All judgement of the lift reader, with its citation."""

    citation: Citation
    tolerance: Mapping[KnownBy, Tolerance]
    not_stated: KnownBy
    unknown_centre_share: float
    standard_deviations: float
    pick_stands_off: float
    round_points: int
    hull: HullForm
    mesh: MeshLimits


@cache
def assumptions() -> Assumptions:
    """Load the shipped assumptions (once)."""
    text = files("slingwright.lift").joinpath("data/assumptions.toml").read_text(encoding="utf-8")
    data = tomllib.loads(text)
    hull = data["hull"]
    return Assumptions(
        citation=Citation(document=data["document"], clause="lift assumptions", known=Known(data["known"])),
        tolerance={KnownBy(name): Tolerance(**row) for name, row in data["tolerance"].items()},
        not_stated=KnownBy(data["not_stated"]["known_by"]),
        unknown_centre_share=data["unknown_centre"]["share"],
        standard_deviations=data["spread"]["standard_deviations"],
        pick_stands_off=data["pick_point"]["stands_off"],
        round_points=data["round"]["points"],
        hull=HullForm(x=tuple(hull["x"]), beam=tuple(hull["beam"]), keel=hull["keel"], bilge=hull["bilge"]),
        mesh=MeshLimits(**data["mesh"]),
    )
