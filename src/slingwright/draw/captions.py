"""Words of a view: what each leg is, what the view shows, how the load leans in it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slingwright.draw.ink import LABEL_MM, MUTED, SMALL_MM, label, line
from slingwright.draw.labels import Box, Clearances, Segment, text_box
from slingwright.draw.layout import Window
from slingwright.draw.measures import HOOK_HEIGHT_MM, lowest_and_hook
from slingwright.draw.picture import LegLine, Picture
from slingwright.draw.solid import convex_outline
from slingwright.draw.view import ABOVE, FRONT, View
from slingwright.draw.wording import Wording

__all__ = ["captions"]

Point = tuple[float, float]
_SAME_MM = 1.6  # legs closer than this on paper share one label
_APART_MM = 2.5  # a label as near as this to a side's name would be read as part of it


def captions(window: Window, picture: Picture, wording: Wording) -> list[str]:
    """The captions and labels of one view, each clear of what is drawn and of each other."""
    keep = Clearances(frame=_inset(window.box, 1.0, 1.0, 1.0, 8.0))
    _occupy(keep, window, picture)
    return [*_captions(window, picture, wording, keep), *_labels(window.view, picture, wording, keep)]


def _occupy(keep: Clearances, window: Window, picture: Picture) -> None:
    """Tell the label placer what is there already: slings and dimension first, outlines if it can."""
    view = window.view
    for solid in (picture.load, *([picture.beam] if picture.beam else [])):
        for slab in solid.slabs:
            ring = convex_outline(view.all_to_sheet(slab))
            keep.faint += zip(ring, ring[1:] + ring[:1], strict=True)
    if picture.centre_box_m:
        ring = convex_outline(view.all_to_sheet(picture.centre_box_m))
        keep.faint += zip(ring, ring[1:] + ring[:1], strict=True)
    if view.facing is FRONT:
        (_, low), (_, top) = lowest_and_hook(view, picture)
        x = window.box.x + HOOK_HEIGHT_MM
        keep.segments.append(((x, low), (x, top)))
        keep.boxes.append(Box(x - 4.0, (low + top) / 2 - 9.0, 4.5, 18.0))
        keep.boxes += [_about((x, end), 1.6) for end in (low, top)]
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
    full = view.facing is FRONT
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
        keep.boxes += [_inset(side.box, *(4 * [-_APART_MM])) for side in sides]
        parts = [label(t.text, t.at, size=SMALL_MM, anchor=t.anchor, ink=MUTED) for t in sides]
        return [*parts, label(name, (middle, foot - 4.4), anchor="middle", bold=True)]
    way = picture.axes[0] if view.facing is FRONT else picture.axes[1]
    right_m, up_m = view.facing.flat(way)
    lean = wording.lean(math.degrees(math.atan2(-up_m, right_m)))
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
