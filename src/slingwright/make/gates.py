"""The gates before a sling is made, tagged or certified: each open or shut, with what it was asked about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slingwright.make.pattern import pattern_name
from slingwright.shop import Loft, Roll, Shop
from slingwright.shop.sewing import same_width
from slingwright.sling import SlingSpec

__all__ = ["Gate", "certified_rolls", "sling_gates"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """One gate.

    Codes: `table` (adopted), `pattern` (qualified at the loft), `lot` (certificate on file), `approval` (the
    customer accepted the drawing).
    """

    code: str
    is_open: bool
    subject: str


def certified_rolls(shop: Shop, spec: SlingSpec, loft: Loft, lot: str | None = None) -> tuple[Roll, ...]:
    """The rolls at a loft of a sling's webbing whose lot has a certificate on file (of one lot, if named)."""
    return tuple(
        roll
        for roll in shop.rolls
        if (roll.fibre, roll.webbing_class, roll.loft) == (spec.fibre, spec.webbing_class, loft.id)
        and same_width(roll.width_m, spec.width_m)
        and roll.certificate is not None
        and lot in (None, roll.lot)
    )


def sling_gates(
    shop: Shop,
    spec: SlingSpec,
    loft: Loft,
    *,
    table: str,
    adopted: bool,
    rolls: Sequence[Roll],
    lot: str | None,
) -> tuple[Gate, ...]:
    """The three gates of a sling: table adopted, pattern qualified at its loft, lot certificate on file.

    Parameters
    ----------
    shop, spec, loft
        Whose practice, which sling, where it is sewn.
    table, adopted
        The rated-load table and whether it was adopted.
    rolls, lot
        The certified rolls there are of its webbing, and the lot that was named.
    """
    name = pattern_name(spec)
    return (
        Gate(code="table", is_open=adopted, subject=table),
        Gate(code="pattern", is_open=name in loft.qualified, subject=f"{name} at {loft.name}"),
        Gate(code="lot", is_open=bool(rolls), subject=lot or ", ".join(_kept(shop, spec, loft)) or loft.name),
    )


def _kept(shop: Shop, spec: SlingSpec, loft: Loft) -> list[str]:
    """The lots of its webbing at the loft, with or without a certificate."""
    lots = (
        roll.lot
        for roll in shop.rolls
        if (roll.fibre, roll.webbing_class, roll.loft) == (spec.fibre, spec.webbing_class, loft.id)
        and same_width(roll.width_m, spec.width_m)
    )
    return sorted(set(lots))
