"""The pattern of one sling: flat pieces in whole millimetres, each with its stretches in order."""

from __future__ import annotations

from dataclasses import dataclass

from slingwright.make.layout import Layout, Make, Part, lay_out, up_to_mm
from slingwright.shop import Fitting, Refusal, Shop, least_length_m, length_um
from slingwright.sling import SlingSpec, Webbing

__all__ = ["Pattern", "Piece", "Stretch", "make_of", "pattern", "pattern_name"]


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of a flat piece: `trim`, `lap`, `eye`, `crown`, `throat`, `bar`, `body`, `turn` or `pad`."""

    name: str
    length_um: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One kind of flat piece. Its stretches add up to `cut_mm` exactly (the last trim takes the rounding)."""

    role: str  # "ply" | "loop" | "eye-pad"
    ply: int
    count: int
    cut_mm: int
    stretches: tuple[Stretch, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """All that the cutting and sewing floor needs to know of one sling's shape."""

    spec: SlingSpec
    webbing: Webbing
    pieces: tuple[Piece, ...]
    fittings: tuple[Fitting, ...]
    least_length_m: float
    lap_m: float
    lap_rows: int
    body_rows: int
    taper_width_m: float | None
    layers_at_crown: int  # folds of one ply at an eye's crown
    label_m: float

    @property
    def webbing_mm(self) -> int:
        """Webbing in all pieces together."""
        return sum(piece.count * piece.cut_mm for piece in self.pieces)


def make_of(spec: SlingSpec) -> Make:
    """The specification without its length and eye."""
    return spec.form, spec.fibre, spec.webbing_class, spec.plies, spec.width_m


def pattern_name(spec: SlingSpec) -> str:
    """Name of the sewn pattern, as break tests qualify it at a loft: everything but the length."""
    return spec.text.rsplit("/", 2)[0] + f"/{spec.eye_m:.4f}"


def pattern(spec: SlingSpec, shop: Shop) -> Pattern | Refusal:
    """The flat pieces of a sling from its bearing-to-bearing length, or why the shop cannot lay it out.

    Which loft sews it is not asked here (`shop.buildable_spec`).
    """
    make = make_of(spec)
    layout = lay_out(shop, make, spec.eye_m or None)
    if isinstance(layout, Refusal):
        return layout
    least = least_length_m(shop, spec.form, spec.width_m, spec.plies, spec.eye_m or None)
    if isinstance(least, Refusal):
        return least
    if length_um(spec.length_m) < length_um(least):
        return Refusal(code="too-short", figure=spec.length_m, limit=least, unit="m", nearest=(least,))
    return cut_out(spec, shop, layout, least)


def cut_out(spec: SlingSpec, shop: Shop, layout: Layout, least_m: float) -> Pattern:
    """Put a length into a layout."""
    row = layout.row
    taper_m = row.taper_width_m if spec.form.has_eyes else None
    return Pattern(
        spec=spec,
        webbing=layout.webbing,
        pieces=tuple(_piece(part, length_um(spec.length_m)) for part in layout.parts),
        fittings=layout.fittings,
        least_length_m=least_m,
        lap_m=row.lap_m,
        lap_rows=layout.lap_rows,
        body_rows=layout.body_rows,
        taper_width_m=taper_m,
        layers_at_crown=1 if taper_m is None else -(-length_um(spec.width_m) // length_um(taper_m)),
        label_m=shop.practice.label_m,
    )


def _piece(part: Part, sling_um: int) -> Piece:
    cut_mm = up_to_mm(part.total.at(sling_um))
    slack = 1000 * cut_mm - part.total.at(sling_um)
    stretches = [Stretch(s.name, s.at(sling_um)) for s in part.stretches]
    stretches[-1] = Stretch(stretches[-1].name, stretches[-1].length_um + slack)
    return Piece(role=part.role, ply=part.ply, count=part.count, cut_mm=cut_mm, stretches=tuple(stretches))
