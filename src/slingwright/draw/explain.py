"""Small drawings that explain a word: what a ply is, how a width is measured, where an angle is taken from.

Not to scale and of no lift: nothing in them is a figure. Each is one picture with a word or two in it, in the
sheet's own ink, so that it reads in black and white; `explain_text` is the sentence that stands beside it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from slingwright.draw.explain_parts import (
    Point,
    Words,
    arc,
    arrow,
    beside,
    bold,
    box_in_space,
    hook,
    lug,
    ray,
    rope,
    webbing,
)
from slingwright.draw.explain_said import draw_best, draw_friction, draw_known_by, draw_lug, draw_weight
from slingwright.draw.explain_shapes import draw_shapes, draw_sling_length
from slingwright.draw.ink import FONT, INK, LABEL_MM, MUTED, PAPER, SLING, label, line, polygon
from slingwright.draw.marks import centre_mark, dimension, pick_mark
from slingwright.draw.svg import element, number, path_data, text_of
from slingwright.words import read_catalogue

__all__ = [
    "EXPLAINED",
    "HIGH_MM",
    "WIDE_MM",
    "explain_alt",
    "explain_drawing",
    "explain_parts",
    "explain_text",
]

WIDE_MM, HIGH_MM = 64.0, 44.0
_LOAD = "#f0eeea"


def explain_drawing(name: str, language: str = "en") -> str:
    """The small drawing (SVG) that explains `name`, one of `EXPLAINED`.

    Raises
    ------
    LookupError
        There is no drawing of this name.
    """
    if name not in _DRAWINGS:
        msg = f"no drawing explains {name!r}; there are {', '.join(EXPLAINED)}"
        raise LookupError(msg)
    return element(
        "svg",
        [element("title", text_of(explain_alt(name, language))), *explain_parts(name, language)],
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(WIDE_MM)} {number(HIGH_MM)}",
        width=f"{number(WIDE_MM)}mm",
        height=f"{number(HIGH_MM)}mm",
        role="img",
        font_family=FONT,
        data_explains=name,
    )


def explain_parts(name: str, language: str = "en") -> list[str]:
    """What the drawing is put together from, within `WIDE_MM` by `HIGH_MM`."""
    words = read_catalogue(language)
    return _DRAWINGS[name](lambda key: words.fill("explain", key))


def explain_alt(name: str, language: str = "en") -> str:
    """What the drawing shows, for those who cannot see it."""
    return read_catalogue(language).word("explain-alts", name)


def explain_text(name: str, language: str = "en") -> str:
    """The sentence that stands beside the drawing."""
    return read_catalogue(language).word("explain-texts", name)


def _ply(say: Words) -> list[str]:
    parts = []
    for top, plies, key in ((5.0, 1, "one-ply"), (17.0, 2, "two-plies"), (31.0, 4, "four-plies")):
        parts += webbing((4.0, top), 40.0, plies)
        parts.append(label(say(key), (48.0, top + plies * 1.1 + 1.0)))
    return parts


def _width(say: Words) -> list[str]:
    band = [(6.0, 12.0), (52.0, 12.0), (52.0, 24.0), (6.0, 24.0)]
    threads = [line((6.0, y), (52.0, y), 0.13, ink=PAPER) for y in (14.0, 16.0, 18.0, 20.0, 22.0)]
    return [
        polygon(band, fill=SLING, ink=SLING, width=0.3),
        *threads,
        dimension((52.0, 24.0), (52.0, 12.0), -5.0, ""),
        bold(say("width"), (29.0, 8.5), "middle"),
    ]


def _bridle(top: Point, left: Point, right: Point) -> list[str]:
    return [rope(top, left), rope(top, right), *hook(top)]


def _angle(say: Words) -> list[str]:
    top, left, right = (24.0, 11.0), (9.0, 31.0), (39.0, 31.0)
    rise = math.degrees(math.atan2(left[1] - top[1], top[0] - left[0]))
    load = [(6.0, 31.0), (42.0, 31.0), (42.0, 41.0), (6.0, 41.0)]
    return [
        polygon(load, fill=_LOAD, ink=INK, width=0.4),
        *_bridle(top, left, right),
        pick_mark(left, None),
        pick_mark(right, None),
        line((9.0, 31.0), (23.0, 31.0), 0.3, dash="1.2 0.8"),
        arc(left, 8.0, 0.0, rise),
        bold("α", ray(left, 11.0, rise / 2), "middle"),
        line(right, (right[0], 13.0), 0.2, ink=MUTED, dash="1.2 0.8"),
    ]


def _headroom(say: Words) -> list[str]:
    top = (24.0, 12.0)
    load = [(9.0, 27.0), (39.0, 27.0), (39.0, 40.0), (9.0, 40.0)]
    return [
        polygon(load, fill=_LOAD, ink=INK, width=0.4),
        *_bridle(top, (11.0, 27.0), (37.0, 27.0)),
        dimension((39.0, 40.0), (39.0, 12.0), -5.0, ""),
        line((24.8, 12.0), (44.0, 12.0), 0.16, ink=MUTED, dash="1.2 0.8"),
        *beside(say("headroom"), (47.0, 20.0), WIDE_MM),
    ]


def _three(say: Words, mark: str, at: Point, inside: Point) -> list[str]:
    """A box in space with a point measured from its left front bottom corner: along, across, up."""
    x, y = 10.0, 36.0
    over = (inside[0] + x, y)  # under the point on the front face's foot
    back = (over[0] + inside[1] * 0.5, y - inside[1] * 0.5)
    way = [
        line((x, y), over, 0.55),
        line(over, back, 0.55),
        line(back, at, 0.55),
        bold(say("along"), ((x + over[0]) / 2, y + 3.4), "middle"),
        bold(say("across"), (over[0] + 1.0, y + 3.4), "start"),
        bold(say("up"), (at[0] + 1.4, (back[1] + at[1]) / 2 + 1.0), "start"),
        element("circle", cx=x, cy=y, r=0.9, fill=INK),
    ]
    return [*box_in_space((x, y), 34.0, 22.0, 12.0, _LOAD), *way, mark]


def _pick_point(say: Words) -> list[str]:
    at = (10.0 + 24.0 + 3.0, 36.0 - 3.0 - 22.0)
    return [
        *_three(say, pick_mark(at, None), at, (24.0, 6.0)),
        *lug(at),
    ]


def _centre(say: Words) -> list[str]:
    at = (10.0 + 15.0 + 3.0, 36.0 - 3.0 - 10.0)
    return [*_three(say, centre_mark(at), at, (15.0, 6.0))]


def _load_size(say: Words) -> list[str]:
    x, y = 12.0, 34.0
    return [
        *box_in_space((x, y), 34.0, 20.0, 14.0, _LOAD),
        dimension((x, y), (x + 34.0, y), -3.5, ""),
        bold(say("length"), (x + 17.0, y + 7.4), "middle"),
        dimension((x, y - 20.0), (x, y), -3.5, ""),
        label(
            say("height"), (x - 5.0, y - 10.0), size=LABEL_MM, anchor="middle", bold=True, turned_deg=-90.0
        ),
        dimension((x + 34.0, y), (x + 41.0, y - 7.0), -3.5, ""),
        bold(say("across-size"), (x + 42.0, y - 0.6), "start"),
    ]


def _diameter(say: Words) -> list[str]:
    x, y, r, long = 10.0, 22.0, 11.0, 38.0
    near = element("ellipse", cx=x + 3, cy=y, rx=4.0, ry=r, fill=_LOAD, stroke=INK, stroke_width=0.4)
    body = path_data(
        "M", x + 3, y - r, "H", x + 3 + long, "A", 4.0, r, 0, 0, 1, x + 3 + long, y + r, "H", x + 3, "Z"
    )
    return [
        element("path", d=body, fill=_LOAD, stroke=INK, stroke_width=0.4),
        near,
        dimension((x + 3, y - r), (x + 3, y + r), -7.0, ""),
        label(say("diameter"), (x - 5.6, y), anchor="middle", bold=True, turned_deg=-90.0),
        dimension((x + 3, y + r), (x + 3 + long, y + r), -3.5, ""),
        bold(say("length"), (x + 3 + long / 2, y + r + 7.4), "middle"),
    ]


def _edge_radius(say: Words) -> list[str]:
    """A corner of the load, far enlarged, with a sling lying over it."""
    r, cx, cy = 9.0, 24.0, 22.0
    load = path_data("M", 4, 42, "V", 13, "H", cx, "A", r, r, 0, 0, 1, cx + r, cy, "V", 42, "Z")
    sling = path_data("M", 2, 11.6, "H", cx, "A", r + 1.4, r + 1.4, 0, 0, 1, cx + r + 1.4, cy, "V", 43)
    end = ray((cx, cy), r, 45.0)
    return [
        element("path", d=load, fill=_LOAD, stroke=INK, stroke_width=0.4),
        element("path", d=sling, fill="none", stroke=SLING, stroke_width=2.0),
        element("circle", cx=cx, cy=cy, r=0.5, fill=INK),
        *arrow((cx, cy), end),
        bold("R", (cx + 1.0, cy - 4.6), "middle"),
        *beside(say("radius"), (40.0, 12.0), WIDE_MM),
    ]


def _hook_thickness(say: Words) -> list[str]:
    """A hook from the side of its bowl, cut: the eye of a sling goes over it."""
    cut = element("ellipse", cx=24, cy=16, rx=6.0, ry=8.0, fill=INK)
    eye = path_data("M", 14, 42, "L", 16.6, 14, "A", 7.6, 9.6, 0, 0, 1, 31.4, 14, "L", 34, 42)
    return [
        cut,
        element("path", d=eye, fill="none", stroke=SLING, stroke_width=1.6),
        dimension((30.0, 24.0), (30.0, 8.0), -9.0, ""),
        *beside(say("thickness"), (42.0, 12.0), WIDE_MM),
    ]


def _hook_width(say: Words) -> list[str]:
    seat = [(8.0, 10.0), (40.0, 10.0), (40.0, 18.0), (8.0, 18.0)]
    eyes = [
        polygon([(x, 8.6), (x + 8.5, 8.6), (x + 8.5, 42.0), (x, 42.0)], fill=SLING, ink=PAPER, width=0.5)
        for x in (9.5, 19.75, 30.0)
    ]
    return [
        polygon(seat, fill=INK, ink=INK, width=0.3),
        *eyes,
        dimension((8.0, 8.6), (40.0, 8.6), 3.0, ""),
        *beside(say("seat"), (44.0, 12.0), WIDE_MM),
    ]


def _choke_angle(say: Words) -> list[str]:
    """A choker from the end of a round load: the body pulls up and turns at the eye into the loop."""
    at, centre, r = (20.0, 14.0), (26.0, 28.0), 9.7
    far = math.dist(at, centre)
    to = math.degrees(math.atan2(at[1] - centre[1], centre[0] - at[0]))
    half, long = math.degrees(math.asin(r / far)), math.sqrt(far**2 - r**2)
    body, eye = ray(at, long, to + half), ray(at, long, to - half)
    loop = path_data("M", *body, "A", r, r, 0, 1, 1, *eye)
    return [
        element("circle", cx=centre[0], cy=centre[1], r=r - 0.7, fill=_LOAD, stroke=INK, stroke_width=0.4),
        element("path", d=loop, fill="none", stroke=SLING, stroke_width=1.2),
        rope(at, body),
        rope(at, eye),
        rope(at, (20.0, 2.0)),
        arc(at, 6.5, to + half, 90.0),
        bold("α", ray(at, 9.2, (to + half + 90.0) / 2), "middle"),
        *beside(say("choke"), (38.0, 14.0), WIDE_MM),
    ]


def _level(say: Words) -> list[str]:
    top, tilt = (26.0, 9.0), 7.0
    corner = (8.0, 37.0)
    along = (math.cos(math.radians(tilt)), -math.sin(math.radians(tilt)))
    up = (along[1], -along[0])
    span, high = 36.0, 12.0

    def at(s: float, t: float) -> Point:
        return corner[0] + along[0] * s + up[0] * t, corner[1] + along[1] * s + up[1] * t

    return [
        polygon([at(0, 0), at(span, 0), at(span, high), at(0, high)], fill=_LOAD, ink=INK, width=0.4),
        *_bridle(top, at(2, high), at(span - 2, high)),
        line(corner, (corner[0] + 38.0, corner[1]), 0.3, dash="1.2 0.8"),
        arc(corner, 30.0, 0.0, tilt),
        bold("α", (40.5, 36.0), "start"),
        *beside(say("level"), (48.0, 20.0), WIDE_MM),
    ]


def _hitches(say: Words) -> list[str]:
    parts = []
    for x, key in ((11.0, "straight"), (32.0, "choker"), (53.0, "basket")):
        top = (x, 11.0)
        parts += [
            element("circle", cx=x, cy=30.0, r=6.0, fill=_LOAD, stroke=INK, stroke_width=0.4),
            bold(say(key), (x, 42.0), "middle"),
        ]
        if key == "straight":
            parts += [*lug((x, 22.6)), rope(top, (x, 22.6)), pick_mark((x, 22.6), None)]
        elif key == "choker":
            loop = element("circle", cx=x, cy=30.0, r=6.7, fill="none", stroke=SLING, stroke_width=1.4)
            parts += [loop, rope(top, ray((x, 30.0), 6.7, 100.0))]
        else:
            way = path_data("M", *top, "L", x - 6.7, 29.0, "A", 6.7, 6.7, 0, 0, 0, x + 6.7, 29.0, "L", *top)
            parts.append(element("path", d=way, fill="none", stroke=SLING, stroke_width=1.2))
        parts += hook(top)
    return parts


_DRAWINGS: Mapping[str, Callable[[Words], list[str]]] = {
    "ply": _ply,
    "width": _width,
    "angle": _angle,
    "headroom": _headroom,
    "centre-of-gravity": _centre,
    "edge-radius": _edge_radius,
    "pick-point": _pick_point,
    "hook-thickness": _hook_thickness,
    "hook-width": _hook_width,
    "load-size": _load_size,
    "diameter": _diameter,
    "choke-angle": _choke_angle,
    "level": _level,
    "hitches": _hitches,
    "shape": draw_shapes,
    "sling-length": draw_sling_length,
    "weight": draw_weight,
    "known-by": draw_known_by,
    "friction": draw_friction,
    "lug": draw_lug,
    "best": draw_best,
}
EXPLAINED = tuple(_DRAWINGS)
