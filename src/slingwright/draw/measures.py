"""Dimensions of a view: the hook's height, the load's sizes, the places of slings that go round it."""

from __future__ import annotations

import math
from itertools import pairwise

from slingwright.draw.labels import Segment
from slingwright.draw.layout import Window
from slingwright.draw.marks import dimension
from slingwright.draw.picture import Picture
from slingwright.draw.view import ABOVE, FRONT, View
from slingwright.draw.wording import Wording

__all__ = ["HOOK_HEIGHT_MM", "dimensions", "lowest_and_hook"]

HOOK_HEIGHT_MM = 9.0  # how far inside the view's paper the hook's height stands
_ROW_MM = 4.2  # from one row of dimensions to the next


def dimensions(window: Window, picture: Picture, wording: Wording) -> list[str]:
    """The dimensions of one view; the plan has none."""
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
    foot, head = lowest_and_hook(view, picture)
    offset = foot[0] - window.box.x - HOOK_HEIGHT_MM
    return dimension(foot, head, offset, wording.length((foot[1] - head[1]) / view.mm_per_m))


def lowest_and_hook(view: View, picture: Picture) -> Segment:
    """The heights of the load's lowest point and of the highest hook, both at the left of everything."""
    low = max(p[1] for p in view.all_to_sheet(picture.load.points_m))
    top = min(view.to_sheet(h.at_m)[1] for h in picture.hooks)
    left = min(p[0] for p in view.all_to_sheet(picture.points_m))
    return (left, low), (left, top)
