"""The kinds of value a lift file may hold: which reader reads which kind."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from slingwright.lift import ranges, values
from slingwright.lift.keys import Key
from slingwright.lift.values import Regime

__all__ = ["read_value"]


def read_value(key: Key, value: object, where: str, regime: Regime) -> Any:
    """Read one value by its key's kind.

    Raises
    ------
    InputFault
        The value is not of this kind or out of its bounds.
    """
    values.check_number(value, where)
    if key.kind in _WITH_REGIME:
        return _WITH_REGIME[key.kind](key, value, where, regime)
    return _KINDS[key.kind](key, value, where)


_KINDS: dict[str, Callable[[Key, object, str], Any]] = {
    "text": values.read_text,
    "choice": values.read_choice,
    "yes-no": values.read_yes_no,
    "whole": values.read_whole,
    "number": values.read_number,
    "length": values.read_length,
    "angle": values.read_angle,
    "density": values.read_density,
    "temperature": values.read_temperature,
    "temperatures": values.read_temperatures,
    "point": values.read_point,
    "point-across": values.read_point_across,
    "spans": values.read_spans,
    "outline": values.read_outline,
    "texts": values.read_texts,
    "edge-radius": values.read_edge_radius,
    "choke": values.read_choke,
    "surface": values.read_surface,
    "known-by": ranges.read_known_by,
    "centre": ranges.read_centre,
    "centre-tolerance": ranges.read_centre_tolerance,
    "length-tolerance": ranges.read_length_tolerance,
}
_WITH_REGIME: dict[str, Callable[[Key, object, str, Regime], Any]] = {
    "weight": values.read_weight,
    "weight-or-range": ranges.read_weight_or_range,
    "weight-tolerance": ranges.read_weight_tolerance,
}
