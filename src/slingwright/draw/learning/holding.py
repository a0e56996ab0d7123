"""How a sling holds its load: hitches, angles, what a flat leg costs, the angle of choke."""

from __future__ import annotations

import math

from slingwright.draw.ink import INK, MUTED, PAPER, SLING, label, line
from slingwright.draw.learning.ends import TEXT_MM
from slingwright.draw.marks import hook_mark, pick_mark
from slingwright.draw.svg import element, path_data
from slingwright.rulebook import Rulebook
from slingwright.sling import Hitch
from slingwright.words.figures import show_angle, show_number

__all__ = ["angle_picture", "choke_picture", "fan_picture", "hitch_picture"]

_WEB = 1.5
_FANNED_DEG = (60.0, 45.0, 30.0)  # from the horizontal


def hitch_picture(hitch: Hitch) -> tuple[float, list[str]]:
    """One sling from the hook: to an eye on the load, choked round it, or under it with both ends up."""
    if hitch is Hitch.VERTICAL:
        parts = [_box(30, 38, 30, 16), line((45, 12), (45, 36.6), _WEB, ink=SLING), pick_mark((45, 37), None)]
    elif hitch is Hitch.CHOKER:
        # in a choke the noose leaves the standing part at its bight, and lies round three quarters
        round_load = element("circle", cx=45, cy=43, r=11, fill=PAPER, stroke=INK, stroke_width=0.5)
        noose = path_data("M", 45, 27.5, "L", 36.2, 36.4, "A", 11, 11, 0, 1, 0, 53.8, 36.4, "Z")
        parts = [round_load, element("path", d=noose, fill="none", stroke=SLING, stroke_width=_WEB)]
        parts += [line((45, 12), (45, 27.5), _WEB, ink=SLING)]
        parts.append(element("circle", cx=45, cy=27.5, r=1.5, fill=PAPER, stroke=SLING, stroke_width=0.9))
    else:
        round_load = element("circle", cx=45, cy=43, r=11, fill=PAPER, stroke=INK, stroke_width=0.5)
        under = path_data("M", 45, 12, "L", 34.1, 41, "A", 11, 11, 0, 1, 0, 55.9, 41, "L", 45, 12)
        parts = [round_load, element("path", d=under, fill="none", stroke=SLING, stroke_width=_WEB,
                                     stroke_linejoin="round")]  # fmt: skip
    return 57.0, [*parts, hook_mark((45, 12))]


def angle_picture(from_horizontal: str, from_vertical: str) -> tuple[float, list[str]]:
    """One leg of two, with both of its angles: up from the level line, and away from the plumb line."""
    foot, hook, other = (22.0, 48.0), (45.0, 13.0), (68.0, 48.0)
    parts = [
        _box(16, 48, 58, 9),
        line((8, 48), (58, 48), 0.35, ink=MUTED, dash="1.6 1"),
        line(hook, (45, 39), 0.35, ink=MUTED, dash="1.6 1"),
        line(hook, foot, _WEB, ink=SLING),
        line(hook, other, _WEB, ink=SLING),
        _arc(foot, 10, 0, math.degrees(math.atan2(35, 23))),
        _arc(hook, 13, 270 - math.degrees(math.atan2(23, 35)), 270),
        pick_mark(foot, None),
        pick_mark(other, None),
        hook_mark(hook),
        label(from_horizontal, (33.5, 45.2), size=TEXT_MM),
        line((32.5, 25.4), (41.3, 25.4), 0.25, ink=MUTED),
        label(from_vertical, (31.7, 26.7), size=TEXT_MM, anchor="end"),
    ]
    return 60.0, parts


def fan_picture(book: Rulebook, language: str) -> tuple[float, list[str]]:
    """Three pairs of legs, ever flatter, each with the share of the load that one leg pulls."""
    parts = []
    for at, angle_deg in enumerate(_FANNED_DEG):
        middle, half = 15.0 + 30.0 * at, 11.5
        up = half * math.tan(math.radians(angle_deg))
        foot = 37.0
        share = book.leg_floor(2, 1.0, angle_deg, symmetric=False).value
        for side in (-1.0, 1.0):
            parts.append(line((middle, foot - up), (middle + side * half, foot), 0.6 + share, ink=SLING))
            parts.append(pick_mark((middle + side * half, foot), None))
        parts += [
            _box(middle - 13.5, foot, 27, 5),
            hook_mark((middle, foot - up)),
            label(show_angle(angle_deg, language=language), (middle, 47.5), size=TEXT_MM, anchor="middle"),
            label(
                f"× {show_number(share, language=language)}",
                (middle, 53),
                size=TEXT_MM + 0.4,
                anchor="middle",
                bold=True,
            ),
        ]
    return 55.0, parts


def choke_picture(angle_of_choke: str) -> tuple[float, list[str]]:
    """A sling pulled sideways at its choke: how sharply it bends there, between standing part and noose."""
    bight, far = (45.0, 27.0), (53.6, 37.0)
    noose = path_data("M", *bight, "L", 35.2, 38.6, "A", 11, 11, 0, 1, 0, *far, "Z")
    toward = math.degrees(math.atan2(27 - 10, 60 - 45))
    parts = [
        element("circle", cx=45, cy=44, r=11, fill=PAPER, stroke=INK, stroke_width=0.5),
        element("path", d=noose, fill="none", stroke=SLING, stroke_width=_WEB),
        line(bight, (60, 10), _WEB, ink=SLING),
        element("circle", cx=bight[0], cy=bight[1], r=1.5, fill=PAPER, stroke=SLING, stroke_width=0.9),
        _arc(bight, 9, -math.degrees(math.atan2(10, 8.6)), toward),
        hook_mark((60, 10)),
        label(angle_of_choke, (56.5, 28.4), size=TEXT_MM),
    ]
    return 57.0, parts


def _box(x: float, y: float, wide: float, high: float) -> str:
    return element("rect", x=x, y=y, width=wide, height=high, fill=PAPER, stroke=INK, stroke_width=0.5)


def _arc(at: tuple[float, float], r: float, low_deg: float, high_deg: float) -> str:
    """An arc from one direction to another, counted from the right, turning to the left."""
    ends = [
        (at[0] + r * math.cos(math.radians(deg)), at[1] - r * math.sin(math.radians(deg)))
        for deg in (low_deg, high_deg)
    ]
    d = path_data("M", *ends[0], "A", r, r, 0, 1 if high_deg - low_deg > 180 else 0, 0, *ends[1])
    return element("path", d=d, fill="none", stroke=INK, stroke_width=0.45)
