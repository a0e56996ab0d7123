"""The date of a paper, from `--at` or the day's own."""

from __future__ import annotations

from datetime import date

from slingwright.errors import fail

__all__ = ["read_day"]


def read_day(at: str | None) -> date:
    """Read a date; left out, today's.

    Raises
    ------
    InputFault
        It is no date.
    """
    if at is None:
        return date.today()
    try:
        return date.fromisoformat(at)
    except ValueError as error:
        raise fail("--at", f"{at!r} is no date", "write it as 2026-05-31") from error
