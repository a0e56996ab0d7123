"""What a hand or a key can reach on a drawing in a page: an unseen layer over it; a paper has none."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from slingwright.draw.picture import LegLine
from slingwright.draw.svg import element
from slingwright.draw.view import FRONT, View
from slingwright.draw.wording import Wording

__all__ = ["touch_layer"]

_FINGER_PX = 24  # wide at any scale of the page: what a finger hits


def touch_layer(view: View, legs: Sequence[LegLine], anchors: Mapping[str, str], wording: Wording) -> str:
    """Each leg as a link to its figures; keys and readers come to it once, in the view from the front."""
    return element(
        "g",
        [_leg(view, leg, anchors[leg.path], wording) for leg in legs if leg.path in anchors],
        _class="touch",
        data_touch=view.facing.name,
    )


def _leg(view: View, leg: LegLine, anchor: str, wording: Wording) -> str:
    a, b = view.to_sheet(leg.upper_m), view.to_sheet(leg.lower_m)
    hit = element(
        "line",
        x1=a[0],
        y1=a[1],
        x2=b[0],
        y2=b[1],
        stroke="transparent",
        stroke_width=_FINGER_PX,
        stroke_linecap="round",
        vector_effect="non-scaling-stroke",
        pointer_events="stroke",
    )
    reached = view.facing is FRONT and leg.part == 0
    return element(
        "a",
        hit,
        href=f"#{anchor}",
        data_leg=anchor,
        aria_label=wording.touch(leg) if reached else None,
        aria_hidden=None if reached else "true",
        tabindex=None if reached else -1,
    )
