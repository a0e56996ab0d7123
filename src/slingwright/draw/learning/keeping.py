"""What can hurt a sling and what is looked for: edges and what goes between, damage, the tag."""

from __future__ import annotations

from slingwright.draw.ink import INK, MUTED, PAPER, SLING, label, line
from slingwright.draw.learning.ends import TEXT_MM, form_picture
from slingwright.draw.svg import element, path_data
from slingwright.rulebook import Rulebook
from slingwright.sling import Form

__all__ = ["PROTECTIONS", "edge_picture", "protection_picture", "removal_picture", "tag_picture"]

PROTECTIONS = ("wear-sleeve", "cut-sleeve", "radius-former")

# where each sort of damage is drawn on the flat-eye sling of `form_picture`
_SPOTS = {
    "heat": (14.0, 19.0), "stitching": (30.5, 15.0), "tag": (40.5, 15.0), "cut": (49.5, 15.0),
    "abrasion": (76.0, 20.5),
}  # fmt: skip


def edge_picture(radius: str, thickness: str) -> tuple[float, list[str]]:
    """Webbing over a load's edge: the edge's radius, and how thick the webbing lies there."""
    load = path_data("M", 12, 40, "V", 26, "A", 10, 10, 0, 0, 1, 22, 16, "H", 58, "V", 40, "Z")
    web = path_data("M", 9, 40, "V", 26, "A", 13, 13, 0, 0, 1, 22, 13, "H", 58)
    parts = [
        element("path", d=load, fill=PAPER, stroke=INK, stroke_width=0.5),
        element("path", d=web, fill="none", stroke=SLING, stroke_width=5.2, stroke_opacity=0.35),
        element("path", d=web, fill="none", stroke=SLING, stroke_width=0.4),
        line((22, 26), (14.9, 18.9), 0.4),
        element("circle", cx=22, cy=26, r=0.7, fill=INK),
        label(radius, (24, 29.4), size=TEXT_MM),
        line((50, 10.4), (50, 15.6), 0.6),
        line((48.6, 10.4), (51.4, 10.4), 0.4),
        line((48.6, 15.6), (51.4, 15.6), 0.4),
        label(thickness, (50, 8), size=TEXT_MM, anchor="middle"),
    ]
    return 42.0, parts


def protection_picture(kind: str) -> tuple[float, list[str]]:
    """Webbing over a sharp edge with one of three things between."""
    web_at = {"wear-sleeve": 13.6, "cut-sleeve": 13.0, "radius-former": 8.0}[kind]
    inset = 16.0 - web_at
    corner = 9.0 if kind == "radius-former" else 1.6
    left = 30.0 - inset
    web = path_data(
        "M", left, 38, "V", web_at + corner, "A", corner, corner, 0, 0, 1, left + corner, web_at, "H", 74
    )
    load = element("rect", x=30, y=16, width=44, height=22, fill=PAPER, stroke=INK, stroke_width=0.5)
    parts = [load, element("path", d=web, fill="none", stroke=SLING, stroke_width=1.8)]
    if kind == "wear-sleeve":
        over = path_data(
            "M", left, 30, "V", web_at + 1.6, "A", 1.6, 1.6, 0, 0, 1, left + 1.6, web_at, "H", 60
        )
        parts.append(element("path", d=over, fill="none", stroke=INK, stroke_width=3.4, stroke_opacity=0.25))
    elif kind == "cut-sleeve":
        over = path_data(
            "M", left, 31, "V", web_at + 1.6, "A", 1.6, 1.6, 0, 0, 1, left + 1.6, web_at, "H", 62
        )
        parts.append(element("path", d=over, fill="none", stroke=INK, stroke_width=4.6, stroke_opacity=0.3))
        parts.append(element("path", d=over, fill="none", stroke=INK, stroke_width=4.6,
                             stroke_dasharray="0.4 1.6"))  # fmt: skip
    else:
        former = path_data("M", 30, 31, "H", 23.6, "V", 18, "A", 8.4, 8.4, 0, 0, 1, 32, 9.6, "H", 46,
                           "V", 16, "H", 30, "Z")  # fmt: skip
        parts.insert(1, element("path", d=former, fill=MUTED, stroke=INK, stroke_width=0.4))
    return 40.0, parts


def tag_picture(book: Rulebook) -> tuple[float, list[str]]:
    """A tag with a numbered line for each thing that these rules want on it, in the table's order."""
    rows = len(book.tag_fields())
    high = 11.0 + 6.4 * rows
    parts = [
        element("rect", x=18, y=3, width=54, height=high - 4, rx=2, fill=PAPER, stroke=INK, stroke_width=0.7),
        element("rect", x=20, y=5, width=50, height=high - 8, rx=1, fill="none", stroke=INK, stroke_width=0.3,
                stroke_dasharray="1.4 1"),
    ]  # fmt: skip
    for at in range(rows):
        y = 10.5 + 6.4 * at
        parts.append(label(f"{at + 1}", (27, y), size=TEXT_MM, anchor="end", bold=True))
        parts.append(line((30, y - 1.2), (66 - 7 * (at % 3), y - 1.2), 1.1, ink=MUTED))
    return high, parts


def removal_picture(book: Rulebook) -> tuple[float, list[str]]:
    """A sling with the places to look at, numbered as the table numbers the reasons."""
    _, parts = form_picture(Form.FLAT_EYE)
    damage = [
        element("circle", cx=14, cy=17.6, r=1.7, fill=INK),
        element("rect", x=37, y=9.2, width=7, height=5.6, fill=PAPER, stroke=INK, stroke_width=0.5),
        line((48.4, 9.2), (50.6, 14.8), 1.0),
        *[line((73.6 + k, 17.2), (74.6 + k, 20.2), 0.45) for k in (0, 1.6, 3.2)],
    ]
    numbers = [row.id for row in book.removal_criteria()]
    for row, (x, y) in _SPOTS.items():
        if row in numbers:
            parts += [
                line((x, y), (x, 24), 0.3, ink=MUTED),
                element("circle", cx=x, cy=27.2, r=3.2, fill=PAPER, stroke=INK, stroke_width=0.4),
                label(str(numbers.index(row) + 1), (x, 28.6), size=TEXT_MM, anchor="middle", bold=True),
            ]
    return 32.0, [*parts, *damage]
