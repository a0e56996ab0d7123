"""Read one table of the lift file: every key by its kind, every fault kept, unknown keys with the nearest.

Nothing here raises for the input: faults gather in the `Reader`, so that a user sees all of them at once.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from slingwright.errors import Fault, InputFault
from slingwright.lift.keys import Key, Table, tables
from slingwright.lift.kinds import read_value

__all__ = ["Reader", "Values", "shown"]

_MOST_FAULTS = 100
_LONGEST_SHOWN = 60


@dataclass(frozen=True, slots=True)
class Values:
    """The values of one table in SI, None where left out or at fault; `written` = the keys in the file."""

    path: str
    found: Mapping[str, Any]
    written: frozenset[str]

    def __getitem__(self, key: str) -> Any:
        """The value in SI, or None."""
        return self.found[key]

    def field(self, key: str) -> str:
        """Path of a key for a fault."""
        return f"{self.path}.{key}" if self.path else key

    def has(self, key: str) -> bool:
        """Whether the file writes this key (be it at fault or not)."""
        return key in self.written


@dataclass(slots=True)
class Reader:
    """Gathers faults and notes while a lift is read. `regime` settles what a bare "t" means."""

    regime: Literal["us", "en"]
    faults: list[Fault] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    _left_off: int = 0

    def fault(self, where: str, problem: str, hint: str = "") -> None:
        """Keep one fault; past a hundred they are only counted."""
        if len(self.faults) < _MOST_FAULTS:
            self.faults.append(Fault(where, problem, hint))
        else:
            self._left_off += 1

    def note(self, code: str) -> None:
        """Keep one note on an assumption, once."""
        if code not in self.notes:
            self.notes.append(code)

    def all_faults(self) -> list[Fault]:
        """Everything found, with a last line if some were left off."""
        if not self._left_off:
            return self.faults
        return [*self.faults, Fault("", f"and {self._left_off} more faults", "mend these first")]

    def read(self, doc: object, table_name: str, path: str) -> Values | None:
        """Read a table; None if it is no table at all."""
        table = tables()[table_name]
        if not isinstance(doc, Mapping):
            self.fault(path, "is not a table of keys", f"keys: {', '.join(table.keys)}")
            return None
        written = {str(name): value for name, value in doc.items() if value is not None}
        self._unknown(table, written, path)
        found = {key.name: self._value(key, written, path) for key in table.keys.values()}
        return Values(path, found, frozenset(name for name in written if name in table.keys))

    def _unknown(self, table: Table, written: Mapping[str, Any], path: str) -> None:
        for name in written:
            if name not in table.keys:
                where = f"{path}.{shown(name)}" if path else shown(name)
                # the nearest key is dear to find: only for what will be shown
                hint = nearest_key(name, table, path) if len(self.faults) < _MOST_FAULTS else ""
                self.fault(where, "is not a key of the lift file", hint)

    def _value(self, key: Key, written: Mapping[str, Any], path: str) -> Any:
        where = f"{path}.{key.name}" if path else key.name
        if key.name not in written:
            if key.required:
                self.fault(where, "is missing", key.about)
            if key.default is None:
                return () if key.kind == "several" else None
            return self._read_kind(key, key.default, where)
        return self._read_kind(key, written[key.name], where)

    def _read_kind(self, key: Key, value: object, where: str) -> Any:
        if key.kind == "table":
            return self.read(value, key.table, where)
        if key.kind == "several" or (key.kind == "one-or-several" and isinstance(value, list)):
            return self._several(key, value, where)
        if key.kind == "one-or-several":
            return self._kept([self.read(value, key.table, where)])
        try:
            return read_value(key, value, where, self.regime)
        except InputFault as found:
            for one in found.faults:
                self.fault(one.field, one.problem, one.hint)
            return None

    def _several(self, key: Key, value: object, where: str) -> tuple[Values, ...]:
        most = int(key.most or 0)
        if not isinstance(value, list):
            self.fault(where, "is not a list of tables", f"write [[{where}]] before each one")
            return ()
        if len(value) > most or (not value and key.required):
            self.fault(where, f"has {len(value)} entries", f"from 1 to {most}")
            return ()
        return self._kept([self.read(one, key.table, f"{where}[{i}]") for i, one in enumerate(value)])

    @staticmethod
    def _kept(items: list[Values | None]) -> tuple[Values, ...]:
        return tuple(item for item in items if item is not None)


def shown(name: object) -> str:
    """A user's own word as it may stand in a message: short, on one line."""
    text = "".join(c if c.isprintable() else "?" for c in str(name)[: _LONGEST_SHOWN + 1])
    return text if len(text) <= _LONGEST_SHOWN else text[:_LONGEST_SHOWN] + "..."


def nearest_key(name: str, table: Table, path: str) -> str:
    """The right key nearest to a wrong one: in this table first, then wherever it would belong."""
    word = name[:_LONGEST_SHOWN].lower()
    close = difflib.get_close_matches(word, table.keys, n=1, cutoff=0.6)
    if close:
        return f'did you mean "{close[0]}"?'
    homes = {key: t.name for t in reversed([*tables().values()]) for key in t.keys}  # the first that has it
    elsewhere = difflib.get_close_matches(word, homes, n=1, cutoff=0.8)
    if elsewhere and homes[elsewhere[0]] != table.name:
        return f'"{elsewhere[0]}" belongs in {_heading(homes[elsewhere[0]])}'
    return f"keys{' of ' + path if path else ''}: {', '.join(table.keys)}"


def _heading(table_name: str) -> str:
    return "the top of the file" if table_name == "lift" else f"[{table_name}]"
