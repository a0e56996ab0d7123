"""Reading a table of a file field by field: every fault is noted with its path, none stops the reading."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from datetime import date

from slingwright.errors import Fault

__all__ = ["Fields"]

_LARGEST = 5_000_000  # five kilometres of webbing, or as many pieces: beyond that it is a slip of the pen


class Fields:
    """One table of the file. Each read notes its own fault in the shared list and returns a stand-in."""

    def __init__(self, data: object, path: str, faults: list[Fault]) -> None:
        self.path = path
        self.faults = faults
        self.data: Mapping[str, object] = {}
        if isinstance(data, Mapping):
            self.data = data
        else:
            faults.append(Fault(path, "must be a table of keys and values", "see docs/reference/cut-plan.md"))

    def at(self, key: str) -> str:
        """Path of a key."""
        return f"{self.path}.{key}" if self.path else key

    def note(self, key: str, problem: str, hint: str = "") -> None:
        """Note a fault at a key."""
        self.faults.append(Fault(self.at(key), problem, hint))

    def only(self, known: Iterable[str]) -> None:
        """Note every key that is not known, with the nearest that is."""
        names = list(known)
        for key in self.data:
            if key not in names:
                near = difflib.get_close_matches(str(key), names, n=1)
                hint = f"did you mean {near[0]}?" if near else f"known: {', '.join(names)}"
                self.note(str(key), "unknown key", hint)

    def whole(self, key: str, *, least: int, unit: str = "mm", default: int | None = None) -> int:
        """A whole number of at least `least`; `default` where the key may be left out."""
        value = self.data.get(key, default)
        if value is None:
            self.note(key, "is missing", f"a whole number, {unit}")
        elif isinstance(value, bool) or not isinstance(value, int):
            self.note(key, f"must be a whole number, not {value!r}", f"in {unit}, without a decimal point")
        elif value < least:
            self.note(key, f"must be {least} or more, not {value}", f"in {unit}")
        elif value > _LARGEST:
            self.note(key, f"is too large: {value}", f"in {unit}, at most {_LARGEST}")
        else:
            return value
        return max(least, 1)

    def text(self, key: str, *, default: str | None = None) -> str:
        """A word; `default` where the key may be left out."""
        value = self.data.get(key, default)
        if value is None:
            self.note(key, "is missing", "a text")
            return ""
        if not isinstance(value, str):
            self.note(key, f"must be a text, not {value!r}")
            return ""
        return value

    def day(self, key: str) -> str:
        """A date as YYYY-MM-DD; "" where it is left out."""
        value = self.data.get(key, "")
        text = value.isoformat() if isinstance(value, date) else value
        if isinstance(text, str):
            try:
                return date.fromisoformat(text).isoformat() if text else ""
            except ValueError:
                pass
        self.note(key, f"must be a date, not {value!r}", "as in 2026-11-30")
        return ""

    def choice(self, key: str, allowed: tuple[str, ...]) -> str:
        """One of the allowed words; the first where the key is left out."""
        value = self.data.get(key, allowed[0])
        if value not in allowed:
            self.note(key, f"must be one of {', '.join(allowed)}, not {value!r}")
            return allowed[0]
        return str(value)

    def flag(self, key: str) -> bool:
        """True or false; false where it is left out."""
        value = self.data.get(key, False)
        if not isinstance(value, bool):
            self.note(key, f"must be true or false, not {value!r}")
            return False
        return value

    def rows(self, key: str) -> list[Fields]:
        """A list of tables, at least one."""
        value = self.data.get(key)
        if not isinstance(value, list) or not value:
            self.note(key, "must be a list with at least one entry")
            return []
        return [Fields(row, f"{self.at(key)}[{i}]", self.faults) for i, row in enumerate(value)]
