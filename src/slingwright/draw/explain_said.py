"""Small drawings of what is said of a lift: its weight and how that is known, grip, a lug, the best."""

from __future__ import annotations

import math

from slingwright.draw.explain_parts import Words, arrow, beside, bold, hook, lug, ray, rope
from slingwright.draw.ink import INK, MUTED, PAPER, SLING, line, polygon
from slingwright.draw.marks import dimension, pick_mark
from slingwright.draw.svg import element
from slingwright.lift.assumptions import assumptions
from slingwright.lift.model import KnownBy

__all__ = ["draw_best", "draw_friction", "draw_known_by", "draw_lug", "draw_weight"]

_LOAD = "#f0eeea"
_WIDE_MM = 64.0
_GRIP = 0.45  # of the picture's slope alone: steep enough to be seen


def draw_weight(say: Words) -> list[str]:
    """A load under a scale, the figure of which is all that hangs."""
    at = (20.0, 20.0)
    return [
        *hook((20.0, 9.0)),
        line((20.0, 9.0), (20.0, 15.0), 0.6),
        element("circle", cx=at[0], cy=at[1], r=5.5, fill=PAPER, stroke=INK, stroke_width=0.5),
        *(line(ray(at, 4.3, deg), ray(at, 5.3, deg), 0.3) for deg in range(0, 181, 30)),
        *arrow(at, ray(at, 4.2, 60.0)),
        line((20.0, 25.5), (20.0, 28.0), 0.6),
        rope((20.0, 28.0), (9.0, 33.0)),
        rope((20.0, 28.0), (31.0, 33.0)),
        _block(6.0, 33.0, 28.0, 9.0),
        *beside(say("weight"), (38.0, 19.0), _WIDE_MM),
    ]


def draw_known_by(say: Words) -> list[str]:
    """How far off the weight may be, by how it is known: a bar for each, as long as its tolerance."""
    middle, longest = 46.0, 14.0
    widest = assumptions().tolerance[KnownBy.ESTIMATE].weight
    parts = [line((middle, 3.0), (middle, 41.0), 0.25, ink=MUTED, dash="1.2 0.8")]
    for i, known in enumerate((KnownBy.SCALE, KnownBy.PLATE, KnownBy.DRAWING, KnownBy.ESTIMATE)):
        y, half = 8.0 + 10.0 * i, longest * assumptions().tolerance[known].weight / widest
        parts += [
            bold(say(f"known-{known}"), (29.0, y + 1.0), "end"),
            line((middle - half, y), (middle + half, y), 1.2, ink=SLING),
            *(line((middle + s * half, y - 2.0), (middle + s * half, y + 2.0), 0.4) for s in (-1.0, 1.0)),
        ]
    return parts


def draw_friction(say: Words) -> list[str]:
    """A slope so steep that a strap with a weight on it begins to slide: its rise for a run of one."""
    foot, run = (4.0, 31.0), 32.0
    rise = run * _GRIP
    slope = math.degrees(math.atan(_GRIP))
    low, high = ray(foot, 12.0, slope), ray(foot, 26.0, slope)
    end, top, up = (foot[0] + run, foot[1]), (foot[0] + run, foot[1] - rise), 90.0 + slope
    return [
        polygon([foot, end, top], fill=_LOAD, ink=INK, width=0.4),
        polygon(
            [ray(low, 1.4, up), ray(high, 1.4, up), ray(high, 8.0, up), ray(low, 8.0, up)],
            fill=PAPER, ink=INK, width=0.4,
        ),
        line(ray(low, 0.7, up), ray(high, 0.7, up), 1.3, ink=SLING),
        *arrow(ray(low, 4.7, up), ray(ray(low, 4.7, up), 7.0, 180.0 + slope)),
        bold("1", (foot[0] + run / 2, foot[1] + 4.6), "middle"),
        dimension(end, top, -3.0, ""),
        *beside(say("grip"), (41.0, 24.5), _WIDE_MM),
    ]  # fmt: skip


def draw_lug(say: Words) -> list[str]:
    """Two lugs alike, one pulled straight up and one pulled aslant."""
    left, right = (15.0, 30.0), (44.0, 30.0)
    parts = [_block(5.0, 32.2, 54.0, 9.0)]
    for at, to, key in ((left, 90.0, "straight-up"), (right, 45.0, "aslant")):
        parts += [
            *lug(at),
            rope(at, ray(at, 17.0, to)),
            pick_mark(at, None),
            bold(say(key), (at[0], 6.0), "middle"),
        ]
    far = ray(right, 13.0, 90.0)
    return [*parts, line(right, far, 0.2, ink=MUTED, dash="1.2 0.8")]


def draw_best(say: Words) -> list[str]:
    """Three slings that do, as long as what counts; the shortest is the best; a fourth is struck out."""
    parts = [line((4.0, 4.0), (4.0, 41.0), 0.4)]
    for i, long in enumerate((14.0, 26.0, 33.0)):
        y = 8.0 + 9.0 * i
        parts.append(
            element(
                "rect", x=4.0, y=y - 2.2, width=long, height=4.4,
                fill=PAPER if i else SLING, stroke=SLING, stroke_width=0.5,
            )
        )  # fmt: skip
    parts.append(bold(say("best"), (20.5, 9.0), "start"))
    parts.append(line((4.0, 36.0), (13.0, 36.0), 0.6, ink=MUTED, dash="1.2 0.8"))
    parts += [line((5.0, 33.8 + d), (12.0, 38.2 - d), 0.6) for d in (0.0, 4.4)]
    return [*parts, bold(say("fails"), (16.0, 37.0), "start")]


def _block(x: float, y: float, wide: float, high: float) -> str:
    return element("rect", x=x, y=y, width=wide, height=high, fill=_LOAD, stroke=INK, stroke_width=0.4)
