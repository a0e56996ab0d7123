"""The cut job of an order: its flat pieces and the rolls of their lofts, as `slingwright cut` reads it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from slingwright.errors import fail
from slingwright.usecases.make_order import serial_numbers

if TYPE_CHECKING:
    from slingwright.shop import Roll, Shop
    from slingwright.sling import SlingSpec
    from slingwright.usecases.make_order import MadeLine, MadeOrder

__all__ = ["cut_job"]


def cut_job(made: MadeOrder, *, on: dt.date) -> dict[str, Any]:
    """A job of all lines: each webbing at its loft apart, the pieces of one sling from one roll.

    A released order's rolls are those with their lot's certificate on file; for planning all count.

    Parameters
    ----------
    made
        The order laid out.
    on
        Stands for the due day where the order has none.

    Raises
    ------
    InputFault
        The shop's file says nothing of how it cuts.
    """
    practice = made.shop.cutting
    if practice is None:
        raise fail("cutting", "is missing in the shop's file", "a cut job needs kerf, trim and least remnant")
    webbings = {_webbing(line): line for line in made.lines}
    due = (made.order.due or on).isoformat()
    return {
        "title": made.number,
        "practice": {
            "kerf_mm": practice.kerf_mm,
            "head_trim_mm": practice.head_trim_mm,
            "remnant_min_mm": practice.remnant_min_mm,
            "discount_mm": practice.discount_mm,
            "full_length_mm": max(round(line.pattern.webbing.roll_m * 1000) for line in made.lines),
            "mount_cost_mm": practice.mount_cost_mm,
            "keep_together": "sling",
        },
        "webbing": [
            {"name": name, "full_length_mm": round(line.pattern.webbing.roll_m * 1000)}
            for name, line in webbings.items()
        ],
        "roll": [
            {
                "webbing": name,
                "name": roll.id,
                "lot": roll.lot,
                "remaining_mm": int(roll.length_m * 1000 + 1e-6),
            }
            for name, line in webbings.items()
            for roll in _rolls(made, line)
        ],
        "piece": [piece for line in made.lines for piece in _pieces(made, line, due)],
    }


def _webbing(line: MadeLine) -> str:
    spec = line.line.spec
    loft = line.item.loft.id if line.item.loft else ""
    return f"{spec.fibre} class {spec.webbing_class} {round(spec.width_m * 1000, 1):g} mm at {loft}"


def _rolls(made: MadeOrder, line: MadeLine) -> tuple[Roll, ...]:
    if made.is_released:
        return line.rolls
    assert line.item.loft is not None
    return _all_rolls(made.shop, line.line.spec, line.item.loft.id)


def _all_rolls(shop: Shop, spec: SlingSpec, loft_id: str) -> tuple[Roll, ...]:
    from slingwright.shop.sewing import same_width

    return tuple(
        roll
        for roll in shop.rolls
        if (roll.fibre, roll.webbing_class, roll.loft) == (spec.fibre, spec.webbing_class, loft_id)
        and same_width(roll.width_m, spec.width_m)
    )


def _pieces(made: MadeOrder, line: MadeLine, due: str) -> Iterator[dict[str, Any]]:
    for serial in serial_numbers(made, line):
        for piece in line.pattern.pieces:
            yield {
                "webbing": _webbing(line),
                "order": made.number,
                "sling": serial,
                "due": due,
                "length_mm": piece.cut_mm,
                "quantity": piece.count,
            }
