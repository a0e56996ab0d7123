"""Symbols and dimensions of the sheet, each about a point in millimetres."""

from __future__ import annotations

import math

from slingwright.draw.ink import INK, MUTED, PAPER, SMALL_MM, label, line
from slingwright.draw.svg import element, path_data, text_width_mm

__all__ = ["centre_mark", "dimension", "hook_mark", "pick_mark", "protection_mark"]

Point = tuple[float, float]


def hook_mark(at: Point, *, from_above: bool = False, **data: str) -> str:
    """A hook with its bearing point exactly at `at`; seen from above a ring with a cross."""
    x, y = at
    if from_above:
        arms = path_data("M", x - 2.4, y, "H", x + 2.4, "M", x, y - 2.4, "V", y + 2.4)
        return element(
            "g",
            [
                element("circle", cx=x, cy=y, r=1.6, fill=PAPER, stroke=INK, stroke_width=0.35),
                element("path", d=arms, stroke=INK, stroke_width=0.18),
            ],
            _class="hook",
            data_x_mm=x,
            data_y_mm=y,
            **data,
        )
    # bowl of inner radius 1.5 whose lowest inside point is the bearing point
    start, end = (x + 1.879, y - 2.184), (x - 1.0, y - 3.232)
    bowl = path_data("M", *start, "A", 2.0, 2.0, 0, 1, 1, *end, "Q", x, y - 3.9, x, y - 5)
    return element(
        "g",
        [
            element("path", d=bowl, fill="none", stroke=INK, stroke_width=1.0, stroke_linecap="round"),
            element("rect", x=x - 1.3, y=y - 8.6, width=2.6, height=3.6, rx=0.5, fill=INK),
            element("circle", cx=x, cy=y, r=0.45, fill=PAPER, stroke=INK, stroke_width=0.2),
        ],
        _class="hook",
        data_x_mm=x,
        data_y_mm=y,
        **data,
    )


def centre_mark(at: Point, **data: str) -> str:
    """The centre of gravity: a ring quartered black and white."""
    x, y, r = at[0], at[1], 1.6
    quarters = path_data(
        "M", x, y, "V", y - r, "A", r, r, 0, 0, 1, x + r, y, "Z",
        "M", x, y, "V", y + r, "A", r, r, 0, 0, 1, x - r, y, "Z",
    )  # fmt: skip
    return element(
        "g",
        [
            element("circle", cx=x, cy=y, r=r, fill=PAPER, stroke=INK, stroke_width=0.3),
            element("path", d=quarters, fill=INK),
        ],
        _class="centre",
        data_x_mm=x,
        data_y_mm=y,
        **data,
    )


def pick_mark(at: Point, name: str | None) -> str:
    """A pick point: a ring with a dot."""
    ring = element("circle", cx=at[0], cy=at[1], r=0.95, fill=PAPER, stroke=INK, stroke_width=0.35)
    dot = element("circle", cx=at[0], cy=at[1], r=0.25, fill=INK)
    if name is None:
        return ring + dot
    return element("g", [ring, dot], _class="pick", data_pick=name, data_x_mm=at[0], data_y_mm=at[1])


def protection_mark(at: Point, sling: str | None) -> str:
    """Something lies between sling and edge here: a solid square on its corner."""
    x, y, r = at[0], at[1], 1.15
    d = path_data("M", x, y - r, "L", x + r, y, "L", x, y + r, "L", x - r, y, "Z")
    return element(
        "path", d=d, fill=INK, stroke=PAPER, stroke_width=0.25, _class="protected", data_sling=sling
    )


def dimension(a: Point, b: Point, offset: float, text: str) -> str:
    """A dimension between two points, its line `offset` to the left of a → b (right if negative)."""
    long = math.hypot(b[0] - a[0], b[1] - a[1])
    if long < 1e-6:
        return ""
    ux, uy = (b[0] - a[0]) / long, (b[1] - a[1]) / long
    nx, ny = uy, -ux
    p, q = ((e[0] + nx * offset, e[1] + ny * offset) for e in (a, b))
    side = math.copysign(1.0, offset)
    parts = [_witness(e, (nx * side, ny * side), abs(offset)) for e in (a, b)]
    parts.append(line(p, q, 0.18, ink=MUTED))
    parts += [_tick(e, (ux, uy), (nx, ny)) for e in (p, q)]
    return element("g", [*parts, _dimension_text(p, q, text)], _class="dimension")


def _witness(at: Point, away: Point, far: float) -> str:
    """The thin line from the measured point out past the dimension line."""
    near, end = 0.8, far + 1.0
    return line(
        (at[0] + away[0] * near, at[1] + away[1] * near),
        (at[0] + away[0] * end, at[1] + away[1] * end),
        0.13,
        ink=MUTED,
    )


def _tick(at: Point, along: Point, across: Point) -> str:
    """The drawing office's oblique stroke."""
    dx, dy = (along[0] + across[0]) * 0.75, (along[1] + across[1]) * 0.75
    return line((at[0] - dx, at[1] - dy), (at[0] + dx, at[1] + dy), 0.35)


def _dimension_text(p: Point, q: Point, text: str) -> str:
    """Above the line, readable from below or from the right; under it where it is too long to fit."""
    angle = math.degrees(math.atan2(q[1] - p[1], q[0] - p[0]))
    if angle > 90 or angle <= -90 + 1e-6:
        angle += 180 if angle <= -90 + 1e-6 else -180
    if abs(abs(angle) - 90) < 1e-6:
        angle = -90.0
    fits = text_width_mm(text, SMALL_MM) <= math.dist(p, q)
    up = math.radians(angle - 90 if fits else angle + 90)
    off = 0.8 if fits else 3.3  # under the line the text hangs from its own height, clear of strokes and ends
    x, y = (p[0] + q[0]) / 2 + off * math.cos(up), (p[1] + q[1]) / 2 + off * math.sin(up)
    return label(text, (x, y), size=SMALL_MM, anchor="middle", turned_deg=angle, halo=True)
