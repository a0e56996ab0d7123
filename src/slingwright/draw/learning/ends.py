"""The ends of a sling, its plies and its width: what it is told by."""

from __future__ import annotations

from slingwright.draw.ink import INK, MUTED, PAPER, SLING, label, line, polygon
from slingwright.draw.svg import element, path_data
from slingwright.rulebook import Rulebook
from slingwright.sling import Form

__all__ = ["TEXT_MM", "form_picture", "plies_picture", "width_picture"]

TEXT_MM = 3.9  # readable on a narrow telephone, where the picture is 328 px wide
_WEST, _EAST, _AXIS = 4.0, 86.0, 12.0
_HIGH = 24.0


def form_picture(form: Form) -> tuple[float, list[str]]:
    """A form from end to end, from its edge; twisted and returned eyes are turned to show their face."""
    match form:
        case Form.FLAT_EYE:
            parts = [_soft_eye(_WEST, 24), _soft_eye(_EAST, 66), _body(24, 66, 2)]
        case Form.TWISTED_EYE:
            parts = [_turned_eye(_WEST, 24), _turned_eye(_EAST, 66), _body(24, 66, 2)]
        case Form.ENDLESS:
            parts = [_loop(), _stitches(38, 52, _AXIS + 6)]
        case Form.RETURN_EYE:
            parts = [_turned_eye(_WEST, 24, pad=True), _turned_eye(_EAST, 66, pad=True), _body(24, 66, 4)]
            parts.append(element("rect", x=34, y=_AXIS - 3.4, width=22, height=6.8, fill="none", stroke=INK,
                                 stroke_width=0.4, stroke_dasharray="1.4 0.9"))  # fmt: skip
        case Form.TRIANGLE_CHOKER | Form.TRIANGLE_TRIANGLE:
            parts = [_triangle(_WEST, 17), _body(17, 73, 2)]
            parts.append(_triangle(_EAST, 73, slotted=form is Form.TRIANGLE_CHOKER))
            parts += [_stitches(19, 31), _stitches(59, 71)]
    if form.has_eyes:
        parts += [_stitches(25, 36), _stitches(54, 65)]
    return _HIGH, parts


def plies_picture(book: Rulebook) -> tuple[float, list[str]]:
    """One stack of webbing for each number of plies that the tables hold, seen from its edge."""
    plies = sorted({cell.plies for table in book.tables for cell in table.cells.values()})
    step = 90.0 / len(plies)
    parts = []
    for at, count in enumerate(plies):
        middle = step * (at + 0.5)
        for ply in range(count):
            y = 17.0 - 3.2 * ply
            parts.append(line((middle - step * 0.36, y), (middle + step * 0.36, y), 2.1, ink=SLING))
        parts.append(label(str(count), (middle, 25.5), size=TEXT_MM + 0.6, anchor="middle", bold=True))
    return 28.0, parts


def width_picture(width: str) -> tuple[float, list[str]]:
    """A stretch of webbing from its face, with the measure across it."""
    parts = [
        element("rect", x=4, y=5, width=60, height=16, fill=PAPER, stroke=SLING, stroke_width=0.7),
        line((4, 8), (64, 8), 0.25, ink=SLING, dash="2 1"),
        line((4, 18), (64, 18), 0.25, ink=SLING, dash="2 1"),
        line((69, 5), (69, 21), 0.3, ink=INK),
    ]
    parts += [line((66, y), (72, y), 0.3, ink=MUTED) for y in (5, 21)]
    parts += [line((68, y + 1), (70, y - 1), 0.5) for y in (5, 21)]
    parts.append(label(width, (73, 14.3), size=TEXT_MM))
    return 26.0, parts


def _body(west: float, east: float, plies: int) -> str:
    top = _AXIS - 1.2 * (plies - 1) / 2
    rows = [line((west, top + 1.2 * k), (east, top + 1.2 * k), 0.8, ink=SLING) for k in range(plies)]
    return element("g", rows)


def _stitches(west: float, east: float, axis: float = _AXIS) -> str:
    points: list[str | float] = ["M", west, axis - 2.4]
    count = 2 * max(2, round((east - west) / 3))
    for k in range(1, count + 1):
        points += ["L", west + (east - west) * k / count, axis + (2.4 if k % 2 else -2.4)]
    return element("path", d=path_data(*points), fill="none", stroke=INK, stroke_width=0.35)


def _soft_eye(bearing: float, neck: float) -> str:
    """An eye whose opening faces us: it lies in the plane of the body."""
    way = neck - bearing
    d = path_data(
        "M", neck, _AXIS,
        "C", bearing + way * 0.6, _AXIS - 9, bearing, _AXIS - 8, bearing, _AXIS,
        "C", bearing, _AXIS + 8, bearing + way * 0.6, _AXIS + 9, neck, _AXIS,
    )  # fmt: skip
    return element("path", d=d, fill="none", stroke=SLING, stroke_width=1.3)


def _turned_eye(bearing: float, neck: float, *, pad: bool = False) -> str:
    """An eye turned a quarter: its face towards us, its opening edge on."""
    side = 1.0 if neck > bearing else -1.0
    twist = neck - side * 6
    face = [(bearing + side * 1.5, _AXIS - 4.2), (twist, _AXIS - 4.2), (neck, _AXIS + 0.6),
            (neck, _AXIS - 0.6), (twist, _AXIS + 4.2), (bearing + side * 1.5, _AXIS + 4.2)]  # fmt: skip
    parts = [polygon(face, fill=PAPER, ink=SLING, width=0.8)]
    end = bearing + side * 1.2
    parts.append(line((end, _AXIS - 4.2), (end, _AXIS + 4.2), 1.8, ink=SLING))
    if pad:
        parts += [line((end + side * k, _AXIS - 3.6), (end + side * k, _AXIS + 3.6), 0.4) for k in (3, 5, 7)]
    return element("g", parts)


def _triangle(bearing: float, neck: float, *, slotted: bool = False) -> str:
    parts = [polygon([(bearing, _AXIS), (neck, _AXIS - 8), (neck, _AXIS + 8)], ink=INK, width=1.4)]
    if slotted:
        x = neck + (bearing - neck) * 0.28
        parts.append(line((x, _AXIS - 4.6), (x, _AXIS + 4.6), 1.4))
        parts.append(line((x, _AXIS - 4.2), (x, _AXIS + 4.2), 0.7, ink=PAPER))
    return element("g", parts)


def _loop() -> str:
    r = 6.0
    d = path_data(
        "M", _WEST + r, _AXIS - r, "H", _EAST - r, "A", r, r, 0, 0, 1, _EAST - r, _AXIS + r,
        "H", _WEST + r, "A", r, r, 0, 0, 1, _WEST + r, _AXIS - r, "Z",
    )  # fmt: skip
    return element("path", d=d, fill="none", stroke=SLING, stroke_width=1.3)
