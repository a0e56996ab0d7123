"""The finished sling seen from its edge, dimensioned; not to scale."""

from __future__ import annotations

from slingwright.draw.ink import FONT, INK, MUTED, PAPER, SLING, SMALL_MM, label, line
from slingwright.draw.marks import dimension
from slingwright.draw.svg import element, path_data
from slingwright.make.pattern import Pattern
from slingwright.sling import Form
from slingwright.units import Units
from slingwright.words import read_catalogue, show_made_length, show_made_width
from slingwright.words.names import plies_text

__all__ = ["SLING_HIGH_MM", "SLING_WIDE_MM", "draw_sling"]

SLING_WIDE_MM, SLING_HIGH_MM = 178.0, 42.0
_WEST, _EAST, _AXIS = 6.0, 172.0, 20.0
_EYE_MM, _LAP_MM, _END_MM = 30.0, 24.0, 14.0
_PLY_MM = 0.9


def draw_sling(pattern: Pattern, units: Units, *, language: str = "en") -> str:
    """Draw the finished sling (SVG) with its length, eyes, laps, width and label; not to scale."""
    spec = pattern.spec
    words = read_catalogue(language)
    if spec.form is Form.ENDLESS:
        parts = _endless(pattern, units, language)
    elif spec.form.has_eyes:
        parts = _eyed(pattern, units, language)
    else:
        parts = _fitted(pattern, units, language)
    parts.append(
        dimension(
            (_WEST, _AXIS - 6),
            (_EAST, _AXIS - 6),
            8,
            show_made_length(spec.length_m, units, language=language),
        )
    )
    width = words.fill(
        "finished",
        "width",
        width=show_made_width(spec.width_m, units, language=language),
        plies=plies_text(spec.plies, language=language),
    )
    parts.append(
        label(width, (SLING_WIDE_MM / 2, SLING_HIGH_MM - 1.5), size=SMALL_MM, anchor="middle", ink=MUTED)
    )
    return element(
        "svg",
        parts,
        xmlns="http://www.w3.org/2000/svg",
        width=f"{SLING_WIDE_MM:g}mm",
        height=f"{SLING_HIGH_MM:g}mm",
        viewBox=f"0 0 {SLING_WIDE_MM:g} {SLING_HIGH_MM:g}",
        font_family=FONT,
    )


def _body(west: float, east: float, plies: int) -> list[str]:
    top = _AXIS - _PLY_MM * (plies - 1) / 2
    return [line((west, top + _PLY_MM * k), (east, top + _PLY_MM * k), 0.6, ink=SLING) for k in range(plies)]


def _stitches(west: float, east: float) -> str:
    """A lap's zigzag of stitching."""
    points: list[str | float] = ["M", west, _AXIS - 2.2]
    count = 2 * max(2, round((east - west) / 2.4))
    for k in range(1, count + 1):
        points += ["L", west + (east - west) * k / count, _AXIS + (2.2 if k % 2 else -2.2)]
    return element("path", d=path_data(*points), fill="none", stroke=INK, stroke_width=0.25)


def _label(at: float, language: str) -> str:
    """The sewn tag: a patch on the body."""
    return element(
        "rect", x=at, y=_AXIS - 2.6, width=11, height=5.2, fill=PAPER, stroke=INK, stroke_width=0.35, rx=0.6
    ) + label(
        read_catalogue(language).word("finished", "tag"),
        (at + 5.5, _AXIS + 0.9),
        size=SMALL_MM,
        anchor="middle",
    )


def _eye(bearing: float, neck: float) -> str:
    """A soft eye as its outline from bearing point to neck."""
    way = neck - bearing
    d = path_data(
        "M", neck, _AXIS,
        "C", bearing + way * 0.6, _AXIS - 7, bearing, _AXIS - 6, bearing, _AXIS,
        "C", bearing, _AXIS + 6, bearing + way * 0.6, _AXIS + 7, neck, _AXIS,
    )  # fmt: skip
    return element("path", d=d, fill="none", stroke=SLING, stroke_width=0.9)


def _eyed(pattern: Pattern, units: Units, language: str) -> list[str]:
    spec = pattern.spec
    necks = _WEST + _EYE_MM, _EAST - _EYE_MM
    parts = [_eye(_WEST, necks[0]), _eye(_EAST, necks[1]), *_body(*necks, spec.plies)]
    parts += [_stitches(necks[0], necks[0] + _LAP_MM), _stitches(necks[1] - _LAP_MM, necks[1])]
    parts.append(_label(necks[0] + _LAP_MM + 4, language))
    eye, lap = (
        show_made_length(spec.eye_m, units, language=language),
        show_made_length(pattern.lap_m, units, language=language),
    )
    west, east = (_WEST, necks[0], necks[0] + _LAP_MM), (_EAST, necks[1], necks[1] - _LAP_MM)
    for bearing, neck, far in (west, east):
        parts.append(_under(bearing, neck, eye))
        parts.append(_under(neck, far, lap, row=2))
    return parts


def _endless(pattern: Pattern, units: Units, language: str) -> list[str]:
    high = 5.0
    d = path_data(
        "M", _WEST + high, _AXIS - high,
        "H", _EAST - high, "A", high, high, 0, 0, 1, _EAST - high, _AXIS + high,
        "H", _WEST + high, "A", high, high, 0, 0, 1, _WEST + high, _AXIS - high, "Z",
    )  # fmt: skip
    loop = element("path", d=d, fill="none", stroke=SLING, stroke_width=0.6 * pattern.spec.plies)
    middle = (_WEST + _EAST) / 2
    west, east = middle - _LAP_MM, middle
    stitched = element("g", _stitches(west, east), transform=f"translate(0 {high:g})")
    tag = element("g", _label(_WEST + 24, language), transform=f"translate(0 {-high:g})")
    lap = show_made_length(pattern.lap_m, units, language=language)
    return [loop, stitched, tag, _under(west, east, lap, row=2)]


def _fitted(pattern: Pattern, units: Units, language: str) -> list[str]:
    parts = []
    necks = _WEST + _END_MM, _EAST - _END_MM
    for bearing, neck, fitting in zip((_WEST, _EAST), necks, pattern.fittings, strict=True):
        points = path_data("M", bearing, _AXIS, "L", neck, _AXIS - 6, "L", neck, _AXIS + 6, "Z")
        parts.append(
            element(
                "path", d=points, fill="none", stroke=INK, stroke_width=1.0, data_fitting=str(fitting.kind)
            )
        )
        parts.append(
            _under(bearing, neck, show_made_length(fitting.reach_m + fitting.bar_m, units, language=language))
        )
    parts += _body(*necks, pattern.spec.plies)
    west, east = necks[0] + 3, necks[1] - 3
    parts += [
        _stitches(west, west + _LAP_MM),
        _stitches(east - _LAP_MM, east),
        _label(west + _LAP_MM + 4, language),
    ]
    lap = show_made_length(pattern.lap_m, units, language=language)
    return [*parts, _under(west, west + _LAP_MM, lap, row=2), _under(east - _LAP_MM, east, lap, row=2)]


def _under(a: float, b: float, text: str, *, row: int = 1) -> str:
    west, east = min(a, b), max(a, b)
    return dimension((west, _AXIS + 6), (east, _AXIS + 6), -(2.5 + 6.5 * (row - 1)), text)
