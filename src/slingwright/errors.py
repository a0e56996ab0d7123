"""What a user can get wrong, said once and shown the same on screen, in JSON and on the web.

`InputFault` is the only exception a user can cause; anything else is our bug. A lift that cannot be
done is *not* a fault: it is a `stop` finding, a value.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["Fault", "InputFault", "fail"]


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with the input: which field, what is wrong, what would be right.

    `field` is a path such as `load.pick_point[2].at[0]`; empty when the whole file is meant.
    """

    field: str
    problem: str
    hint: str = ""


class InputFault(ValueError):  # noqa: N818  (the house word: a fault of the input, not an error of ours)
    """The input is at fault; carries every fault found, never only the first."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        if not self.faults:
            msg = "InputFault needs at least one fault"
            raise AssertionError(msg)
        super().__init__("; ".join(f"{f.field}: {f.problem}" if f.field else f.problem for f in self.faults))

    @property
    def field(self) -> str:
        """The first fault's field path."""
        return self.faults[0].field

    @property
    def problem(self) -> str:
        """The first fault's problem."""
        return self.faults[0].problem

    @property
    def hint(self) -> str:
        """The first fault's hint."""
        return self.faults[0].hint

    def __reduce__(self) -> tuple[type[InputFault], tuple[tuple[Fault, ...]]]:
        """Pickle with all faults (worker threads and processes hand them over)."""
        return type(self), (self.faults,)


def fail(field: str, problem: str, hint: str = "") -> InputFault:
    """Make an `InputFault` with one fault; the caller raises it."""
    return InputFault([Fault(field, problem, hint)])
