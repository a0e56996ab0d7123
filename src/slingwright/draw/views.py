"""One view of the picture: bodies, webbing, slings, symbols, dimensions and labels that keep clear."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from slingwright.draw.ink import INK, LABEL_MM, MUTED, SLING, SMALL_MM, label, line, polygon
from slingwright.draw.labels import Box, Clearances, Segment, text_box
from slingwright.draw.layout import Window
from slingwright.draw.marks import centre_mark, dimension, hook_mark, pick_mark, protection_mark
from slingwright.draw.picture import Band, LegLine, Picture
from slingwright.draw.solid import Solid, convex_outline
from slingwright.draw.svg import element
from slingwright.draw.view import ABOVE, FRONT, View

__all__ = ["Wording", "draw_view"]

Point = tuple[float, float]
Vector = tuple[float, float, float]
_LOAD_FILL, _BEAM_FILL = "#f0eeea", "#dcdfe2"
_HOOK_HEIGHT_MM = 9.0  # how far inside the view's paper the hook's height stands
_ROW_MM = 4.2  # from one row of dimensions to the next
_SAME_MM = 1.6  # legs closer than this on paper share one label


class Wording:
    """What the views print, made by the sheet from units and language: figures in, text out."""

    def __init__(
        self,
        *,
        leg: Callable[[LegLine, int], str],
        length: Callable[[float], str],
        caption: Callable[[str], str],
        lean: Callable[[str, float], str],
        left: str,
        front: str,
    ) -> None:
        self.leg, self.length, self.caption, self.lean = leg, length, caption, lean
        self.left, self.front = left, front


def draw_view(window: Window, picture: Picture, wording: Wording) -> str:
    """One view as a group whose attributes tell how metres became millimetres."""
    view = window.view
    keep = Clearances(frame=_inset(window.box, 1.0, 1.0, 1.0, 8.0))
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
        *_dimensions(window, picture, wording),
    ]
    _occupy(keep, window, picture)
    parts += _captions(window, picture, wording, keep)
    parts += _labels(view, picture, wording, keep)
    return element(
        "g",
        parts,
        _class="view",
        data_view=view.facing.name,
        data_mm_per_m=view.mm_per_m,
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


def _dimensions(window: Window, picture: Picture, wording: Wording) -> list[str]:
    view = window.view
    if view.facing is ABOVE:
        return []
    length, width, _ = picture.size_m
    if view.facing is FRONT:
        parts = [_hook_height(window, picture, wording)]
        chain = [0.0, *sorted({x for _, x in picture.stations}), length] if picture.stations else []
        parts += [_under(view, picture, 0, (a, b), _ROW_MM, wording) for a, b in pairwise(chain)]
        return [*parts, _under(view, picture, 0, (0.0, length), 2 * _ROW_MM if chain else _ROW_MM, wording)]
    return [_under(view, picture, 1, (0.0, width), _ROW_MM, wording), _height(view, picture, wording)]


def _under(
    view: View, picture: Picture, axis: int, span: tuple[float, float], row_mm: float, wording: Wording
) -> str:
    """A dimension along one of the load's axes, turned with it, clear under its lowest corner."""
    corner, way = picture.corner_m, picture.axes[axis]
    p, q = (
        view.to_sheet(tuple(c + w * s for c, w in zip(corner, way, strict=True)))  # type: ignore[arg-type]  # three in, three out
        for s in span
    )
    long = math.dist(p, q) or 1.0
    down = (p[1] - q[1]) / long, (q[0] - p[0]) / long
    below = max(
        (s[0] - p[0]) * down[0] + (s[1] - p[1]) * down[1] for s in view.all_to_sheet(picture.load.points_m)
    )
    return dimension(p, q, -(row_mm + max(0.0, below)), wording.length(span[1] - span[0]))


def _height(view: View, picture: Picture, wording: Wording) -> str:
    """The load's own height, along its tilted side that is farthest right in this view."""
    corner, up, across = picture.corner_m, picture.axes[2], picture.axes[1]
    width, height = picture.size_m[1], picture.size_m[2]
    foot = tuple(c + a * width for c, a in zip(corner, across, strict=True))
    head = tuple(f + u * height for f, u in zip(foot, up, strict=True))
    p, q = view.to_sheet(foot), view.to_sheet(head)  # type: ignore[arg-type]  # three in, three out
    clear = max(s[0] for s in view.all_to_sheet(picture.load.points_m)) - max(p[0], q[0])
    return dimension(p, q, -(_ROW_MM + max(0.0, clear)), wording.length(height))


def _hook_height(window: Window, picture: Picture, wording: Wording) -> str:
    """From the load's lowest point to the highest hook, plumb, at the left of everything."""
    view = window.view
    foot, head = _lowest_and_hook(view, picture)
    offset = foot[0] - window.box.x - _HOOK_HEIGHT_MM
    return dimension(foot, head, offset, wording.length((foot[1] - head[1]) / view.mm_per_m))


def _lowest_and_hook(view: View, picture: Picture) -> Segment:
    """The heights of the load's lowest point and of the highest hook, both at the left of everything."""
    low = max(p[1] for p in view.all_to_sheet(picture.load.points_m))
    top = min(view.to_sheet(h.at_m)[1] for h in picture.hooks)
    left = min(p[0] for p in view.all_to_sheet(picture.points_m))
    return (left, low), (left, top)


def _occupy(keep: Clearances, window: Window, picture: Picture) -> None:
    """Tell the label placer what is there already: slings and dimension first, outlines if it can."""
    view = window.view
    for solid in (picture.load, *([picture.beam] if picture.beam else [])):
        for slab in solid.slabs:
            ring = convex_outline(view.all_to_sheet(slab))
            keep.faint += zip(ring, ring[1:] + ring[:1], strict=True)
    if view.facing is FRONT:
        (_, low), (_, top) = _lowest_and_hook(view, picture)
        x = window.box.x + _HOOK_HEIGHT_MM
        keep.segments.append(((x, low), (x, top)))
        keep.boxes.append(Box(x - 4.0, (low + top) / 2 - 9.0, 4.5, 18.0))
    if len(picture.hooks) == 1 and view.facing is not ABOVE:
        keep.segments.append((view.to_sheet(picture.hooks[0].at_m), view.to_sheet(picture.centre_m)))
    for leg in picture.legs:
        keep.segments.append((view.to_sheet(leg.upper_m), view.to_sheet(leg.lower_m)))
    for mark in (*picture.picks, *picture.protected):
        keep.boxes.append(_about(view.to_sheet(mark.at_m), 1.4))
    keep.boxes.append(_about(view.to_sheet(picture.centre_m), 2.0))
    for hook in picture.hooks:
        x, y = view.to_sheet(hook.at_m)
        keep.boxes.append(Box(x - 2.6, y - 9.0, 5.2, 10.0))


def _labels(view: View, picture: Picture, wording: Wording, keep: Clearances) -> list[str]:
    parts = []
    full = 1 if view.facing is FRONT else 0
    for group in _together(view, picture.legs):
        lines = list(dict.fromkeys(wording.leg(leg, full) for leg in group))
        segment = view.to_sheet(group[0].upper_m), view.to_sheet(group[0].lower_m)
        parts += _placed(keep, segment, lines, LABEL_MM)
    if view.facing is ABOVE:
        for mark in picture.picks:
            if any(leg.path == mark.name for leg in picture.legs):
                continue  # the sling's own label says it
            at = view.to_sheet(mark.at_m)
            parts += _placed(keep, (at, at), [mark.name], SMALL_MM)
    return parts


def _placed(keep: Clearances, segment: Segment, lines: list[str], size: float) -> list[str]:
    spot = keep.place(segment, text_box(lines, size))
    box = spot.box
    parts = [line(*spot.leader, 0.13, ink=MUTED)] if spot.leader else []
    pitch = box.height / len(lines)
    middle = box.x + box.width / 2
    parts += [
        label(text, (middle, box.y + pitch * (i + 0.78)), size=size, anchor="middle", halo=True)
        for i, text in enumerate(lines)
    ]
    return parts


def _together(view: View, legs: Sequence[LegLine]) -> list[list[LegLine]]:
    """Legs that fall on each other in this view, grouped in order."""
    groups: list[list[LegLine]] = []
    for leg in legs:
        a, b = view.to_sheet(leg.upper_m), view.to_sheet(leg.lower_m)
        for group in groups:
            c, d = view.to_sheet(group[0].upper_m), view.to_sheet(group[0].lower_m)
            if math.dist(a, c) < _SAME_MM and math.dist(b, d) < _SAME_MM:
                group.append(leg)
                break
        else:
            groups.append([leg])
    return groups


def _captions(window: Window, picture: Picture, wording: Wording, keep: Clearances) -> list[str]:
    view, box = window.view, window.box
    middle, foot = box.x + box.width / 2, box.y + box.height
    name = wording.caption(view.facing.name)
    if view.facing is ABOVE:
        points = view.all_to_sheet(picture.load.points_m)
        left, right = min(p[0] for p in points), max(p[0] for p in points)
        top, low = min(p[1] for p in points), max(p[1] for p in points)
        sides = [
            _Text(wording.left, (left - 1.5, (top + low) / 2 + 0.8), "end"),
            _Text(wording.front, ((left + right) / 2, low + 3.0), "middle"),
        ]
        keep.boxes += [side.box for side in sides]
        parts = [label(t.text, t.at, size=SMALL_MM, anchor=t.anchor, ink=MUTED) for t in sides]
        return [*parts, label(name, (middle, foot - 4.4), anchor="middle", bold=True)]
    way = picture.axes[0] if view.facing is FRONT else picture.axes[1]
    right_m, up_m = view.facing.flat(way)
    lean = wording.lean(view.facing.name, math.degrees(math.atan2(-up_m, right_m)))
    return [
        label(name, (middle, foot - 4.4), anchor="middle", bold=True),
        label(lean, (middle, foot - 1.4), size=SMALL_MM, anchor="middle", ink=MUTED),
    ]


@dataclass(frozen=True, slots=True)
class _Text:
    """A small line of text at a fixed place."""

    text: str
    at: Point
    anchor: str

    @property
    def box(self) -> Box:
        wide, high = text_box([self.text], SMALL_MM)
        shift = wide if self.anchor == "end" else wide / 2
        return Box(self.at[0] - shift, self.at[1] - high * 0.8, wide, high)


def _inset(box: Box, left: float, top: float, right: float, bottom: float) -> Box:
    return Box(box.x + left, box.y + top, box.width - left - right, box.height - top - bottom)


def _about(at: Point, half: float) -> Box:
    return Box(at[0] - half, at[1] - half, 2 * half, 2 * half)


def _world(v: Vector) -> str:
    return " ".join(f"{c:.6f}" for c in v)
