"""The papers of an order: approval drawing and traveler. Only open gates let a traveler out, or SPECIMEN."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from slingwright.usecases.make_order import serial_numbers, tag_facts

if TYPE_CHECKING:
    from slingwright.papers.traveler import TravelerLine
    from slingwright.usecases.make_order import MadeLine, MadeOrder

__all__ = ["GateShut", "print_approval", "print_traveler"]


class GateShut(RuntimeError):  # noqa: N818  (names what is shut)
    """A paper was asked for that a shut gate withholds: the caller's mistake, who is to ask first."""


def _line(made: MadeOrder, line: MadeLine) -> TravelerLine:
    from slingwright.papers.traveler import TravelerLine

    return TravelerLine(
        number=line.number,
        item=line.item,
        pattern=line.pattern,
        proof=line.proof,
        rolls=line.rolls,
        gates=(*line.gates, made.approval),
        serials=serial_numbers(made, line),
    )


def made_by_of(made: MadeOrder) -> Mapping[str, Any]:
    """The head's `made_by`."""
    found = made.head["made_by"]
    assert isinstance(found, Mapping)
    return found


def print_traveler(made: MadeOrder, *, on: dt.date, specimen: bool) -> bytes:
    """The traveler of an order (PDF).

    Raises
    ------
    GateShut
        The order is not released and no specimen was asked for.
    """
    from slingwright.papers.traveler import traveler_paper

    if not made.is_released and not specimen:
        raise GateShut(", ".join(gate.code for gate in made.shut) or "refused")
    return traveler_paper(
        [_line(made, line) for line in made.lines],
        order_number=made.number,
        customer=made.order.customer,
        due=made.order.due,
        rulebook=made.rulebook,
        shop=made.shop,
        made_by=made_by_of(made),
        on=on,
        units=made.units,
        specimen=specimen,
        language=made.language,
    )


def print_approval(made: MadeOrder, *, on: dt.date, specimen: bool) -> bytes:
    """The approval drawing of an order (PDF): the one paper that comes before the gates."""
    from slingwright.papers.approval import approval_paper
    from slingwright.words.tagging import tag_lines

    def tag(line: MadeLine) -> Any:
        facts = tag_facts(line, made.shop, serial="", year=0)
        return tag_lines(facts, made.rulebook, language=made.language)

    return approval_paper(
        [(_line(made, line), tag(line)) for line in made.lines],
        order_number=made.number,
        customer=made.order.customer,
        drawing_sha256=made.drawing_sha256,
        rulebook=made.rulebook,
        shop=made.shop,
        made_by=made_by_of(made),
        on=on,
        units=made.units,
        planning_only=made.planning_only,
        specimen=specimen,
        language=made.language,
    )
