"""What the explaining drawings are put together from: hooks, webbing, boxes in space, arcs."""

from __future__ import annotations

import math
from typing import Protocol

from slingwright.draw.ink import INK, LABEL_MM, PAPER, SLING, label, line, polygon
from slingwright.draw.marks import hook_mark
from slingwright.draw.svg import element, path_data, wrap_text

__all__ = [
    "Point", "Words",
    "arc", "arrow", "beside", "bold", "box_in_space", "hook", "lug", "ray", "rope", "webbing",
]  # fmt: skip

Point = tuple[float, float]
_WIDER = 1.3  # a picture in a page takes whatever face the viewer has


class Words(Protocol):
    """A word of the drawing by its key."""

    def __call__(self, key: str, /) -> str:
        """The word."""
        ...


def bold(text: str, at: Point, anchor: str) -> str:
    """The one word that the drawing is about."""
    return label(text, at, size=LABEL_MM, anchor=anchor, bold=True, halo=True)


def beside(text: str, at: Point, wide_mm: float) -> list[str]:
    """What the drawing is about, right of it, in up to three lines, with room for a wider face."""
    lines = wrap_text(text, LABEL_MM * _WIDER, wide_mm - at[0] - 1.0, at_most=3)
    return [bold(one, (at[0], at[1] + i * LABEL_MM * 1.25), "start") for i, one in enumerate(lines)]


def hook(at: Point) -> list[str]:
    """A hook whose seat is at the point."""
    return [hook_mark(at)]


def lug(at: Point) -> list[str]:
    """The plate under a pick point."""
    x, y = at
    plate = path_data("M", x - 1.6, y + 2.2, "V", y, "A", 1.6, 1.6, 0, 0, 1, x + 1.6, y, "V", y + 2.2)
    return [element("path", d=plate, fill="none", stroke=INK, stroke_width=0.3)]


def rope(a: Point, b: Point) -> str:
    """A sling from its edge."""
    return line(a, b, 1.2, ink=SLING, stroke_linecap="round")


def webbing(at: Point, long: float, plies: int) -> list[str]:
    """Layers of webbing seen from their edge, sewn through."""
    x, y = at
    thick = 2.2
    parts = [
        element(
            "rect",
            x=x,
            y=y + i * thick,
            width=long,
            height=thick,
            fill=SLING,
            stroke=PAPER,
            stroke_width=0.35,
        )
        for i in range(plies)
    ]
    if plies > 1:
        count = round(long / 3.0)
        stitches = [(x + (i + 0.5) * long / count, y) for i in range(count)]
        parts += [
            line((sx, sy + 0.5), (sx + 1.0, sy + plies * thick - 0.5), 0.3, ink=PAPER) for sx, sy in stitches
        ]
    return parts


def box_in_space(at: Point, long: float, high: float, deep: float, fill: str) -> list[str]:
    """A box with its front face flat and its depth aslant; `at` is its left front bottom corner."""
    x, y = at
    d = deep * 0.5
    front = [(x, y), (x + long, y), (x + long, y - high), (x, y - high)]
    top = [(x, y - high), (x + long, y - high), (x + long + d, y - high - d), (x + d, y - high - d)]
    side = [(x + long, y), (x + long + d, y - d), (x + long + d, y - high - d), (x + long, y - high)]
    return [polygon(face, fill=fill, ink=INK, width=0.35) for face in (front, top, side)]


def ray(at: Point, far: float, angle_deg: float) -> Point:
    """The point `far` from another, anticlockwise from the right."""
    a = math.radians(angle_deg)
    return at[0] + far * math.cos(a), at[1] - far * math.sin(a)


def arc(at: Point, radius: float, start_deg: float, end_deg: float) -> str:
    """The arc of an angle, anticlockwise from start to end (under half a turn)."""
    d = path_data("M", *ray(at, radius, start_deg), "A", radius, radius, 0, 0, 0, *ray(at, radius, end_deg))
    return element("path", d=d, fill="none", stroke=INK, stroke_width=0.35)


def arrow(a: Point, b: Point) -> list[str]:
    """A thin line with a head at `b`."""
    way = math.degrees(math.atan2(a[1] - b[1], b[0] - a[0]))
    head = [b, ray(b, 2.0, way + 160.0), ray(b, 2.0, way - 160.0)]
    return [line(a, b, 0.3), polygon(head, fill=INK)]
