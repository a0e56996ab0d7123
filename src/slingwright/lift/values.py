"""Single values of the lift file, read from the user's words into SI."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Literal

from slingwright import units
from slingwright.errors import Fault, InputFault, fail
from slingwright.lift.keys import Key
from slingwright.lift.model import EdgeRadius

Regime = Literal["us", "en"]
_LONGEST_TEXT = 200
_LONGEST_SHOWN = 40
_LARGEST_WHOLE = 10**15


def check_number(value: object, where: str) -> None:
    """Refuse whole numbers that no float holds (TOML and JSON know them of any size)."""
    if isinstance(value, int) and abs(value) > _LARGEST_WHOLE:
        raise fail(where, "is too large a number")


def read_text(_key: Key, value: object, where: str) -> str:
    """A short text on one line."""
    if not isinstance(value, str):
        raise fail(where, "is not a text", 'write it in quotes, like "A"')
    if len(value) > _LONGEST_TEXT:
        raise fail(where, f"is longer than {_LONGEST_TEXT} characters")
    if not all(c.isprintable() for c in value):
        raise fail(where, "holds characters that cannot be printed", "write it on one line")
    return value.strip()


def read_choice(key: Key, value: object, where: str) -> str:
    """One of the key's choices."""
    if isinstance(value, str) and value in key.choices:
        return value
    named = f'"{value[:_LONGEST_SHOWN]}" is' if isinstance(value, str) and value.isprintable() else "is"
    raise fail(where, f"{named} none of the choices", " | ".join(f'"{c}"' for c in key.choices))


def read_yes_no(_key: Key, value: object, where: str) -> bool:
    """True or false."""
    if not isinstance(value, bool):
        raise fail(where, "is neither true nor false", "write true or false, without quotes")
    return value


def read_whole(key: Key, value: object, where: str) -> int:
    """A whole number within the key's bounds."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise fail(where, "is not a whole number", f"from {key.least:g} to {key.most:g}")
    if not (key.least or 0) <= value <= (key.most or 0):
        raise fail(where, f"is {value}, out of bounds", f"from {key.least:g} to {key.most:g}")
    return value


def read_number(key: Key, value: object, where: str) -> float:
    """A plain number within the key's bounds."""
    return units.parse_ratio(value, where, minimum=key.least, maximum=key.most)


def read_length(key: Key, value: object, where: str) -> float:
    """A length [m]."""
    return units.parse_length_m(value, where, minimum=key.least, maximum=key.most)


def read_angle(key: Key, value: object, where: str) -> float:
    """An angle [deg]."""
    return units.parse_angle_deg(value, where, minimum=key.least, maximum=key.most)


def read_density(key: Key, value: object, where: str) -> float:
    """A density [kg/m³]."""
    return units.parse_density_kg_m3(value, where, minimum=key.least, maximum=key.most)


def read_temperature(key: Key, value: object, where: str) -> float:
    """A temperature [K]."""
    return units.parse_temperature_k(value, where, minimum=key.least, maximum=key.most)


def read_weight(key: Key, value: object, where: str, regime: Regime) -> float:
    """A weight [N]."""
    return units.parse_weight_n(value, where, regime=regime, minimum=key.least, maximum=key.most)


def _list_of(value: object, where: str, count: int | None, what: str) -> list[Any]:
    if not isinstance(value, list):
        raise fail(where, f"is not a list of {what}")
    if count is not None and len(value) != count:
        raise fail(where, f"has {len(value)} entries, not {count}", f"{count} {what} in [ ]")
    return value


def read_each(items: list[Any], where: str, read: Callable[[Any, str], Any]) -> tuple[Any, ...]:
    """Read every item, and give all their faults at once."""
    faults: list[Fault] = []
    found = []
    for index, item in enumerate(items):
        try:
            check_number(item, f"{where}[{index}]")
            found.append(read(item, f"{where}[{index}]"))
        except InputFault as fault:
            faults.extend(fault.faults)
    if faults:
        raise InputFault(faults)
    return tuple(found)


def read_point(key: Key, value: object, where: str) -> tuple[float, ...]:
    """Three lengths (x, y, z) [m]."""
    items = _list_of(value, where, 3, "lengths (x, y, z)")
    return read_each(items, where, lambda item, at: read_length(key, item, at))


def read_point_across(key: Key, value: object, where: str) -> tuple[float, ...]:
    """Two lengths (x, y) [m]."""
    items = _list_of(value, where, 2, "lengths (x, y)")
    return read_each(items, where, lambda item, at: read_length(key, item, at))


def _pair(key: Key, value: object, where: str) -> tuple[float, ...]:
    items = _list_of(value, where, 2, "lengths")
    return read_each(items, where, lambda item, at: read_length(key, item, at))


def read_spans(key: Key, value: object, where: str) -> tuple[Any, ...]:
    """Spans (from, to) along the length [m]."""
    items = _list_of(value, where, None, "[from, to]")
    if not 1 <= len(items) <= key.count:
        raise fail(where, f"has {len(items)} entries", f"from 1 to {key.count} spans [from, to]")
    return read_each(items, where, lambda item, at: _pair(key, item, at))


def read_outline(key: Key, value: object, where: str) -> tuple[Any, ...]:
    """Points (y, z) of an outline [m]."""
    items = _list_of(value, where, None, "[y, z]")
    if not 3 <= len(items) <= key.count:
        raise fail(where, f"has {len(items)} points", f"from 3 to {key.count} points [y, z]")
    return read_each(items, where, lambda item, at: _pair(key, item, at))


def read_texts(key: Key, value: object, where: str) -> tuple[str, ...]:
    """A list of short texts."""
    items = _list_of(value, where, None, 'texts, like ["diesel"]')
    if len(items) > key.count:
        raise fail(where, f"has {len(items)} entries", f"at most {key.count}")
    return tuple(read_each(items, where, lambda item, at: _filled(key, item, at)))


def _filled(key: Key, value: object, where: str) -> str:
    text = read_text(key, value, where)
    if not text:
        raise fail(where, "is empty")
    return text


def read_temperatures(key: Key, value: object, where: str) -> tuple[float, float]:
    """(lowest, highest) [K]."""
    if isinstance(value, str):
        one = read_temperature(key, value, where)
        return one, one
    items = _list_of(value, where, 2, 'temperatures, like ["20 °F", "110 °F"]')
    low, high = read_each(items, where, lambda item, at: read_temperature(key, item, at))
    if low > high:
        raise fail(where, "has the lowest after the highest", "[lowest, highest]")
    return low, high


def read_edge_radius(key: Key, value: object, where: str) -> EdgeRadius:
    """An edge radius, or "unknown"."""
    if value == "unknown":
        return EdgeRadius(radius_m=None)
    return EdgeRadius(radius_m=read_length(key, value, where))


def read_choke(key: Key, value: object, where: str) -> str | float:
    """An angle [deg], "free" or "unknown"."""
    if isinstance(value, str) and value in ("free", "unknown"):
        return value
    return read_angle(key, value, where)


def read_surface(key: Key, value: object, where: str) -> str | float:
    """Friction as a number, or words for the surface."""
    if isinstance(value, str) and not value.strip()[:1].isdigit():
        return read_text(key, value, where)
    return read_number(key, value, where)
