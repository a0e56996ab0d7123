"""SVG by hand: escaped text, short numbers, elements as strings. Nothing here knows what is drawn."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from xml.sax.saxutils import escape, quoteattr

__all__ = [
    "Attribute",
    "element",
    "number",
    "path_data",
    "points_data",
    "text_of",
    "text_width_mm",
    "wrap_text",
]

Attribute = str | float | int
Point = tuple[float, float]

_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_NARROW, _WIDE = frozenset("iljtfrI.,:;'!|()[]/ -\u00a0"), frozenset("mwMW%@×")
_EM = {"narrow": 0.32, "wide": 0.85, "capital": 0.62, "other": 0.52}  # generous for the sheet's typeface


def number(value: float) -> str:
    """A coordinate in millimetres, to a thousandth, without trailing zeros."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def text_of(text: str) -> str:
    """User text made safe: what XML 1.0 cannot hold becomes a space, markup is escaped."""
    return escape(_NOT_XML.sub(" ", text))


def element(tag: str, content: str | Iterable[str] = "", /, **attributes: Attribute | None) -> str:
    """One element. Underscores in names become dashes; an attribute that is None is left out.

    `content` is markup that is already safe: pass user text through `text_of`.
    """
    named = "".join(
        f" {name.strip('_').replace('_', '-')}={_attribute(value)}"
        for name, value in attributes.items()
        if value is not None
    )
    inner = content if isinstance(content, str) else "".join(content)
    return f"<{tag}{named}>{inner}</{tag}>" if inner else f"<{tag}{named}/>"


def points_data(points: Iterable[Point]) -> str:
    """The `points` of a polyline or polygon."""
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


def path_data(*parts: str | float) -> str:
    """The `d` of a path from letters and numbers."""
    return " ".join(p if isinstance(p, str) else number(p) for p in parts)


def text_width_mm(text: str, size_mm: float) -> float:
    """About how wide a text is set (never less than it is, so that labels keep clear of each other)."""
    return size_mm * sum(map(_em, text))


def _attribute(value: Attribute) -> str:
    if isinstance(value, float):
        return f'"{number(value)}"'
    return _quoted(str(value))


@lru_cache(maxsize=4096)
def _quoted(value: str) -> str:
    """Most attributes of a drawing are one of a few dozen."""
    return quoteattr(_NOT_XML.sub(" ", value))


@lru_cache(maxsize=4096)
def _em(char: str) -> float:
    if char in _NARROW:
        return _EM["narrow"]
    if char in _WIDE or ord(char) > 0x2E80:
        return _EM["wide"]
    return _EM["capital" if char.isupper() else "other"]


def wrap_text(text: str, size_mm: float, width_mm: float, *, at_most: int) -> list[str]:
    """Break text into lines no wider than `width_mm`; past `at_most` lines it ends in an ellipsis."""
    lines: list[str] = []
    for word in text.split(" "):
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and text_width_mm(joined, size_mm) <= width_mm:
            lines[-1] = joined
        else:
            lines += _pieces(word, size_mm, width_mm)
    if len(lines) <= at_most:
        return lines
    last = lines[at_most - 1]
    while last and text_width_mm(last + "…", size_mm) > width_mm:
        last = last[:-1]
    return [*lines[: at_most - 1], last + "…"]


def _pieces(word: str, size_mm: float, width_mm: float) -> list[str]:
    """A word too wide for a line, cut where it must be."""
    pieces = [""]
    for char in word:
        if pieces[-1] and text_width_mm(pieces[-1] + char, size_mm) > width_mm:
            pieces.append("")
        pieces[-1] += char
    return pieces
