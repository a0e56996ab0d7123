"""A lift's tables with one thing said or done differently: what a tap on an answer or a change puts in.

A tap never claims more than it says: a bound is put as a bound, rounded so that what is shown is what is put;
a place as the half of where it may be. What only a measurement, a new lug or a beam could give has no tap.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from slingwright.errors import InputFault

if TYPE_CHECKING:
    from slingwright.choose.explained import Change, Piece, Question
    from slingwright.lift.model import Centre, Lift
    from slingwright.units import Units

__all__ = ["Tap", "answer_taps", "changed_tables"]

# between two places that differ, the border of two answers is known to this share of the whole range: half of
# what `choose.question` halves to
_BORDER = 1 / 32


@dataclass(frozen=True, slots=True, kw_only=True)
class Tap:
    """What is put by a tap: `code` "at-most" | "at-least" with its figure as shown, or a choice's name."""

    code: str
    figure: str
    tables: dict[str, Any]


def answer_taps(
    question: Question, tables: Mapping[str, Any], lift: Lift, units: Units
) -> tuple[Tap | None, ...]:
    """For each piece of a question its tap; None where the piece says no more than the lift does already."""
    return tuple(_checked(_tap(question, i, tables, lift, units)) for i in range(len(question.pieces)))


def _tap(question: Question, at: int, tables: Mapping[str, Any], lift: Lift, units: Units) -> Tap | None:
    from slingwright.units import Rounding, show_length, show_temperature, show_weight

    piece, code, load = question.pieces[at], question.code, tables["load"]
    last = at == len(question.pieces) - 1
    if code == "weight" and _is_plain(load) and not last and piece.high is not None:
        return _weight_at_most(tables, lift, show_weight(piece.high, units, rounding=Rounding.DOWN), units)
    if code == "centre" and _is_plain(load):
        return Tap(code=piece.choice, figure="", tables=_centred(tables, lift.load.centre, piece.choice))
    if code == "edge-radius" and at > 0 and piece.low is not None:
        figure = show_length(piece.low + _border(question), units, rounding=Rounding.UP)
        return Tap(code="at-least", figure=figure, tables=_put(tables, "load", "edge_radius", figure))
    if code == "surface-temperature" and piece.high is not None:
        high = piece.high - (0.0 if last else _border(question))
        figure = show_temperature(high, units, rounding=Rounding.UP if last else Rounding.DOWN)
        return Tap(code="at-most", figure=figure, tables=_put(tables, "load", "surface_temperature", figure))
    if code == "choke-angle" and piece.choice == "free":
        return Tap(code=piece.choice, figure="", tables=_put(tables, "load", "choke_angle", "free"))
    if code == "pick-rating-angle":
        return Tap(code=piece.choice, figure="", tables=_rated_at(tables, piece))
    return None


def changed_tables(
    change: Change, tables: Mapping[str, Any], lift: Lift, units: Units
) -> dict[str, Any] | None:
    """The lift with a change made; None where that is nothing which can be said of this lift alone."""
    changed = _changed(change, tables, lift, units)
    return None if changed is None or not _reads(changed) else changed


def _changed(change: Change, tables: Mapping[str, Any], lift: Lift, units: Units) -> dict[str, Any] | None:
    from slingwright.units import Rounding, show_length, show_weight

    figure = change.figure or 0.0
    if change.code == "headroom" and isinstance(tables.get("hook"), dict):
        return _put(tables, "hook", "headroom", show_length(figure, units, rounding=Rounding.UP))
    if change.code == "level-within":
        return _put(tables, "want", "level_within", f"{figure:g} deg")
    if change.code == "least-angle":
        return _put(tables, "want", "least_angle", f"{figure:g} deg")
    if change.code == "made-to-order":
        return _put(tables, "want", "stock_only", value=False)
    if change.code == "lighter" and _is_plain(tables["load"]):
        tap = _weight_at_most(tables, lift, show_weight(figure, units, rounding=Rounding.DOWN), units)
        return None if tap is None else tap.tables
    if change.code == "edge-rounded":
        return _put(tables, "load", "edge_radius", show_length(figure, units, rounding=Rounding.UP))
    if change.code == "higher-picks":
        return _raised(tables, lift, show_length(figure, units, rounding=Rounding.NEAREST))
    return None


def _put(tables: Mapping[str, Any], table: str, key: str, value: object) -> dict[str, Any]:
    altered = copy.deepcopy(dict(tables))
    altered.setdefault(table, {})[key] = value
    return altered


def _is_plain(load: Mapping[str, Any]) -> bool:
    """Whether weight and centre are said, not computed from parts or a mesh."""
    return not ({"parts", "mesh"} & set(load)) and "weight" in load


def _weight_at_most(tables: Mapping[str, Any], lift: Lift, most: str, units: Units) -> Tap | None:
    """The weight as a range up to `most`; how it is known stays as it was."""
    from slingwright.units import Rounding, parse_weight_n, show_weight

    low, high = lift.load.weight.low_n, lift.load.weight.high_n
    if low is None or high is None:
        return None
    bound = parse_weight_n(most, "load.weight")
    least = show_weight(low * min(1.0, bound / high), units, rounding=Rounding.DOWN)
    altered = _put(tables, "load", "weight", {"low": least, "high": most})
    altered["load"].pop("weight_tolerance", None)
    return Tap(code="at-most", figure=most, tables=altered)


def _centred(tables: Mapping[str, Any], centre: Centre, choice: str) -> dict[str, Any]:
    """The half of the box in which the centre may be that a choice means."""
    low, high = list(centre.low_m), list(centre.high_m)
    middle = [(a + b) / 2 for a, b in zip(low, high, strict=True)]
    if choice == "middle":
        for axis in (0, 1):
            quarter = (high[axis] - low[axis]) / 4
            low[axis], high[axis] = middle[axis] - quarter, middle[axis] + quarter
    else:
        axis = 0 if choice in ("left", "right") else 1
        if choice in ("left", "front"):
            high[axis] = middle[axis]
        else:
            low[axis] = middle[axis]
    box = {"low": [f"{x:.4f} m" for x in low], "high": [f"{x:.4f} m" for x in high]}
    altered = _put(tables, "load", "centre_of_gravity", box)
    altered["load"].pop("centre_tolerance", None)
    return altered


def _rated_at(tables: Mapping[str, Any], piece: Piece) -> dict[str, Any]:
    altered = copy.deepcopy(dict(tables))
    for pick in altered["load"].get("pick_point", []):
        if "rated" in pick:
            pick.setdefault("rated_at", piece.choice.replace("-", " "))
    return altered


def _raised(tables: Mapping[str, Any], lift: Lift, top: str) -> dict[str, Any] | None:
    altered = copy.deepcopy(dict(tables))
    picks = altered["load"].get("pick_point", [])
    if len(picks) != len(lift.load.pick_points):
        return None
    for pick, read in zip(picks, lift.load.pick_points, strict=True):
        if read.at_m[2] < lift.load.height_m:
            pick["at"] = [*pick["at"][:2], top]
    return altered


def _border(question: Question) -> float:
    """How far from the told border the other answer may begin."""
    low, high = question.pieces[0].low, question.pieces[-1].high
    return 0.0 if low is None or high is None else (high - low) * _BORDER


def _checked(tap: Tap | None) -> Tap | None:
    return tap if tap is not None and _reads(tap.tables) else None


def _reads(tables: dict[str, Any]) -> bool:
    """Whether it is a lift; what a change would make of one that is none is not offered."""
    from slingwright.lift import read_lift

    try:
        read_lift(copy.deepcopy(tables))
    except InputFault:
        return False
    return True
