"""The load as far as it is told, level, to scale: before there is an answer, so that points can be placed.

Nothing hangs here and nothing is assumed: what is not told is not drawn. Two views, one above the other and
narrow, so that the sketch can be read and taken hold of on a phone; between them they have all three
measures.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from slingwright.draw.grips import NEW_GRIP, Grip, grip_layer
from slingwright.draw.ink import FONT, INK, LABEL_MM, MUTED, SMALL_MM, label, line, polygon
from slingwright.draw.labels import Box, Clearances, text_box
from slingwright.draw.marks import centre_mark, dimension, pick_mark
from slingwright.draw.svg import element, number, wrap_text
from slingwright.draw.view import ABOVE, FRONT, View
from slingwright.units import Units
from slingwright.words import read_catalogue
from slingwright.words.figures import show_length

__all__ = ["Sketch", "draw_sketch"]

Vector = tuple[float, float, float]
# narrow, so that what is lettered on it can be read beside a form or on a phone
_WIDE_MM, _MOST_HIGH_MM = 68.0, 60.0  # of the sheet; of what is drawn in both views together
_SIDE_MM, _TOP_MM, _FOOT_MM = 13.5, 7.0, 12.0  # kept free round each view for names, dimension, caption
_ROW_MM, _CLEAR_MM = 4.2, 1.6  # of a dimension from the load; more where grips stand between them
_SAME_MM = 2.0  # points nearer than this in a view share one name
_GRIP_MM = 1.9  # half of what a grip takes
_APART_MM = 4.5  # a name farther off than this has a leader
_FILL = "#f0eeea"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sketch:
    """What is told of a load: its length, width and height [m], its points in load coordinates."""

    size_m: Vector
    picks: Sequence[Grip] = ()
    centre_m: Vector | None = None


def draw_sketch(sketch: Sketch, *, units: Units, language: str = "en") -> str:
    """Draw the load from the front and, below, from above, with grips for its pick points.

    Returns
    -------
    str
        An SVG document for a page; its grips are told in `docs/reference/drawing.md`.
    """
    words = read_catalogue(language)
    length, width, height = sketch.size_m
    corners: list[Vector] = [(x, y, z) for x, y, z in product((0.0, length), (0.0, width), (0.0, height))]
    centre = [sketch.centre_m] if sketch.centre_m else []
    views, high = _laid([*corners, *(grip.at_m for grip in sketch.picks), *centre])
    new = Grip(row=NEW_GRIP, name="", at_m=(length / 2, width / 2, height))
    shown = [element("g", _view(view, sketch, corners, units, language)) for view in views]
    return element(
        "svg",
        [
            element("g", shown, aria_hidden="true"),
            *(grip_layer(view, [*sketch.picks, new], lambda p: p) for view in views),
        ],
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(_WIDE_MM)} {number(high)}",
        role="group",
        aria_label=words.word("sketch", "alt"),
        font_family=FONT,
    )


def _laid(points_m: Sequence[Vector]) -> tuple[list[View], float]:
    """The view from the front over the one from above, point over point, to scale; the height used."""
    spans = []
    for facing in (FRONT, ABOVE):
        flat = [facing.flat(p) for p in points_m]
        ups = [up for _, up in flat]
        spans.append((facing, min(ups), max(ups)))
    rights = [p[0] for p in points_m]
    long, tall = max(rights) - min(rights), sum(high - low for _, low, high in spans)
    mm_per_m = min((_WIDE_MM - 2 * _SIDE_MM) / long, _MOST_HIGH_MM / tall)
    x = _WIDE_MM / 2 - (max(rights) + min(rights)) / 2 * mm_per_m
    views, y = [], 0.0
    for facing, low, high in spans:
        y += _TOP_MM + high * mm_per_m
        views.append(View(facing=facing, mm_per_m=mm_per_m, origin_mm=(x, y)))
        y += _FOOT_MM - low * mm_per_m
    return views, y


def _view(view: View, sketch: Sketch, corners: list[Vector], units: Units, language: str) -> list[str]:
    words = read_catalogue(language)
    length, width, height = sketch.size_m
    flat = view.all_to_sheet(corners)
    left, right = min(p[0] for p in flat), max(p[0] for p in flat)
    top, foot = min(p[1] for p in flat), max(p[1] for p in flat)
    up = height if view.facing is FRONT else width
    parts = [
        polygon([(left, foot), (right, foot), (right, top), (left, top)], fill=_FILL, ink=INK, width=0.55),
        dimension(
            (right, foot), (right, top), -_ROW_MM - _CLEAR_MM, show_length(up, units, language=language)
        ),
        label(
            words.word("drawing", view.facing.name),
            ((left + right) / 2, foot + 9.4),
            size=LABEL_MM,
            anchor="middle",
            bold=True,
        ),
    ]
    if view.facing is FRONT:
        parts.append(
            dimension((left, foot), (right, foot), -_ROW_MM, show_length(length, units, language=language))
        )
    else:
        below = ((left + right) / 2, foot + 3.4)
        parts.append(label(words.word("drawing", "front"), below, size=SMALL_MM, anchor="middle", ink=MUTED))
    if sketch.centre_m:
        parts.append(centre_mark(view.to_sheet(sketch.centre_m)))
    keep = _kept(left, right, top, foot)
    if view.facing is not FRONT:
        end = wrap_text(words.word("drawing", "left"), SMALL_MM, min(left, _SIDE_MM) - 3.0, at_most=2)
        y = (top + foot) / 2 + 0.8 - (len(end) - 1) * SMALL_MM * 0.6
        for at, text in enumerate(end):
            spot = (left - 2.5, y + at * SMALL_MM * 1.2)
            parts.append(label(text, spot, size=SMALL_MM, anchor="end", ink=MUTED, halo=True))
        keep.boxes.append(Box(left - _SIDE_MM, y - SMALL_MM, _SIDE_MM, len(end) * SMALL_MM * 1.2 + 1.0))
    if sketch.centre_m:
        at_x, at_y = view.to_sheet(sketch.centre_m)
        keep.boxes.append(Box(at_x - 1.8, at_y - 1.8, 3.6, 3.6))
    return [*parts, *_picks(view, sketch.picks, keep)]


def _picks(view: View, picks: Sequence[Grip], keep: Clearances) -> list[str]:
    """The pick points and their names; those that fall on each other are named together."""
    spots: list[tuple[tuple[float, float], list[str]]] = []
    for grip in picks:
        at = view.to_sheet(grip.at_m)
        for (x, y), names in spots:
            if abs(x - at[0]) + abs(y - at[1]) < _SAME_MM:
                names.append(grip.name)
                break
        else:
            spots.append((at, [grip.name]))
    keep.boxes += [Box(x - _GRIP_MM, y - _GRIP_MM, 2 * _GRIP_MM, 2 * _GRIP_MM) for (x, y), _ in spots]
    parts = [pick_mark(view.to_sheet(grip.at_m), None) for grip in picks]
    for at, names in spots:
        if text := ", ".join(name for name in names if name):
            spot = keep.place((at, at), text_box([text], LABEL_MM))
            if spot.leader and math.dist(*spot.leader) > _APART_MM:
                parts.append(line(*spot.leader, 0.13, ink=MUTED))
            below = spot.box.y + 0.78 * spot.box.height
            parts.append(label(text, (spot.box.x + spot.box.width / 2, below), anchor="middle", halo=True))
    return parts


def _kept(left: float, right: float, top: float, foot: float) -> Clearances:
    """What a view holds beside its points: the outline, and the words and dimensions round it."""
    corners = [(left, top), (right, top), (right, foot), (left, foot)]
    keep = Clearances(
        frame=Box(0.5, top - _TOP_MM + 0.5, _WIDE_MM - 1.0, foot - top + _TOP_MM + _FOOT_MM - 1.0)
    )
    keep.faint += zip(corners, corners[1:] + corners[:1], strict=True)
    keep.boxes += [
        Box(right + 0.5, top - 1.0, _ROW_MM + _CLEAR_MM + 1.5, foot - top + 2.0),
        Box((left + right) / 2 - 12.0, foot + 0.8, 24.0, _FOOT_MM),
    ]
    return keep
