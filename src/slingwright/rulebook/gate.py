"""The plausibility gate: a rated load is held against the strength of its webbing before it is believed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from slingwright.citation import Cited
from slingwright.errors import Fault
from slingwright.rulebook.rated import UNIT_N, RatedCell, RatedTable
from slingwright.units.parse import INCH_M

__all__ = ["Gate", "strength_si"]

_LAST_BITS = 1 + 1e-9  # a figure that meets its limit exactly is not above it for a last bit


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """Webbing strengths [N/m of width] and the efficiencies above which a figure is odd or impossible."""

    strength_n_per_m: Mapping[int, Cited[float]]
    design_factor: Cited[float]
    one_ply: Cited[float]
    wide_plied: Cited[float]
    wide_from_plies: int
    wide_above_m: float
    impossible: Cited[float]

    def efficiency(self, cell: RatedCell, *, webbing_class: int, legs: int) -> float:
        """Share of the webbing's strength a cell uses at the design factor [1].

        `legs` is 1 for a single strand, 2 for an endless sling.
        """
        strength_n = self.strength_n_per_m[webbing_class].value * cell.width_m * cell.plies * legs
        return cell.rated_n * self.design_factor.value / strength_n

    def is_odd(self, cell: RatedCell, *, webbing_class: int, legs: int) -> bool:
        """Whether a cell uses more of its webbing than any known table does (a flag, not a refusal)."""
        wide = cell.plies >= self.wide_from_plies and cell.width_m > self.wide_above_m
        most = self.wide_plied if wide else self.one_ply
        return self.efficiency(cell, webbing_class=webbing_class, legs=legs) > most.value * _LAST_BITS

    def faults(self, table: RatedTable, field: str) -> list[Fault]:
        """Everything impossible in a table.

        A cell stronger than its webbing, or weaker though wider or thicker; a choker above the vertical,
        a basket above twice it.
        """
        found: list[Fault] = []
        for cell in table.cells.values():
            found += self._cell_faults(cell, table, f"{field}[{cell.cell}]")
        return found + _order_faults(table.cells.values(), field)

    def _cell_faults(self, cell: RatedCell, table: RatedTable, field: str) -> list[Fault]:
        found: list[Fault] = []
        if cell.rated_units <= 0:
            return [Fault(field, "rated load is not above zero")]
        share = self.efficiency(cell, webbing_class=table.webbing_class, legs=table.legs)
        if share > self.impossible.value * _LAST_BITS:
            found.append(Fault(field, f"{cell.printed} needs {share:.2f} of the webbing's strength, above 1"))
        if cell.choker_units is not None and cell.choker_units > cell.rated_units:
            found.append(Fault(field, "choker rating is above the vertical rating"))
        if cell.basket_units is not None and cell.basket_units > 2 * cell.rated_units:
            found.append(Fault(field, "basket rating is above twice the vertical rating"))
        return found


def _order_faults(cells: Iterable[RatedCell], field: str) -> list[Fault]:
    """Wider or more plies is never weaker: each cell against those narrower and thinner than it."""
    found: list[Fault] = []
    ordered = sorted(cells, key=lambda cell: (cell.plies, cell.width_m))
    for big in ordered:
        for small in ordered:
            smaller = small.plies <= big.plies and small.width_m <= big.width_m
            if smaller and small.rated_units > big.rated_units:
                problem = f"{big.printed} is below the {small.printed} of {small.cell}"
                found.append(Fault(f"{field}[{big.cell}]", problem, "wider or more plies is never weaker"))
                break
    return found


def strength_si(value: Fraction, unit: str) -> float:
    """Webbing strength in N per m of width from the printed figure."""
    per_width = {"lb/in": UNIT_N["lb"] / INCH_M}
    return float(value * per_width[unit])
