"""The sketch beside the form's pick points: the load as far as its fields can be read, right or wrong.

A lift that cannot be answered yet has no model: here each field is read by itself, and one that cannot be
read is left out. Nothing that is drawn here is a figure of an answer.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from slingwright.draw import Grip, Sketch, draw_sketch
from slingwright.errors import InputFault
from slingwright.units import Units, parse_length_m

__all__ = ["sketch_of", "sketch_units"]

Vector = tuple[float, float, float]
_US = re.compile(r"\d\s*(?:ft|foot|feet|in\b|inch|['\"])")
_MOST_M = 1000.0
_ROUND = frozenset({"cylinder", "bundle"})


def sketch_units(values: Mapping[str, str], said: str | None) -> Units:
    """The units asked for; else feet where any size is told in feet or inches."""
    if said is not None:
        return Units(said)
    sizes = (values.get(f"load.{key}", "") for key in ("length", "width", "height", "diameter"))
    return Units.US if any(_US.search(size) for size in sizes) else Units.SI


def sketch_of(
    values: Mapping[str, str], rows: Sequence[Mapping[str, str]], units: Units, language: str
) -> str | None:
    """The sketch (SVG) of what stands in the form's fields; None where the load's size does not."""
    size = _size(values)
    if size is None:
        return None
    picks = []
    for i, row in enumerate(rows):
        at = _vector([row[f"at.{k}"] for k in range(3)])
        if at is not None:
            picks.append(Grip(row=i, name=row["name"], at_m=at))
    centre = _vector(values.get("load.centre_of_gravity", "").split(";"))
    sketch = Sketch(size_m=size, picks=picks, centre_m=centre)
    return draw_sketch(sketch, units=units, language=language)


def _size(values: Mapping[str, str]) -> Vector | None:
    """Length, width and height [m]; of what is round its diameter stands for both."""
    told = {k: _length(values.get(f"load.{k}", "")) for k in ("length", "width", "height", "diameter")}
    length, diameter = told["length"], told["diameter"]
    if length and diameter and values.get("load.shape") in _ROUND:
        return length, diameter, diameter
    width, height = told["width"], told["height"]
    return (length, width, height) if length and width and height else None


def _vector(texts: Sequence[str]) -> Vector | None:
    told = [_length(text, least=-_MOST_M) for text in texts]
    if len(told) != 3 or any(one is None for one in told):
        return None
    x, y, z = (one or 0.0 for one in told)
    return x, y, z


def _length(text: str, *, least: float = 0.0) -> float | None:
    try:
        return parse_length_m(text.strip(), "", minimum=least, maximum=_MOST_M)
    except InputFault:
        return None
