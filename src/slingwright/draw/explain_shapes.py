"""Two more small drawings that explain a word: the shapes of a load, and how a sling's length is measured."""

from __future__ import annotations

import math

from slingwright.draw.explain_parts import Words, bold, box_in_space, lug
from slingwright.draw.ink import INK, SLING, line
from slingwright.draw.marks import dimension
from slingwright.draw.svg import element, path_data

__all__ = ["draw_shapes", "draw_sling_length"]

_LOAD = "#f0eeea"


def draw_shapes(say: Words) -> list[str]:
    """What a load may be like, each with its name."""
    return [
        *box_in_space((4.0, 15.0), 11.0, 7.0, 6.0, _LOAD),
        bold(say("box"), (10.0, 20.5), "middle"),
        *_cylinder(25.0, 10.5),
        bold(say("cylinder"), (32.0, 20.5), "middle"),
        *_bundle(53.0, 10.5),
        bold(say("bundle"), (53.0, 20.5), "middle"),
        *_hull(6.0, 28.0),
        bold(say("hull"), (17.0, 42.0), "middle"),
        *_frame(38.0, 36.0),
        bold(say("frame"), (47.0, 42.0), "middle"),
    ]


def _cylinder(x: float, y: float) -> list[str]:
    r, long = 4.5, 12.0
    body = path_data("M", x, y - r, "H", x + long, "A", 1.8, r, 0, 0, 1, x + long, y + r, "H", x, "Z")
    near = element("ellipse", cx=x, cy=y, rx=1.8, ry=r, fill=_LOAD, stroke=INK, stroke_width=0.4)
    return [element("path", d=body, fill=_LOAD, stroke=INK, stroke_width=0.4), near]


def _bundle(x: float, y: float) -> list[str]:
    r = 1.9
    ring = [
        (x + 2 * r * math.cos(math.radians(60 * i)), y + 2 * r * math.sin(math.radians(60 * i)))
        for i in range(6)
    ]
    return [
        element("circle", cx=cx, cy=cy, r=r, fill=_LOAD, stroke=INK, stroke_width=0.4)
        for cx, cy in (*ring, (x, y))
    ]


def _hull(x: float, y: float) -> list[str]:
    body = path_data("M", x, y, "H", x + 22, "C", x + 20, y + 7, x + 15, y + 9, x + 9, y + 9, "H", x + 3, "Z")
    return [element("path", d=body, fill=_LOAD, stroke=INK, stroke_width=0.4)]


def _frame(x: float, y: float) -> list[str]:
    """Bars with nothing between them: held at its lugs alone."""
    bars = [
        element(
            "rect", x=x + i, y=y - 8 + i, width=18 - 2 * i, height=8 - 2 * i, fill="none", stroke=INK,
            stroke_width=0.4,
        )
        for i in (0.0, 1.5)
    ]  # fmt: skip
    return [*bars, *lug((x + 3, y - 8.0)), *lug((x + 15, y - 8.0))]


def draw_sling_length(say: Words) -> list[str]:
    """A sling laid flat: its length from bearing point to bearing point, and the inside of an eye."""
    left, right, y = 8.0, 56.0, 18.0
    eyes = [
        element("ellipse", cx=cx, cy=y, rx=6.0, ry=3.6, fill="none", stroke=SLING, stroke_width=1.2)
        for cx in (left + 6.0, right - 6.0)
    ]
    return [
        *eyes,
        line((left + 12.0, y), (right - 12.0, y), 2.0, ink=SLING),
        dimension((left + 0.6, y), (right - 0.6, y), 11.0, ""),
        bold(say("sling-length"), ((left + right) / 2, 5.2), "middle"),
        dimension((left + 0.6, y + 3.0), (left + 11.4, y + 3.0), -7.0, ""),
        bold(say("eye"), (left, 35.5), "start"),
    ]
