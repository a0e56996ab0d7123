"""How a sling is laid out flat, as straight-line functions of its length in whole micrometres.

One layout serves the pattern of one sling, its bill and the price of a whole block of lengths, so the three
cannot disagree. Every number comes from the shop's practice; only geometry is written here.

A ply is followed along its middle surface. Where it turns over a bearing point or a fitting's bar it runs a
half circle, so the ply lying outside another needs more webbing: half circle of radius (bar / 2 + layers
inside it + half its own thickness). Derived; a folded (tapered) eye counts its folds as layers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeAlias

from slingwright.shop import EyeRow, Fitting, Refusal, Sewing, Shop, end_fittings, length_um
from slingwright.sling import Fibre, Form, Webbing

__all__ = ["Layout", "Line", "Make", "Part", "lay_out", "up_to_mm"]

Make: TypeAlias = tuple[Form, Fibre, int, int, float]
"""A sling without its length: form, fibre, webbing class, plies, width [m]."""


@dataclass(frozen=True, slots=True)
class Line:
    """`slope` sling lengths plus `um` micrometres, and what that stretch of webbing is."""

    name: str
    slope: int
    um: int

    def at(self, sling_um: int) -> int:
        """The length [µm] for a sling of this length [µm]."""
        return self.slope * sling_um + self.um


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One kind of flat piece: its stretches in order from one cut end to the other."""

    role: str  # "ply" | "loop" | "eye-pad"
    ply: int  # from the inside, 0 first
    count: int
    stretches: tuple[Line, ...]

    @property
    def total(self) -> Line:
        """The whole piece as one line, before it is rounded up to a millimetre."""
        return Line(self.role, sum(s.slope for s in self.stretches), sum(s.um for s in self.stretches))


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """All flat pieces of a make, its seams and the work they are."""

    webbing: Webbing
    fittings: tuple[Fitting, ...]
    row: EyeRow
    parts: tuple[Part, ...]
    seam: Line  # all seam rows together
    laps: int
    lap_rows: int
    body_rows: int
    twists: int
    fixed_labour_s: int  # everything but the seams


def up_to_mm(um: int) -> int:
    """Round a length up to the whole millimetre a cutter can measure."""
    return -(-um // 1000)


def lay_out(shop: Shop, make: Make, eye_m: float | None = None) -> Layout | Refusal:
    """Lay a make out flat, or say what the shop lacks for it.

    Parameters
    ----------
    shop, make
        The shop's practice and the sling without its length.
    eye_m
        Inside eye length; the shop's own where left out.
    """
    form, fibre, webbing_class, plies, width_m = make
    webbing, row = shop.webbing(fibre, webbing_class, width_m), shop.eye_row(width_m, plies)
    fittings = end_fittings(shop, form, width_m)
    if form is Form.RETURN_EYE:
        return Refusal(code="form-not-sewn", subject=str(form))
    if webbing is None:
        return Refusal(code="webbing-not-kept", figure=width_m, unit="m")
    if row is None:
        return Refusal(code="no-eye-row", figure=width_m, unit="m")
    if fittings is None:
        return Refusal(code="no-fitting", figure=width_m, unit="m")
    trim = Line("trim", 0, length_um(shop.sewing.end_trim_m))
    lap = Line("lap", 0, length_um(row.lap_m))
    parts: tuple[Part, ...]
    if form is Form.ENDLESS:
        parts, body = (_loop(webbing, plies, lap, trim),), Line("body", 2, 0)
    elif form.has_eyes:
        eye = length_um(eye_m or row.eye_m)
        twist = _twist_um(shop.sewing, webbing) if form is Form.TWISTED_EYE else 0
        parts = _eye_parts(webbing, row, plies, (eye, twist), (lap, trim))
        body = Line("body", 1, -2 * eye)
    else:
        ends = -sum(_end_um(f) for f in fittings)
        parts, body = (
            _fitting_parts(shop.sewing, webbing, fittings, plies, (lap, trim)),
            Line("body", 1, ends),
        )
    return _finish(shop.sewing, make, (webbing, fittings, row), parts, body)


def _arc_um(bar_um: int, inside: float, webbing: Webbing, layers: int) -> int:
    """Half circle of a ply's middle surface, `inside` plies of `layers` folds lying within it."""
    return round(math.pi * (bar_um / 2 + (inside + 0.5) * layers * length_um(webbing.thickness_m)))


def _twist_um(sewing: Sewing, webbing: Webbing) -> int:
    return round(sewing.twist_share * length_um(webbing.width_m))


def _loop(webbing: Webbing, plies: int, lap: Line, trim: Line) -> Part:
    """One piece wound once a ply, closed by one lap; each turn lies outside the one before."""
    turns = (Line("turn", 2, 2 * _arc_um(0, ply, webbing, 1)) for ply in range(plies))
    return Part(role="loop", ply=0, count=1, stretches=(trim, *turns, lap, trim))


def _eye_parts(
    webbing: Webbing, row: EyeRow, plies: int, eye: tuple[int, int], ends: tuple[Line, Line]
) -> tuple[Part, ...]:
    """A piece a ply, each eye folded back over the plies inside it and over its wear pad, if any."""
    (eye_um, twist), (lap, trim) = eye, ends
    layers = -(-length_um(webbing.width_m) // length_um(row.taper_width_m or webbing.width_m))
    pads = 1 if row.pad_m else 0
    back = Line("eye", 0, eye_um + twist)
    parts = []
    for ply in range(plies):
        crown = Line("crown", 0, _arc_um(0, ply + pads, webbing, layers))
        way = (trim, lap, back, crown, Line("body", 1, 2 * twist), crown, back, lap, trim)
        parts.append(Part(role="ply", ply=ply, count=1, stretches=way))
    if pads:
        pad = Line("pad", 0, length_um(row.pad_m))
        parts.append(Part(role="eye-pad", ply=0, count=2, stretches=(trim, pad, trim)))
    return tuple(parts)


def _end_um(fitting: Fitting) -> int:
    """From a fitting's bearing point to the middle of its bar."""
    return length_um(fitting.reach_m) + length_um(fitting.bar_m) // 2


def _fitting_parts(
    sewing: Sewing, webbing: Webbing, fittings: tuple[Fitting, ...], plies: int, ends: tuple[Line, Line]
) -> tuple[Part, ...]:
    """A piece a ply, each end round its fitting's bar and back."""
    lap, trim = ends
    throat = Line("throat", 0, length_um(sewing.throat_m))
    body = Line("body", 1, -sum(_end_um(f) for f in fittings))
    parts = []
    for ply in range(plies):
        west, east = (Line("bar", 0, _arc_um(length_um(f.bar_m), ply, webbing, 1)) for f in fittings)
        way = (trim, lap, throat, west, body, east, throat, lap, trim)
        parts.append(Part(role="ply", ply=ply, count=1, stretches=way))
    return tuple(parts)


def _finish(
    sewing: Sewing,
    make: Make,
    kept: tuple[Webbing, tuple[Fitting, ...], EyeRow],
    parts: tuple[Part, ...],
    body: Line,
) -> Layout:
    """Add seams and work to the flat pieces."""
    form, _, _, plies, width_m = make
    webbing, fittings, row = kept
    rows = max(sewing.least_rows, math.ceil(length_um(width_m) * sewing.rows_per_m / length_um(1)))
    laps = 1 if form is Form.ENDLESS else 2
    body_rows = sewing.body_rows if plies > 1 else 0
    pads = sum(part.count for part in parts if part.role == "eye-pad")
    seam_um = rows * laps * length_um(row.lap_m) + 2 * pads * length_um(row.pad_m) + body_rows * body.um
    twists = 2 if form is Form.TWISTED_EYE else 0
    return Layout(
        webbing=webbing,
        fittings=fittings,
        row=row,
        parts=parts,
        seam=Line("seam", body_rows * body.slope, seam_um),
        laps=laps,
        lap_rows=rows,
        body_rows=body_rows,
        twists=twists,
        fixed_labour_s=sewing.set_up_s
        + sewing.cut_s * sum(part.count for part in parts)
        + sewing.end_s * laps
        + sewing.twist_s * twists
        + sewing.fitting_s * len(fittings)
        + sewing.label_s
        + sewing.inspect_s,
    )
