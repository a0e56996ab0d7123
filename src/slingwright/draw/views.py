"""One view of the picture: bodies, webbing, slings and symbols, with its dimensions and captions."""

from __future__ import annotations

import math
from collections.abc import Sequence

from slingwright.draw.captions import captions
from slingwright.draw.ink import INK, MUTED, SLING, line, polygon
from slingwright.draw.layout import Window
from slingwright.draw.marks import centre_mark, hook_mark, pick_mark, protection_mark
from slingwright.draw.measures import dimensions
from slingwright.draw.picture import Band, LegLine, Picture
from slingwright.draw.solid import Solid, convex_outline
from slingwright.draw.svg import element
from slingwright.draw.view import ABOVE, View
from slingwright.draw.wording import Wording

__all__ = ["draw_view"]

Vector = tuple[float, float, float]
_LOAD_FILL, _BEAM_FILL = "#f0eeea", "#dcdfe2"


def draw_view(window: Window, picture: Picture, wording: Wording) -> str:
    """One view as a group whose attributes tell how metres became millimetres."""
    view = window.view
    parts = [
        *_plumb(view, picture),
        *_body(view, picture.load, _LOAD_FILL),
        *_bands(view, picture.bands),
        *(_body(view, picture.beam, _BEAM_FILL) if picture.beam else []),
        *_centre_box(view, picture),
        *(_leg(view, leg) for leg in picture.legs),
        *(protection_mark(view.to_sheet(m.at_m), m.name) for m in picture.protected),
        *(pick_mark(view.to_sheet(m.at_m), m.name) for m in picture.picks),
        centre_mark(view.to_sheet(picture.centre_m), data_world_m=_world(picture.centre_m)),
        *(
            hook_mark(
                view.to_sheet(h.at_m),
                from_above=view.facing is ABOVE,
                data_hook=h.name,
                data_world_m=_world(h.at_m),
            )
            for h in picture.hooks
        ),
        *dimensions(window, picture, wording),
        *captions(window, picture, wording),
    ]
    return element(
        "g",
        parts,
        _class="view",
        data_view=view.facing.name,
        data_mm_per_m=f"{view.mm_per_m:.9g}",
        data_origin_x_mm=view.origin_mm[0],
        data_origin_y_mm=view.origin_mm[1],
        data_right=_world(view.facing.right),
        data_up=_world(view.facing.up),
    )


def _body(view: View, solid: Solid, fill: str) -> list[str]:
    """Outline once round all, then fill over it, then the edges of the faces that are seen."""
    shadows = [convex_outline(view.all_to_sheet(slab)) for slab in solid.slabs]
    parts = [polygon(s, fill=INK, ink=INK, width=0.55) for s in shadows]
    parts += [polygon(s, fill=fill, ink=fill, width=0.05) for s in shadows]
    for face in solid.faces:
        if face.ruled and view.sees(face.normal):
            parts.append(polygon(view.all_to_sheet(face.corners_m), ink=INK, width=0.18))
    return parts


def _bands(view: View, bands: Sequence[Band]) -> list[str]:
    """Webbing on the load: solid where it is seen, a dashed outline where the load hides it."""
    parts = []
    for band in sorted(bands, key=lambda b: view.sees(b.face.normal)):
        a, b = (view.to_sheet(p) for p in band.middle_m)
        corners = view.all_to_sheet(band.face.corners_m)
        if view.sees(band.face.normal):
            parts.append(polygon(corners, fill=SLING, ink=SLING, width=0.3, data_sling=band.sling))
        elif _is_edge_on(band, view):
            parts.append(line(a, b, 0.9, ink=SLING, stroke_linecap="round", data_sling=band.sling))
        else:
            parts.append(
                polygon(corners, ink=SLING, width=0.18, stroke_dasharray="0.9 0.7", data_sling=band.sling)
            )
    return parts


def _is_edge_on(band: Band, view: View) -> bool:
    """Whether the eye looks along the webbing's width, so that only its edge shows."""
    n, e = band.face.normal, view.facing.to_eye
    size = math.sqrt(sum(v * v for v in n)) or 1.0
    return abs(sum(a * b for a, b in zip(n, e, strict=True))) < 0.2 * size


def _plumb(view: View, picture: Picture) -> list[str]:
    """The plumb line from a single hook through the centre of gravity: where the weight hangs."""
    if len(picture.hooks) != 1 or view.facing is ABOVE:
        return []
    top = view.to_sheet(picture.hooks[0].at_m)
    low = max(p[1] for p in view.all_to_sheet(picture.load.points_m))
    return [line(top, (top[0], low + 0.9), 0.16, ink=MUTED, dash="3 0.8 0.5 0.8")]


def _centre_box(view: View, picture: Picture) -> list[str]:
    if not picture.centre_box_m:
        return []
    outline = convex_outline(view.all_to_sheet(picture.centre_box_m))
    return [polygon(outline, ink=INK, width=0.25, stroke_dasharray="1.2 0.8", _class="centre-box")]


def _leg(view: View, leg: LegLine) -> str:
    a, b = view.to_sheet(leg.upper_m), view.to_sheet(leg.lower_m)
    return line(
        a,
        b,
        0.5 if leg.slack else 0.85,
        ink=SLING,
        dash="1.6 1.2" if leg.slack else None,
        stroke_linecap=None if leg.slack else "round",
        _class="leg slack" if leg.slack else "leg",
        data_path=leg.path,
        data_part=leg.part,
        data_sling=leg.sling,
        data_tension_n=f"{leg.tension_n:.3f}",
        data_upper_m=_world(leg.upper_m),
        data_lower_m=_world(leg.lower_m),
    )


def _world(v: Vector) -> str:
    return " ".join(f"{c:.6f}" for c in v)
