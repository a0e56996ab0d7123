"""Rated-load tables: a cell is printed or it is refused; nothing between two rows is ever computed."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from slingwright.citation import Citation
from slingwright.sling import SlingSpec
from slingwright.units import RatedStyle, show_rated_load
from slingwright.units.parse import INCH_M, POUND_KG, STANDARD_GRAVITY

__all__ = [
    "STYLE",
    "UNIT_N",
    "WIDTH_UNIT_M",
    "RatedCell",
    "RatedTable",
    "Refusal",
    "find_cell",
    "grid_key",
    "make_cell",
]

UNIT_N: Mapping[str, Fraction] = {"lb": POUND_KG * STANDARD_GRAVITY, "t": 1000 * STANDARD_GRAVITY}
STYLE: Mapping[str, RatedStyle] = {"lb": RatedStyle.US, "t": RatedStyle.EN}
WIDTH_UNIT_M: Mapping[str, Fraction] = {"in": INCH_M, "mm": Fraction(1, 1000)}


@dataclass(frozen=True, slots=True, kw_only=True)
class RatedCell:
    """One cell: the vertical rated load exactly as its table prints it.

    `rated_units` is the printed figure in the table's unit; `choker_units` and `basket_units` are set only
    where an adopted table prints them below the computed ones. `proposable` is false for a cell that may
    be read but not offered before a table is adopted.
    """

    rated_n: float
    printed: str
    table_id: str
    cell: str
    plies: int
    width_m: float
    adopted: bool
    proposable: bool
    citation: Citation
    unit: str
    rated_units: Fraction
    choker_units: Fraction | None = None
    basket_units: Fraction | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """No figure, and why: a reason code, the nearest rows there are, and whose rule it is.

    Reasons: `no-table`, `no-cell`, `form-does-not-choke`, `angle-needed`, `below-least-angle`,
    `no-mode`, `choke-not-covered`, `choke-angle-needed`.
    """

    reason: str
    citation: Citation
    nearest: tuple[RatedCell, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RatedTable:
    """One table: which slings it is for, and its cells by (plies, width in tenths of a millimetre)."""

    id: str
    webbing_class: int
    forms: frozenset[str]
    fibres: frozenset[str]
    legs: int
    unit: str
    width_unit: str
    citation: Citation
    cells: Mapping[tuple[int, int], RatedCell]

    @property
    def sha256(self) -> str:
        """Hash of the grid a person would compare with the printed one: cells and figures, no wording."""
        rows = [
            [cell.plies, key[1], str(cell.rated_units), str(cell.choker_units), str(cell.basket_units)]
            for key, cell in sorted(self.cells.items())
        ]
        head = [self.id, self.webbing_class, sorted(self.forms), sorted(self.fibres), self.unit]
        return hashlib.sha256(json.dumps([head, rows]).encode()).hexdigest()

    def holds(self, spec: SlingSpec) -> bool:
        """Whether this table is for such slings at all."""
        return (
            spec.webbing_class == self.webbing_class
            and str(spec.form) in self.forms
            and str(spec.fibre) in self.fibres
        )

    def nearest(self, plies: int, width_m: float) -> tuple[RatedCell, ...]:
        """Return the cells round a missing one: narrower and wider of its plies, else of its width."""
        key = grid_key(plies, width_m)
        same_plies = sorted(k for k in self.cells if k[0] == plies)
        if same_plies:
            below = [k for k in same_plies if k[1] < key[1]][-1:]
            above = [k for k in same_plies if k[1] > key[1]][:1]
            return tuple(self.cells[k] for k in below + above)
        same_width = sorted((abs(k[0] - plies), k) for k in self.cells if k[1] == key[1])
        return tuple(self.cells[k] for _, k in same_width[:1])


def grid_key(plies: int, width_m: float) -> tuple[int, int]:
    """Key of a cell: widths are told apart to a tenth of a millimetre, no finer."""
    return plies, round(width_m * 10_000)


def find_cell(tables: tuple[RatedTable, ...], spec: SlingSpec, *, nobody: Citation) -> RatedCell | Refusal:
    """Find the one printed cell of a sling, or refuse with the nearest rows."""
    for table in tables:
        if table.holds(spec):
            cell = table.cells.get(grid_key(spec.plies, spec.width_m))
            if cell is not None:
                return cell
            nearest = table.nearest(spec.plies, spec.width_m)
            return Refusal(reason="no-cell", citation=table.citation, nearest=nearest)
    return Refusal(reason="no-table", citation=nobody)


def make_cell(
    table_id: str,
    *,
    plies: int,
    width: Fraction,
    width_unit: str,
    units: Fraction,
    unit: str,
    citation: Citation,
    proposable: bool,
    adopted: bool = False,
    choker_units: Fraction | None = None,
    basket_units: Fraction | None = None,
) -> RatedCell:
    """Make a cell from printed figures; the float is rounded once."""
    rated_n = float(units * UNIT_N[unit])
    return RatedCell(
        rated_n=rated_n,
        printed=show_rated_load(rated_n, STYLE[unit]),
        table_id=table_id,
        cell=f"{plies} ply, {width} {width_unit}",
        plies=plies,
        width_m=float(width * WIDTH_UNIT_M[width_unit]),
        adopted=adopted,
        proposable=proposable,
        citation=citation,
        unit=unit,
        rated_units=units,
        choker_units=choker_units,
        basket_units=basket_units,
    )
