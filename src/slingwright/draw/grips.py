"""Grips: where a hand or a key takes hold of a pick point on a drawing in a page, and how a view measures.

The layer tells how one metre along each of the load's own directions falls on the sheet, tilt and all, so
that whoever moves a grip need know nothing of the pose.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from slingwright.draw.ink import INK, SLING
from slingwright.draw.svg import element, number
from slingwright.draw.view import ABOVE, FRONT, RIGHT, View

__all__ = ["NEW_GRIP", "Grip", "grip_layer"]

Vector = tuple[float, float, float]
NEW_GRIP = "new"  # one that is not shown: what a further pick point is made like
_FINGER_PX = 24  # wide at any scale of the page: what a finger hits
_AXES = {FRONT.name: "0 2", RIGHT.name: "1 2", ABOVE.name: "0 1"}  # to the right, up: along, across, height


@dataclass(frozen=True, slots=True, kw_only=True)
class Grip:
    """A pick point by its row in the form (or `NEW_GRIP`), its name, and where it is on the load."""

    row: int | str
    name: str
    at_m: Vector


def grip_layer(view: View, grips: Sequence[Grip], place: Callable[[Vector], Vector]) -> str:
    """The grips of one view; `place` puts a point of the load into the world as it hangs."""
    origin = view.to_sheet(place((0.0, 0.0, 0.0)))
    ends = [view.to_sheet(place(e)) for e in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))]
    ways = [number(end[i] - origin[i]) for end in ends for i in (0, 1)]
    return element(
        "g",
        [_grip(view, grip, place) for grip in grips],
        _class="grips",
        data_grips=view.facing.name,
        data_axes=_AXES[view.facing.name],
        data_origin_mm=f"{number(origin[0])} {number(origin[1])}",
        data_metre_mm=" ".join(ways),
    )


def _grip(view: View, grip: Grip, place: Callable[[Vector], Vector]) -> str:
    x, y = view.to_sheet(place(grip.at_m))
    ring = element("circle", r=1.7, fill="none", stroke=SLING, stroke_width=0.3, _class="ring")
    dot = element("circle", r=0.35, fill=INK)
    hit = element(
        "circle",
        r=0.6,
        fill="transparent",
        stroke="transparent",
        stroke_width=_FINGER_PX,
        vector_effect="non-scaling-stroke",
        pointer_events="all",
        _class="hit",
    )
    return element(
        "g",
        [ring, dot, hit],
        _class="grip",
        data_grip=str(grip.row),
        data_name=grip.name,
        data_at_m=" ".join(f"{c:.6f}" for c in grip.at_m),
        transform=f"translate({number(x)} {number(y)})",
        display="none" if grip.row == NEW_GRIP else None,
    )
