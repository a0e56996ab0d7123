"""Make a rulebook from its data files; each (rulebook, profile) is made once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from types import MappingProxyType

from slingwright.citation import Cited
from slingwright.errors import fail
from slingwright.rulebook.adoption import Adoption
from slingwright.rulebook.book import Rulebook
from slingwright.rulebook.chemical import Chemicals, ChemicalVerdict, Verdict
from slingwright.rulebook.gate import Gate, strength_si
from slingwright.rulebook.hitch import Band, ChokeScheme, HitchRules, Mode
from slingwright.rulebook.legs import LegRules
from slingwright.rulebook.practice import Caution, Colour, RegimeValue, Row
from slingwright.rulebook.rate import RateRules
from slingwright.rulebook.rated import RatedCell, RatedTable, grid_key, make_cell
from slingwright.rulebook.source import Entry, cite, cited_number, cited_quantity, hash_data, read_table
from slingwright.rulebook.strictest import make_strictest
from slingwright.units import parse_length_m

__all__ = ["load_rulebook"]

_LISTS = ("removal", "inspection", "tag", "certificate", "proof_test")
_CITATION_KEYS = frozenset({"document", "edition", "clause", "known", "note", "id", "what"})


def load_rulebook(rulebook_id: str, profile: str = "own", adoption: Adoption | None = None) -> Rulebook:
    """Load a rulebook.

    Parameters
    ----------
    rulebook_id
        `us` or `en`.
    profile
        `own` for the regime's own numbers, `strictest` for the strictest across regimes.
    adoption
        What the shop's qualified people adopted; left out, every table is for planning only.

    Raises
    ------
    InputFault
        No such rulebook or profile, or an adoption of the other rulebook's tables.

    """
    if rulebook_id not in ("us", "en"):
        raise fail("rulebook", f'"{rulebook_id}" is no rulebook here', 'write "us" or "en"')
    if profile not in ("own", "strictest"):
        raise fail("profile", f'"{profile}" is no profile', 'write "own" or "strictest"')
    book = _load_shipped(rulebook_id, profile)
    if adoption is None:
        return book
    if adoption.rulebook_id != rulebook_id:
        problem = f'is of the tables of "{adoption.rulebook_id}", not of "{rulebook_id}"'
        raise fail("adoption", problem, "one sling, one rulebook")
    return replace(book, adopted=adoption, tables=adoption.apply(book.tables))


@lru_cache(maxsize=4)
def _load_shipped(rulebook_id: str, profile: str) -> Rulebook:
    head = read_table(rulebook_id, "book")
    design_factor = cited_number(head["design_factor"])
    printed = {**read_table(rulebook_id, "limits"), **read_table(rulebook_id, "check_limits")}
    limits = {name: cited_quantity(name, entry) for name, entry in printed.items()}
    regimes = read_table("common", "regimes")["topic"]
    book = Rulebook(
        id=head["id"],
        edition=head["edition"],
        documents=tuple(head["documents"]),
        profile="own",
        sha256=hash_data(rulebook_id),
        adopted=None,
        design_factor=design_factor,
        tables=tuple(_table(read_table(rulebook_id, name)) for name in head["tables"]),
        rules=RateRules(hitch=_hitch(rulebook_id), legs=_legs(rulebook_id), step=Fraction(head["step"])),
        gate=_gate(read_table(rulebook_id, "webbing"), design_factor),
        limits=MappingProxyType(limits),
        chemicals=_chemicals(read_table("common", "chemicals")),
        cautions=tuple(_caution(entry) for entry in regimes),
        practice=MappingProxyType(
            {name: _rows(read_table(rulebook_id, name)) for name in _LISTS}
            | {"fibres": _rows(read_table("common", "fibres"))}
        ),
        colour_rows=_colours(read_table(rulebook_id, "colours")),
    )
    if profile == "own":
        return book
    return make_strictest(book, regimes, us_hitch=_hitch("us"))


def _table(data: Entry) -> RatedTable:
    """One table of rated loads; where two series print a cell, the lower."""
    head = data["head"]
    citation = cite(head)
    cells: dict[tuple[int, int], RatedCell] = {}
    for row in data["row"]:
        series = [row[name] for name in ("series_a", "series_b") if name in row]
        proposable = len(series) > 1 or head.get("one_series_enough", False)
        for width, *printed in zip(row["width"], *series, strict=True):
            cell = make_cell(
                head["id"],
                plies=row["plies"],
                width=Fraction(width),
                width_unit=head["width_unit"],
                units=Fraction(min(printed)),
                unit=head["unit"],
                citation=citation,
                proposable=proposable,
            )
            cells[grid_key(cell.plies, cell.width_m)] = cell
    return RatedTable(
        id=head["id"],
        webbing_class=head["webbing_class"],
        forms=frozenset(head["forms"]),
        fibres=frozenset(head["fibres"]),
        legs=head["legs"],
        unit=head["unit"],
        width_unit=head["width_unit"],
        citation=citation,
        cells=MappingProxyType(cells),
    )


def _hitch(rulebook_id: str) -> HitchRules:
    data = read_table(rulebook_id, "hitch")
    head: Entry = data.get("head", {})
    choke = data["choke"]
    factors = {name: cited_number(entry, head=head) for name, entry in data["factor"].items()}
    return HitchRules(
        factors=MappingProxyType(factors),
        basket_part=cite(data["basket_part"]),
        choke_citation=cite(choke),
        choke_free=cited_number(choke["free"]),
        schemes=tuple(_scheme(entry) for entry in choke.get("scheme", ())),
        basket_modes=tuple(_mode(entry, head) for entry in data.get("basket", ())),
        bridle_modes=tuple(_mode(entry, head) for entry in data.get("bridle", ())),
    )


def _scheme(entry: Entry) -> ChokeScheme:
    bands = tuple(
        Band(
            from_deg=float(band.get("above", band.get("from"))),
            open_below="above" in band,
            factor=float(band["factor"]),
        )
        for band in entry["bands"]
    )
    return ChokeScheme(id=entry["id"], bands=bands, citation=cite(entry))


def _mode(entry: Entry, head: Entry) -> Mode:
    return Mode(
        to_angle_from_vertical_deg=float(entry["to_beta_deg"]),
        legs=tuple(entry.get("legs", ())),
        factor=cited_number(entry, head=head),
    )


def _legs(rulebook_id: str) -> LegRules:
    data = read_table(rulebook_id, "legs")
    return LegRules(
        counted_most=cited_number(data["counted"]),
        statics=cite(data["statics"]),
        two_carry_all=cited_number(data["two_carry_all"]),
    )


def _gate(data: Entry, design_factor: Cited[float]) -> Gate:
    strengths = {
        entry["webbing_class"]: Cited(strength_si(Fraction(entry["value"]), entry["unit"]), cite(entry))
        for entry in data["strength"]
    }
    gate = data["gate"]
    return Gate(
        strength_n_per_m=MappingProxyType(strengths),
        design_factor=design_factor,
        one_ply=cited_number(gate["one_ply"]),
        wide_plied=cited_number(gate["wide_plied"]),
        wide_from_plies=gate["wide_plied"]["from_plies"],
        wide_above_m=parse_length_m(gate["wide_plied"]["above_width"], "above_width"),
        impossible=cited_number(gate["impossible"]),
    )


def _chemicals(data: Entry) -> Chemicals:
    names = {name: agent["id"] for agent in data["agent"] for name in (agent["id"], *agent["names"])}
    verdicts = {
        (entry["agent"], entry["material"]): ChemicalVerdict(
            agent=entry["agent"],
            material=entry["material"],
            verdict=Verdict(entry["verdict"]),
            citation=cite(entry),
        )
        for entry in data["verdict"]
    }
    return Chemicals(
        agent_by_name=MappingProxyType(names),
        verdicts=MappingProxyType(verdicts),
        unlisted=cite(data["unlisted"]),
    )


def _rows(data: Entry) -> tuple[Row, ...]:
    return tuple(
        Row(id=row["id"], what=row["what"], figures=_figures(row), citation=cite(row)) for row in data["row"]
    )


def _figures(row: Entry) -> Mapping[str, float]:
    return MappingProxyType({key: float(row[key]) for key in row if key not in _CITATION_KEYS})


def _colours(data: Entry) -> tuple[Colour, ...]:
    return tuple(
        Colour(
            colour=row["colour"],
            rated_t=float(row["rated_t"]) if "rated_t" in row else None,
            and_above=row.get("and_above", False),
            fibre=row.get("fibre", ""),
            citation=cite(row, head=data["head"]),
        )
        for row in data["row"]
    )


def _caution(entry: Entry) -> Caution:
    values = tuple(RegimeValue(value=row["value"], citation=cite(row)) for row in entry["values"])
    return Caution(
        id=entry["id"],
        topic=entry["topic"],
        values=values,
        conservative=entry["conservative"],
        in_strictest="strictest" in entry,
    )
