"""The flat pieces of a sling as the cutter marks them: each stretch with its length and running mark.

Not to scale: a lap of a hand's breadth and a body of ten metres must both be read. Marks run from the left
cut end, in whole millimetres, so that the piece can be rebuilt from the drawing.
"""

from __future__ import annotations

from slingwright.draw.ink import FONT, INK, MUTED, SMALL_MM, label, line
from slingwright.draw.svg import element, text_width_mm
from slingwright.make.pattern import Pattern, Piece
from slingwright.words import read_catalogue
from slingwright.words.figures import show_short
from slingwright.words.making import show_mm

__all__ = ["PIECES_WIDE_MM", "draw_pieces", "piece_marks_mm"]

PIECES_WIDE_MM = 178.0
_STRIP_MM = 6.0
_ROW_MM = 27.0
_LEFT_MM = 2.0
_LEAST = {"trim": 8.0, "crown": 12.0, "bar": 12.0}
_LEAST_MM = 18.0
_HATCHED = ("lap",)
_FILLED = ("trim",)


def piece_marks_mm(piece: Piece) -> tuple[int, ...]:
    """Where each stretch ends, from the left cut end [mm]; the last mark is the cut length."""
    marks, at_um = [], 0
    for stretch in piece.stretches:
        at_um += stretch.length_um
        marks.append((at_um + 500) // 1000)
    return tuple(marks)


def draw_pieces(pattern: Pattern, *, language: str = "en") -> str:
    """Draw every kind of flat piece (SVG), one strip each; `PIECES_WIDE_MM` across."""
    high = _ROW_MM * len(pattern.pieces)
    strips = [
        element("g", _strip(piece, 5 + row * _ROW_MM, language), _class="piece", data_role=piece.role)
        for row, piece in enumerate(pattern.pieces)
    ]
    return element(
        "svg",
        [_hatch(), *strips],
        xmlns="http://www.w3.org/2000/svg",
        width=f"{PIECES_WIDE_MM:g}mm",
        height=f"{high:g}mm",
        viewBox=f"0 0 {PIECES_WIDE_MM:g} {high:g}",
        font_family=FONT,
    )


def _hatch() -> str:
    stroke = line((0, 0), (0, 1.4), 0.25, ink=MUTED)
    pattern = element(
        "pattern", stroke, id="lap", width=1.4, height=1.4, patternUnits="userSpaceOnUse",
        patternTransform="rotate(45)",
    )  # fmt: skip
    return element("defs", pattern)


def _strip(piece: Piece, top: float, language: str) -> list[str]:
    words = read_catalogue(language)
    title = words.fill(
        "pieces", piece.role, ply=str(piece.ply + 1), count=str(piece.count), cut=show_mm(piece.cut_mm)
    )
    parts = [label(title, (_LEFT_MM, top), bold=True)]
    y, x = top + 6.2, _LEFT_MM
    parts.append(_mark("0", x, y))
    widths = _widths(piece)
    for stretch, wide, mark in zip(piece.stretches, widths, piece_marks_mm(piece), strict=True):
        fill = "url(#lap)" if stretch.name in _HATCHED else "#d5d9de" if stretch.name in _FILLED else "none"
        parts.append(
            element("rect", x=x, y=y, width=wide, height=_STRIP_MM, fill=fill, stroke=INK, stroke_width=0.3)
        )
        name = words.word("stretches", stretch.name)
        middle = x + wide / 2
        parts.append(label(name, (middle, y - 0.9), size=SMALL_MM, anchor="middle", ink=MUTED))
        length = show_short(round(stretch.length_um / 1000, 1), language=language, figures=8)
        parts.append(label(length, (middle, y + 3.9), size=SMALL_MM, anchor="middle", halo=True))
        x += wide
        parts.append(_mark(show_mm(mark).removesuffix(" mm"), x, y))
    return parts


def _mark(text: str, x: float, y: float) -> str:
    """A running mark under the strip, kept inside the drawing."""
    half = text_width_mm(text, SMALL_MM) / 2
    centre = min(max(x, half), PIECES_WIDE_MM - half)
    foot = y + _STRIP_MM
    return line((x, foot), (x, foot + 1.8), 0.25) + label(
        text, (centre, foot + 4.4), size=SMALL_MM, anchor="middle", bold=True
    )


def _widths(piece: Piece) -> list[float]:
    """What each stretch takes of the strip: enough to be read, the rest to the longest."""
    least = [_LEAST.get(s.name, _LEAST_MM) for s in piece.stretches]
    room = PIECES_WIDE_MM - 2 * _LEFT_MM - sum(least)
    if room < 0:
        share = 1 + room / sum(least)
        return [wide * share for wide in least]
    longest = max(s.length_um for s in piece.stretches)
    big = [s.length_um == longest for s in piece.stretches]
    return [wide + (room / sum(big) if is_big else 0.0) for wide, is_big in zip(least, big, strict=True)]
