"""Values that may be a range or a tolerance: weight, centre of gravity, made length; how each is known."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from slingwright import units
from slingwright.errors import Fault, InputFault, fail
from slingwright.lift.keys import Key
from slingwright.lift.values import (
    Regime,
    check_number,
    read_choice,
    read_length,
    read_point,
    read_weight,
)


def _low_high(value: object, where: str, what: str) -> tuple[object, object]:
    """Both ends of `{ low, high }`, not yet read."""
    if not isinstance(value, dict) or set(value) != {"low", "high"}:
        raise fail(where, f"is not {what}", '{ low = "...", high = "..." }')
    return value["low"], value["high"]


def read_weight_or_range(key: Key, value: object, where: str, regime: Regime) -> Any:
    """One weight [N], (low, high), or "unknown"."""
    if value == "unknown":
        return "unknown"
    if not isinstance(value, dict):
        return read_weight(key, value, where, regime)
    ends = _low_high(value, where, "a weight")
    low, high = _ends(ends, where, lambda item, at: read_weight(key, item, at, regime))
    if low >= high:
        raise fail(where, "has low not below high", "a range says from where to where")
    return low, high


def _ends(pair: tuple[object, object], where: str, read: Callable[[Any, str], Any]) -> tuple[Any, Any]:
    faults: list[Fault] = []
    found = []
    for name, item in zip(("low", "high"), pair, strict=True):
        try:
            check_number(item, f"{where}.{name}")
            found.append(read(item, f"{where}.{name}"))
        except InputFault as fault:
            faults.extend(fault.faults)
    if faults:
        raise InputFault(faults)
    return found[0], found[1]


def _share(key: Key, value: object, where: str) -> float:
    """A tolerance as a share: may be stated, never switched off."""
    share = units.parse_ratio(value, where, minimum=0.0, maximum=key.most)
    if share < (key.least or 0.0):
        raise fail(where, "switches the tolerance off", "it may be stated, never be nothing")
    return share


def _looks_like_share(value: object) -> bool:
    # a bare number is no tolerance: 5 could be per cent, pounds or inches
    return isinstance(value, str) and value.rstrip().endswith(("%", "percent", "per cent"))


def read_weight_tolerance(key: Key, value: object, where: str, regime: Regime) -> Any:
    """("share", below, above), ("weight", below, above) or ("sd", share)."""
    if isinstance(value, dict) and set(value) == {"sd"}:
        return ("sd", _share(key, value["sd"], f"{where}.sd"))
    ends = (value, value)
    if isinstance(value, dict):
        ends = _low_high(value, where, "a tolerance")
    kind = "share" if all(_looks_like_share(end) for end in ends) else "weight"

    def read(item: Any, at: str) -> float:
        if kind == "share":
            return _share(key, item, at)
        return units.parse_weight_n(item, at, regime=regime, above=0.0)

    if isinstance(value, dict):
        return (kind, *_ends(ends, where, read))
    one = read(value, where)
    return (kind, one, one)


def read_known_by(key: Key, value: object, where: str) -> dict[str, str]:
    """{"weight": ..., "centre_of_gravity": ...}; a missing one is not stated."""
    if not isinstance(value, dict):
        word = read_choice(key, value, where)
        return {"weight": word, "centre_of_gravity": word}
    wrong = [str(name) for name in value if name not in ("weight", "centre_of_gravity")]
    if wrong or not value:
        raise fail(where, "may hold weight and centre_of_gravity", '{ weight = "scale" }')
    return {name: read_choice(key, word, f"{where}.{name}") for name, word in value.items()}


def read_centre(key: Key, value: object, where: str) -> Any:
    """One point [m], (low point, high point), or "unknown"."""
    if value == "unknown":
        return "unknown"
    if not isinstance(value, dict):
        return read_point(key, value, where)
    ends = _low_high(value, where, "a centre of gravity")
    low, high = _ends(ends, where, lambda item, at: read_point(key, item, at))
    if any(a > b for a, b in zip(low, high, strict=True)) or low == high:
        raise fail(where, "has low not below high", "low and high are opposite corners of a box")
    return low, high


def read_centre_tolerance(key: Key, value: object, where: str) -> tuple[bool, str, tuple[float, ...]]:
    """(spread, "share", (s,)) of each extent, or (spread, "length", (x, y, z)) [m]; spread = { sd }."""
    spread, inner, at = _spread(value, where)
    if isinstance(inner, list):
        return spread, "length", read_point(key, inner, at)
    if _looks_like_share(inner):
        return spread, "share", (_share(key, inner, at),)
    one = read_length(key, inner, at)
    return spread, "length", (one, one, one)


def read_length_tolerance(key: Key, value: object, where: str) -> tuple[bool, float | None, float | None]:
    """(spread, share, length [m]); spread = { sd }."""
    spread, inner, at = _spread(value, where)
    items = inner if isinstance(inner, list) else [inner]
    if not 1 <= len(items) <= 2:
        raise fail(at, f"has {len(items)} entries", 'one or both of "1.5 %" and "1 in"')
    share = length = None
    for index, item in enumerate(items):
        item_at = f"{at}[{index}]" if isinstance(inner, list) else at
        if _looks_like_share(item) and share is None:
            share = _share(key, item, item_at)
        elif not _looks_like_share(item) and length is None:
            length = read_length(key, item, item_at)
        else:
            hint = 'one or both of "1.5 %" and "1 in"'
            raise fail(item_at, "is a second tolerance of the same kind", hint)
    return spread, share, length


def _spread(value: object, where: str) -> tuple[bool, object, str]:
    """Whether a tolerance is a spread, what it is, and where that stands."""
    if not isinstance(value, dict):
        return False, value, where
    if set(value) != {"sd"}:
        raise fail(where, "is not a tolerance", '"2 %", a length, or { sd = "..." }')
    return True, value["sd"], f"{where}.sd"
