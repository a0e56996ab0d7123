"""Read an adoption: the shipped tables checked against the bought document, or the shop's own tables.

Nothing here is a flag or a default. What is offered passes the plausibility gate or is refused with every
fault found.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction
from math import floor
from types import MappingProxyType
from typing import Any, Literal

from slingwright.citation import Citation
from slingwright.errors import Fault, InputFault, fail
from slingwright.rulebook.adoption import Adoption, adopted_citation, mark_adopted
from slingwright.rulebook.book import Rulebook
from slingwright.rulebook.load import load_rulebook
from slingwright.rulebook.rated import UNIT_N, RatedCell, RatedTable, grid_key, make_cell
from slingwright.units import parse_length_m, parse_weight_n
from slingwright.units.parse import INCH_M

__all__ = ["LEAST_BREAKS", "parse_adoption", "rated_from_breaks"]

LEAST_BREAKS = 3  # rigging trade practice: at least three break tests, the lowest governs
_TOP_KEYS = frozenset({"rulebook", "by", "document", "edition", "date", "checked", "own"})
_ENTRY_KEYS = {"checked": frozenset({"table", "sha256"}), "own": frozenset({"table", "cell"})}
_CELL_KEYS = frozenset({"plies", "width", "vertical", "choker", "basket", "breaks"})


def parse_adoption(data: Mapping[str, Any]) -> Adoption:
    """Read an adoption document.

    Keys: `rulebook`, `by` (two names), `document`, `edition`, `date` (of the day they checked),
    `checked` = [{`table`, `sha256`}] for shipped tables found equal to the document, `own` = [{`table`,
    `cell` = [{`plies`, `width`, `vertical` and/or `breaks`, `choker`, `basket`}]}] for the shop's own
    figures in the place of a shipped table.

    Raises
    ------
    InputFault
        Anything missing, a hash of another table, a figure the gate refuses: all at once.

    """
    faults = [Fault(key, "is not a key of an adoption") for key in sorted(set(data) - _TOP_KEYS)]
    book = load_rulebook(str(data.get("rulebook", "")))
    by = _names(data.get("by"), faults)
    document, edition = (_text(data, key, faults) for key in ("document", "edition"))
    on = _date(data.get("date"), faults)
    tables: list[RatedTable] = []
    own_ids: list[str] = []
    for index, entry in enumerate(_entries(data, "checked", faults)):
        citation = adopted_citation(document, edition, by, on, own=False)
        tables += _checked_table(book, entry, f"checked[{index}]", citation, faults)
    for index, entry in enumerate(_entries(data, "own", faults)):
        citation = adopted_citation(document, edition, by, on, own=True)
        made = _own_table(book, entry, f"own[{index}]", citation, faults)
        tables += made
        own_ids += [table.id for table in made]
    if not tables and not faults:
        faults.append(Fault("checked", "adopts no table", "name a checked table or give an own one"))
    ids = [table.id for table in tables]
    faults += [Fault("own", f'"{i}" is adopted twice') for i in sorted(set(ids)) if ids.count(i) > 1]
    if faults:
        raise InputFault(faults)
    return Adoption(
        rulebook_id=book.id,
        by=by,
        document=document,
        edition=edition,
        on=on,
        tables=tuple(tables),
        own=tuple(own_ids),
        flags=tuple(flag for table in tables for flag in _flags(book, table)),
    )


def rated_from_breaks(
    breaks_n: tuple[float, ...], *, design_factor: float, unit: str, step: Fraction
) -> Fraction:
    """Return the rated load that break tests of one pattern bear out, in table units.

    The lowest of at least three, over the design factor, rounded down to the step.

    Raises
    ------
    InputFault
        Fewer than three tests.

    """
    if len(breaks_n) < LEAST_BREAKS:
        problem = f"has {len(breaks_n)} break tests, not {LEAST_BREAKS} or more"
        raise fail("breaks", problem, "break at least three of the sewn pattern; the lowest governs")
    units = Fraction(min(breaks_n)) / Fraction(design_factor) / UNIT_N[unit]
    # a break given in whole pounds keeps its last bit: 31,000 lb bears out 6,200
    return floor(units / step + Fraction(1, 10**9)) * step


def _checked_table(
    book: Rulebook, entry: Mapping[str, Any], field: str, citation: Citation, faults: list[Fault]
) -> list[RatedTable]:
    table = _named_table(book, entry, field, faults)
    if table is None:
        return []
    if entry.get("sha256") != table.sha256:
        problem = "is not the hash of the table as shipped: what was checked is not what would be used"
        faults.append(Fault(f"{field}.sha256", problem, f"the shipped table's is {table.sha256}"))
        return []
    return [mark_adopted(table, citation)]


def _own_table(
    book: Rulebook, entry: Mapping[str, Any], field: str, citation: Citation, faults: list[Fault]
) -> list[RatedTable]:
    table = _named_table(book, entry, field, faults)
    if table is None:
        return []
    cells: dict[tuple[int, int], RatedCell] = {}
    before = len(faults)
    for index, row in enumerate(_entries(entry, "cell", faults, prefix=f"{field}.")):
        where = f"{field}.cell[{index}]"
        try:
            cell = _own_cell(book, table, row, where, citation)
        except InputFault as fault:
            faults.extend(fault.faults)
            continue
        key = grid_key(cell.plies, cell.width_m)
        if key in cells:
            faults.append(Fault(where, f"{cell.cell} is given twice"))
        cells[key] = cell
    if not cells and len(faults) == before:
        faults.append(Fault(f"{field}.cell", "has no cells"))
    own = replace(table, citation=citation, cells=MappingProxyType(cells))
    faults += book.gate.faults(own, f"{field}.cell")
    return [own]


def _own_cell(
    book: Rulebook, table: RatedTable, row: Mapping[str, Any], field: str, citation: Citation
) -> RatedCell:
    unknown = sorted(set(row) - _CELL_KEYS)
    if unknown:
        raise fail(f"{field}.{unknown[0]}", "is not a key of a cell", ", ".join(sorted(_CELL_KEYS)))
    plies = row.get("plies")
    if not isinstance(plies, int) or isinstance(plies, bool) or plies < 1:
        raise fail(f"{field}.plies", "is not a number of plies", "write a whole number such as 2")
    width_m = parse_length_m(row.get("width"), f"{field}.width", above=0.0)
    units = _own_units(book, table, row, field)
    return make_cell(
        table.id,
        plies=plies,
        width=_printed_width(width_m, table.width_unit),
        width_unit=table.width_unit,
        units=units,
        unit=table.unit,
        citation=citation,
        proposable=True,
        adopted=True,
        choker_units=_own_figure(table, row, "choker", field),
        basket_units=_own_figure(table, row, "basket", field),
    )


def _own_units(book: Rulebook, table: RatedTable, row: Mapping[str, Any], field: str) -> Fraction:
    """Vertical rated load in table units: the printed one, the broken one, or the printed one borne out."""
    printed = _own_figure(table, row, "vertical", field)
    if "breaks" not in row:
        if printed is None:
            raise fail(field, "has neither a vertical rated load nor break tests")
        return printed
    values = row["breaks"]
    if not isinstance(values, list | tuple):
        raise fail(f"{field}.breaks", "is not a list of breaking loads")
    breaks_n = tuple(
        parse_weight_n(value, f"{field}.breaks[{i}]", regime=_regime(table), above=0.0)
        for i, value in enumerate(values)
    )
    try:
        borne_out = rated_from_breaks(
            breaks_n, design_factor=book.design_factor.value, unit=table.unit, step=book.rules.step
        )
    except InputFault as fault:
        raise fail(f"{field}.breaks", fault.problem, fault.hint) from None
    if printed is not None and printed > borne_out:
        raise fail(f"{field}.breaks", "do not bear out the vertical rated load given", "the lowest governs")
    return borne_out if printed is None else printed


def _own_figure(table: RatedTable, row: Mapping[str, Any], key: str, field: str) -> Fraction | None:
    """A printed figure in table units, exact to the thousandth of one."""
    if key not in row:
        return None
    weight_n = parse_weight_n(row[key], f"{field}.{key}", regime=_regime(table), above=0.0)
    return Fraction(round(Fraction(weight_n) / UNIT_N[table.unit] * 1000), 1000)


def _regime(table: RatedTable) -> Literal["us", "en"]:
    """Whose tons are meant: a table in tonnes is a European one."""
    return "en" if table.unit == "t" else "us"


def _printed_width(width_m: float, width_unit: str) -> Fraction:
    exact = Fraction(width_m) / (INCH_M if width_unit == "in" else Fraction(1, 1000))
    return Fraction(round(exact * 1000), 1000)


def _flags(book: Rulebook, table: RatedTable) -> list[str]:
    return [
        f"{table.id}: {cell.cell}"
        for cell in table.cells.values()
        if book.gate.is_odd(cell, webbing_class=table.webbing_class, legs=table.legs)
    ]


def _named_table(
    book: Rulebook, entry: Mapping[str, Any], field: str, faults: list[Fault]
) -> RatedTable | None:
    by_id = {table.id: table for table in book.tables}
    unknown = sorted(set(entry) - _ENTRY_KEYS[field.partition("[")[0]])
    faults.extend(Fault(f"{field}.{key}", "is not a key here") for key in unknown)
    table = by_id.get(str(entry.get("table", "")))
    if table is None:
        faults.append(Fault(f"{field}.table", "is no table of this rulebook", ", ".join(sorted(by_id))))
    return table


def _entries(
    data: Mapping[str, Any], key: str, faults: list[Fault], *, prefix: str = ""
) -> list[Mapping[str, Any]]:
    value = data.get(key, [])
    if isinstance(value, list) and all(isinstance(entry, Mapping) for entry in value):
        return value
    faults.append(Fault(f"{prefix}{key}", "is not a list of tables"))
    return []


def _names(value: object, faults: list[Fault]) -> tuple[str, str]:
    names = [name.strip() for name in value if isinstance(name, str)] if isinstance(value, list) else []
    if len(names) != 2 or not all(names) or names[0].lower() == names[1].lower():
        faults.append(Fault("by", "is not two people", 'write by = ["who checked", "who read it over"]'))
        return ("", "")
    return (names[0], names[1])


def _text(data: Mapping[str, Any], key: str, faults: list[Fault]) -> str:
    value = data.get(key)
    if isinstance(value, str) and value.strip():
        return value.strip()
    faults.append(Fault(key, "is missing: which document the figures were checked against"))
    return ""


def _date(value: object, faults: list[Fault]) -> date:
    if isinstance(value, date):
        return date(value.year, value.month, value.day)
    if isinstance(value, str):
        try:
            return date.fromisoformat(value)
        except ValueError:
            pass
    faults.append(Fault("date", "is not a date", "write it like 2026-01-31"))
    return date.min
