"""Read figures out of a parsed document and collect every fault on the way. Knows no hang problem."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from difflib import get_close_matches

from slingwright.errors import Fault, InputFault

__all__ = ["Reader"]

Vector = tuple[float, float, float]
_SHOWN = 40  # characters of a wrong value that a message repeats


def _shown(value: object) -> str:
    text = repr(value)
    return text if len(text) <= _SHOWN else text[: _SHOWN - 1] + "…"


class Reader:
    """Collects faults; after a fault each reading method gives a harmless stand-in and goes on."""

    def __init__(self) -> None:
        self.faults: list[Fault] = []

    def fault(self, field: str, problem: str, hint: str = "") -> None:
        """Note one fault."""
        self.faults.append(Fault(field, problem, hint))

    def stop_if_faulty(self) -> None:
        """Raise all faults found so far.

        Raises
        ------
        InputFault
            If any fault was noted.
        """
        if self.faults:
            raise InputFault(self.faults)

    def table(self, value: object, field: str, keys: Sequence[str]) -> Mapping[str, object]:
        """A table whose keys are all known; an unknown one is a fault that names the nearest."""
        if not isinstance(value, Mapping):
            self.fault(field, f"must be a table, not {_shown(value)}")
            return {}
        for key in value:
            if key not in keys:
                near = get_close_matches(str(key), keys, n=1, cutoff=0.5)
                hint = f"did you mean {near[0]}?" if near else f"known keys: {', '.join(keys)}"
                self.fault(_join(field, str(key)[:_SHOWN]), "unknown key", hint)
        return value

    def items(self, value: object, field: str, least: int, most: int) -> Sequence[object]:
        """A list with a bounded number of entries."""
        if not isinstance(value, list | tuple):
            self.fault(field, "is missing" if value is None else f"must be a list, not {_shown(value)}")
            return ()
        if not least <= len(value) <= most:
            self.fault(field, f"has {len(value)} entries", f"between {least} and {most} are allowed")
            return ()
        return value

    def number(
        self, value: object, field: str, *, low: float, high: float, above: bool = False, unit: str = ""
    ) -> float:
        """A finite number in [low, high] (with `above`, greater than low)."""
        stand_in = max(low, min(1.0, high))
        if value is None:
            self.fault(field, "is missing", f"give a number{f' in {unit}' if unit else ''}")
            return stand_in
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.fault(field, f"must be a number, not {_shown(value)}")
            return stand_in
        try:
            x = float(value)
        except OverflowError:
            x = math.inf
        if not math.isfinite(x):
            self.fault(field, "must be a finite number")
            return stand_in
        if x < low or x > high or (above and x <= low):
            bound = f"{'more than' if above else 'at least'} {low:g} and at most {high:g} {unit}".rstrip()
            self.fault(field, f"{x:g} is out of range", f"must be {bound}; check the unit")
            return stand_in
        return x

    def whole(self, value: object, field: str, *, low: int, high: int) -> int:
        """A whole number in [low, high]."""
        if isinstance(value, bool) or not isinstance(value, int):
            self.fault(
                field, "is missing" if value is None else f"must be a whole number, not {_shown(value)}"
            )
            return low
        if not low <= value <= high:
            self.fault(field, f"{_shown(value)} is out of range", f"must be between {low} and {high}")
            return low
        return value

    def vector(self, value: object, field: str, *, size: float) -> Vector:
        """Three coordinates, none farther out than `size` metres."""
        if not isinstance(value, list | tuple) or len(value) != 3:
            problem = (
                "is missing" if value is None else f"must be three numbers [x, y, z], not {_shown(value)}"
            )
            self.fault(field, problem, "metres, z up")
            return (0.0, 0.0, 0.0)
        x, y, z = (
            self.number(v, f"{field}[{i}]", low=-size, high=size, unit="m") for i, v in enumerate(value)
        )
        return (x, y, z)

    def text(self, value: object, field: str, default: str | None = None) -> str:
        """A short name."""
        if value is None and default is not None:
            return default
        if not isinstance(value, str) or not value.strip() or len(value) > 2 * _SHOWN:
            self.fault(field, "is missing" if value is None else f"must be a short name, not {_shown(value)}")
            return default or field
        return value


def _join(field: str, key: str) -> str:
    return f"{field}.{key}" if field else key
