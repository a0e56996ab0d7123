"""How the shop sews: fittings, guards, thread and times. All of it the shop's own data."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

__all__ = ["Fitting", "FittingKind", "Guard", "Sewing", "same_width"]


class FittingKind(StrEnum):
    """End fittings of sewn webbing: a plain triangle, and the slotted one that another passes through."""

    TRIANGLE = "triangle"
    CHOKER_TRIANGLE = "choker-triangle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting:
    """An end fitting for one webbing width."""

    kind: FittingKind
    width_m: float
    reach_m: float  # from its bearing point to the inside of the bar the webbing goes round
    bar_m: float  # diameter of that bar
    mass_kg: float
    rated_n: float  # the fitting's own vertical rated load
    material: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Guard:
    """One kind of protection as it is sold: how many go with a sling, how wide, how heavy."""

    protection: str  # a `Protection`
    pieces_per_sling: int  # where the lift does not say how many edges the sling turns over
    length_m: float  # of one piece, along the sling
    mass_kg_m2: float  # of piece length times webbing width
    max_width_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Sewing:
    """Allowances, seams and times (whole seconds) of the sewing floor."""

    throat_m: float  # clear webbing between a fitting's bar and the lap's stitching
    twist_share: Fraction  # webbing a twisted eye takes up on each of its sides, as a share of the width
    end_trim_m: float  # what each sealed end loses
    rows_per_m: Fraction  # seam rows across a lap, per metre of width
    least_rows: int
    body_rows: int  # seam rows that hold the plies of a body together
    thread_ratio: Fraction  # metres of thread, top and bobbin, in a metre of seam
    thread_kg_m: float
    label_kg: float
    set_up_s: int
    cut_s: int  # per flat piece
    end_s: int  # per sewn lap: fold, clamp, turn round
    twist_s: int  # per twisted eye
    seam_s_per_m: int
    fitting_s: int
    label_s: int
    inspect_s: int
    fittings: tuple[Fitting, ...]

    def fitting(self, kind: FittingKind, width_m: float) -> Fitting | None:
        """The fitting of this kind for this width, or None if the shop keeps none."""
        return next((f for f in self.fittings if f.kind is kind and same_width(f.width_m, width_m)), None)


def same_width(a_m: float, b_m: float) -> bool:
    """Whether two widths are one: to the micrometre, so that a width computed elsewhere is still found."""
    return abs(a_m - b_m) < 1e-6
