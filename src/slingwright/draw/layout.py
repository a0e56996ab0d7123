"""Where the three views stand on the sheet, and the one scale they share."""

from __future__ import annotations

from dataclasses import dataclass, replace

from slingwright.draw.labels import Box
from slingwright.draw.view import ABOVE, FRONT, RIGHT, Facing, View

__all__ = ["Layout", "Window", "lay_out"]

Vector = tuple[float, float, float]
Extent = tuple[float, float, float, float]  # least right, least up, most right, most up [m]

# paper kept free round each view for dimensions, labels and the hook: left, top, right, bottom [mm]
_MARGINS = {
    FRONT.name: (18.0, 12.0, 16.0, 19.0),
    RIGHT.name: (12.0, 12.0, 16.0, 19.0),
    ABOVE.name: (18.0, 6.0, 16.0, 12.0),
}
# a view is never squeezed narrower than its labels and caption need
_LEAST_MM = {FRONT.name: 44.0, RIGHT.name: 14.0, ABOVE.name: 18.0}
_STEPS = (1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 7.5)  # scales an engineer's ruler has, times a power of ten


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """A view with the rectangle of paper that is its own, margins included."""

    view: View
    box: Box


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """The windows by facing, the scale as 1 to `one_to`, and the height used."""

    windows: tuple[Window, ...]
    one_to: float
    height_mm: float


def lay_out(points_m: tuple[Vector, ...], *, width_mm: float, height_mm: float, top_mm: float) -> Layout:
    """Find the largest usual scale at which the views fit side by side, and place them.

    Two layouts are tried: plan under elevation, or all three in a row (for what is tall and narrow).
    """
    extents = {f.name: _extent(f, points_m) for f in (FRONT, RIGHT, ABOVE)}
    for one_to in _scales():
        for arrange in (_plan_below, _in_a_row):
            sizes = {name: _size(name, extent, 1000 / one_to) for name, extent in extents.items()}
            boxes, wide, high = arrange(sizes)
            if wide <= width_mm and high <= height_mm:
                shift = (width_mm - wide) / 2
                windows = tuple(
                    _window(facing, extents[facing.name], boxes[facing.name], 1000 / one_to, (shift, top_mm))
                    for facing in (FRONT, RIGHT, ABOVE)
                )
                if arrange is _plan_below:
                    windows = _in_line(windows)
                return Layout(windows=windows, one_to=one_to, height_mm=high)
    msg = "the views do not fit on the sheet at any scale"
    raise ValueError(msg)


def _in_line(windows: tuple[Window, ...]) -> tuple[Window, ...]:
    """Under the elevation the plan stands point under point with it."""
    front, right, above = windows
    view = replace(above.view, origin_mm=(front.view.origin_mm[0], above.view.origin_mm[1]))
    box = Box(front.box.x, above.box.y, front.box.width, above.box.height)
    return front, right, Window(view=view, box=box)


def _scales() -> list[float]:
    """Usual scales from 1:5 up, largest drawing first."""
    return [step * 10**power for power in range(7) for step in _STEPS if step * 10**power >= 5]


def _extent(facing: Facing, points_m: tuple[Vector, ...]) -> Extent:
    flat = [facing.flat(p) for p in points_m]
    rights, ups = [f[0] for f in flat], [f[1] for f in flat]
    return min(rights), min(ups), max(rights), max(ups)


def _size(name: str, extent: Extent, mm_per_m: float) -> tuple[float, float]:
    left, top, right, bottom = _MARGINS[name]
    wide = max((extent[2] - extent[0]) * mm_per_m, _LEAST_MM[name])
    return wide + left + right, (extent[3] - extent[1]) * mm_per_m + top + bottom


def _plan_below(sizes: dict[str, tuple[float, float]]) -> tuple[dict[str, Box], float, float]:
    front, right, above = sizes[FRONT.name], sizes[RIGHT.name], sizes[ABOVE.name]
    upper = max(front[1], right[1])
    boxes = {
        FRONT.name: Box(0, 0, front[0], upper),
        RIGHT.name: Box(front[0], 0, right[0], upper),
        ABOVE.name: Box(0, upper, above[0], above[1]),
    }
    return boxes, front[0] + right[0], upper + above[1]


def _in_a_row(sizes: dict[str, tuple[float, float]]) -> tuple[dict[str, Box], float, float]:
    front, right, above = sizes[FRONT.name], sizes[RIGHT.name], sizes[ABOVE.name]
    high = max(front[1], right[1], above[1])
    boxes = {
        FRONT.name: Box(0, 0, front[0], high),
        RIGHT.name: Box(front[0], 0, right[0], high),
        ABOVE.name: Box(front[0] + right[0], 0, above[0], high),
    }
    return boxes, front[0] + right[0] + above[0], high


def _window(facing: Facing, extent: Extent, box: Box, mm_per_m: float, shift: tuple[float, float]) -> Window:
    """Elevation and end view stand on one ground line; all are centred in what they were given."""
    left, top, right, bottom = _MARGINS[facing.name]
    moved = Box(box.x + shift[0], box.y + shift[1], box.width, box.height)
    room_x = box.width - left - right - (extent[2] - extent[0]) * mm_per_m
    room_y = box.height - top - bottom - (extent[3] - extent[1]) * mm_per_m
    at_x = moved.x + left + room_x / 2 - extent[0] * mm_per_m
    at_y = moved.y + moved.height - bottom - (room_y / 2 if facing is ABOVE else 0) + extent[1] * mm_per_m
    return Window(view=View(facing=facing, mm_per_m=mm_per_m, origin_mm=(at_x, at_y)), box=moved)
