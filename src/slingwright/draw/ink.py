"""Line weights, greys and type of the sheet: reads the same printed in black and white."""

from __future__ import annotations

from slingwright.draw.svg import Attribute, element, number, points_data, text_of

__all__ = [
    "FONT",
    "INK",
    "LABEL_MM",
    "MUTED",
    "PAPER",
    "SLING",
    "SMALL_MM",
    "TITLE_MM",
    "label",
    "line",
    "polygon",
]

Point = tuple[float, float]

FONT = "'Source Sans Pro','Source Sans 3','Helvetica Neue',Arial,'Liberation Sans',sans-serif"
INK, MUTED, PAPER, SLING = "#1c2126", "#59616a", "#ffffff", "#123a63"
LABEL_MM, SMALL_MM, TITLE_MM = 2.75, 2.35, 3.7


def line(
    a: Point, b: Point, width: float, *, ink: str = INK, dash: str | None = None, **data: Attribute | None
) -> str:
    """A straight line."""
    return element(
        "line",
        x1=a[0],
        y1=a[1],
        x2=b[0],
        y2=b[1],
        stroke=ink,
        stroke_width=width,
        stroke_dasharray=dash,
        **data,
    )


def polygon(
    points: list[Point],
    *,
    fill: str = "none",
    ink: str = "none",
    width: float = 0.0,
    **data: Attribute | None,
) -> str:
    """A closed outline."""
    return element(
        "polygon",
        points=points_data(points),
        fill=fill,
        stroke=ink,
        stroke_width=width or None,
        stroke_linejoin="round",
        **data,
    )


def label(
    text: str,
    at: Point,
    *,
    size: float = LABEL_MM,
    anchor: str = "start",
    ink: str = INK,
    bold: bool = False,
    turned_deg: float = 0.0,
    halo: bool = False,
) -> str:
    """A line of text; user text is escaped here and nowhere else. `halo` keeps it readable over lines."""
    turn = f"rotate({number(turned_deg)} {number(at[0])} {number(at[1])})" if turned_deg else None
    return element(
        "text",
        text_of(text),
        x=at[0],
        y=at[1],
        font_size=size,
        text_anchor=None if anchor == "start" else anchor,
        font_weight="bold" if bold else None,
        fill=ink,
        stroke=PAPER if halo else None,
        stroke_width=0.7 if halo else None,
        stroke_linejoin="round" if halo else None,
        paint_order="stroke" if halo else None,
        transform=turn,
    )
